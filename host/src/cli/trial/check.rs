//! `hornrule trial check`: is a list the one of its seed, and the one that was published?

use clap::Args;
use serde::Serialize;

use super::super::{Desk, Failure};
use super::told;
use hornrule_questions::lot::proof;

/// Make the list of each draw again from its seed, and its SHA-256
///
/// Shows nothing of the list. The rules are in `host/questions/src/lot/LOT.md`: with the seed and the
/// list of `hornrule trial draw --show` anyone can do the same without this program.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule trial check\n  hornrule trial check --json")]
pub(super) struct Options {
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Checked {
    #[serde(flatten)]
    row: told::Row,
    of_its_seed: bool,
    as_published: bool,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let database = desk.existing_database()?;
    let checked = told::all(&database)?.into_iter().map(|kept| {
        let proof = proof(&kept.lot);
        let row = told::row(&kept);
        Checked { row, of_its_seed: proof.of_seed, as_published: proof.as_published }
    });
    let all: Vec<Checked> = checked.collect();
    if options.json {
        println!("{}", super::super::json(&all)?);
    } else if all.is_empty() {
        println!("nothing was drawn; `hornrule trial draw` does");
    }
    let is = |holds: bool| if holds { "yes" } else { "BAD" };
    for one in all.iter().filter(|_| !options.json) {
        println!(
            "draw {}    {}: ways of its seed: {}; SHA-256 {}: {}",
            one.row.told.draw,
            one.row.told.farm,
            is(one.of_its_seed),
            one.row.told.sha256,
            is(one.as_published)
        );
    }
    match all.iter().all(|one| one.of_its_seed && one.as_published) {
        true => Ok(()),
        false => Err(Failure::Unwell("a draw is not what was drawn".to_owned())),
    }
}
