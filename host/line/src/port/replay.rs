//! Playing a recorded session: after each question, what came back after a question of that kind.
//!
//! Credit and digests are no questions here. An office that has the records already asks for fewer
//! and gives no credit; what it would have let through is played all the same. A digest was of what
//! was stored when the session was recorded, so a session cannot be asked for one; it is left out,
//! and the answers after it are played under the number of the question that is asked now.

use std::collections::VecDeque;
use std::io;
use std::mem::{Discriminant, discriminant};
use std::path::Path;
use std::time::Duration;

use hornrule_files::input;
use hornrule_protocol::Deframer;
use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Request, Response};

use super::record::TITLE;
use super::{Port, PortError};

/// A session that plays back.
pub struct Replay {
    questions: VecDeque<Question>,
    ready: VecDeque<u8>,
}

/// A question of the session, and what came back.
struct Question {
    /// `None` where what was sent is not a question that this program knows.
    asked: Option<(RequestId, Request)>,
    answer: Vec<u8>,
}

impl Question {
    fn kind(&self) -> Option<Discriminant<Request>> {
        self.asked.map(|(_, request)| discriminant(&request))
    }

    /// The answer, under the number that the question has now.
    fn answer_to(self, now: RequestId) -> Vec<u8> {
        match self.asked {
            Some((was, _)) if was != now => renumbered(&self.answer, was, now),
            _ => self.answer,
        }
    }
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
        let mut questions: VecDeque<Question> = VecDeque::new();
        for (at, line) in lines {
            let (sign, hex) = line.split_at_checked(1).unwrap_or((line, ""));
            match sign {
                ">" => match question(&bytes(hex, at + 1)?) {
                    Some((_, Request::Credit { .. })) => {}
                    asked => questions.push_back(Question { asked, answer: Vec::new() }),
                },
                "<" => {
                    let bytes = bytes(hex, at + 1)?;
                    match questions.back_mut() {
                        Some(question) => question.answer.extend(bytes),
                        None => return Err(format!("line {}: an answer before a send", at + 1)),
                    }
                }
                "" => {}
                _ => return Err(format!("line {}: neither sent (>) nor received (<)", at + 1)),
            }
        }
        questions.retain(|one| !matches!(one.asked, Some((_, Request::Digest { .. }))));
        Ok(Self { questions, ready: VecDeque::new() })
    }
}

fn bytes(hex: &str, line: usize) -> Result<Vec<u8>, String> {
    let two = hex.split_whitespace().map(|two| u8::from_str_radix(two, 16));
    two.collect::<Result<_, _>>().map_err(|_| format!("line {line}: not hexadecimal bytes"))
}

/// The question in these bytes.
fn question(sent: &[u8]) -> Option<(RequestId, Request)> {
    let mut deframer = Deframer::<MAX_REQUEST_ON_WIRE>::new();
    sent.iter().find_map(|byte| match deframer.push(*byte) {
        Some(Ok(frame)) => Some((frame.id, frame.message().ok()?)),
        Some(Err(_)) | None => None,
    })
}

/// Answers to one question as answers to another; all else stays as it is.
fn renumbered(answer: &[u8], was: RequestId, now: RequestId) -> Vec<u8> {
    let mut deframer = Box::new(Deframer::<MAX_RESPONSE_ON_WIRE>::new());
    let mut line = [0u8; MAX_RESPONSE_ON_WIRE];
    let (mut bytes, mut from) = (Vec::new(), 0);
    for (at, byte) in answer.iter().enumerate() {
        let Some(framed) = deframer.push(*byte) else { continue };
        let ours = framed.ok().filter(|frame| frame.id == was);
        let message = ours.and_then(|frame| frame.message::<Response<'_>>().ok());
        match message.and_then(|one| frame::encode(now, &one, &mut line).ok()) {
            Some(frame) => bytes.extend_from_slice(frame),
            None => bytes.extend_from_slice(&answer[from..=at]),
        }
        from = at + 1;
    }
    bytes.extend_from_slice(&answer[from..]);
    bytes
}

impl Port for Replay {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        // Only its kind is compared: an office that has the records already asks for fewer, and the
        // recorded answers still hold.
        let Some((id, request)) = question(bytes) else { return Ok(()) };
        let kind = discriminant(&request);
        let place = self.questions.iter().position(|one| one.kind().is_none_or(|it| it == kind));
        let Some(place) = place else { return Ok(()) };
        let found = self.questions.drain(..=place).next_back();
        self.ready.extend(found.map_or_else(Vec::new, |one| one.answer_to(id)));
        Ok(())
    }

    fn answers(&self) -> bool {
        false
    }

    fn receive(&mut self, buffer: &mut [u8], _wait: Duration) -> io::Result<usize> {
        let length = buffer.len().min(self.ready.len());
        for (place, byte) in buffer.iter_mut().zip(self.ready.drain(..length)) {
            *place = byte;
        }
        Ok(length)
    }
}
