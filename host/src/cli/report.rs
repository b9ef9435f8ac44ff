//! `hornrule report`: what a visit found, for the farm; the letter to the vet.

#[cfg(feature = "virtual")]
pub(super) mod every_visit;

use clap::{Args, Subcommand};
use jiff::civil::Date;
use serde::Serialize;

use super::paper::PaperOptions;
use super::trend::{self, FarmOptions};
use super::{Desk, Failure};
use hornrule_facts::{Day, HerdId};
use hornrule_herd::Database;
use hornrule_papers as papers;
use hornrule_papers::visit::EVERY_FOOT;
use hornrule_questions::vet::VetLetter;
use hornrule_questions::visit::{VisitReport, list_visits};

/// Write reports: a visit, its office page, a letter to the vet, a farm over time
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Visit(VisitOptions),
    Office(OfficeOptions),
    Vet(VetOptions),
    Farm(FarmOptions),
}

/// Write the letter to the vet: cows referred, why now, their feet before, room for the answer
///
/// Your own name and phone come from `[practice]` in `hornrule.toml`, the vet's from
/// `hornrule herd set --vet`.
///
/// Without --day, it covers the latest visit.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule report vet --pdf vet.pdf")]
struct VetOptions {
    /// Farm's name; needed if several herds had a visit on that day
    #[arg(long)]
    herd: Option<String>,
    /// Day of the visit
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    #[command(flatten)]
    paper: PaperOptions,
}

/// Show a visit's office page: what to look at, what is held, how far to trust it
///
/// What to look at before the farm goes home comes first; then entries that are held, flagged or
/// decided, the checks of the calliper and the clock, and settings that are missing. None of it is on
/// the farmer's page. Without --day, it covers the latest visit.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule report office\n  \
                  hornrule report office --herd \"Alder Brook\" --day 2026-03-03 --json")]
struct OfficeOptions {
    /// Farm's name; needed if several herds had a visit on that day
    #[arg(long)]
    herd: Option<String>,
    /// Day of the visit
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    #[command(flatten)]
    paper: PaperOptions,
}

/// Show a visit: what is due, what was found, what was done
///
/// Without --day, the latest visit.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule report visit\n  \
                  hornrule report visit --herd \"Alder Brook\" --day 2026-03-03 --pdf visit.pdf")]
struct VisitOptions {
    /// Farm's name; needed if several herds had a visit on that day
    #[arg(long)]
    herd: Option<String>,
    /// Day of the visit
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    #[command(flatten)]
    paper: PaperOptions,
    /// List all visits
    #[arg(long)]
    list: bool,
}

pub(super) fn run(options: Options, desk: &Desk) -> Result<(), Failure> {
    match options.verb {
        Verb::Visit(options) => visit(&options, desk),
        Verb::Office(options) => office(&options, desk),
        Verb::Vet(options) => vet(&options, desk),
        Verb::Farm(options) => trend::run(&options, desk),
    }
}

/// A visit there was.
pub(super) struct Visit {
    /// Whose.
    pub(super) herd: HerdId,
    /// The farm's name.
    pub(super) name: String,
    /// When.
    pub(super) day: Day,
    /// Cows in the chute.
    pub(super) cows: u32,
}

/// What a script sees of the list.
#[derive(Serialize)]
struct Row<'a> {
    day: String,
    herd: &'a str,
    cows: u32,
}

impl<'a> Row<'a> {
    fn of(visit: &'a Visit) -> Self {
        Self { day: visit.day.date().to_string(), herd: &visit.name, cows: visit.cows }
    }
}

fn visit(options: &VisitOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let visits = visits(&herd)?;
    if options.list && options.paper.json {
        let rows: Vec<Row<'_>> = visits.iter().map(Row::of).collect();
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    if options.list {
        for visit in &visits {
            println!("{}  {:<28} {} cows", visit.day.date(), visit.name, visit.cows);
        }
        return Ok(());
    }
    let report = gather(&herd, chosen(options.herd.as_ref(), options.day, &visits)?)?;
    let said = options.paper.words(&report.settings).with_trial_ways(herd.trial_ways()?);
    let page = papers::visit::page(&report, &said, options.paper.paper(&report.settings));
    options.paper.deliver(&page, EVERY_FOOT, || papers::visit::json(&report))
}

fn office(options: &OfficeOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let visits = visits(&herd)?;
    let report = gather(&herd, chosen(options.herd.as_ref(), options.day, &visits)?)?;
    let said = options.paper.words(&report.settings).with_trial_ways(herd.trial_ways()?);
    let paper = options.paper.paper(&report.settings);
    let page = papers::office::page(&report, &desk.practice()?, &said, paper);
    options.paper.deliver(&page, papers::office::LINES, || papers::office::json(&report))
}

fn vet(options: &VetOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let visits = visits(&herd)?;
    let visit = chosen(options.herd.as_ref(), options.day, &visits)?;
    let letter = VetLetter::gather(&herd, visit.herd, visit.day)?;
    let letter = letter.ok_or_else(|| gone(visit))?;
    let settings = &letter.report.settings;
    let said = options.paper.words(settings).with_trial_ways(herd.trial_ways()?);
    let paper = options.paper.paper(settings);
    let page = papers::vet::page(&letter, &desk.practice()?, &said, paper);
    options.paper.deliver(&page, papers::vet::REFERRED, || papers::vet::json(&letter))
}

/// The newest first.
pub(super) fn visits(herd: &Database) -> Result<Vec<Visit>, Failure> {
    let herds = herd.herds()?;
    let name = |id: HerdId| {
        let found = herds.iter().find(|listed| listed.herd == id);
        found.map_or_else(String::new, |listed| listed.name.clone())
    };
    let visits = list_visits(herd)?;
    let named =
        visits.into_iter().map(|(id, day, cows)| Visit { herd: id, name: name(id), day, cows });
    Ok(named.collect())
}

/// The latest visit that the words allow.
fn chosen<'a>(
    name: Option<&String>,
    day: Option<Date>,
    visits: &'a [Visit],
) -> Result<&'a Visit, Failure> {
    let day = day.map(Day::from_date);
    let mut allowed = visits.iter().filter(|visit| {
        day.is_none_or(|day| visit.day == day) && name.is_none_or(|name| *name == visit.name)
    });
    let Some(first) = allowed.next() else {
        return Err(Failure::Said(
            "there is no such visit; `hornrule report visit --list` shows all visits".to_owned(),
        ));
    };
    match allowed.find(|visit| visit.day == first.day) {
        Some(other) => Err(Failure::Said(format!(
            "on {} there were visits at {} and {}; choose one with --herd",
            first.day.date(),
            first.name,
            other.name
        ))),
        None => Ok(first),
    }
}

/// All about a visit.
pub(super) fn gather(herd: &Database, visit: &Visit) -> Result<VisitReport, Failure> {
    let report = VisitReport::gather(herd, visit.herd, visit.day)?;
    report.ok_or_else(|| gone(visit))
}

fn gone(visit: &Visit) -> Failure {
    Failure::Said(format!("{} is no longer a herd", visit.name))
}
