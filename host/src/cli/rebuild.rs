//! `hornrule rebuild`: the herd tables from nothing.

use clap::Args;
use serde::Serialize;

use super::{Desk, Failure};
use hornrule_facts::plain;
use hornrule_herd::Change;
use hornrule_intake::rebuild_and_compare;

/// Rebuild the herd tables from the records, and say what changed
///
/// The tables follow from the records as pulled, the decisions, the herd lists and the rules.
/// Nothing changes unless the program did, or the tables were damaged.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule rebuild\n  hornrule rebuild --json")]
pub(super) struct Options {
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    table: &'static str,
    rows: usize,
    new: usize,
    gone: usize,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let changes = rebuild_and_compare(&mut herd)?;
    if options.json {
        let row =
            |one: &Change| Row { table: one.table, rows: one.rows, new: one.new, gone: one.gone };
        let rows: Vec<Row> = changes.iter().map(row).collect();
        println!("{}", super::json(&rows)?);
    } else {
        print!("{}", told(&changes));
    }
    Ok(())
}

pub(super) fn told(changes: &[Change]) -> String {
    let rows: usize = changes.iter().map(|change| change.rows).sum();
    let mut text = format!("rebuilt   {}\n", plain::count(rows, "row", "rows"));
    let different: Vec<&Change> = changes.iter().filter(|change| !change.is_none()).collect();
    if different.is_empty() {
        text += "changed   nothing: the tables were as they should be\n";
    }
    for change in different {
        text += &format!("changed   {}: {} new, {} gone\n", change.table, change.new, change.gone);
    }
    text
}
