//! `hornrule import`: files of other programs.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use serde::Serialize;

use super::due::today;
use super::herd::changes;
use super::text::name;
use super::{Desk, Failure};
use hornrule_exchange::Target;
use hornrule_exchange::ade::Animals;
use hornrule_files::input;

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
/// list, a cow that is not in the file leaves the list, a file with a mistake is not imported at all,
/// and what changes is shown before it is taken.
///
/// A file that is a part of the herd removes nobody: a page of a collection that has more items or
/// pages, or a single animal.
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
    /// Accept what is shown without asking; needed where there is no terminal
    #[arg(long, short)]
    yes: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    dry_run: bool,
    gone: u32,
    other_species: u32,
    /// Whether the file is a part of the herd, so that nobody left.
    part: bool,
    #[serde(flatten)]
    changes: changes::ImportRow,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Verb::Ade(options) => ade(options, desk),
    }
}

fn ade(options: &AdeOptions, desk: &Desk) -> Result<(), Failure> {
    let bytes = input::read(&options.file, input::BY_PROGRAM)?;
    let text = String::from_utf8_lossy(&bytes);
    let herd = desk.database_or_none()?;
    let there = herd.herds()?.into_iter().find(|listed| listed.name == options.herd.trim());
    let zone = options.zone.clone().or(there.map(|listed| listed.zone));
    let zone = zone.unwrap_or_else(super::herd::own_zone);
    // An unknown zone is reported by the reader.
    let today = today(desk, &zone).or_else(|_| today(desk, "UTC"))?;
    let animals = Animals::read(&text, &zone, Some(today));
    let animals = animals.map_err(|source| Failure::ade(&options.file, source))?;
    let wrong = |source| Failure::import(&options.file, source);
    let target = Target { name: options.herd.clone(), farm: options.farm, zone };
    let seen = animals.preview(&herd, &target).map_err(wrong)?;
    drop(herd);
    let imported = if options.dry_run {
        seen
    } else {
        let preview = changes::told(&target, &seen) + &beside(&animals);
        changes::accepted(&preview, &seen, options.yes)?;
        animals.import(&mut desk.database()?, &target, &seen).map_err(wrong)?
    };
    if options.json {
        let Animals { gone, other_species, .. } = animals;
        let (dry_run, part) = (options.dry_run, animals.part.is_some());
        let changes = changes::row(imported, !dry_run, &target.zone);
        println!("{}", super::json(&Row { dry_run, gone, other_species, part, changes })?);
        return Ok(());
    }
    let new_farm = imported.new_farm;
    print!("{}{}", changes::told(&target, &imported), beside(&animals));
    if new_farm && options.zone.is_none() {
        println!("{}", super::herd::told_zone(&target.zone));
    }
    if options.dry_run {
        println!("dry run   nothing was written");
    } else {
        println!("database  {}", desk.db().display());
    }
    Ok(())
}

/// What else there is to say of the file.
fn beside(animals: &Animals) -> String {
    let mut text = String::new();
    if animals.gone + animals.other_species > 0 {
        let Animals { gone, other_species, .. } = animals;
        text += &format!("not taken {gone} dead or gone, {other_species} of another species\n");
    }
    if let Some(part) = animals.part {
        text += &format!("part      {part}, so nobody leaves the herd\n");
    }
    text
}
