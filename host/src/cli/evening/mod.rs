//! `hornrule evening`: the verbs of an evening in their order. The rules are in `EVENING.md`.

mod pages;

use std::collections::BTreeSet;
use std::io;
use std::io::IsTerminal;
use std::path::PathBuf;

use clap::Args;
use jiff::Timestamp;
use jiff::civil::Date;

use super::bill::PriceOptions;
use super::desk::PortOptions;
use super::report::{Visit, visits};
use super::{Desk, Failure, pull, review};
use hornrule_facts::{Day, HerdId, plain};
use hornrule_herd::Database;
use pages::{Draft, Papers};

/// Go through the evening: pull, held entries, pages, due sheet, bill drafts
///
/// Each step does what its own verb does and says what is done already, so it can be stopped and run
/// again at any time. Held entries are asked about on a terminal; without one they are listed and
/// stay held. Nothing is issued: the commands for what is left are named at the end.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule evening\n  \
                  hornrule evening --no-pull --day 2026-03-17 --out papers")]
pub(super) struct Options {
    #[command(flatten)]
    port: PortOptions,
    /// The handheld was pulled before: begin with what is held
    #[arg(long, conflicts_with = "port")]
    no_pull: bool,
    /// Day of the visits [default: the latest]
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    /// Folder for the papers [default: `evening-DATE` beside the database]
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Write HTML only, no PDF
    #[arg(long)]
    no_pdf: bool,
    /// Name of the person who decides
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO")]
    who: Option<String>,
    #[command(flatten)]
    prices: PriceOptions,
}

/// A step, as it is named.
type Step = (u8, &'static str);
const PULL: Step = (1, "pull");
const HELD: Step = (2, "held");
const DECIDE: Step = (3, "decide");
const PAGES: Step = (4, "pages");
const DUE: Step = (5, "due");
const BILLS: Step = (6, "bills");

/// A visit as far as it is told apart from others.
type Seen = BTreeSet<(HerdId, Day, u32)>;

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (mut herd, before) = step(PULL, || pulled(options, desk))?;
    step(HELD, || {
        print!("{}", review::held(&herd)?);
        Ok(())
    })?;
    step(DECIDE, || decided(options, desk, &mut herd))?;
    let all = visits(&herd)?;
    let Some(day) = options.day.map(Day::from_date).or_else(|| all.first().map(|one| one.day))
    else {
        println!("\nNo visit is on record yet. Next:");
        next_of_held(&herd)?;
        println!("  hornrule herd import FILE --herd NAME --farm DIGIT --yes");
        println!("  hornrule evening");
        return Ok(());
    };
    let of_day: Vec<&Visit> = all.iter().filter(|visit| visit.day == day).collect();
    if of_day.is_empty() {
        return Err(Failure::Said(format!(
            "there was no visit on {day}; `hornrule report visit --list` shows all visits"
        )));
    }
    let out = options.out.clone().unwrap_or_else(|| pages::usual(desk, day));
    let herds = herd.herds()?;
    let pdf = cfg!(feature = "pdf") && !options.no_pdf;
    let practice = desk.practice()?;
    let papers = Papers { herd: &herd, herds: &herds, out: &out, pdf, practice: &practice };
    step(PAGES, || of_day.iter().try_for_each(|visit| papers.visit(visit)))?;
    step(DUE, || papers.due(day, stamp(desk)?))?;
    let mut left = Left { issue: Vec::new(), no_prices: false, failed: None };
    step(BILLS, || left.bills(&papers, options, desk, &of_day))?;
    let others = other_days(&all, &before, day);
    left.next(&herd, day, &out, &others)?;
    left.failed.map_or(Ok(()), Err)
}

/// Runs a step under its heading; one that stops says where the evening goes on.
fn step<T>((number, name): Step, work: impl FnOnce() -> Result<T, Failure>) -> Result<T, Failure> {
    let gap = if number == PULL.0 { "" } else { "\n" };
    println!("{gap}{number}/6 {name}");
    work().map_err(|source| Failure::Evening { number, name, source: Box::new(source) })
}

fn seen(herd: &Database) -> Result<Seen, Failure> {
    Ok(visits(herd)?.iter().map(|visit| (visit.herd, visit.day, visit.cows)).collect())
}

fn stamp(desk: &Desk) -> Result<Timestamp, Failure> {
    let at = Timestamp::from_millisecond(desk.clock().unix_ms());
    at.map_err(|error| Failure::Said(error.to_string()))
}

/// The database after the pull, and its visits before.
fn pulled(options: &Options, desk: &Desk) -> Result<(Database, Seen), Failure> {
    if options.no_pull {
        println!("passed over (--no-pull)");
        let herd = desk.existing_database()?;
        let before = seen(&herd)?;
        return Ok((herd, before));
    }
    // The port first: without a handheld no database is made.
    let (address, mut port) = Desk::port(&options.port)?;
    let mut herd = desk.database()?;
    let before = seen(&herd)?;
    let day = pull::take(&address.to_string(), &mut *port, desk, &mut herd)?;
    print!("{}", pull::told(&day));
    if day.pulled.finished.withheld {
        return Err(Failure::Withheld { address: address.to_string() });
    }
    Ok((herd, before))
}

/// The interview, where there is somebody to ask.
fn decided(options: &Options, desk: &Desk, herd: &mut Database) -> Result<(), Failure> {
    let waiting = review::held_keys(herd)?.len();
    if waiting == 0 {
        println!("nothing to decide");
    } else if io::stdin().is_terminal() {
        review::ask_about_held(herd, options.who.clone(), desk.clock().unix_ms())?;
    } else {
        println!("nobody can be asked here; held entries stay held: {waiting}");
    }
    Ok(())
}

/// Names the command for what is held; nothing where nothing is.
fn next_of_held(herd: &Database) -> Result<(), Failure> {
    let waiting = review::held_keys(herd)?.len();
    if waiting > 0 {
        let what = plain::count(waiting, "entry is", "entries are");
        println!("  hornrule review decide --held    # {what} held");
    }
    Ok(())
}

/// Visits that came or grew with this pull, on other days.
fn other_days(all: &[Visit], before: &Seen, day: Day) -> BTreeSet<Day> {
    let new = all.iter().filter(|visit| !before.contains(&(visit.herd, visit.day, visit.cows)));
    new.map(|visit| visit.day).filter(|other| *other != day).collect()
}

/// What a person has to do after the bills' step.
struct Left {
    /// Drafts that are not issued.
    issue: Vec<Draft>,
    no_prices: bool,
    failed: Option<Failure>,
}

impl Left {
    fn bills(
        &mut self,
        papers: &Papers<'_>,
        options: &Options,
        desk: &Desk,
        visits: &[&Visit],
    ) -> Result<(), Failure> {
        let Some(prices) = pages::prices(&options.prices, desk)? else {
            self.no_prices = true;
            println!("no price list at {}", options.prices.file(desk).display());
            return Ok(());
        };
        for visit in visits {
            match papers.bill(visit, &prices) {
                Ok(Some(draft)) => {
                    if draft.held > 0 {
                        let held = plain::count(draft.held, "entry", "entries");
                        println!("          held and not counted: {held}; decide before you issue");
                    }
                    self.issue.push(draft);
                }
                Ok(None) => {}
                Err(failure @ Failure::Bill(_)) => {
                    println!("bill      {}: {failure}", visit.name);
                    self.failed.get_or_insert(failure);
                }
                Err(failure) => return Err(failure),
            }
        }
        Ok(())
    }

    fn next(
        &self,
        herd: &Database,
        day: Day,
        out: &std::path::Path,
        others: &BTreeSet<Day>,
    ) -> Result<(), Failure> {
        println!("\nNext:");
        next_of_held(herd)?;
        for other in others {
            println!("  hornrule evening --no-pull --day {other}    # came with this pull too");
        }
        if self.no_prices {
            println!("  write the price list (`hornrule bill --help` shows one)");
            println!("  hornrule evening --no-pull --day {day}");
        }
        for draft in &self.issue {
            println!("  {}", draft.command(day));
        }
        println!("  print what is in {}", out.display());
        Ok(())
    }
}
