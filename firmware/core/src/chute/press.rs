//! A key, as the grammar sees it.

use hornrule_protocol::Foot;

/// One press of a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Press {
    /// LF, RF, LH or RH.
    Foot(Foot),
    /// 0 to 9.
    Digit(u8),
    /// What was found.
    Find,
    /// What was done.
    Do,
    /// Which dimension.
    Size,
    /// A score for the cow.
    Score,
    /// A cow comes or goes.
    Cow,
    /// Take back.
    Undo,
}
