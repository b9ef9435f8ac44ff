//! What goes into the pulling machine and what comes out.

pub use hornrule_facts::Batch;
use hornrule_protocol::frame::{Frame, FrameError};
use hornrule_protocol::message::Hello;
use hornrule_protocol::{Boot, Seq, Uptime};

/// What happened.
#[derive(Debug)]
pub enum Event<'a> {
    /// A frame came in whole.
    Frame(&'a Frame<'a>),
    /// A frame came in bent.
    Bent(FrameError),
    /// This many bytes came, whatever they are; their frames follow.
    Bytes(usize),
    /// Nothing came for the time-out.
    Silence,
    /// Bytes came now and then, but for a long time nothing that brought the pull forward.
    Drips,
    /// The batch given by [`Do::Store`] is durable.
    Stored,
}

/// What is to be done, in this order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Do {
    /// Send these bytes.
    Send(Vec<u8>),
    /// The handheld has said who it is: give what would prove which log this is to
    /// [`super::Machine::met`].
    Meet(Hello),
    /// This one of the runs is on the handheld: give the last number stored from that log to
    /// [`super::Machine::resume_after`].
    Proved(usize),
    /// Compare this with what is stored, then say [`Event::Stored`].
    Compare(Batch),
    /// No run was proved: from what was compared, say which log this is and give the last number
    /// stored from it to [`super::Machine::resume_after`].
    Judge,
    /// The handheld's clock read `uptime` somewhere within this round trip.
    Anchor(Anchor),
    /// Make this durable, then say [`Event::Stored`].
    Store(Batch),
    /// All is stored through this number: give what is missing or damaged, as far as it is still on
    /// flash, to [`super::Machine::settled`].
    Settle(Seq),
    /// Read again: make durable what was missing or damaged, then say [`Event::Stored`].
    Fill(Batch),
    /// The handheld is about to let go of everything through this number: give what is to be proved
    /// first to [`super::Machine::confirmed`].
    Confirm(Seq),
    /// A run differed before the release: from what was compared, say whether the handheld may let
    /// go, to [`super::Machine::consented`].
    Consent,
    /// All done.
    Finish(Finished),
}

/// A run of stored records, and the digest that the handheld gives if it holds the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// First number.
    pub from: Seq,
    /// Last number.
    pub through: Seq,
    /// How many records.
    pub count: u32,
    /// Over their sealed bytes.
    pub digest: u64,
}

/// One reading of the handheld's clock against the office's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Anchor {
    /// The boot that is running.
    pub boot: Boot,
    /// The handheld's clock.
    pub uptime: Uptime,
    /// The office's clock when asking, milliseconds since 1970.
    pub asked_ms: i64,
    /// The office's clock when the answer came.
    pub answered_ms: i64,
}

impl Anchor {
    /// The round trip, milliseconds; never negative, even when the office's clock is set back.
    #[must_use]
    pub fn round_trip_ms(&self) -> i64 {
        self.answered_ms.saturating_sub(self.asked_ms).max(0)
    }
}

/// How a pull ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Finished {
    /// Last record that the handheld has let go of; `None` where it was unplugged before it said so.
    /// Nothing is lost by that: the next pull releases again.
    pub released: Option<Seq>,
    /// The handheld was not told to let go, because it holds something else than what is stored or
    /// nobody has decided yet what its records are.
    pub withheld: bool,
    /// Requests that had to be repeated.
    pub repeats: u32,
    /// Frames that did not hold together.
    pub bent: u32,
}
