//! What the office knows of a duty that the chute never heard of: the vet has answered, the farmer took
//! the wrap off, the cow was sold. Rows are only ever added; of two about one duty both are kept.

use hornrule_protocol::Place;

use crate::ids::{AnimalId, Day, HerdId};

/// What somebody is to do about a cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Duty {
    /// The vet is to see her, and to say what was found.
    Vet = 1,
    /// See the foot again.
    Recheck,
    /// Take the block off.
    BlockOff,
    /// Take the wrap off.
    WrapOff,
    /// Trim her as often as the farm wants.
    Trim,
}

impl Duty {
    /// All of them, the most urgent first.
    pub const ALL: [Self; 5] =
        [Self::Vet, Self::Recheck, Self::BlockOff, Self::WrapOff, Self::Trim];

    /// Its number in the database.
    #[must_use]
    pub const fn number(self) -> u8 {
        self as u8
    }

    /// The duty of a number.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|duty| duty.number() == number)
    }

    /// One word, on the command line and for scripts.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Vet => "vet",
            Self::Recheck => "recheck",
            Self::BlockOff => "block-off",
            Self::WrapOff => "wrap-off",
            Self::Trim => "trim",
        }
    }

    /// The duty of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|duty| duty.word() == word)
    }
}

/// A duty that is done with, as the office was told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closing {
    /// The herd.
    pub herd: HerdId,
    /// The cow.
    pub animal: AnimalId,
    /// Where; the cow for all of her.
    pub place: Place,
    /// Which duty.
    pub duty: Duty,
    /// The day on which it was done, the farm's own.
    pub day: Day,
    /// Who says so.
    pub who: String,
    /// When it was noted, UTC milliseconds.
    pub at_ms: i64,
    /// What was said: the vet's answer, or why.
    pub why: String,
}

impl Closing {
    /// Whether it is about something at a place that came up on a day.
    #[must_use]
    pub fn is_about(&self, place: Place, since: Day) -> bool {
        let here = match (self.place, place) {
            (Place::Cow, _) => true,
            (Place::Foot(foot), place) => place.foot() == Some(foot),
            (Place::Claw(_), place) => place == self.place || place == whole(self.place),
        };
        here && since <= self.day
    }
}

/// A claw's foot.
fn whole(place: Place) -> Place {
    place.foot().map_or(Place::Cow, Place::Foot)
}
