//! A claw on a day: whether it was trimmed to form, and its dorsal wall before and after.

use hornrule_facts::codes::{DORSAL_WALL, TRIMMED};
use hornrule_facts::{Day, Fact, What};
use hornrule_protocol::{Claw, Nanometres, Place};

/// A wall's readings of a day in one state of trim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wall {
    /// The last reading, as a page shows it.
    pub last: Nanometres,
    /// The sum of the readings that no rule doubts, nm.
    sum: i64,
    /// How many those are.
    pub readings: u32,
}

impl Wall {
    fn of(first: Nanometres) -> Self {
        Self { last: first, sum: 0, readings: 0 }
    }

    /// The mean of the readings that no rule doubts, mm; `None` where all are doubted.
    #[must_use]
    pub fn mean_mm(&self) -> Option<f64> {
        let mm = |nm: i64| nm as f64 / f64::from(Nanometres::PER_MM);
        (self.readings > 0).then(|| mm(self.sum) / f64::from(self.readings))
    }
}

/// A claw on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ClawDay {
    /// Which claw.
    pub claw: Claw,
    /// When.
    pub day: Day,
    /// Whether it was trimmed to form.
    pub trimmed: bool,
    /// Its dorsal wall before trimming, or where nothing was trimmed.
    pub before: Option<Wall>,
    /// Its dorsal wall after trimming.
    pub after: Option<Wall>,
}

/// Takes a day's facts, which are in the order of time.
pub(super) fn take<'a>(all: &mut Vec<ClawDay>, day: Day, facts: impl Iterator<Item = &'a Fact>) {
    let first = all.len();
    for fact in facts {
        let Place::Claw(claw) = fact.place else { continue };
        match fact.what {
            What::Action(done) if done.action.code() == TRIMMED => {
                here(all, first, claw, day).trimmed = true;
            }
            What::Reading(clip) if clip.dimension.code() == DORSAL_WALL => {
                let one = here(all, first, claw, day);
                let wall = if clip.trimmed { &mut one.after } else { &mut one.before };
                let wall = wall.get_or_insert(Wall::of(clip.length));
                wall.last = clip.length;
                if !fact.doubted {
                    wall.sum += i64::from(clip.length.0);
                    wall.readings += 1;
                }
            }
            _ => {}
        }
    }
}

/// The claw's row of today; created if missing.
fn here(all: &mut Vec<ClawDay>, first: usize, claw: Claw, day: Day) -> &mut ClawDay {
    let at = all[first..].iter().position(|one| one.claw == claw).map(|at| first + at);
    let at = at.unwrap_or_else(|| {
        all.push(ClawDay { claw, day, trimmed: false, before: None, after: None });
        all.len() - 1
    });
    &mut all[at]
}
