//! The handheld's end of the wire.
//!
//! ```text
//! bytes --Deframer--> Request --answer--> Response --encode--> frame, when the line is free
//!                        |
//!                        Read --> Stream: batch, batch, ... while there is credit, END, END
//! ```
//!
//! The line is pulled, not pushed: the board calls [`Link::transmit`] when it can send, so nothing
//! queues. At most one answer waits; a newer request replaces it, because the office asks one thing
//! at a time and asks again when it hears nothing.

mod digest;
mod shelf;
mod stream;

pub use shelf::Shelf;

use hornrule_protocol::Deframer;
use hornrule_protocol::calliper::{CalliperSetting, Pace};
use hornrule_protocol::frame::{self, FrameError, RequestId};
use hornrule_protocol::limits::{MAX_BATCH, MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Refusal, Request, Response};
use hornrule_protocol::{Boot, Part, Seq, Uptime};

use crate::trace::{self, Note};
use stream::{Next, Stream};

/// What the link knows about the handheld when it answers.
#[derive(Clone, Copy, Debug)]
pub struct Now {
    /// Firmware version.
    pub firmware: [u8; 3],
    /// The boot that is running.
    pub boot: Boot,
    /// Milliseconds since it began.
    pub uptime: Uptime,
}

/// What a request asks of the device beyond an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Nothing.
    Nothing,
    /// Seal this time, then call [`Link::answer`].
    Clock(RequestId, i64),
    /// Report the state through [`Link::answer`].
    State(RequestId),
    /// Do this with the day's plan, then call [`Link::answer`].
    Plan(RequestId, PlanAsked),
    /// Do this with the calliper, then call [`Link::answer`].
    Calliper(RequestId, CalliperAsked),
    /// A pull began.
    PullBegan,
    /// The office has released everything there is.
    AllReleased,
}

/// A request about the calliper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CalliperAsked {
    /// How is it read?
    State,
    /// Listen to it at this pace; what was heard?
    Hear(Pace),
    /// Read it like this.
    Store(CalliperSetting),
}

/// A request about the day's plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanAsked {
    /// Which one is in force?
    State,
    /// One of this many bytes and with this name follows.
    Begin(u16, u32),
    /// A piece of it.
    Part(u16, Part),
    /// Put the one with this name in force.
    Commit(u32),
}

/// An answer waiting for the line: any response but a batch, which is built on the spot.
type Answer = Response<'static>;

/// The handheld's end of the wire.
pub struct Link {
    deframer: Deframer<MAX_REQUEST_ON_WIRE>,
    answer: Option<(RequestId, Answer)>,
    stream: Option<Stream>,
    bad_frames: u32,
    batch: [u8; MAX_BATCH],
    line: [u8; MAX_RESPONSE_ON_WIRE],
}

impl Default for Link {
    fn default() -> Self {
        Self::new()
    }
}

impl Link {
    /// An idle link.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            deframer: Deframer::new(),
            answer: None,
            stream: None,
            bad_frames: 0,
            batch: [0; MAX_BATCH],
            line: [0; MAX_RESPONSE_ON_WIRE],
        }
    }

    /// Takes one byte from the line.
    pub fn receive(&mut self, byte: u8, shelf: &mut impl Shelf, now: Now) -> Asked {
        let (id, request) = match self.deframer.push(byte) {
            None => return Asked::Nothing,
            Some(Ok(frame)) => (frame.id, frame.message::<Request>()),
            Some(Err(_)) => {
                self.bad_frames = self.bad_frames.saturating_add(1);
                trace::note(Note::BadFrame(self.bad_frames));
                return Asked::Nothing;
            }
        };
        match request {
            Ok(request) => self.on_request(id, request, shelf, now),
            // An answer coming back to us: an echo. Answering it would never end.
            Err(FrameError::Kind) => Asked::Nothing,
            // Intact, but not one we can read: say so in our own version, which tells the office
            // what this handheld speaks.
            Err(_) => {
                self.answer(id, Response::Refused(Refusal::Unknown));
                Asked::Nothing
            }
        }
    }

    /// Sets the answer to a request; it goes out at the next [`Self::transmit`].
    pub fn answer(&mut self, id: RequestId, response: Answer) {
        self.answer = Some((id, response));
    }

    /// The next frame, zeros included, or `None` if there is nothing to send now. Call when the
    /// line is free.
    pub fn transmit(&mut self, shelf: &mut impl Shelf) -> Option<&[u8]> {
        if let Some((id, answer)) = self.answer.take() {
            return frame::encode(id, &answer, &mut self.line).ok();
        }
        let stream = self.stream.as_mut()?;
        let id = stream.id();
        let response = match stream.next(shelf, &mut self.batch) {
            Next::Wait => return None,
            Next::Batch { from, through, sealed } => {
                Response::Batch { from, through, sealed: &self.batch[..sealed] }
            }
            Next::End { next, last } => {
                if last {
                    self.stream = None;
                }
                Response::End { next }
            }
            Next::Failed(refusal) => {
                self.stream = None;
                Response::Refused(refusal)
            }
        };
        frame::encode(id, &response, &mut self.line).ok()
    }

    /// Whether [`Self::transmit`] has something to send, given the number the next record will get.
    #[must_use]
    pub fn has_news(&self, next: Seq) -> bool {
        self.answer.is_some() || self.stream.as_ref().is_some_and(|stream| stream.has_news(next))
    }

    /// Damaged frames since the handheld started.
    #[must_use]
    pub const fn bad_frames(&self) -> u32 {
        self.bad_frames
    }

    fn on_request(
        &mut self,
        id: RequestId,
        request: Request,
        shelf: &mut impl Shelf,
        now: Now,
    ) -> Asked {
        match request {
            Request::Hello => {
                self.answer(id, Response::Hello(shelf.hello(now)));
                Asked::Nothing
            }
            Request::Now => {
                self.answer(id, Response::Now { boot: now.boot, uptime: now.uptime });
                Asked::Nothing
            }
            Request::State => Asked::State(id),
            Request::Read { log, from, credit } => {
                self.stream = None;
                if log != shelf.log() {
                    self.answer(id, Response::Refused(Refusal::OtherLog));
                    return Asked::Nothing;
                }
                if from > shelf.next() {
                    self.answer(id, Response::Refused(Refusal::NotYet));
                    return Asked::Nothing;
                }
                self.stream = Some(Stream::new(id, from, credit));
                Asked::PullBegan
            }
            Request::Credit { batches } => {
                if let Some(stream) = self.stream.as_mut().filter(|stream| stream.id() == id) {
                    stream.credit(batches);
                }
                Asked::Nothing
            }
            Request::Release { log, through } => {
                let released = if log == shelf.log() {
                    shelf.release_through(through)
                } else {
                    Err(Refusal::OtherLog)
                };
                match released {
                    Ok(through) => {
                        self.answer(id, Response::Released { through });
                        if through.next() == shelf.next() {
                            Asked::AllReleased
                        } else {
                            Asked::Nothing
                        }
                    }
                    Err(refusal) => {
                        self.answer(id, Response::Refused(refusal));
                        Asked::Nothing
                    }
                }
            }
            Request::SetClock { unix_ms } => Asked::Clock(id, unix_ms),
            Request::PlanState => Asked::Plan(id, PlanAsked::State),
            Request::PlanBegin { length, plan } => Asked::Plan(id, PlanAsked::Begin(length, plan)),
            Request::PlanPart { at, bytes } => Asked::Plan(id, PlanAsked::Part(at, bytes)),
            Request::PlanCommit { plan } => Asked::Plan(id, PlanAsked::Commit(plan)),
            Request::CalliperState => Asked::Calliper(id, CalliperAsked::State),
            Request::CalliperHear { pace } => Asked::Calliper(id, CalliperAsked::Hear(pace)),
            Request::CalliperStore { setting } => {
                Asked::Calliper(id, CalliperAsked::Store(setting))
            }
            Request::Digest { log, from, through } => {
                let digest = if log == shelf.log() {
                    digest::digest(shelf, from, through)
                } else {
                    Err(Refusal::OtherLog)
                };
                self.answer(id, digest.unwrap_or_else(Response::Refused));
                Asked::Nothing
            }
        }
    }
}
