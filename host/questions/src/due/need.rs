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
    /// Rule: a swelling above one claw only is the vet's.
    OneSided,
    /// Rule: bone or joint in sight is the vet's.
    BoneOrJoint,
    /// Rule: the last value of a scale of gait is the vet's.
    Gait,
    /// Rule: phlegmon is the vet's to see.
    PhlegmonVet,
    /// Rule: worse though severe, or worse once more.
    Worse,
    /// Rule: the vet has not answered, and it was looked at again.
    Unanswered,
    /// The trimmer keyed "look at this cow in the office".
    Office,
}

impl From<Why> for Because {
    fn from(why: Why) -> Self {
        match why {
            Why::VetNow => Self::VetNow,
            Why::VetToSee => Self::VetToSee,
            Why::ToeNecrosis => Self::ToeNecrosis,
            Why::Swelling => Self::Swelling,
            Why::OneSided => Self::OneSided,
            Why::BoneOrJoint => Self::BoneOrJoint,
            Why::Gait => Self::Gait,
            Why::Phlegmon => Self::PhlegmonVet,
            Why::Worse => Self::Worse,
            Why::Unanswered => Self::Unanswered,
        }
    }
}

impl Because {
    /// Whether a rule of thumb says so, and not the trimmer.
    #[must_use]
    pub const fn is_rule(self) -> bool {
        !matches!(self, Self::Keyed)
    }

    /// The days that a rule gives; `None` where the trimmer keyed them, and for what gives none.
    #[must_use]
    pub const fn days(self, rules: &DueRules) -> Option<u16> {
        Some(match self {
            Self::Keyed | Self::Unanswered => return None,
            Self::Phlegmon | Self::PhlegmonVet => rules.phlegmon,
            Self::Dermatitis => rules.dermatitis,
            Self::Found | Self::TreatedLesion | Self::NotHealed => rules.recheck,
            Self::BlockGlued => rules.block_off,
            Self::Wrapped => rules.wrap_off,
            Self::Trimmed => rules.trim,
            Self::VetNow
            | Self::ToeNecrosis
            | Self::Swelling
            | Self::OneSided
            | Self::BoneOrJoint
            | Self::Gait => rules.vet_now,
            Self::VetToSee | Self::Worse => rules.vet_to_see,
            Self::Office => rules.office,
        })
    }
}

/// The days on which a thing may as well be done, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Window {
    /// The first.
    pub first: Day,
    /// The last.
    pub last: Day,
}

impl Window {
    /// Of a duty that is due on a day and came up on an earlier one.
    #[must_use]
    pub fn of((duty, because): (Duty, Because), day: Day, since: Day, rules: &DueRules) -> Self {
        let until = |days: u16| Self { first: day, last: day.max(since.plus(days)) };
        match (duty, because) {
            (Duty::Recheck, _) => {
                let first = Day(day.0.saturating_sub(rules.recheck_window.into()));
                let never_later = matches!(because, Because::Phlegmon | Because::Dermatitis);
                let last = if never_later { day } else { day.plus(rules.recheck_window) };
                Self { first, last }
            }
            (Duty::BlockOff, _) => until(rules.block_off_latest),
            (Duty::WrapOff, _) => until(rules.wrap_off_latest),
            (Duty::Vet | Duty::Trim | Duty::Office, _) => until(0),
        }
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
    /// When it may as well be done.
    pub window: Window,
    /// The cases it is about.
    pub cases: Vec<Case>,
}

impl Need {
    /// What needs are sorted by: day, herd, cow, place, duty.
    #[must_use]
    pub const fn order(&self) -> impl Ord + use<> {
        (self.day, self.herd, self.animal, self.place, self.duty, self.because, self.since)
    }

    /// Days that it is overdue on a day; 0 where it is not.
    #[must_use]
    pub fn overdue(&self, on: Day) -> u32 {
        days_late(self.day, on)
    }

    /// Days that a block or wrap has been on past its window; `None` where it does no harm.
    #[must_use]
    pub fn harm(&self, on: Day) -> Option<u32> {
        days_of_harm(self.duty, self.window, on)
    }

    /// Days between the day it comes from and the day it is due.
    #[must_use]
    pub fn days(&self) -> i32 {
        self.day.0.saturating_sub(self.since.0)
    }
}

/// Days from the day on which a thing is due to a later one; 0 to an earlier one.
pub(crate) fn days_late(due: Day, on: Day) -> u32 {
    on.0.saturating_sub(due.0).max(0).unsigned_abs()
}

/// Days that a block or wrap has been on past its window.
pub(crate) fn days_of_harm(duty: Duty, window: Window, on: Day) -> Option<u32> {
    let stays_on = matches!(duty, Duty::BlockOff | Duty::WrapOff);
    let past = days_late(window.last, on);
    (stays_on && past > 0).then_some(past)
}
