//! The score file, for whoever asks for one: a line of CSV for each exercise that was begun.

use std::fs::OpenOptions;
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use jiff::Timestamp;

use super::super::Failure;
use crate::practise::{Session, State};

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
        diary.add("")?;
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
        append(file, line).map_err(Failure::file(file))
    }
}

/// Adds a line to the file. Where a program or the disk ended in the middle of a line, the rest of
/// it is left as it is and the next one begins anew; a heading that was cut off is written again.
fn append(file: &Path, line: &str) -> std::io::Result<()> {
    let mut opened = OpenOptions::new().create(true).read(true).append(true).open(file)?;
    let mut start = Vec::new();
    (&opened).take(HEADING.len() as u64).read_to_end(&mut start)?;
    let mut text = String::new();
    if start.len() < HEADING.len() && HEADING.as_bytes().starts_with(&start) {
        opened.set_len(0)?;
        text += HEADING;
    } else if !ends_a_line(&mut opened)? {
        text.push('\n');
    }
    text += line;
    opened.write_all(text.as_bytes())
}

fn ends_a_line(file: &mut std::fs::File) -> std::io::Result<bool> {
    file.seek(SeekFrom::End(-1))?;
    let mut last = [0u8; 1];
    file.read_exact(&mut last)?;
    Ok(last == *b"\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_was_cut_off_spoils_no_other() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("log.csv");
        for (there, then) in [
            ("", "H;one\n"),
            ("begun;les", "H;one\n"),
            (HEADING, "H;one\n"),
            ("H;zero\n", "H;zero\n;one\n"),
            ("H;zero\n;cut o", "H;zero\n;cut o\n;one\n"),
            ("a line of its own", "a line of its own\n;one\n"),
        ] {
            let whole = |text: &str| text.replace("H;", HEADING);
            std::fs::write(&file, whole(there)).unwrap();
            append(&file, if then.starts_with("H;one") { "one\n" } else { ";one\n" }).unwrap();
            assert_eq!(std::fs::read_to_string(&file).unwrap(), whole(then), "{there:?}");
        }
    }
}
