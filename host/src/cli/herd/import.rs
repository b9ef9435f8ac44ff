//! `hornrule herd import`: a herd list from a CSV file.

use std::fs::File;
use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::super::{Desk, Failure};
use crate::exchange::{Imported, Target, import_herd};

/// Import a herd list from a CSV file
///
/// The first line names the columns: `number` (needed), `tag` (15 digits, ISO 11784), `name`, `born`
/// (like 2021-04-30). Comma or semicolon. A cow that is no longer in the file stays in the database
/// and leaves the list. A list with a mistake is not imported at all.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule herd import cows.csv --herd \"Alder Brook\" --farm 1 --zone Europe/Dublin"
)]
pub(super) struct Words {
    /// The CSV file
    file: PathBuf,
    /// The farm's name
    #[arg(long)]
    herd: String,
    /// The digit that starts a visit there: COW 0 DIGIT COW
    #[arg(long, value_name = "DIGIT")]
    farm: Option<u8>,
    /// The farm's time zone, an IANA name
    #[arg(long, default_value = "UTC")]
    zone: String,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct ImportRow {
    added: u32,
    changed: u32,
    same: u32,
    left: u32,
    ignored_columns: Vec<String>,
}

pub(super) fn run(words: Words, desk: &Desk) -> Result<(), Failure> {
    let Words { file, herd: name, farm, zone, json } = words;
    let list = File::open(&file).map_err(Failure::file(&file))?;
    let mut herd = desk.herd()?;
    let target = Target { name, farm, zone };
    let imported =
        import_herd(&mut herd, &target, list).map_err(|source| Failure::import(&file, source))?;
    let Imported { added, changed, same, left, ignored, .. } = imported;
    if json {
        let row = ImportRow { added, changed, same, left, ignored_columns: ignored };
        println!("{}", super::super::json(&row)?);
        return Ok(());
    }
    println!("herd      {}", target.name);
    println!(
        "cows      {added} added, {changed} changed, {same} as they were, {left} left the herd"
    );
    if !ignored.is_empty() {
        println!("ignored   columns {}", ignored.join(", "));
    }
    println!("database  {}", desk.db().display());
    Ok(())
}
