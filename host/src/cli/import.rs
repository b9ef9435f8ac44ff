//! `hornrule import`: files of other programs.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use serde::Serialize;

use super::text::name;
use super::{Desk, Failure};
use hornrule_exchange::ade::{AdeError, Taken, import_animals};
use hornrule_exchange::{Imported, Target};
use hornrule_files::input;
use hornrule_herd::Database;

/// Read files from other programs
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Ade(AdeOptions),
}

/// Read animals of ICAR ADE JSON into the herd list
///
/// The file is an icarAnimalCoreCollection, or an array of icarAnimalCoreResource. Each animal
/// needs the farm's number in `managementTag`; tag, name and birth date are optional. As with a CSV
/// list, a cow that is not in the file leaves the list, and a file with a mistake is not imported
/// at all.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule import ade animals.json --herd \"Alder Brook\" --dry-run\n  \
                  hornrule import ade animals.json --herd \"Alder Brook\" --farm 1 --zone Europe/Dublin"
)]
struct AdeOptions {
    /// File to read
    file: PathBuf,
    /// Farm's name
    #[arg(long, value_parser = name)]
    herd: String,
    /// Standing key that starts a visit there on a day without a plan: COW 0 KEY COW
    #[arg(long, value_name = "KEY")]
    farm: Option<u8>,
    /// Farm's time zone, an IANA name [default: unchanged; this computer's for a new farm]
    #[arg(long)]
    zone: Option<String>,
    /// Show what would change; import nothing
    #[arg(long)]
    dry_run: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    dry_run: bool,
    added: u32,
    changed: u32,
    same: u32,
    left: u32,
    gone: u32,
    other_species: u32,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Verb::Ade(options) => ade(options, desk),
    }
}

fn ade(options: &AdeOptions, desk: &Desk) -> Result<(), Failure> {
    let wrong = |source: AdeError| Failure::ade(&options.file, source);
    let bytes = input::read(&options.file, input::BY_PROGRAM)?;
    let text = String::from_utf8_lossy(&bytes);
    // A dry run creates no database.
    let mut herd = match options.dry_run && !desk.db().exists() {
        true => Database::in_memory()?,
        false => desk.database()?,
    };
    let there = herd.herds()?.into_iter().find(|listed| listed.name == options.herd.trim());
    let zone = options.zone.clone().or(there.map(|listed| listed.zone));
    let zone = zone.unwrap_or_else(super::herd::own_zone);
    let target = Target { name: options.herd.clone(), farm: options.farm, zone };
    let taken = import_animals(&mut herd, &target, &text, options.dry_run).map_err(wrong)?;
    let Taken { imported, gone, other_species } = taken;
    let Imported { added, changed, same, left, new_farm, .. } = imported;
    if options.json {
        let dry_run = options.dry_run;
        let row = Row { dry_run, added, changed, same, left, gone, other_species };
        println!("{}", super::json(&row)?);
        return Ok(());
    }
    println!("herd      {}", target.name);
    println!(
        "cows      {added} added, {changed} changed, {same} as they were, {left} left the herd"
    );
    if new_farm && options.zone.is_none() {
        println!("{}", super::herd::told_zone(&target.zone));
    }
    if gone + other_species > 0 {
        println!("not taken {gone} dead or gone, {other_species} of another species");
    }
    if options.dry_run {
        println!("dry run   nothing was written");
    } else {
        println!("database  {}", desk.db().display());
    }
    Ok(())
}
