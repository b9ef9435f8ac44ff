//! The pulling state machine, sans-IO: frames and time-outs in, things to do out.
//!
//! Lost, doubled and bent frames are met in one way: what is missing is asked for again under a new
//! request id, and answers to an old id are dropped. Nothing is believed about a batch but what its
//! own numbers show.

mod prove;
mod read;

use hornrule_protocol::Seq;
use hornrule_protocol::frame::{self, FrameError, RequestId};
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Hello, Refusal, Request, Response};

use super::error::{PullError, version_error};
use super::step::{Anchor, Do, Event, Finished, Run};

/// Batches under way at most. Eight hide the 16 ms that a USB serial chip may sit on a byte.
const WINDOW: u32 = 8;
/// Probes of the handheld's clock; the one with the shortest round trip counts.
const PROBES: u8 = 3;
/// Time-outs without a step forward before the handheld is called silent.
const PATIENCE: u8 = 5;
/// Bytes without a step forward before they are called noise: 64 windows of the longest frames.
/// A line that is never quiet has no time-outs, and no pull may go on forever.
const MOST_NOISE: usize = 64 * WINDOW as usize * MAX_RESPONSE_ON_WIRE;
/// Reads in a row that brought nothing but the news that something is missing. A line that loses
/// two frames of three gets here once in ten million reads.
const MOST_REREADS: u8 = 40;
/// Records that one handheld can hold: 48 MiB of slots, more than any flash it may have.
const MOST_HELD: u32 = 1 << 20;
/// Records beyond those announced that may be made while the pull runs: two full days of work.
const MOST_MEANWHILE: u32 = 10_000;

/// Where the pull stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    Greeting,
    /// The office was asked something and has not answered yet.
    Waiting,
    /// The digest of this one of the runs was asked for, before anything is read.
    Proving {
        at: usize,
    },
    Probing {
        asked_ms: i64,
        left: u8,
    },
    Reading(Stream),
    Storing(Stream),
    /// The digest of this one of the runs was asked for, before the release.
    Confirming {
        at: usize,
    },
    Releasing,
    Over,
}

/// A run of batches under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Stream {
    goal: Goal,
    batches: u32,
    granted: u32,
}

/// What batches are read for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Goal {
    /// To be stored, through the end of the log.
    News,
    /// To be compared with what is stored, through this number.
    Compare(Seq),
    /// To fill what was missing, through this number.
    Again(Seq),
}

/// The machine. One for each pull.
#[derive(Debug)]
pub struct Machine {
    state: State,
    id: RequestId,
    request: Request,
    hello: Option<Hello>,
    /// A recorded session has no digests and no second reading to give.
    provable: bool,
    /// Whether the handheld knows digests, as far as was seen.
    digests: bool,
    /// The runs being proved.
    runs: Vec<Run>,
    /// Runs of numbers to be read again before the release.
    gaps: Vec<(Seq, Seq)>,
    /// All news is stored: what is asked now is asked before the release.
    ended: bool,
    /// Next number wanted.
    expected: Seq,
    /// What the running stream is for.
    goal: Goal,
    /// Last number accounted for when the log's end was reached.
    end: Seq,
    best: Option<Anchor>,
    /// Since the last step forward: time-outs, bytes, reads that showed a gap.
    silences: u8,
    idle_bytes: usize,
    rereads: u8,
    /// Steps forward so far.
    steps: u32,
    repeats: u32,
    bent: u32,
    /// Anything came at all.
    noise: bool,
    /// An answer of ours came.
    heard: bool,
}

impl Default for Machine {
    fn default() -> Self {
        Self::new()
    }
}

impl Machine {
    /// A pull that has not begun.
    #[must_use]
    pub fn new() -> Self {
        Self {
            state: State::Greeting,
            id: RequestId(0),
            request: Request::Hello,
            hello: None,
            provable: true,
            digests: true,
            runs: Vec::new(),
            gaps: Vec::new(),
            ended: false,
            expected: Seq::FIRST,
            goal: Goal::News,
            end: Seq::NONE,
            best: None,
            silences: 0,
            idle_bytes: 0,
            rereads: 0,
            steps: 0,
            repeats: 0,
            bent: 0,
            noise: false,
            heard: false,
        }
    }

    /// A pull from something that cannot be asked what it holds: a recorded session.
    #[must_use]
    pub fn without_proof() -> Self {
        Self { provable: false, ..Self::new() }
    }

    /// The first thing to do.
    pub fn begin(&mut self) -> Vec<Do> {
        vec![self.ask(Request::Hello)]
    }

    /// Answers [`Do::Proved`] and [`Do::Judge`]: everything through `stored` of that log is in the
    /// inbox already.
    ///
    /// # Errors
    /// `Contradiction` where the handheld holds fewer records than it once sent from this log.
    pub fn resume_after(&mut self, stored: Seq, now_ms: i64) -> Result<Vec<Do>, PullError> {
        let (State::Waiting, Some(hello)) = (self.state, self.hello) else { return Ok(Vec::new()) };
        if stored >= hello.next {
            return Err(PullError::Contradiction(
                "its log ends before records that it sent earlier; was its flash put back?",
            ));
        }
        // Records that are gone from flash were released, so somebody has them; the inbox that does
        // not will see the gap in the numbers.
        self.expected = stored.next().max(hello.first);
        self.goal = Goal::News;
        self.state = State::Probing { asked_ms: now_ms, left: PROBES };
        Ok(vec![self.ask(Request::Now)])
    }

    /// First number that will be asked for.
    #[must_use]
    pub const fn expected(&self) -> Seq {
        self.expected
    }

    /// Takes what happened at the office's time `now_ms`.
    ///
    /// # Errors
    /// [`PullError`]; the machine is of no use then.
    pub fn on(&mut self, event: &Event<'_>, now_ms: i64) -> Result<Vec<Do>, PullError> {
        match event {
            Event::Bytes(count) => {
                self.noise = true;
                self.idle_bytes = self.idle_bytes.saturating_add(*count);
                if self.idle_bytes > MOST_NOISE {
                    self.give_up(PullError::Stuck)
                } else {
                    Ok(Vec::new())
                }
            }
            Event::Silence => self.on_silence(now_ms),
            Event::Drips => self.give_up(PullError::Stuck),
            Event::Bent(_) => {
                // No reaction: the next good frame shows what is missing, or silence does.
                self.bent = self.bent.saturating_add(1);
                Ok(Vec::new())
            }
            Event::Stored => self.on_stored(),
            Event::Frame(frame) => match frame.message::<Response<'_>>() {
                Ok(response) if frame.id == self.id => {
                    self.heard = true;
                    self.on_response(response, now_ms)
                }
                // An answer to a request that was given up.
                Ok(_) => Ok(Vec::new()),
                Err(FrameError::Version { theirs }) => Err(version_error(theirs)),
                Err(FrameError::Kind) => Err(PullError::Echo),
                Err(FrameError::Malformed | FrameError::Damaged | FrameError::TooLong) => {
                    Err(PullError::NotOurs)
                }
            },
        }
    }

    fn on_response(&mut self, response: Response<'_>, now_ms: i64) -> Result<Vec<Do>, PullError> {
        match (self.state, response) {
            (State::Greeting, Response::Hello(hello)) => {
                if hello.first > hello.next || hello.released >= hello.next {
                    return Err(PullError::Contradiction("its log ends before it begins"));
                }
                if hello.next.0 - hello.first.0 > MOST_HELD {
                    return Err(PullError::Contradiction("it says it holds more than it can"));
                }
                self.step();
                self.hello = Some(hello);
                self.state = State::Waiting;
                Ok(vec![Do::Meet(hello)])
            }
            (State::Probing { asked_ms, left }, Response::Now { boot, uptime }) => {
                Ok(self.on_probe(Anchor { boot, uptime, asked_ms, answered_ms: now_ms }, left))
            }
            (State::Reading(stream), Response::Batch { from, through, sealed }) => {
                self.on_batch(stream, (from, through), sealed)
            }
            (State::Reading(stream), Response::End { next }) => self.on_end(stream.goal, next),
            (State::Proving { at }, Response::Digest { from, through, count, digest }) => {
                Ok(self.on_proof(at, Run { from, through, count, digest }))
            }
            (State::Confirming { at }, Response::Digest { from, through, count, digest }) => {
                Ok(self.on_confirmation(at, Run { from, through, count, digest }))
            }
            (State::Proving { .. }, Response::Refused(Refusal::Unknown)) => {
                self.digests = false;
                Ok(self.compare())
            }
            (State::Confirming { .. }, Response::Refused(Refusal::Unknown)) => {
                self.digests = false;
                Ok(self.release())
            }
            // It cannot read there again either: the number stays lost.
            (State::Reading(Stream { goal: Goal::Again(_), .. }), Response::Refused(_)) => {
                Ok(self.next_gap())
            }
            (State::Releasing, Response::Released { through }) => {
                if through > self.end {
                    return Err(PullError::Contradiction(
                        "it let go of records that it was not told to",
                    ));
                }
                Ok(vec![self.finish(Some(through), false)])
            }
            (_, Response::Refused(Refusal::Gone)) => Err(PullError::Contradiction(
                "it says that a record is gone which nobody has released",
            )),
            (_, Response::Refused(refusal)) => Err(PullError::Refused(refusal)),
            // A second answer to the same request: a doubled frame, or the second END.
            (
                State::Greeting
                | State::Waiting
                | State::Proving { .. }
                | State::Probing { .. }
                | State::Reading(_)
                | State::Storing(_)
                | State::Confirming { .. }
                | State::Releasing
                | State::Over,
                Response::Hello(_)
                | Response::Now { .. }
                | Response::State(_)
                | Response::Batch { .. }
                | Response::End { .. }
                | Response::Released { .. }
                | Response::ClockSet { .. }
                | Response::Plan(_)
                | Response::PlanAt { .. }
                | Response::Calliper { .. }
                | Response::CalliperHeard(_)
                | Response::Digest { .. },
            ) => Ok(Vec::new()),
        }
    }

    fn on_probe(&mut self, probe: Anchor, left: u8) -> Vec<Do> {
        self.step();
        // A clock that was set back in between makes the worst probe look like the best.
        let forward = probe.answered_ms >= probe.asked_ms;
        if forward && self.best.is_none_or(|best| probe.round_trip_ms() < best.round_trip_ms()) {
            self.best = Some(probe);
        }
        if left > 1 {
            self.state = State::Probing { asked_ms: probe.answered_ms, left: left - 1 };
            return vec![self.ask(Request::Now)];
        }
        let anchor = self.best.map(Do::Anchor);
        anchor.into_iter().chain([self.read()]).collect()
    }

    /// The pull has progressed: patience starts again.
    const fn step(&mut self) {
        self.silences = 0;
        self.idle_bytes = 0;
        self.rereads = 0;
        self.steps = self.steps.wrapping_add(1);
    }

    /// How many steps forward the pull has made: whoever drives it sees from this that it stands
    /// still.
    #[must_use]
    pub const fn steps(&self) -> u32 {
        self.steps
    }

    /// Patience is at its end; `heard` is said of a handheld that has answered before.
    fn give_up(&mut self, heard: PullError) -> Result<Vec<Do>, PullError> {
        // All is stored, and the next pull releases again.
        if matches!(self.state, State::Releasing | State::Confirming { .. }) {
            return Ok(vec![self.finish(None, false)]);
        }
        // A session that was recorded without a second reading has none to give.
        if let State::Reading(Stream { goal: Goal::Again(_), .. }) = self.state
            && !self.provable
        {
            self.silences = 0;
            return Ok(self.next_gap());
        }
        Err(match (self.heard, self.noise) {
            (true, _) => heard,
            (false, true) => PullError::NotOurs,
            (false, false) => PullError::Silent,
        })
    }

    fn on_silence(&mut self, now_ms: i64) -> Result<Vec<Do>, PullError> {
        self.silences += 1;
        if self.silences >= PATIENCE {
            return self.give_up(PullError::Lost);
        }
        self.repeats = self.repeats.saturating_add(1);
        match self.state {
            State::Waiting | State::Storing(_) | State::Over => Ok(Vec::new()),
            State::Reading(_) => Ok(vec![self.read()]),
            State::Probing { left, .. } => {
                self.state = State::Probing { asked_ms: now_ms, left };
                Ok(vec![self.ask(Request::Now)])
            }
            State::Greeting
            | State::Proving { .. }
            | State::Confirming { .. }
            | State::Releasing => Ok(vec![self.ask(self.request)]),
        }
    }

    fn finish(&mut self, released: Option<Seq>, withheld: bool) -> Do {
        self.state = State::Over;
        Do::Finish(Finished { released, withheld, repeats: self.repeats, bent: self.bent })
    }

    fn greeted(&self) -> Result<Hello, PullError> {
        // Every state after the greeting has a hello.
        self.hello.ok_or(PullError::Contradiction("it never said who it is"))
    }

    /// Sends a request under a new id: answers to the last one no longer count.
    fn ask(&mut self, request: Request) -> Do {
        self.id = self.id.next();
        self.request = request;
        self.send(request)
    }

    fn send(&self, request: Request) -> Do {
        let mut line = [0u8; MAX_REQUEST_ON_WIRE];
        // Every request fits: `limits` says so and the frozen tests hold it.
        let bytes = frame::encode(self.id, &request, &mut line).map(<[u8]>::to_vec);
        Do::Send(bytes.unwrap_or_default())
    }
}
