//! The demo's last part: ten months of two invented farms, in a database of their own.

use std::fs;
use std::path::{Path, PathBuf};

use super::{Failure, report};
use crate::due::{DueList, Span};
use crate::herd::{Day, Herd, Language, Paper};
use crate::report::due_page::TABLE;
use crate::report::list_visits;
use crate::season::{SEED, Season, pour};
use crate::words::Words;

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
    let page = list.page(&Words::new(Language::default()), Paper::default(), None);
    fs::write(&text, page.render_terminal()).map_err(Failure::file(&text))?;
    let table = folder.join("due.csv");
    // A list without lines has no table, and an empty file says so.
    let rows = page.render_csv(TABLE).unwrap_or_default();
    fs::write(&table, rows).map_err(Failure::file(&table))?;
    println!(
        "due       {}, {}: {} until {until}",
        text.display(),
        table.display(),
        list.lines.len()
    );
    Ok(())
}
