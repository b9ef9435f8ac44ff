//! `hornrule herd mark`: cows that are not to be trimmed.

use clap::Args;
use serde::Serialize;

use super::super::due::today;
use super::super::text::{name, note};
use super::super::{Desk, Failure};
use hornrule_facts::{AnimalId, Herd, TrimMark};
use hornrule_herd::Database;

/// Mark a cow "do not trim", clear the mark, or list marked cows
///
/// The plan carries the mark, and the handheld gives its cue when she comes in. Nothing is erased;
/// a further entry clears the mark.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    hornrule herd mark 412 --do-not-trim --who Anna --why \"calves next week\"\n  \
    hornrule herd mark 412 --trim --who Anna --why \"has calved\"\n  hornrule herd mark")]
pub(super) struct Options {
    /// Her herd number
    #[arg(value_name = "COW", requires_all = ["who", "why"])]
    cow: Option<i64>,
    /// Farm's name; needed if there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Mark her "do not trim"
    #[arg(long, conflicts_with = "trim", requires = "cow")]
    do_not_trim: bool,
    /// Clear the mark
    #[arg(long, requires = "cow")]
    trim: bool,
    /// Name of the person who decides
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO", value_parser = name)]
    who: Option<String>,
    /// Reason
    #[arg(long, value_name = "REASON", value_parser = note)]
    why: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    cow: i64,
    since: String,
    who: String,
    why: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let listed = super::chosen(&herd, options.herd.as_deref())?;
    let day = today(desk, &listed.zone)?;
    if let Some(cow) = options.cow {
        is_listed(&herd, &listed, cow)?;
        if !options.do_not_trim && !options.trim {
            return Err(Failure::Said("use --do-not-trim or --trim".to_owned()));
        }
        let (who, why) = super::super::signed(&options.who, &options.why)?;
        let at_ms = desk.clock().unix_ms();
        let mark =
            TrimMark { animal: AnimalId(cow), day, holds: options.do_not_trim, who, at_ms, why };
        herd.mark_trim(listed.herd, &mark)?;
    }
    let row = |mark: TrimMark| Row {
        cow: mark.animal.number(),
        since: mark.day.to_string(),
        who: mark.who,
        why: mark.why,
    };
    let rows: Vec<Row> = herd.not_to_be_trimmed(listed.herd, day)?.into_iter().map(row).collect();
    if options.json {
        println!("{}", super::super::json(&rows)?);
        return Ok(());
    }
    println!("herd      {}", listed.name);
    if rows.is_empty() {
        println!("marked    nobody: every cow may be trimmed");
    }
    for Row { cow, since, who, why } in rows {
        println!("  {cow:>9}  not to be trimmed, since {since} ({who}: {why})");
    }
    Ok(())
}

/// A cow that was named stands on the list: a slip would leave the right one untold.
fn is_listed(herd: &Database, listed: &Herd, cow: i64) -> Result<(), Failure> {
    let stands = |one: &hornrule_facts::ListedAnimal| one.in_herd && one.animal.number() == cow;
    if herd.animals(listed.herd)?.iter().any(stands) {
        return Ok(());
    }
    Err(Failure::Said(format!("the herd list of {} has no cow {cow}", listed.name)))
}
