//! A run of sealed records on its way from a handheld to the inbox.

use hornrule_protocol::{DeviceId, LogId, Sealed, Seq};

/// A run of records as the handheld sent it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Batch {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// First number accounted for.
    pub from: Seq,
    /// Last number accounted for; numbers without a record are lost on the handheld.
    pub through: Seq,
    /// The records, verbatim, numbers rising.
    pub sealed: Vec<Sealed>,
}
