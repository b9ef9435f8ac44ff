//! What the office knows and the chute never heard of: the vet has answered, the farmer took the wrap
//! off, the cow was sold, she was not brought. Rows are only ever added; of two about one duty both
//! are kept.

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
    /// Look at her in the office.
    Office,
}

/// Who does it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Who {
    /// The trimmer, at the chute.
    Trimmer,
    /// The farmer, between visits.
    Farmer,
    /// The vet.
    Vet,
    /// The office.
    Office,
}

impl Who {
    /// One word, for scripts.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Trimmer => "trimmer",
            Self::Farmer => "farmer",
            Self::Vet => "vet",
            Self::Office => "office",
        }
    }
}

impl Duty {
    /// All of them, the most urgent first.
    pub const ALL: [Self; 6] =
        [Self::Vet, Self::Recheck, Self::BlockOff, Self::WrapOff, Self::Trim, Self::Office];

    /// Who does it. A wrap comes off within days, which no visit waits for.
    #[must_use]
    pub const fn who(self) -> Who {
        match self {
            Self::Vet => Who::Vet,
            Self::Recheck | Self::BlockOff | Self::Trim => Who::Trimmer,
            Self::WrapOff => Who::Farmer,
            Self::Office => Who::Office,
        }
    }

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
            Self::Office => "office",
        }
    }

    /// The duty of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|duty| duty.word() == word)
    }
}

/// How a cow left the farm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gone {
    /// Sold.
    Sold,
    /// Dead: died, or slaughtered.
    Dead,
}

/// What is noted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Told {
    /// A duty is done with.
    Done(Duty),
    /// The cow has left the farm: nothing is owed on her, unless she is in the chute on a later day.
    Gone(Gone),
    /// She was due and was not brought. Ends nothing; it is counted.
    NotBrought,
}

impl Told {
    /// All that can be noted.
    pub fn all() -> impl Iterator<Item = Self> {
        let gone = [Self::Gone(Gone::Sold), Self::Gone(Gone::Dead), Self::NotBrought];
        Duty::ALL.map(Self::Done).into_iter().chain(gone)
    }

    /// Its number in the database.
    #[must_use]
    pub const fn number(self) -> u8 {
        match self {
            Self::Done(duty) => duty.number(),
            Self::Gone(Gone::Sold) => 7,
            Self::Gone(Gone::Dead) => 8,
            Self::NotBrought => 9,
        }
    }

    /// What has a number.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        Self::all().find(|one| one.number() == number)
    }

    /// One word, for scripts.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Done(duty) => duty.word(),
            Self::Gone(Gone::Sold) => "sold",
            Self::Gone(Gone::Dead) => "dead",
            Self::NotBrought => "not-brought",
        }
    }
}

/// What the office was told of a cow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closing {
    /// The herd.
    pub herd: HerdId,
    /// The cow.
    pub animal: AnimalId,
    /// Where; the cow for all of her.
    pub place: Place,
    /// What.
    pub what: Told,
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
