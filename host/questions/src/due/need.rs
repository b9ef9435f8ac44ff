//! One thing that is due.

use hornrule_casebook::{Case, Why};
use hornrule_facts::{AnimalId, Day, DueRules, Duty, HerdId};
use hornrule_protocol::Place;

/// Why it is due on that day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Because {
    /// The trimmer keyed "see again" in so many days.
    Keyed,
    /// Rule: phlegmon.
    Phlegmon,
    /// Rule: active digital dermatitis (M1, M2, M4.1).
    Dermatitis,
    /// Rule: a lesion that is always seen again.
    Found,
    /// Rule: a lesion that was treated.
    TreatedLesion,
    /// Rule: at a recheck it was better, unchanged or worse, but not healed.
    NotHealed,
    /// Rule: a block was glued on.
    BlockGlued,
    /// Rule: a wrap was put on.
    Wrapped,
    /// Rule: she was trimmed to form.
    Trimmed,
    /// The trimmer keyed "vet now".
    VetNow,
    /// The trimmer keyed "vet to see".
    VetToSee,
    /// Rule: toe necrosis is the vet's.
    ToeNecrosis,
    /// Rule: a severe swelling above the horn is the vet's.
    Swelling,
}

impl From<Why> for Because {
    fn from(why: Why) -> Self {
        match why {
            Why::VetNow => Self::VetNow,
            Why::VetToSee => Self::VetToSee,
            Why::ToeNecrosis => Self::ToeNecrosis,
            Why::Swelling => Self::Swelling,
        }
    }
}

impl Because {
    /// Whether a rule of thumb says so, and not the trimmer.
    #[must_use]
    pub const fn is_rule(self) -> bool {
        !matches!(self, Self::Keyed)
    }

    /// The days that a rule gives; `None` where the trimmer keyed them.
    #[must_use]
    pub const fn days(self, rules: &DueRules) -> Option<u16> {
        Some(match self {
            Self::Keyed => return None,
            Self::Phlegmon => rules.phlegmon,
            Self::Dermatitis => rules.dermatitis,
            Self::Found | Self::TreatedLesion | Self::NotHealed => rules.recheck,
            Self::BlockGlued => rules.block_off,
            Self::Wrapped => rules.wrap_off,
            Self::Trimmed => rules.trim,
            Self::VetNow | Self::ToeNecrosis | Self::Swelling => rules.vet_now,
            Self::VetToSee => rules.vet_to_see,
        })
    }
}

/// One thing that is due on one cow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// On which day of the farm; a day gone by is overdue.
    pub day: Day,
    /// Whose cow.
    pub herd: HerdId,
    /// Which cow.
    pub animal: AnimalId,
    /// Which foot or claw; `Cow` for the whole cow.
    pub place: Place,
    /// What.
    pub duty: Duty,
    /// Why on that day.
    pub because: Because,
    /// The day it comes from: when the block was glued on, the lesion treated.
    pub since: Day,
    /// The cases it is about.
    pub cases: Vec<Case>,
}

impl Need {
    /// What needs are sorted by: day, herd, cow, place, duty.
    #[must_use]
    pub const fn order(&self) -> impl Ord + use<> {
        (self.day, self.herd, self.animal, self.place, self.duty, self.because, self.since)
    }

    /// Days between the day it comes from and the day it is due.
    #[must_use]
    pub fn days(&self) -> i32 {
        self.day.0.saturating_sub(self.since.0)
    }
}
