//! A person at the terminal: reads keys, draws, lets time go on.

use std::io;
use std::path::Path;
use std::rc::Rc;
use std::time::{Duration, Instant};

use ratatui_crossterm::crossterm::event::{self, Event};

use super::super::Failure;
use super::diary::Diary;
use super::hold::Held;
use super::keyboard::{Wish, wish};
use super::player::Player;
use super::report;
use super::screen::{self, Place};
use super::scripted::{cow, verdict};
use super::stage::Stage;
use crate::practise::{CowTime, Exercise, Session, State};
use hornrule_papers::words::{Say, Words};

/// Longest wait for a key, so that the handheld's own time goes on.
const NAP: Duration = Duration::from_millis(50);
/// A longer gap between two looks at the clock is no trainee's: the program was stopped, or the
/// computer slept.
const STOPPED: Duration = Duration::from_secs(2);

/// How an exercise was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Left {
    GoOn,
    End,
}

/// What came of all exercises so far.
#[derive(Default)]
struct Said {
    sessions: Vec<Session>,
    cows: Vec<CowTime>,
}

pub(super) fn run(
    exercises: Vec<Exercise>,
    words: &Rc<Words>,
    mute: bool,
    diary: &mut Diary,
) -> Result<(), Failure> {
    let of = exercises.len();
    let mut said = Said::default();
    let mut player = Player::new(mute);
    let mut held = Held::take().map_err(terminal_failure)?;
    let mut failed = None;
    for (at, exercise) in exercises.into_iter().enumerate() {
        let at = Place { at, of, mute };
        let mut stage = Stage::new(exercise, words)?;
        match practise(&mut held, &mut stage, &mut player, at) {
            Ok((left, took_ms)) => {
                diary.keep(stage.session())?;
                let cow = cow(stage.session(), stage.was_shown);
                said.cows.extend(cow.map(|cow| CowTime { took_ms, ..cow }));
                said.sessions.push(stage.session().clone());
                if left == Left::End {
                    break;
                }
            }
            Err(failure) => {
                failed = Some(failure);
                break;
            }
        }
    }
    // The terminal is given back before anything is said in it.
    drop(held);
    tell(&said, words);
    if let Some(tried) = player.tried_in_vain().filter(|_| !mute) {
        println!("{}", words.say(Say::TrainMute { tried: tried.into() }));
    }
    failed.map_or(Ok(()), Err)
}

fn terminal_failure(source: io::Error) -> Failure {
    Failure::File { file: Path::new("the terminal").to_owned(), source }
}

/// Time as the trainee has it: without the time that the program was stopped.
struct Watch {
    looked: Instant,
    passed: Duration,
}

impl Watch {
    fn new() -> Self {
        Self { looked: Instant::now(), passed: Duration::ZERO }
    }

    fn ms(&mut self) -> u64 {
        let gap = self.looked.elapsed();
        self.looked += gap;
        if gap < STOPPED {
            self.passed += gap;
        }
        u64::try_from(self.passed.as_millis()).unwrap_or(u64::MAX)
    }
}

/// One exercise; how it was left, and the milliseconds of a hand from the first key to the last word
/// in flash. The handheld's own figure counts 0.23 s a key at least, as its keys bounce and are held.
fn practise(
    held: &mut Held,
    stage: &mut Stage,
    player: &mut Player,
    place: Place,
) -> Result<(Left, Option<u64>), Failure> {
    let (mut watch, began_ms) = (Watch::new(), stage.now_ms());
    let (mut first_ms, mut took_ms) = (None, None);
    loop {
        let place = Place { mute: place.mute || player.tried_in_vain().is_some(), ..place };
        held.refresh().map_err(terminal_failure)?;
        held.screen.draw(|frame| screen::draw(frame, stage, place)).map_err(terminal_failure)?;
        stage.take_cues().into_iter().for_each(|cue| player.play(cue));
        if event::poll(NAP).map_err(terminal_failure)?
            && let Event::Key(key) = event::read().map_err(terminal_failure)?
            && let Some(wish) = wish(&key)
        {
            let done = took_ms.is_some();
            match wish {
                Wish::End => return Ok((Left::End, took_ms)),
                Wish::Next => return Ok((Left::GoOn, took_ms)),
                Wish::Stop => stop(),
                _ if done => return Ok((Left::GoOn, took_ms)),
                Wish::ShowKeys => stage.turn_keys(),
                Wish::Sentences => {
                    let next = stage.sentences.map_or(0, |page| page + 1);
                    stage.sentences = (next < screen::pages_of_sentences()).then_some(next);
                }
                Wish::Stroke(stroke) => {
                    stage.sentences = None;
                    first_ms = first_ms.or_else(|| Some(watch.ms()));
                    stage.strike(stroke)?;
                }
            }
        }
        // The handheld's time runs with ours; it is ahead where keys came faster than fingers.
        let now_ms = watch.ms();
        stage.run_until_ms(began_ms.saturating_add(now_ms));
        if let (None, Some(first), State::Done { .. }) =
            (took_ms, first_ms, stage.session().state())
        {
            took_ms = Some(now_ms.saturating_sub(first));
        }
    }
}

fn stop() {
    #[cfg(unix)]
    super::signals::stop();
}

fn tell(said: &Said, words: &Words) {
    if !said.cows.is_empty() {
        print!("{}", report::told(&said.cows, words, false));
        return;
    }
    let begun: Vec<&Session> =
        said.sessions.iter().filter(|session| session.state() != State::Waiting).collect();
    for session in &begun {
        println!("{}\n    {}", session.exercise().say, verdict(session));
    }
    let right = begun.iter().filter(|one| matches!(one.state(), State::Done { .. })).count();
    let clean = begun.iter().filter(|one| one.slips() == 0).count();
    let (n, right, clean) = (begun.len().into(), right.into(), clean.into());
    println!("{}", words.say(Say::TrainTotal { n, right, clean }));
}
