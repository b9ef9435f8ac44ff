//! Keys from the command line, one exercise after another: for tests, and to try a sentence.

use std::rc::Rc;

use serde::Serialize;

use super::super::{Failure, json};
use super::diary::Diary;
use super::report;
use super::stage::{Answer, Stage};
use crate::practise::{self, CowTime, Exercise, Session, State};
use hornrule_line::keying::{bar, light, read_strokes};
use hornrule_papers::words::{Say, Words};

/// Milliseconds that a character of a drawn rhythm stands for.
pub(super) const CELL_MS: u16 = 60;

#[derive(Serialize)]
struct Row {
    lesson: &'static str,
    exercise: String,
    cues: Vec<String>,
    in_flash: Vec<String>,
    notes: Vec<String>,
    done: bool,
    took_ms: Option<u64>,
    strokes: u32,
    slips: u32,
}

pub(super) fn run(
    exercises: Vec<Exercise>,
    keys: &str,
    as_json: bool,
    words: &Rc<Words>,
    diary: &mut Diary,
) -> Result<(), Failure> {
    let strokes = read_strokes(keys).map_err(|error| Failure::Said(error.to_string()))?;
    let mut strokes = strokes.into_iter().peekable();
    let (mut rows, mut cows) = (Vec::new(), Vec::new());
    for exercise in exercises {
        if strokes.peek().is_none() {
            break;
        }
        let mut stage = Stage::new(exercise, words)?;
        while !matches!(stage.session().state(), State::Done { .. })
            && let Some(stroke) = strokes.next()
        {
            stage.strike(stroke)?;
        }
        diary.keep(stage.session())?;
        if !as_json {
            tell(&stage);
        }
        cows.extend(cow(stage.session(), false));
        rows.push(row(&stage));
    }
    if as_json {
        println!("{}", json(&rows)?);
    } else if !cows.is_empty() {
        print!("{}", report::told(&cows, words, true));
    }
    let undone = rows.iter().filter(|row| !row.done).count();
    if undone > 0 {
        return Err(Failure::Said(words.say(Say::TrainNotAll)));
    }
    if strokes.peek().is_some() {
        let left_over = Say::TrainLeftOver { n: strokes.count().into() };
        return Err(Failure::Said(words.say(left_over)));
    }
    Ok(())
}

fn row(stage: &Stage) -> Row {
    let session = stage.session();
    let cues = stage.answers().iter().flat_map(|answer| {
        std::iter::repeat_n(format!("{:?}", answer.signal.cue), answer.times as usize)
    });
    Row {
        lesson: session.exercise().lesson.name(),
        exercise: session.exercise().say.clone(),
        cues: cues.collect(),
        in_flash: in_flash(session).collect(),
        notes: session.notes().to_vec(),
        done: matches!(session.state(), State::Done { .. }),
        took_ms: match session.state() {
            State::Done { took_ms } => Some(took_ms),
            State::Waiting | State::Saying { .. } => None,
        },
        strokes: session.strokes(),
        slips: session.slips(),
    }
}

/// What is in flash, in words.
fn in_flash(session: &Session) -> impl Iterator<Item = String> {
    session.stands().iter().map(|entry| practise::entry(session.words(), entry))
}

/// The figures of a cow of the timed day; none where nothing was keyed, or of another exercise.
pub(super) fn cow(session: &Session, shown: bool) -> Option<CowTime> {
    let took_ms = match session.state() {
        State::Waiting => return None,
        State::Saying { .. } => None,
        State::Done { took_ms } => Some(took_ms),
    };
    Some(CowTime {
        kind: session.exercise().kind?,
        presses: session.strokes(),
        shortest: session.exercise().answer.len(),
        took_ms,
        slips: session.slips(),
        shown,
    })
}

fn tell(stage: &Stage) {
    let session = stage.session();
    let words = session.words();
    println!("{}", session.exercise().say);
    let line = |what: Say<'_>, said: &str| println!("    {:<9} {said}", words.say(what));
    for answer in stage.answers() {
        line(Say::TrainLineHeard, &answer_line(answer, words));
    }
    in_flash(session).for_each(|entry| line(Say::TrainLineFlash, &entry));
    session.notes().iter().for_each(|note| line(Say::TrainLineSlip, note));
    println!("    {}\n", verdict(session));
}

/// "▬▬  ▬▬  green  stored in flash", and how often.
fn answer_line(answer: &Answer, words: &Words) -> String {
    let (bar, said) = (bar(answer.signal, CELL_MS), heard(answer, words));
    format!("{:<6} {said}  {bar}", colour(answer, words))
}

/// What a cue means, and how often it came.
pub(super) fn heard(answer: &Answer, words: &Words) -> String {
    let said = words.cue(answer.signal.cue);
    match answer.times {
        1 => said,
        n => words.say(Say::TrainTimes { said: said.into(), n: n.into() }),
    }
}

/// The light that goes with it, as a word.
pub(super) fn colour(answer: &Answer, words: &Words) -> String {
    match light(answer.signal.cue) {
        "green" => words.say(Say::TrainGreen),
        "amber" => words.say(Say::TrainAmber),
        "red" => words.say(Say::TrainRed),
        dark => dark.to_owned(),
    }
}

/// "right     4.2 s, 7 strokes", or how it stands.
pub(super) fn verdict(session: &Session) -> String {
    let figures = || figures(session).into();
    session.words().say(match session.state() {
        State::Done { .. } => Say::TrainVerdictRight { figures: figures() },
        State::Waiting => Say::TrainVerdictWaiting,
        State::Saying { .. } => Say::TrainVerdictNotYet { figures: figures() },
    })
}

/// "4.2 s, 9 strokes (shortest: 7), 1 slip"; without a time where it is not done.
pub(super) fn figures(session: &Session) -> String {
    let words = session.words();
    let (strokes, shortest) = (session.strokes() as usize, session.exercise().answer.len());
    let mut said = Vec::new();
    if let State::Done { took_ms } = session.state() {
        said.push(words.say(Say::TrainSeconds { s: report::seconds(words, took_ms).into() }));
    }
    let made = words.say(Say::TrainStrokes { n: strokes.into() });
    said.push(if strokes > shortest {
        words.say(Say::TrainStrokesLonger { strokes: made.into(), shortest: shortest.into() })
    } else {
        made
    });
    if session.slips() > 0 {
        said.push(words.say(Say::TrainSlips { n: session.slips().into() }));
    }
    said.join(", ")
}
