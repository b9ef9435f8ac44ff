//! Numbers that identify things: one type each, so that none can be mistaken for another.
//!
//! A record's identity is (`DeviceId`, `LogId`, `Seq`); its time is (`Boot`, `Uptime`).

use serde::{Deserialize, Serialize};

/// Which handheld: the chip's own number, 64 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct DeviceId(pub u64);

/// Which format of that handheld's log: a new number at every format.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct LogId(pub u32);

/// Which record of that log: from 1, counting up by one. `Seq(0)` means "none yet".
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Seq(pub u32);

impl Seq {
    /// No record.
    pub const NONE: Self = Self(0);
    /// The first record of a log.
    pub const FIRST: Self = Self(1);

    /// The number after this one. Saturates at `u32::MAX`, where a log refuses further records (at
    /// 5,000 records a day after 2,353 years).
    #[must_use]
    pub const fn next(self) -> Self {
        Self(self.0.saturating_add(1))
    }

    /// The number before this one; `NONE` stays `NONE`.
    #[must_use]
    pub const fn previous(self) -> Self {
        Self(self.0.saturating_sub(1))
    }
}

/// Which start of the handheld within one log: from 1. Only boots that left a record are counted.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Boot(pub u16);

/// Milliseconds since that start.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct Uptime(pub u64);
