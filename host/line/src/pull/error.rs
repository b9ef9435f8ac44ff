//! Why a pull cannot go on.

use hornrule_protocol::frame;
use hornrule_protocol::message::Refusal;

/// Why a pull cannot go on. What was stored stays stored.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PullError {
    /// No answer at all.
    #[error("nothing answers; check that the handheld is on and that this is its port")]
    Silent,
    /// Answers came, then no more.
    #[error("the handheld stopped answering; plug it in and pull again. What arrived is stored")]
    Lost,
    /// It keeps talking, but sends nothing new.
    #[error(
        "the handheld keeps talking but sends nothing new; check the cable and pull again. What \
         arrived is stored"
    )]
    Stuck,
    /// It speaks, but not this.
    #[error("something answers, but it is not a hornrule handheld; check the port")]
    NotOurs,
    /// It hears itself.
    #[error("the line echoes what is sent; check that a handheld is at the other end")]
    Echo,
    /// Older or newer wire.
    #[error(
        "the handheld uses protocol version {theirs} and this program version {ours}; update the \
         {older}"
    )]
    Version {
        /// Its version.
        theirs: u8,
        /// Ours.
        ours: u8,
        /// Which of the two is behind.
        older: &'static str,
    },
    /// It said no.
    #[error("the handheld refused: {0}")]
    Refused(Refusal),
    /// What it says cannot be so.
    #[error("the handheld contradicts itself: {0}")]
    Contradiction(&'static str),
}

/// The other side uses another wire version.
pub(super) fn version_error(theirs: u8) -> PullError {
    let ours = frame::WIRE_VERSION;
    PullError::Version { theirs, ours, older: if theirs < ours { "handheld" } else { "program" } }
}
