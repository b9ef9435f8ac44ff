//! `hornrule herd`: farms and their herd lists.

pub(super) mod changes;
mod import;
mod list;
mod mark;
mod set;

use clap::{Args, Subcommand};

use super::{Desk, Failure};
use hornrule_facts::Herd;
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
