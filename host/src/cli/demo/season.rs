//! The demo's last part: ten months of two invented farms, in a database of their own.

use std::path::{Path, PathBuf};

use super::Failure;
use crate::herd::Herd;
use crate::season::{SEED, Season, pour};

/// Where the season is kept.
pub(super) fn database(folder: &Path) -> PathBuf {
    folder.join("season.db")
}

/// Brings the season in, unless it is there, and says so.
pub(super) fn play(folder: &Path) -> Result<Herd, Failure> {
    let season = Season::of(SEED);
    let mut herd = Herd::open(&database(folder))?;
    let poured = pour(&season, &mut herd)?;
    let farms: Vec<&str> = season.farms.iter().map(|farm| farm.name).collect();
    print!("season    ten months of {}: ", farms.join(" and "));
    if poured.pulls == 0 {
        println!("nothing new");
    } else {
        println!("{} records in {} pulls", poured.new, poured.pulls);
    }
    println!("database  {}", database(folder).display());
    Ok(herd)
}
