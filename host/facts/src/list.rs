//! What the office was told: herds, herd lists, handhelds, marks.

use hornrule_protocol::{Iso11784, Nanometres};

use crate::ids::{AnimalId, Day, HerdId};
use crate::settings::FarmSettings;

/// A herd.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Herd {
    /// Its number in this database.
    pub herd: HerdId,
    /// The farm's name.
    pub name: String,
    /// Its standing key by the latest word, 1 to 9: what starts a visit there on a day without a plan.
    pub farm: Option<u8>,
    /// IANA name of its time zone.
    pub zone: String,
    /// How its papers look, and where it lies on the round.
    pub settings: FarmSettings,
}

/// A cow of the herd list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedAnimal {
    /// Her herd number.
    pub animal: AnimalId,
    /// Her electronic tag.
    pub tag: Option<Iso11784>,
    /// Her name.
    pub name: Option<String>,
    /// When she was born.
    pub born: Option<Day>,
    /// Her official ear tag number, without blanks.
    pub official: Option<String>,
    /// Her breed.
    pub breed: Option<String>,
    /// Her lactation number.
    pub lactation: Option<u8>,
    /// When she last calved.
    pub calved: Option<Day>,
    /// Her group.
    pub pen: Option<String>,
    /// The day since which she is in no list; `None` while she is in it, and where nobody knows.
    pub left_on: Option<Day>,
    /// Whether she stood in the last list.
    pub in_herd: bool,
}

impl ListedAnimal {
    /// A cow in the herd known by her number only.
    #[must_use]
    pub const fn numbered(animal: AnimalId) -> Self {
        Self {
            animal,
            tag: None,
            name: None,
            born: None,
            official: None,
            breed: None,
            lactation: None,
            calved: None,
            pen: None,
            left_on: None,
            in_herd: true,
        }
    }
}

/// From a day on the cow that had one number has another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Renumbered {
    /// From this day on.
    pub since: Day,
    /// The number keyed on days before.
    pub was: AnimalId,
    /// The number she has.
    pub now: AnimalId,
}

/// The number that a cow has at the end of a day who had this one on an earlier day. Steps come as
/// the database gives them, by day and old number. All steps of one day happen at once: a number
/// that goes from one cow to another on that day leads on from neither.
#[must_use]
pub fn number_after(steps: &[Renumbered], animal: AnimalId, had: Day, on: Day) -> AnimalId {
    let later = &steps[steps.partition_point(|one| one.since <= had)..];
    let days = later.chunk_by(|one, next| one.since == next.since);
    days.take_while(|of_day| of_day[0].since <= on).fold(animal, |animal, of_day| {
        let found = of_day.binary_search_by_key(&animal, |one| one.was);
        found.map_or(animal, |at| of_day[at].now)
    })
}

/// The number that a cow had on a day who has this one now: the way back. `None` where there is
/// none: on that day the number was another cow's, and nobody knows hers.
#[must_use]
pub fn number_before(steps: &[Renumbered], animal: AnimalId, on: Day) -> Option<AnimalId> {
    let later = &steps[steps.partition_point(|one| one.since <= on)..];
    let mut days: Vec<_> = later.chunk_by(|one, next| one.since == next.since).collect();
    days.reverse();
    let had = days.into_iter().fold(animal, |animal, of_day| {
        of_day.iter().find(|one| one.now == animal).map_or(animal, |one| one.was)
    });
    (number_after(steps, had, on, Day(i32::MAX)) == animal).then_some(had)
}

/// What the office knows about a handheld.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handheld {
    /// The herd meant where no visit was keyed.
    pub herd: Option<HerdId>,
    /// The size of its gauge block, where the office was told.
    pub gauge: Option<Nanometres>,
    /// How far off a reading of the gauge block may be.
    pub gauge_tolerance: Nanometres,
}

impl Default for Handheld {
    fn default() -> Self {
        // 0.03 mm: the largest error usually allowed to a calliper of 0.01 mm step up to 200 mm
        // (from memory of tolerance tables, not read in a source).
        Self { herd: None, gauge: None, gauge_tolerance: Nanometres(30_000) }
    }
}

/// What somebody said of whether a cow may be trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrimMark {
    /// Her number on that day.
    pub animal: AnimalId,
    /// The farm's own day.
    pub day: Day,
    /// Whether she is not to be trimmed; else that is taken back.
    pub holds: bool,
    /// Who said so.
    pub who: String,
    /// When.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(since: i32, was: i64, now: i64) -> Renumbered {
        Renumbered { since: Day(since), was: AnimalId(was), now: AnimalId(now) }
    }

    #[test]
    fn a_number_follows_its_cow_and_leads_back_to_her() {
        // On day 10 two cows change numbers; on day 20 one of them gets a third.
        let steps = [step(10, 12, 99), step(10, 99, 12), step(20, 12, 7)];
        let after = |animal, had, on| number_after(&steps, AnimalId(animal), Day(had), Day(on)).0;
        assert_eq!((after(12, 5, 9), after(12, 5, 15), after(12, 5, 30)), (12, 99, 99));
        assert_eq!((after(99, 5, 15), after(99, 5, 30)), (12, 7));
        // From the day itself on the new number is keyed.
        assert_eq!((after(12, 10, 15), after(12, 10, 30)), (12, 7));
        let before = |animal, on| number_before(&steps, AnimalId(animal), Day(on)).map(|one| one.0);
        assert_eq!(
            (before(99, 5), before(7, 5), before(99, 15), before(7, 15)),
            (Some(12), Some(99), Some(99), Some(12))
        );
        assert_eq!((before(7, 20), before(1, 5)), (Some(7), Some(1)));
        // Who has 12 now, if anybody, had another number before day 20, which nobody told.
        assert_eq!((before(12, 5), before(12, 15), before(12, 20)), (None, None, Some(12)));
    }
}
