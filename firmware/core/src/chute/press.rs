//! A key, as the grammar sees it.

use hornrule_protocol::Foot;

use crate::keypad::Key;

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
    /// A dimension.
    Size,
    /// A score for the cow.
    Score,
    /// A cow comes or goes.
    Cow,
    /// Take back.
    Undo,
}

impl From<Key> for Press {
    fn from(key: Key) -> Self {
        match key {
            Key::Lf => Self::Foot(Foot::LeftFore),
            Key::Rf => Self::Foot(Foot::RightFore),
            Key::Lh => Self::Foot(Foot::LeftHind),
            Key::Rh => Self::Foot(Foot::RightHind),
            Key::Find => Self::Find,
            Key::Do => Self::Do,
            Key::Size => Self::Size,
            Key::Score => Self::Score,
            Key::Cow => Self::Cow,
            Key::Undo => Self::Undo,
            Key::Zero => Self::Digit(0),
            Key::One => Self::Digit(1),
            Key::Two => Self::Digit(2),
            Key::Three => Self::Digit(3),
            Key::Four => Self::Digit(4),
            Key::Five => Self::Digit(5),
            Key::Six => Self::Digit(6),
            Key::Seven => Self::Digit(7),
            Key::Eight => Self::Digit(8),
            Key::Nine => Self::Digit(9),
        }
    }
}
