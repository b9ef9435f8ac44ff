//! `hornrule due`: what is due, at all farms.

use std::fs;
use std::path::PathBuf;

use clap::Args;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

use super::herd::{chosen, language};
use super::{Desk, Failure};
use crate::due::{DueList, Span, phrases, terminal};
use crate::exchange::due_csv::{DueRow, due_csv};
use crate::exchange::due_ics::{Texts, due_calendar};
use crate::herd::{Day, Herd, Language};

/// Show what is due at all farms: rechecks, blocks and wraps to come off, the vet, trims
///
/// Overdue first, then by day, in the order of the round (`hornrule herd set --route`), by cow. What
/// was due and nobody said anything about stays in the list. The days stand in `hornrule.toml` under
/// `[due]`; `hornrule rules` shows them.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule due\n  \
    hornrule due --herd \"Alder Brook\" --until 2026-04-30\n  \
    hornrule due --day 2026-03-17 --ics due.ics")]
pub(super) struct Words {
    /// Ask on this day and not today; what was said later does not count
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    /// The last day to look at; two weeks ahead where nothing is said
    #[arg(long, value_name = "DATE")]
    until: Option<Date>,
    /// This farm only
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Language of list and calendar: en or de; the farm's own, or that of the first on the round
    #[arg(long, value_name = "CODE", value_parser = language)]
    language: Option<Language>,
    /// As JSON, for scripts
    #[arg(long, conflicts_with_all = ["csv", "ics"])]
    json: bool,
    /// Write a table to this file
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write a calendar to this file: one entry a farm and day (RFC 5545)
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
}

/// How far ahead to look where nothing is said, days.
const AHEAD: u16 = 14;

#[derive(Serialize)]
struct Answer {
    day: String,
    until: String,
    due: Vec<DueRow>,
    /// How many more are due after that.
    later: usize,
}

pub(super) fn run(words: &Words, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_herd()?;
    let farm = words.herd.as_deref().map(|name| chosen(&herd, Some(name))).transpose()?;
    let first = first_farm(&herd)?;
    let first = farm.as_ref().or(first.as_ref());
    let day = match words.day {
        Some(date) => Day::from_date(date),
        None => today(desk, first.map_or("UTC", |farm| farm.zone.as_str()))?,
    };
    let until = words.until.map_or_else(|| day.plus(AHEAD), Day::from_date);
    if until < day {
        return Err(Failure::Said(format!("--until {until} is before the day {day}")));
    }
    let span = Span { day, until, herd: farm.as_ref().map(|farm| farm.herd) };
    let list = DueList::gather(&herd, span)?;
    let language = words
        .language
        .unwrap_or_else(|| first.map(|farm| farm.settings.language).unwrap_or_default());
    if words.json {
        let due = list.lines.iter().map(DueRow::of).collect();
        let (day, until) = (day.to_string(), until.to_string());
        println!("{}", super::json(&Answer { day, until, due, later: list.later })?);
        return Ok(());
    }
    let mut written = Vec::new();
    if let Some(file) = &words.csv {
        let table = due_csv(&list).map_err(|error| Failure::Said(error.to_string()))?;
        fs::write(file, table).map_err(Failure::file(file))?;
        written.push(("table", file));
    }
    if let Some(file) = &words.ics {
        fs::write(file, calendar(&list, language, desk)?).map_err(Failure::file(file))?;
        written.push(("calendar", file));
    }
    if written.is_empty() {
        print!("{}", list.render_terminal(language));
    }
    for (what, file) in written {
        println!("{what:<9} {}: {} due until {until}", file.display(), list.lines.len());
    }
    Ok(())
}

fn calendar(list: &DueList, language: Language, desk: &Desk) -> Result<String, Failure> {
    let stamp = jiff::Timestamp::from_millisecond(desk.clock().unix_ms())
        .map_err(|error| Failure::Said(error.to_string()))?;
    let texts = Texts {
        title: phrases::calendar(language).to_owned(),
        head: &|lines| phrases::entry_head(language, lines),
        line: &|line| {
            let place = phrases::place(language, line.need.place);
            let comma = if place.is_empty() { "" } else { ", " };
            let what = phrases::what(language, &line.need);
            let why = phrases::since(language, line);
            format!("{}{comma}{place}: {what} ({why})", terminal::cow(line))
        },
    };
    Ok(due_calendar(list, stamp, &texts))
}

/// The first farm on the round.
fn first_farm(herd: &Herd) -> Result<Option<crate::herd::ListedHerd>, Failure> {
    let herds = herd.herds()?;
    Ok(herds.into_iter().min_by_key(|one| (one.settings.route.unwrap_or(u16::MAX), one.herd)))
}

/// The day it is now at a farm.
pub(super) fn today(desk: &Desk, zone: &str) -> Result<Day, Failure> {
    let zone = TimeZone::get(zone).map_err(|error| Failure::Said(error.to_string()))?;
    Day::of(desk.clock().unix_ms(), &zone)
        .ok_or_else(|| Failure::Said("the clock shows no day of the calendar".to_owned()))
}
