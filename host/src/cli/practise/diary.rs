//! The score file, for whoever asks for one: a line of CSV for each exercise that was begun.

use std::path::{Path, PathBuf};

use jiff::Timestamp;

use super::super::Failure;
use crate::practise::{Session, State};
use hornrule_files::output;

const HEADING: &str = "begun;lesson;done;seconds;strokes;shortest;slips;exercise\n";

/// Where lines go; nowhere unless asked for.
pub(super) struct Diary {
    file: Option<PathBuf>,
    begun: Option<Timestamp>,
}

impl Diary {
    /// Creates the file with its heading if missing.
    pub(super) fn open(file: Option<&Path>, begun: Option<Timestamp>) -> Result<Self, Failure> {
        let diary = Self { file: file.map(Path::to_owned), begun };
        // Empty: one that was made and ended before its heading.
        let empty = |file: &PathBuf| file.metadata().map_or(true, |there| there.len() == 0);
        if diary.file.as_ref().is_some_and(empty) {
            diary.add(HEADING)?;
        }
        Ok(diary)
    }

    /// One exercise; one that was never begun adds no line.
    pub(super) fn keep(&self, session: &Session) -> Result<(), Failure> {
        let (done, seconds) = match session.state() {
            State::Waiting => return Ok(()),
            State::Saying { .. } => ("no", String::new()),
            State::Done { took_ms } => ("yes", format!("{:.1}", took_ms as f64 / 1000.0)),
        };
        let begun = self.begun.map_or_else(String::new, |at| at.to_string());
        let exercise = session.exercise();
        // Sentences of exercises hold no quotes; a test says so.
        let line = format!(
            "{begun};{};{done};{seconds};{};{};{};\"{}\"\n",
            exercise.lesson.name(),
            session.strokes(),
            exercise.answer.len(),
            session.slips(),
            exercise.say
        );
        self.add(&line)
    }

    fn add(&self, line: &str) -> Result<(), Failure> {
        let Some(file) = &self.file else { return Ok(()) };
        Ok(output::append(file, line.as_bytes())?)
    }
}
