//! The demo's last part: ten months of two invented farms, in a database of their own.

use std::path::{Path, PathBuf};

use super::Failure;
use super::papers::Papers;
use crate::season::{SEED, Season, pour};
use hornrule_herd::Database;

/// Where the season is kept.
pub(super) fn database(folder: &Path) -> PathBuf {
    folder.join("season.db")
}

/// The names of its farms.
pub(super) fn farms() -> Vec<&'static str> {
    Season::of(SEED).farms.iter().map(|farm| farm.name).collect()
}

/// Brings the season in, unless it is there, says so, and writes what a trimmer would take along.
pub(super) fn play(folder: &Path, pdf: bool) -> Result<(), Failure> {
    let season = Season::of(SEED);
    let mut herd = Database::open(&database(folder))?;
    let poured = pour(&season, &mut herd)?;
    let farms: Vec<&str> = season.farms.iter().map(|farm| farm.name).collect();
    print!("season    ten months of {}: ", farms.join(" and "));
    if poured.pulls == 0 {
        println!("nothing new");
    } else {
        println!("{} records in {} pulls", poured.new, poured.pulls);
    }
    Papers { folder, pdf }.write(&herd)?;
    println!("database  {}", database(folder).display());
    Ok(())
}
