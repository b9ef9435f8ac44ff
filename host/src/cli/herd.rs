//! `hornrule herd`: herd lists.

use std::fs::File;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use serde::Serialize;

use super::{Desk, Failure};
use crate::exchange::{Imported, Target, import_herd};

/// Herd lists: which cows there are
#[derive(Debug, Args)]
pub(super) struct Words {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Import(ImportWords),
    List(ListWords),
}

/// Import a herd list from a CSV file
///
/// The first line names the columns: `number` (needed), `tag` (15 digits, ISO 11784), `name`, `born`
/// (like 2021-04-30). Comma or semicolon. A cow that is no longer in the file stays in the database
/// and leaves the list. A list with a mistake is not imported at all.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule herd import cows.csv --herd \"Alder Brook\" --farm 1 --zone Europe/Dublin"
)]
struct ImportWords {
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

/// Show the herds of the database
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule herd list\n  hornrule herd list --json")]
struct ListWords {
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

#[derive(Serialize)]
struct ListRow {
    herd: String,
    farm: Option<u8>,
    zone: String,
    cows: usize,
}

pub(super) fn run(words: Words, desk: &Desk) -> Result<(), Failure> {
    match words.verb {
        Verb::Import(words) => import(words, desk),
        Verb::List(words) => list(&words, desk),
    }
}

fn import(words: ImportWords, desk: &Desk) -> Result<(), Failure> {
    let ImportWords { file, herd: name, farm, zone, json } = words;
    let list = File::open(&file).map_err(Failure::file(&file))?;
    let mut herd = desk.herd()?;
    let target = Target { name, farm, zone };
    let imported =
        import_herd(&mut herd, &target, list).map_err(|source| Failure::import(&file, source))?;
    let Imported { added, changed, same, left, ignored, .. } = imported;
    if json {
        let row = ImportRow { added, changed, same, left, ignored_columns: ignored };
        println!("{}", super::json(&row)?);
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

fn list(words: &ListWords, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_herd()?;
    let mut rows = Vec::new();
    for listed in herd.herds()? {
        let cows = herd.cows_listed(listed.herd)?;
        rows.push(ListRow { herd: listed.name, farm: listed.farm, zone: listed.zone, cows });
    }
    if words.json {
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    if rows.is_empty() {
        println!("No herd is listed yet: `hornrule herd import FILE --herd NAME`");
    }
    for row in rows {
        let farm = row.farm.map_or_else(|| "no farm key".to_owned(), |farm| format!("farm {farm}"));
        println!("{:<28} {farm:<12} {:<20} {} cows", row.herd, row.zone, row.cows);
    }
    Ok(())
}
