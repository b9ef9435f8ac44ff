//! Keys from the command line, one exercise after another: for tests, and to try a sentence.

use serde::Serialize;

use super::super::{Failure, json};
use super::diary::Diary;
use super::stage::{Answer, Stage};
use crate::practise::{Exercise, Session, State};
use hornrule_facts::plain;
use hornrule_line::keying::{bar, light, read_strokes};

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
    diary: &mut Diary,
) -> Result<(), Failure> {
    let strokes = read_strokes(keys).map_err(|error| Failure::Said(error.to_string()))?;
    let mut strokes = strokes.into_iter().peekable();
    let mut rows = Vec::new();
    for exercise in exercises {
        if strokes.peek().is_none() {
            break;
        }
        let mut stage = Stage::new(exercise)?;
        while !matches!(stage.session().state(), State::Done { .. })
            && let Some(stroke) = strokes.next()
        {
            stage.strike(stroke)?;
        }
        diary.keep(stage.session())?;
        if !as_json {
            tell(&stage);
        }
        rows.push(row(&stage));
    }
    if as_json {
        println!("{}", json(&rows)?);
    }
    let undone = rows.iter().filter(|row| !row.done).count();
    if undone > 0 {
        return Err(Failure::Said("the keys ended before the last exercise was right".to_owned()));
    }
    if strokes.peek().is_some() {
        return Err(Failure::Said(format!(
            "{} keys are left over after the last exercise; ask for more exercises with --count",
            strokes.count()
        )));
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
        in_flash: session.stands().iter().map(plain::entry).collect(),
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

fn tell(stage: &Stage) {
    let session = stage.session();
    println!("{}", session.exercise().say);
    for answer in stage.answers() {
        println!("    heard     {}", answer_line(answer));
    }
    for entry in session.stands() {
        println!("    in flash  {}", plain::entry(entry));
    }
    for note in session.notes() {
        println!("    slip      {note}");
    }
    println!("    {}\n", verdict(session));
}

/// "▬▬  ▬▬  green  stored in flash", and how often.
fn answer_line(answer: &Answer) -> String {
    let times = if answer.times > 1 { format!(" x{}", answer.times) } else { String::new() };
    let (bar, word) = (bar(answer.signal, CELL_MS), answer.signal.cue.meaning());
    format!("{:<6} {word}{times}  {bar}", light(answer.signal.cue))
}

/// "right     4.2 s, 7 strokes", or how it stands.
pub(super) fn verdict(session: &Session) -> String {
    match session.state() {
        State::Done { .. } => format!("right     {}", figures(session)),
        State::Waiting => "waiting for the first key".to_owned(),
        State::Saying { .. } => format!("not yet   {}", figures(session)),
    }
}

/// "4.2 s, 9 strokes (shortest: 7), 1 slip"; without a time where it is not done.
pub(super) fn figures(session: &Session) -> String {
    let (strokes, shortest) = (session.strokes() as usize, session.exercise().answer.len());
    let mut said = Vec::new();
    if let State::Done { took_ms } = session.state() {
        said.push(format!("{}.{} s", took_ms / 1000, took_ms % 1000 / 100));
    }
    let longer =
        if strokes > shortest { format!(" (shortest: {shortest})") } else { String::new() };
    said.push(format!("{}{longer}", plain::count(strokes, "stroke", "strokes")));
    if session.slips() > 0 {
        said.push(plain::count(session.slips() as usize, "slip", "slips"));
    }
    said.join(", ")
}
