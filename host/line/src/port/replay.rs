//! Playing a recorded session: after each question, what came back after that question.
//!
//! Credit is no question. An office that has the records already asks for fewer and gives no
//! credit; what it would have let through is played all the same.

use std::collections::VecDeque;
use std::io;
use std::path::Path;
use std::time::Duration;

use hornrule_files::input;
use hornrule_protocol::Deframer;
use hornrule_protocol::limits::MAX_REQUEST_ON_WIRE;
use hornrule_protocol::message::Request;

use super::record::TITLE;
use super::{Port, PortError};

/// A session that plays back.
pub struct Replay {
    /// What comes back after each question.
    answers: VecDeque<Vec<u8>>,
    ready: VecDeque<u8>,
}

impl Replay {
    /// Reads a session written by [`super::Recording`].
    ///
    /// # Errors
    /// `Session`, with the line.
    pub fn open(path: &Path) -> Result<Self, PortError> {
        let wrong = |why: String| PortError::Session { file: path.display().to_string(), why };
        let text = input::text(path, input::BY_PROGRAM)?;
        Self::parse(&text).map_err(wrong)
    }

    /// Reads a session from its text.
    ///
    /// # Errors
    /// What is wrong, and in which line.
    pub fn parse(text: &str) -> Result<Self, String> {
        let mut lines = text.lines().enumerate();
        match lines.next() {
            Some((_, TITLE)) => {}
            _ => return Err(format!("line 1 is not `{TITLE}`; is it a recorded session?")),
        }
        let mut answers: VecDeque<Vec<u8>> = VecDeque::new();
        for (at, line) in lines {
            let (sign, hex) = line.split_at_checked(1).unwrap_or((line, ""));
            match sign {
                ">" if is_credit(&bytes(hex, at + 1)?) => {}
                ">" => answers.push_back(Vec::new()),
                "<" => {
                    let bytes = bytes(hex, at + 1)?;
                    match answers.back_mut() {
                        Some(answer) => answer.extend(bytes),
                        None => return Err(format!("line {}: an answer before a send", at + 1)),
                    }
                }
                "" => {}
                _ => return Err(format!("line {}: neither sent (>) nor received (<)", at + 1)),
            }
        }
        Ok(Self { answers, ready: VecDeque::new() })
    }
}

fn bytes(hex: &str, line: usize) -> Result<Vec<u8>, String> {
    let two = hex.split_whitespace().map(|two| u8::from_str_radix(two, 16));
    two.collect::<Result<_, _>>().map_err(|_| format!("line {line}: not hexadecimal bytes"))
}

fn is_credit(sent: &[u8]) -> bool {
    let mut deframer = Deframer::<MAX_REQUEST_ON_WIRE>::new();
    sent.iter().any(|byte| match deframer.push(*byte) {
        Some(Ok(frame)) => matches!(frame.message(), Ok(Request::Credit { .. })),
        Some(Err(_)) | None => false,
    })
}

impl Port for Replay {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        if is_credit(bytes) {
            return Ok(());
        }
        // What is sent is not compared: an office that has the records already asks for fewer, and
        // the recorded answers still hold.
        self.ready.extend(self.answers.pop_front().unwrap_or_default());
        Ok(())
    }

    fn receive(&mut self, buffer: &mut [u8], _wait: Duration) -> io::Result<usize> {
        let length = buffer.len().min(self.ready.len());
        for (place, byte) in buffer.iter_mut().zip(self.ready.drain(..length)) {
            *place = byte;
        }
        Ok(length)
    }
}
