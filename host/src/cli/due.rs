//! `hornrule due`: what is due, at all farms.

mod done;
mod sheets;

use std::path::PathBuf;

use clap::{Args, Subcommand};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

use super::folder::Folder;
use super::herd::chosen;
use super::paper::PaperOptions;
use super::{Desk, Failure};
use hornrule_exchange::due_ics::{Entries, due_calendar};
use hornrule_exchange::due_row::{BackRow, DueRow};
use hornrule_facts::{Day, Practice};
use hornrule_files::output;
use hornrule_herd::Database;
use hornrule_papers::due::{self, TABLE, entry_line, entry_title};
use hornrule_papers::words::{Say, Words};
use hornrule_questions::due::{Asking, DueList};

/// Show what is due at all farms: rechecks, blocks, wraps, vet, trims
///
/// A row a cow and visit: rechecks and blocks of a farm are gathered into one visit where their
/// windows allow; what is overdue stands first, on the day asked about. By day, by the order of the
/// round (`hornrule herd set --route`), by group and cow. Work that nobody recorded as done stays on the list. Intervals and
/// windows are set in `hornrule.toml` under `[due]`; `hornrule rules` shows them. Name and phone of
/// the practice, for the top of the sheet, stand there under `[practice]`.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
#[command(after_help = "Example:\n  hornrule due\n  \
    hornrule due --herd \"Alder Brook\" --until 2026-04-30\n  \
    hornrule due --day 2026-03-17 --ics due.ics\n  \
    hornrule due --pdf due.pdf --language de\n  hornrule due --sheets sheets")]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Option<Verb>,
    /// Show the list as it stood on this day [default: today]
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    /// Last day to show [default: two weeks ahead]
    #[arg(long, value_name = "DATE")]
    until: Option<Date>,
    /// Only this farm
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Calendar file to write, one entry per farm and day (RFC 5545)
    #[arg(long, value_name = "FILE", conflicts_with = "json")]
    ics: Option<PathBuf>,
    /// Folder for a sheet for each farmer, in the farm's own language: HTML, and PDF
    #[arg(long, value_name = "FOLDER", conflicts_with = "json")]
    sheets: Option<PathBuf>,
    #[command(flatten)]
    paper: PaperOptions,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Done(done::Options),
}

/// How far ahead to look by default, days.
const AHEAD: u16 = 14;

/// The list, for scripts.
#[derive(Serialize)]
struct Listed {
    day: String,
    until: String,
    due: Vec<DueRow>,
    back: Vec<BackRow>,
    /// How many more are due after that.
    later: usize,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    if let Some(Verb::Done(options)) = &options.verb {
        return done::run(options, desk);
    }
    let herd = desk.existing_database()?;
    let farm = options.herd.as_deref().map(|name| chosen(&herd, Some(name))).transpose()?;
    let first = first_farm(&herd)?;
    let first = farm.as_ref().or(first.as_ref());
    let day = match options.day {
        Some(date) => Day::from_date(date),
        None => today(desk, first.map_or("UTC", |farm| farm.zone.as_str()))?,
    };
    let until = options.until.map_or_else(|| day.plus(AHEAD), Day::from_date);
    if until < day {
        return Err(Failure::Said(format!("--until {until} is before the day {day}")));
    }
    let asking = Asking { day, until, herd: farm.as_ref().map(|farm| farm.herd) };
    let list = DueList::gather(&herd, asking)?;
    let settings = first.map(|farm| farm.settings.clone()).unwrap_or_default();
    let said = options.paper.words(&settings).with_trial_ways(herd.trial_ways()?);
    let practice = desk.practice()?;
    if let Some(folder) = &options.sheets {
        sheets::write(folder, &herd, &list, (&options.paper, &practice))?;
        if !options.paper.writes() && options.ics.is_none() {
            return Ok(());
        }
    }
    if let Some(file) = &options.ics {
        let stamp = jiff::Timestamp::from_millisecond(desk.clock().unix_ms())
            .map_err(|error| Failure::Said(error.to_string()))?;
        output::write(file, calendar(&list, &said, stamp).as_bytes())?;
        println!("calendar  {}: {} due until {until}", file.display(), list.lines.len());
        if !options.paper.writes() {
            return Ok(());
        }
    }
    let paper = options.paper.paper(&settings);
    let page = due::page(&list, &said, paper, (options.herd.as_deref(), &practice));
    options.paper.deliver(&page, TABLE, || Listed {
        day: day.to_string(),
        until: until.to_string(),
        due: list.lines.iter().map(|line| DueRow::of(line, day)).collect(),
        back: list.back.iter().map(BackRow::of).collect(),
        later: list.later,
    })
}

/// What is due from a day on, as sheets, table and calendar in a folder. Gives how many lines, and the
/// last day.
pub(super) fn papers(
    herd: &Database,
    day: Day,
    stamp: jiff::Timestamp,
    (folder, practice): (&mut Folder, &Practice),
) -> Result<(usize, Day), Failure> {
    let until = day.plus(AHEAD);
    let list = DueList::gather(herd, Asking { day, until, herd: None })?;
    let settings = first_farm(herd)?.map(|farm| farm.settings).unwrap_or_default();
    let words = Words::of(&settings).with_trial_ways(herd.trial_ways()?);
    let page = due::page(&list, &words, settings.paper, (None, practice));
    folder.page("due", &page, true)?;
    // A list without lines has no table, and an empty file says so.
    folder.file("due.csv", page.render_csv(TABLE).unwrap_or_default().as_bytes())?;
    folder.file("due.ics", calendar(&list, &words, stamp).as_bytes())?;
    Ok((list.lines.len(), until))
}

/// The list as a calendar, made at a time.
pub(super) fn calendar(list: &DueList, words: &Words, stamp: jiff::Timestamp) -> String {
    let entries = Entries {
        title: words.say(Say::DueCalendar),
        head: &|lines| entry_title(words, lines),
        line: &|line| entry_line(words, line, list.day),
    };
    due_calendar(list, stamp, &entries)
}

/// The first farm on the round.
pub(super) fn first_farm(herd: &Database) -> Result<Option<hornrule_facts::Herd>, Failure> {
    let herds = herd.herds()?;
    Ok(herds.into_iter().min_by_key(|one| (one.settings.route.unwrap_or(u16::MAX), one.herd)))
}

/// The day it is now at a farm.
pub(super) fn today(desk: &Desk, zone: &str) -> Result<Day, Failure> {
    let zone = TimeZone::get(zone).map_err(|error| Failure::Said(error.to_string()))?;
    Day::of(desk.clock().unix_ms(), &zone)
        .ok_or_else(|| Failure::Said("the clock shows no day of the calendar".to_owned()))
}
