//! `hornrule herd`: farms and their herd lists.

pub(super) mod changes;
pub(super) mod effect;
mod farm;
mod import;
mod list;
mod mark;
mod set;

use std::io::{IsTerminal, stdin};

use clap::{Args, Subcommand};
use jiff::tz::TimeZone;

use super::{Desk, Failure};
use hornrule_facts::Herd;
use hornrule_files::input;
use hornrule_herd::Database;

/// Manage farms: herd lists and settings of their papers
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Import(import::Options),
    Set(set::Options),
    Mark(mark::Options),
    Show(list::ShowOptions),
    List(list::Options),
}

pub(super) fn run(options: Options, desk: &Desk) -> Result<(), Failure> {
    match options.verb {
        Verb::Import(options) => import::run(options, desk),
        Verb::Set(options) => set::run(&options, desk),
        Verb::Mark(options) => mark::run(&options, desk),
        Verb::Show(options) => list::show(&options, desk),
        Verb::List(options) => list::run(&options, desk),
    }
}

/// The time zone of this computer; UTC where it does not say.
pub(super) fn own_zone() -> String {
    let zone = TimeZone::try_system().ok();
    let name =
        zone.as_ref().and_then(TimeZone::iana_name).filter(|name| TimeZone::get(name).is_ok());
    // Computers without a zone call it by several names.
    let name = name.filter(|name| !["Etc/UTC", "Etc/Unknown"].contains(name));
    name.unwrap_or("UTC").to_owned()
}

/// Which time zone a new farm took.
pub(super) fn told_zone(zone: &str) -> String {
    format!("zone      {zone}, that of this computer; `hornrule herd set --zone` changes it")
}

/// Asks whether changes that were shown are accepted; without a terminal they are not. `nothing` says
/// what did not happen then.
pub(super) fn agree(nothing: &str) -> Result<(), Failure> {
    let refused = |why: &str| Failure::Said(format!("{nothing}; {why}"));
    if !stdin().is_terminal() {
        return Err(refused("check the changes above, then use --yes to accept them"));
    }
    eprint!("Accept these changes? [y/N] ");
    let answer = input::line(&mut stdin().lock()).map_err(|error| refused(&error.to_string()))?;
    let answer = answer.unwrap_or_default();
    match answer.trim().to_lowercase().as_str() {
        "y" | "yes" => Ok(()),
        _ => Err(refused("the changes were not accepted")),
    }
}

/// The herd of a name; without a name the only one there is.
pub(super) fn chosen(herd: &Database, name: Option<&str>) -> Result<Herd, Failure> {
    let mut herds = herd.herds()?;
    let names: Vec<&str> = herds.iter().map(|one| one.name.as_str()).collect();
    let found = match name {
        Some(name) => herds.iter().position(|one| one.name == name.trim()),
        None => (herds.len() == 1).then_some(0),
    };
    match (found, name, names.is_empty()) {
        (Some(at), ..) => Ok(herds.swap_remove(at)),
        (None, _, true) => Err(Failure::Said(
            "there is no herd yet; import one with `hornrule herd import FILE --herd NAME`"
                .to_owned(),
        )),
        (None, Some(name), false) => Err(Failure::Said(format!(
            "there is no herd `{name}`; the herds are: {}",
            names.join(", ")
        ))),
        (None, None, false) => {
            Err(Failure::Said(format!("choose a herd with --herd: {}", names.join(", "))))
        }
    }
}
