//! What can go wrong: one error per cause.

use hornrule_protocol::Seq;

/// Why there is no log to work with. Nothing on flash was changed, except by a format that was
/// stopped by [`MountError::Flash`] or [`MountError::NotKept`]; the next mount finishes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MountError<E> {
    /// Fewer than three pages.
    TooSmall {
        /// Pages there are.
        pages: u32,
    },
    /// Someone else's bytes. A format on command overwrites them.
    NotOurs,
    /// A log of this format was here, but none of its headers is intact (or two logs are mixed in a
    /// way this code never leaves). A format on command discards it.
    Torn,
    /// A log in a newer format. Newer firmware reads it.
    Newer {
        /// Its format version.
        version: u8,
    },
    /// A format was requested with the id of the existing log.
    SameLog,
    /// The flash reported success but reads back differently: worn out or not working.
    NotKept,
    /// The flash failed.
    Flash(E),
}

/// Why a record is not in the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AppendError<E> {
    /// Every page but the reserve awaits release.
    Full,
    /// The record does not have the next number. Also after a failed append whose record turned out
    /// to be committed.
    OutOfOrder {
        /// The number that is next.
        next: Seq,
    },
    /// All numbers of this log are used.
    NumbersSpent,
    /// The flash reported success but reads back differently. Retrying uses the next slot.
    NotKept,
    /// The flash failed. Retrying uses the next slot.
    Flash(E),
}

/// Why a record cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadError<E> {
    /// Released and overwritten.
    Gone {
        /// The oldest number that can still be read.
        first: Seq,
    },
    /// The flash failed.
    Flash(E),
}

/// Why nothing was released.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReleaseError<E> {
    /// No such record was ever appended.
    Beyond {
        /// The last number that was.
        last: Seq,
    },
    /// The flash reported success but reads back differently. Retrying uses the next slot.
    NotKept,
    /// The flash failed. Retrying uses the next slot.
    Flash(E),
}

/// How a write inside the log fails; converted into the public errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum WriteError<E> {
    NotKept,
    Flash(E),
}

impl<E> From<WriteError<E>> for MountError<E> {
    fn from(error: WriteError<E>) -> Self {
        match error {
            WriteError::NotKept => Self::NotKept,
            WriteError::Flash(e) => Self::Flash(e),
        }
    }
}

impl<E> From<WriteError<E>> for AppendError<E> {
    fn from(error: WriteError<E>) -> Self {
        match error {
            WriteError::NotKept => Self::NotKept,
            WriteError::Flash(e) => Self::Flash(e),
        }
    }
}

impl<E> From<WriteError<E>> for ReleaseError<E> {
    fn from(error: WriteError<E>) -> Self {
        match error {
            WriteError::NotKept => Self::NotKept,
            WriteError::Flash(e) => Self::Flash(e),
        }
    }
}

impl<E: core::fmt::Debug> core::fmt::Display for MountError<E> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::TooSmall { pages } => {
                write!(f, "the flash region has {pages} pages, a log needs three or more")
            }
            Self::NotOurs => f.write_str("the flash region holds something else than a log"),
            Self::Torn => f.write_str("the log on flash is damaged: no page header of it is whole"),
            Self::Newer { version } => {
                write!(f, "the log on flash has format {version}, newer than this firmware knows")
            }
            Self::SameLog => f.write_str("a new log needs another id than the one it replaces"),
            Self::NotKept => f.write_str("the flash does not keep what is written to it"),
            Self::Flash(e) => write!(f, "the flash failed: {e:?}"),
        }
    }
}

impl<E: core::fmt::Debug> core::fmt::Display for AppendError<E> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Full => f.write_str("the log is full: pull and release records first"),
            Self::OutOfOrder { next } => write!(f, "the next record must be number {}", next.0),
            Self::NumbersSpent => f.write_str("all numbers of this log are used: format it"),
            Self::NotKept => f.write_str("the flash does not keep what is written to it"),
            Self::Flash(e) => write!(f, "the flash failed: {e:?}"),
        }
    }
}

impl<E: core::fmt::Debug> core::fmt::Display for ReadError<E> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Gone { first } => {
                write!(f, "released and overwritten; the oldest record is number {}", first.0)
            }
            Self::Flash(e) => write!(f, "the flash failed: {e:?}"),
        }
    }
}

impl<E: core::fmt::Debug> core::fmt::Display for ReleaseError<E> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Beyond { last } => {
                write!(f, "cannot release beyond record number {}, the last one", last.0)
            }
            Self::NotKept => f.write_str("the flash does not keep what is written to it"),
            Self::Flash(e) => write!(f, "the flash failed: {e:?}"),
        }
    }
}

impl<E: core::fmt::Debug> core::error::Error for MountError<E> {}
impl<E: core::fmt::Debug> core::error::Error for AppendError<E> {}
impl<E: core::fmt::Debug> core::error::Error for ReadError<E> {}
impl<E: core::fmt::Debug> core::error::Error for ReleaseError<E> {}
