//! Invented cows: their horn, their sores, their blocks.

use hornrule_protocol::{Claw, Foot, Side};

use super::truth;
use hornrule_facts::Day;
use hornrule_insight::luck::Luck;

/// Spread of growth between the claws of a cow, mm a month.
const CLAW_SPREAD: f64 = 0.15;

/// The horn of one claw.
#[derive(Clone, Copy, Debug)]
struct Horn {
    length: f64,
    on: Day,
    per_day: f64,
}

/// A block on a claw.
#[derive(Clone, Copy, Debug)]
pub(super) struct Glued {
    pub(super) claw: Claw,
    pub(super) on: Day,
    pub(super) lasts: f64,
}

/// A sore that is followed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Followed {
    pub(super) claw: Claw,
    pub(super) found: Day,
    pub(super) heals: f64,
    pub(super) length: f64,
    pub(super) said_healed: bool,
    pub(super) due: Day,
}

impl Followed {
    /// Its length on a day, mm: the area shrinks by the same part each week, and width with length.
    pub(super) fn length_on(&self, day: Day) -> f64 {
        let weeks = f64::from(day.0 - self.found.0) / 7.0;
        self.length * (-truth::SHRINK_PER_WEEK * weeks / 2.0).exp()
    }

    pub(super) fn healed_on(&self, day: Day) -> bool {
        f64::from(day.0 - self.found.0) >= self.heals
    }
}

/// A cow.
#[derive(Clone, Debug)]
pub(super) struct Cow {
    pub(super) number: u32,
    pub(super) born: Day,
    pub(super) mm_month: f64,
    pub(super) trimmed: Day,
    pub(super) sore: Option<Followed>,
    pub(super) block: Option<Glued>,
    /// Foot with digital dermatitis, to be seen again.
    pub(super) skin: Option<(Foot, Day)>,
    /// A claw that had a sore before.
    pub(super) weak: Option<Claw>,
    horn: [Horn; 8],
}

/// 0 to 7.
fn index(claw: Claw) -> usize {
    usize::from(claw.foot.number()) * 2 + usize::from(claw.side == Side::Medial)
}

impl Cow {
    pub(super) fn born_by(luck: &mut Luck, number: u32, target: f64, start: Day) -> Self {
        let mm_month = truth::GROWTH_MEAN + truth::GROWTH_SPREAD * luck.normal();
        // Trimmed by somebody at some time in the five months before the season.
        let ago = luck.below(150) as i32;
        let trimmed = Day(start.0 - ago);
        let mut claw = || Horn {
            length: target + 1.5 * luck.normal(),
            on: trimmed,
            per_day: (mm_month + CLAW_SPREAD * luck.normal()) / truth::MONTH_DAYS,
        };
        let horn = std::array::from_fn(|_| claw());
        let born = Day(start.0 - 900 - luck.below(2000) as i32);
        let (sore, block, skin, weak) = (None, None, None, None);
        Self { number, born, mm_month, trimmed, sore, block, skin, weak, horn }
    }

    /// Length of a claw's dorsal wall, mm.
    pub(super) fn length(&self, claw: Claw, day: Day) -> f64 {
        let horn = self.horn[index(claw)];
        horn.length + horn.per_day * f64::from(day.0 - horn.on.0)
    }

    /// Cuts a claw towards a target; one that is short already loses a shaving.
    pub(super) fn cut(&mut self, luck: &mut Luck, claw: Claw, day: Day, target: f64) {
        let now = self.length(claw, day);
        let wanted = target + 1.2 * luck.normal();
        let length = wanted.min(now - 0.3);
        let horn = &mut self.horn[index(claw)];
        (horn.length, horn.on) = (length, day);
    }
}
