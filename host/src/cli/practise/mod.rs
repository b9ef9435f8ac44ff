//! `hornrule practise`: learn the keys before the first cow.
//!
//! ```text
//! computer key --keyboard--> Stroke --Stage--> virtual handheld (real core) --> cues, flash
//!                                      |                                            |
//!                 screen (80x24) <-----+---- Session: right? what went wrong? <-----+
//! ```

mod diary;
mod keyboard;
mod list;
mod player;
mod screen;
mod scripted;
#[cfg(unix)]
mod signals;
mod stage;
mod terminal;
#[cfg(test)]
mod tests;

use std::io::{self, IsTerminal};
use std::path::PathBuf;

use clap::Args;
use jiff::Timestamp;

use super::{Desk, Failure, rules};
use crate::practise::{Course, Lesson, course};
use diary::Diary;

/// Learn the handheld's keys on a virtual handheld in this terminal
///
/// The handheld's own core runs behind the keys. Only the result in its flash counts: an exercise
/// is right whichever way it was keyed. Bundles and the claw where work starts are those below
/// `[plan]` in `hornrule.toml`; without bundles there, five examples are trained. Nothing is kept unless you ask with --log.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule practise\n  hornrule practise --lesson findings \
                        --count 20 --log practice.csv\n  hornrule practise --list\n  hornrule \
                        practise --lesson scores --seed 1 --keys \"SCORE 1 3\"\n\nIn the terminal: \
                        Q W E R and A S D F are the handheld's two upper rows, digits are digits, \
                        C is COW, V is SCORE, Space is the calliper. Tab shows the keys, N goes \
                        on, Esc ends.")]
pub(super) struct Options {
    /// cows, findings, zones, actions, lengths, scores, corrections, feet, bundles or whole-cows
    /// [default: each in turn]
    #[arg(long, value_name = "LESSON", value_parser = lesson)]
    lesson: Option<Lesson>,
    /// Number of exercises
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u16).range(1..=999))]
    count: u16,
    /// Seed, to get the same exercises again [default: from the clock]
    #[arg(long)]
    seed: Option<u64>,
    /// List the lessons; with --lesson, its exercises and their keys
    #[arg(long, conflicts_with = "keys")]
    list: bool,
    /// Keys to press for you, such as "COW 27 COW RH FIND 13 2 clip"
    #[arg(long, value_name = "KEYS")]
    keys: Option<String>,
    /// CSV file to add a line to for each exercise
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// As JSON, for scripts (with --keys)
    #[arg(long, requires = "keys")]
    json: bool,
}

fn lesson(text: &str) -> Result<Lesson, String> {
    Lesson::ALL
        .into_iter()
        .find(|lesson| lesson.name() == text)
        .ok_or_else(|| format!("lessons are {}", Lesson::ALL.map(Lesson::name).join(", ")))
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let now = desk.clock().unix_ms();
    let seed = options.seed.unwrap_or_else(|| now.unsigned_abs());
    let habits = rules::habits(desk)?;
    if options.list {
        list::print(options.lesson, seed, habits);
        return Ok(());
    }
    let count = Some(usize::from(options.count));
    let exercises = course(Course { lesson: options.lesson, count, seed, habits });
    let mut diary = Diary::open(options.log.as_deref(), Timestamp::from_millisecond(now).ok())?;
    if let Some(keys) = &options.keys {
        return scripted::run(exercises, keys, options.json, &mut diary);
    }
    if !io::stdout().is_terminal() || !io::stdin().is_terminal() {
        return Err(Failure::Said(
            "practising needs a terminal; open one, or give the keys with --keys".to_owned(),
        ));
    }
    terminal::run(exercises, &mut diary)
}
