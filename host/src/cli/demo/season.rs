//! The demo's last part: ten months of two invented farms, in a database of their own.

use std::fs;
use std::path::{Path, PathBuf};

use super::{Failure, report};
use crate::due::{DueList, Span};
use crate::exchange::due_csv::due_csv;
use crate::herd::{Day, Herd, Language};
use crate::report::list_visits;
use crate::season::{SEED, Season, pour};

/// Days of the due list.
const AHEAD: u16 = 14;

/// Where the season is kept.
pub(super) fn database(folder: &Path) -> PathBuf {
    folder.join("season.db")
}

/// Brings the season in, unless it is there, says so, and writes what a trimmer would take along.
pub(super) fn play(folder: &Path) -> Result<(), Failure> {
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
    for (path, title) in report::write_latest(&herd, folder)? {
        println!("report    {}: {title}", path.display());
    }
    // The evening after the last visit.
    if let Some((_, day, _)) = list_visits(&herd)?.first() {
        due(&herd, folder, *day)?;
    }
    println!("database  {}", database(folder).display());
    Ok(())
}

/// The due list of two weeks, as text and as a table.
fn due(herd: &Herd, folder: &Path, day: Day) -> Result<(), Failure> {
    let until = day.plus(AHEAD);
    let list = DueList::gather(herd, Span { day, until, herd: None })?;
    let text = folder.join("due.txt");
    fs::write(&text, list.render_terminal(Language::default())).map_err(Failure::file(&text))?;
    let table = folder.join("due.csv");
    let bytes = due_csv(&list).map_err(|error| Failure::Said(error.to_string()))?;
    fs::write(&table, bytes).map_err(Failure::file(&table))?;
    println!(
        "due       {}, {}: {} until {until}",
        text.display(),
        table.display(),
        list.lines.len()
    );
    Ok(())
}
