//! What the office asks and the handheld answers. Version 1, frozen by `tests/frozen/v01.rs`.

use serde::{Deserialize, Serialize};

use crate::calliper::{CalliperSetting, Heard, Pace};
use crate::{Boot, DeviceId, LogId, Part, Seq, Uptime};

/// From the office to the handheld.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Request {
    /// Who are you, and what do you hold?
    Hello,
    /// What is your uptime? Small, so that the round trip is short.
    Now,
    /// How are you?
    State,
    /// Stream records from this one on; ends any running stream.
    Read {
        /// The log meant; another log is refused.
        log: LogId,
        /// First record wanted.
        from: Seq,
        /// How many batches may be sent before more credit arrives.
        credit: u32,
    },
    /// More credit for the running stream. Counted from the start of the stream, so that a repeated
    /// or overtaken one does nothing. Not answered.
    Credit {
        /// How many batches may be sent in total.
        batches: u32,
    },
    /// Records through this one are safe in the office; their space may be reused.
    Release {
        /// The log meant; another log is refused.
        log: LogId,
        /// Last record that is safe.
        through: Seq,
    },
    /// The office's clock.
    SetClock {
        /// Milliseconds since 1970-01-01T00:00:00Z.
        unix_ms: i64,
    },
    /// Which plan is in force, and how much room is there for one?
    PlanState,
    /// A plan follows. The current one stays in force until the new one is complete.
    PlanBegin {
        /// Its length in bytes.
        length: u16,
        /// Its checksum, which is its name.
        plan: u32,
    },
    /// A piece of it. Pieces come in order; one already there does nothing.
    PlanPart {
        /// Where it begins: a multiple of four, as is its length.
        at: u16,
        /// The bytes.
        bytes: Part,
    },
    /// All of it was sent: check it and put it in force.
    PlanCommit {
        /// Its checksum.
        plan: u32,
    },
    /// How is your calliper read?
    CalliperState,
    /// Listen to it for a while. What have you heard since you began?
    CalliperHear {
        /// How fast it sends; a different pace starts the listening afresh.
        pace: Pace,
    },
    /// Read it like this from now on, and after every start.
    CalliperStore {
        /// How.
        setting: CalliperSetting,
    },
    /// What is the digest of these records? At most [`crate::limits::MAX_DIGESTED`] of them are
    /// digested at once.
    Digest {
        /// The log meant; another log is refused.
        log: LogId,
        /// First number of the run.
        from: Seq,
        /// Last number of the run.
        through: Seq,
    },
}

/// From the handheld to the office.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Response<'a> {
    /// Answer to `Hello`.
    Hello(Hello),
    /// Answer to `Now`.
    Now {
        /// The boot that is running.
        boot: Boot,
        /// Milliseconds since it began.
        uptime: Uptime,
    },
    /// Answer to `State`.
    State(State),
    /// One batch of a stream.
    Batch {
        /// First record this batch accounts for.
        from: Seq,
        /// Last record it accounts for. A number between the two with no record was lost on the
        /// handheld's flash, not on the wire.
        through: Seq,
        /// Sealed records back to back.
        #[serde(borrow)]
        sealed: &'a [u8],
    },
    /// The stream has reached its end. Sent twice; silence afterwards means success.
    End {
        /// The number the next record will get.
        next: Seq,
    },
    /// Answer to `Release`: what is now released.
    Released {
        /// Last released record.
        through: Seq,
    },
    /// Answer to `SetClock`, with the time of the `Clock` record.
    ClockSet {
        /// The boot that is running.
        boot: Boot,
        /// Milliseconds since it began, when the clock was set.
        uptime: Uptime,
    },
    /// The request was understood but not carried out.
    Refused(Refusal),
    /// Answer to `PlanState` and `PlanCommit`.
    Plan(PlanState),
    /// Answer to `PlanBegin` and `PlanPart`: everything before this position is written.
    PlanAt {
        /// Where the next piece begins.
        next: u16,
    },
    /// Answer to `CalliperState` and `CalliperStore`: what is in force.
    Calliper {
        /// The setting that was proved; without one the calliper is read as most are.
        setting: Option<CalliperSetting>,
    },
    /// Answer to `CalliperHear`.
    CalliperHeard(Heard),
    /// Answer to `Digest`.
    Digest {
        /// First number of the run.
        from: Seq,
        /// Last number that the digest accounts for: the one asked for, or that of the last record
        /// that was digested at once.
        through: Seq,
        /// How many records there are.
        count: u32,
        /// Over their sealed bytes, as [`crate::digest::RunDigest`] computes it.
        digest: u64,
    },
}

/// Who the handheld is and what it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hello {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// Firmware version: major, minor, patch.
    pub firmware: [u8; 3],
    /// The boot that is running.
    pub boot: Boot,
    /// Oldest record still on flash; equals `next` if there is none.
    pub first: Seq,
    /// The number the next record will get.
    pub next: Seq,
    /// Last record the office has released.
    pub released: Seq,
}

/// How the handheld is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct State {
    /// Milliseconds since the boot began.
    pub uptime: Uptime,
    /// Records not yet released.
    pub waiting: u32,
    /// Records that still fit.
    pub free: u32,
    /// Records refused since the log filled up, not yet reported in a `Gap`.
    pub refused: u32,
    /// Slots found torn when the log was mounted.
    pub torn: u32,
    /// Faults of the calliper since the boot began.
    pub calliper_faults: u32,
    /// Keys held down too long to be a press.
    pub stuck_keys: u8,
    /// Whether the office has set the clock since this boot.
    pub clock_known: bool,
    /// Battery, millivolts; 0 if the board does not measure it.
    pub battery_mv: u16,
}

/// What the handheld knows about plans.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanState {
    /// The plan version it reads.
    pub version: u8,
    /// Longest plan it has room for, bytes; 0 if it keeps none.
    pub room: u16,
    /// The plan in force.
    pub in_force: Option<PlanName>,
}

/// A plan's name and size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanName {
    /// Its checksum.
    pub plan: u32,
    /// How many cows it lists.
    pub animals: u16,
}

/// Why a request was not carried out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Refusal {
    /// The log named is not the one on flash.
    OtherLog,
    /// That record does not exist yet.
    NotYet,
    /// That record is no longer on flash.
    Gone,
    /// The frame was intact, but its message is unknown.
    Unknown,
    /// The log is full or cannot be written.
    LogFull,
    /// The flash did not do what it was told.
    FlashFault,
    /// The handheld keeps no plan.
    NoPlans,
    /// The plan is longer than there is room for.
    PlanTooLong,
    /// No plan is being loaded, or this is not the next piece.
    PlanOrder,
    /// The plan's version is one the handheld does not read.
    PlanVersion,
    /// The plan arrived incomplete, or is not a plan: wrong checksum, cows out of order or
    /// repeated, an unknown dimension.
    PlanBroken,
    /// The handheld has nowhere to keep a calliper setting.
    NotKept,
}

impl core::fmt::Display for Refusal {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(match self {
            Self::OtherLog => "its log was formatted anew in the meantime",
            Self::NotYet => "it has no such record yet",
            Self::Gone => "that record is no longer on its flash",
            Self::Unknown => "it does not know this request",
            Self::LogFull => "its log is full",
            Self::FlashFault => "its flash does not take what is written",
            Self::NoPlans => "this handheld keeps no plan",
            Self::PlanTooLong => "it has no room for so long a plan; the old plan is in force",
            Self::PlanOrder => "the load was broken off; the old plan is in force, load again",
            Self::PlanVersion => {
                "its firmware reads another version of plans; the old plan is in force, update it"
            }
            Self::PlanBroken => "the plan did not come whole; the old plan is in force, load again",
            Self::NotKept => "this handheld has no room for a setting of its calliper",
        })
    }
}
