//! `hornrule trial`: what the trial ways of gluing a block are called, and which is drawn for whom.

mod check;
mod close;
mod draw;
mod told;

use clap::{Args, Subcommand};
use serde::Serialize;

use super::due::today;
use super::text::name;
use super::{Desk, Failure, signed, way_facts};
use hornrule_facts::Herd;
use hornrule_questions::lot::Signed;

/// Name the trial ways of gluing a block (DO 11 to 19), and draw which cow gets which
///
/// The number is keyed at the chute. Plan, reports, figures and `hornrule blocks` show the name
/// too. Without a number, names, facts and draws are listed. With --from, what a way was on which days
/// is noted: material, glue and its batch, surface, height; `hornrule blocks` counts the blocks glued
/// on those days.
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Example:\n  hornrule trial 1 \"wooden block, sanded\"\n  \
                  hornrule trial\n  hornrule trial 1 --clear\n  \
                  hornrule trial 1 --from 2026-03-01 --material \"birch ply\" --height 22 \
                  --glue \"two-part, batch 4711\" --surface \"ground, dried\" --who Anna\n  \
                  hornrule trial draw --ways 1,2 --who Anna --why \"does sanding pay?\""
)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Option<Verb>,
    /// Number of the way; 1 is keyed as DO 11, 0 is the usual way, DO 10
    #[arg(value_name = "WAY", value_parser = clap::value_parser!(u8).range(0..=9))]
    way: Option<u8>,
    /// Name to give it
    #[arg(value_name = "NAME", value_parser = name)]
    name: Option<String>,
    /// Remove the name, or with --from what was noted from that day
    #[arg(long, requires = "way", conflicts_with = "name")]
    clear: bool,
    #[command(flatten)]
    facts: way_facts::Given,
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

#[derive(Serialize)]
struct Way {
    #[serde(flatten)]
    named: Row,
    facts: Vec<way_facts::Row>,
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
    if let (Some(way), true) = (options.way, options.facts.is_given()) {
        options.facts.note(&mut herd, desk, way, options.clear)?;
    }
    match (options.way, options.name.as_deref().map(str::trim), options.clear) {
        (Some(_), None, _) if options.facts.is_given() => {}
        (Some(0), _, _) => {
            return Err(Failure::Said("way 0 is the usual way: it has no other name".to_owned()));
        }
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
    let facts = way_facts::rows(herd.way_facts()?);
    if options.json {
        println!("{}", super::json(&ways(rows, facts))?);
        return Ok(());
    }
    if rows.is_empty() && facts.is_empty() {
        println!("no trial way has a name; give one with `hornrule trial 1 \"NAME\"`");
    }
    print!("{}{}", told(&rows), way_facts::told(&facts));
    for kept in told::all(&herd)? {
        print!("\n{}", told::of(&kept));
    }
    Ok(())
}

/// Who draws, looks or closes, today on the farm, and why.
fn sign(
    who: &Option<String>,
    why: &Option<String>,
    herd: &Herd,
    desk: &Desk,
) -> Result<Signed, Failure> {
    let (who, why) = signed(who, why)?;
    Ok(Signed { day: today(desk, &herd.zone)?, who, at_ms: desk.clock().unix_ms(), why })
}

/// Ways that have a name or were told of, for scripts.
fn ways(rows: Vec<Row>, facts: Vec<way_facts::Row>) -> Vec<Way> {
    let mut ways: Vec<Way> =
        rows.into_iter().map(|named| Way { named, facts: Vec::new() }).collect();
    for fact in facts {
        let at = ways.iter().position(|one| one.named.way == fact.way);
        let at = at.unwrap_or_else(|| {
            let (way, keyed) = (fact.way, fact.keyed.clone());
            ways.push(Way { named: Row { way, keyed, name: String::new() }, facts: Vec::new() });
            ways.len() - 1
        });
        ways[at].facts.push(fact);
    }
    ways.sort_by_key(|one| one.named.way);
    ways
}

pub(super) fn rows(ways: Vec<(u8, String)>) -> Vec<Row> {
    ways.into_iter().map(|(way, name)| Row { way, keyed: format!("DO 1{way}"), name }).collect()
}

pub(super) fn told(rows: &[Row]) -> String {
    rows.iter().map(|Row { way, keyed, name }| format!("trial {way}   {keyed}: {name}\n")).collect()
}
