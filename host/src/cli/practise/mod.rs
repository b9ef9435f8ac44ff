//! `hornrule practise`: learn the keys before the first cow.
//!
//! ```text
//! computer key --keyboard--> Stroke --Stage--> virtual handheld (real core) --> cues, flash
//!                                      |                                            |
//!                 screen (80x24) <-----+---- Session: right? what went wrong? <-----+
//! ```

mod diary;
mod help;
mod hold;
mod keyboard;
mod list;
mod player;
mod report;
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
use std::rc::Rc;

use clap::Args;
use jiff::Timestamp;

use super::{Desk, Failure, paper, rules};
use crate::practise::{Course, Exercise, Lesson, course, day};
use diary::Diary;
use hornrule_facts::{Habits, Language};
use hornrule_papers::words::{Say, Words};

/// Learn the handheld's keys on a virtual handheld in this terminal
///
/// The handheld's own core runs behind the keys. Only the result in its flash counts: an exercise
/// is right whichever way it was keyed. Bundles and the claw where work starts are those below
/// `[plan]` in `hornrule.toml`; without bundles there, five examples are trained. Cues are played
/// where the computer has a player for them. Nothing is kept unless you ask with --log.
///
/// With --day ten cows come, one of each kind: a timed day. Presses and seconds of each are counted
/// and held against the notebook.
#[derive(Debug, Args)]
#[command(
    disable_help_flag = true,
    after_help = "Example:\n  hornrule practise\n  hornrule practise --day --language de\n  \
                  hornrule practise --lesson findings --count 20 --log practice.csv\n  hornrule \
                  practise --list\n  hornrule practise --lesson scores --seed 1 --keys \
                  \"SCORE 1 3\"\n\nIn the terminal: Q W E R and A S D F are the handheld's two \
                  upper rows, digits are digits, C is COW, V is SCORE, Space is the calliper. Tab \
                  shows the keys, H the sentences, N goes on, Esc ends."
)]
pub(super) struct Options {
    /// cows, findings, zones, actions, lengths, scores, corrections, feet, bundles, order or
    /// whole-cows [default: each in turn]
    #[arg(long, value_name = "LESSON", value_parser = lesson)]
    lesson: Option<Lesson>,
    /// A timed day of ten cows
    #[arg(long, conflicts_with_all = ["lesson", "count"])]
    day: bool,
    /// Number of exercises
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u16).range(1..=999))]
    count: u16,
    /// Seed, to get the same exercises again [default: from the clock]
    #[arg(long)]
    seed: Option<u64>,
    /// Language of exercises, answers and help
    #[arg(long, value_name = "en|de", default_value = "en", value_parser = paper::language)]
    language: Language,
    /// List the lessons; with --lesson or --day, the exercises and their keys
    #[arg(long, conflicts_with = "keys")]
    list: bool,
    /// Keys to press for you, such as "COW 27 COW RH FIND 13 2 clip"
    #[arg(long, value_name = "KEYS")]
    keys: Option<String>,
    /// Play no cues
    #[arg(long)]
    mute: bool,
    /// CSV file to add a line to for each exercise
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// As JSON, for scripts (with --keys)
    #[arg(long, requires = "keys")]
    json: bool,
    /// Print this help, with --language de in German
    #[arg(short, long)]
    help: bool,
}

fn lesson(text: &str) -> Result<Lesson, String> {
    Lesson::ALL
        .into_iter()
        .find(|lesson| lesson.name() == text)
        .ok_or_else(|| format!("lessons are {}", Lesson::ALL.map(Lesson::name).join(", ")))
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let words = Rc::new(Words::new(options.language));
    if options.help {
        help::print(&words);
        return Ok(());
    }
    let now = desk.clock().unix_ms();
    let seed = options.seed.unwrap_or_else(|| now.unsigned_abs());
    let habits = rules::habits(desk)?;
    if options.list && options.lesson.is_none() && !options.day {
        list::lessons(seed, habits, &words);
        return Ok(());
    }
    let exercises = exercises(options, seed, habits, &words);
    if options.list {
        list::exercises(&exercises, &words);
        return Ok(());
    }
    let mut diary = Diary::open(options.log.as_deref(), Timestamp::from_millisecond(now).ok())?;
    if let Some(keys) = &options.keys {
        return scripted::run(exercises, keys, options.json, &words, &mut diary);
    }
    if !io::stdout().is_terminal() || !io::stdin().is_terminal() {
        return Err(Failure::Said(words.say(Say::TrainNoTerminal)));
    }
    terminal::run(exercises, &words, options.mute, &mut diary)
}

fn exercises(options: &Options, seed: u64, habits: Habits, words: &Words) -> Vec<Exercise> {
    if options.day {
        return day(seed, &habits, words);
    }
    // All of them where they are listed.
    let count = (!options.list).then_some(usize::from(options.count));
    course(Course { lesson: options.lesson, count, seed, habits }, words)
}
