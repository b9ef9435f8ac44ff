//! `hornrule trial`: what the trial ways of gluing a block are called, and which is drawn for whom.

mod check;
mod close;
mod draw;
mod told;

use clap::{Args, Subcommand};
use serde::Serialize;

use super::text::name;
use super::{Desk, Failure};

/// Name the trial ways of gluing a block (DO 11 to 19), and draw which cow gets which
///
/// The number is keyed at the chute. Plan, reports, figures and `hornrule blocks` show the name
/// too. Without a number, names and draws are listed.
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Example:\n  hornrule trial 1 \"wooden block, sanded\"\n  \
                  hornrule trial\n  hornrule trial 1 --clear\n  \
                  hornrule trial draw --ways 1,2 --who Anna --why \"does sanding pay?\""
)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Option<Verb>,
    /// Number of the way; 1 is keyed as DO 11
    #[arg(value_name = "WAY", value_parser = clap::value_parser!(u8).range(1..=9))]
    way: Option<u8>,
    /// Name to give it
    #[arg(value_name = "NAME", value_parser = name)]
    name: Option<String>,
    /// Remove the name
    #[arg(long, requires = "way", conflicts_with = "name")]
    clear: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Draw(draw::Options),
    Close(close::Options),
    Check(check::Options),
}

/// A trial way as people and scripts see it.
#[derive(Clone, Serialize)]
pub(super) struct Row {
    pub(super) way: u8,
    pub(super) keyed: String,
    pub(super) name: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Some(Verb::Draw(options)) => draw::run(options, desk),
        Some(Verb::Close(options)) => close::run(options, desk),
        Some(Verb::Check(options)) => check::run(options, desk),
        None => named(options, desk),
    }
}

fn named(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    match (options.way, options.name.as_deref().map(str::trim), options.clear) {
        (Some(way), Some(name), _) if !name.is_empty() => herd.name_trial_way(way, Some(name))?,
        (Some(way), _, true) => herd.name_trial_way(way, None)?,
        (Some(_), _, false) => {
            return Err(Failure::Said(
                "the name is missing; use `hornrule trial 1 \"NAME\"`".to_owned(),
            ));
        }
        (None, _, _) => {}
    }
    let rows = rows(herd.trial_ways()?);
    if options.json {
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    if rows.is_empty() {
        println!("no trial way has a name; give one with `hornrule trial 1 \"NAME\"`");
    }
    print!("{}", told(&rows));
    for kept in told::all(&herd)? {
        print!("\n{}", told::of(&kept));
    }
    Ok(())
}

pub(super) fn rows(ways: Vec<(u8, String)>) -> Vec<Row> {
    ways.into_iter().map(|(way, name)| Row { way, keyed: format!("DO 1{way}"), name }).collect()
}

pub(super) fn told(rows: &[Row]) -> String {
    rows.iter().map(|Row { way, keyed, name }| format!("trial {way}   {keyed}: {name}\n")).collect()
}
