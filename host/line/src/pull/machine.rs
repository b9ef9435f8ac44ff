//! The pulling state machine, sans-IO: frames and time-outs in, things to do out.
//!
//! Lost, doubled and bent frames are met in one way: what is missing is asked for again under a new
//! request id, and answers to an old id are dropped. Nothing is believed about a batch but what its
//! own numbers show.

use hornrule_protocol::frame::{self, FrameError, RequestId};
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Hello, Refusal, Request, Response};
use hornrule_protocol::{LogId, Sealed, Seq};

use super::error::{PullError, version_error};
use super::step::{Anchor, Batch, Do, Event, Finished};

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
    /// The office has not said yet from where to read.
    Met,
    Probing {
        asked_ms: i64,
        left: u8,
    },
    Reading {
        batches: u32,
        granted: u32,
    },
    Storing {
        batches: u32,
        granted: u32,
    },
    Releasing,
    Over,
}

/// The machine. One for each pull.
#[derive(Debug)]
pub struct Machine {
    state: State,
    id: RequestId,
    request: Request,
    hello: Option<Hello>,
    /// Next number wanted.
    expected: Seq,
    best: Option<Anchor>,
    /// Since the last step forward: time-outs, bytes, reads that showed a gap.
    silences: u8,
    idle_bytes: usize,
    rereads: u8,
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
            expected: Seq::FIRST,
            best: None,
            silences: 0,
            idle_bytes: 0,
            rereads: 0,
            repeats: 0,
            bent: 0,
            noise: false,
            heard: false,
        }
    }

    /// The first thing to do.
    pub fn begin(&mut self) -> Vec<Do> {
        vec![self.ask(Request::Hello)]
    }

    /// Answers [`Do::Meet`]: everything through `stored` is in the inbox already.
    ///
    /// # Errors
    /// `Contradiction` where the handheld holds fewer records than it once sent from this log.
    pub fn resume_after(&mut self, stored: Seq, now_ms: i64) -> Result<Vec<Do>, PullError> {
        let (State::Met, Some(hello)) = (self.state, self.hello) else { return Ok(Vec::new()) };
        if stored >= hello.next {
            return Err(PullError::Contradiction(
                "its log ends before records that it sent earlier; was its flash put back?",
            ));
        }
        // Records that are gone from flash were released, so somebody has them; the inbox that does
        // not will see the gap in the numbers.
        self.expected = stored.next().max(hello.first);
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
            Event::Bent(_) => {
                // No reaction: the next good frame shows what is missing, or silence does.
                self.bent = self.bent.saturating_add(1);
                Ok(Vec::new())
            }
            Event::Stored => Ok(self.on_stored()),
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
                self.state = State::Met;
                Ok(vec![Do::Meet(hello)])
            }
            (State::Probing { asked_ms, left }, Response::Now { boot, uptime }) => {
                Ok(self.on_probe(Anchor { boot, uptime, asked_ms, answered_ms: now_ms }, left))
            }
            (State::Reading { batches, granted }, Response::Batch { from, through, sealed }) => {
                self.on_batch(batches, granted, from, through, sealed)
            }
            (State::Reading { .. }, Response::End { next }) => self.on_end(next),
            (State::Releasing, Response::Released { through }) => {
                if through >= self.expected {
                    return Err(PullError::Contradiction(
                        "it let go of records that it was not told to",
                    ));
                }
                Ok(vec![self.finish(Some(through))])
            }
            (_, Response::Refused(Refusal::Gone)) => Err(PullError::Contradiction(
                "it says that a record is gone which nobody has released",
            )),
            (_, Response::Refused(refusal)) => Err(PullError::Refused(refusal)),
            // A second answer to the same request: a doubled frame, or the second END.
            (
                State::Greeting
                | State::Met
                | State::Probing { .. }
                | State::Reading { .. }
                | State::Storing { .. }
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
                | Response::CalliperHeard(_),
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

    fn on_batch(
        &mut self,
        batches: u32,
        granted: u32,
        from: Seq,
        through: Seq,
        bytes: &[u8],
    ) -> Result<Vec<Do>, PullError> {
        if from > through {
            return Err(PullError::Contradiction("a batch ends before it begins"));
        }
        let hello = self.met()?;
        if through.0 >= hello.next.0.saturating_add(MOST_MEANWHILE) {
            return Err(PullError::Contradiction("it sends records that it said it has not"));
        }
        if from > self.expected {
            return self.reread();
        }
        if through < self.expected {
            return Ok(Vec::new());
        }
        let sealed = split(bytes, from, through)?;
        let Hello { device, log, .. } = hello;
        self.step();
        self.expected = through.next();
        self.state = State::Storing { batches: batches + 1, granted };
        Ok(vec![Do::Store(Batch { device, log, from, through, sealed })])
    }

    fn on_stored(&mut self) -> Vec<Do> {
        let State::Storing { batches, granted } = self.state else { return Vec::new() };
        if granted - batches > WINDOW / 2 {
            self.state = State::Reading { batches, granted };
            return Vec::new();
        }
        let granted = batches + WINDOW;
        self.state = State::Reading { batches, granted };
        vec![self.send(Request::Credit { batches: granted })]
    }

    fn on_end(&mut self, next: Seq) -> Result<Vec<Do>, PullError> {
        if next > self.expected {
            // The last batch did not arrive.
            return self.reread();
        }
        let log = self.met()?.log;
        self.step();
        self.state = State::Releasing;
        Ok(vec![self.ask(Request::Release { log, through: self.expected.previous() })])
    }

    /// Something before this is missing: it is asked for again.
    fn reread(&mut self) -> Result<Vec<Do>, PullError> {
        self.repeats = self.repeats.saturating_add(1);
        self.rereads += 1;
        if self.rereads >= MOST_REREADS {
            return Err(PullError::Stuck);
        }
        Ok(vec![self.read()])
    }

    /// The pull has progressed: patience starts again.
    const fn step(&mut self) {
        self.silences = 0;
        self.idle_bytes = 0;
        self.rereads = 0;
    }

    /// Patience is at its end; `heard` is said of a handheld that has answered before.
    fn give_up(&mut self, heard: PullError) -> Result<Vec<Do>, PullError> {
        // All is stored, and the next pull releases again.
        if self.state == State::Releasing {
            return Ok(vec![self.finish(None)]);
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
            State::Met | State::Storing { .. } | State::Over => Ok(Vec::new()),
            State::Reading { .. } => Ok(vec![self.read()]),
            State::Probing { left, .. } => {
                self.state = State::Probing { asked_ms: now_ms, left };
                Ok(vec![self.ask(Request::Now)])
            }
            State::Greeting | State::Releasing => Ok(vec![self.ask(self.request)]),
        }
    }

    fn finish(&mut self, released: Option<Seq>) -> Do {
        self.state = State::Over;
        Do::Finish(Finished { released, repeats: self.repeats, bent: self.bent })
    }

    fn met(&self) -> Result<Hello, PullError> {
        // Every state after Met has a hello.
        self.hello.ok_or(PullError::Contradiction("it never said who it is"))
    }

    fn read(&mut self) -> Do {
        self.state = State::Reading { batches: 0, granted: WINDOW };
        // Without a hello there is no log to read; `Met` comes first by construction.
        let log = self.hello.map_or(LogId(0), |hello| hello.log);
        self.ask(Request::Read { log, from: self.expected, credit: WINDOW })
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

/// Cuts a batch into records and checks that their numbers rise within the batch.
fn split(mut bytes: &[u8], from: Seq, through: Seq) -> Result<Vec<Sealed>, PullError> {
    let mut sealed = Vec::new();
    let mut least = from;
    while !bytes.is_empty() {
        let (one, rest) = Sealed::split_first(bytes)
            .map_err(|_| PullError::Contradiction("a batch holds something else than records"))?;
        if one.seq() < least || one.seq() > through {
            return Err(PullError::Contradiction("a record's number is out of its batch"));
        }
        least = one.seq().next();
        sealed.push(one);
        bytes = rest;
    }
    Ok(sealed)
}
