//! Which farm a key means: by the plan of the day, or by the standing keys.

use crate::ids::{Day, HerdId};

/// From a day on a key stands for a herd, or no longer does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandingKey {
    /// The key, 1 to 9.
    pub key: u8,
    /// The herd.
    pub herd: HerdId,
    /// The herd's own day from which on; `None`: always.
    pub since: Option<Day>,
    /// Whether it stands for it; else it no longer does.
    pub holds: bool,
}

/// A plan that the office made for a day and kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptPlan {
    /// Its number, counted by the office.
    pub number: u32,
    /// The CRC-32 of its bytes, which the handheld seals when it is loaded.
    pub name: u32,
    /// The day it is for.
    pub day: Day,
    /// Which key means which herd on that day, by key.
    pub farms: Vec<(u8, HerdId)>,
}

impl KeptPlan {
    /// The herd of a key; `None` where the plan has no such key.
    #[must_use]
    pub fn herd(&self, key: u8) -> Option<HerdId> {
        self.farms.iter().find(|(one, _)| *one == key).map(|(_, herd)| *herd)
    }
}

/// The herd for which a key stands at a moment. What was said comes by its day, and of one day in
/// the order in which it was said: later words win. `day` is the day of the moment at a herd, since a
/// day is a farm's own; a moment that nobody can date comes after all that was said.
#[must_use]
pub fn standing_at(
    said: &[StandingKey],
    key: u8,
    day: impl Fn(HerdId) -> Option<Day>,
) -> Option<HerdId> {
    let mut stands = None;
    for one in said.iter().filter(|one| one.key == key) {
        if one.since.is_some_and(|since| day(one.herd).is_some_and(|day| day < since)) {
            continue;
        }
        if one.holds {
            stands = Some(one.herd);
        } else if stands == Some(one.herd) {
            stands = None;
        }
    }
    stands
}

/// The lowest key that stands for a herd on a day of its own; `None` for the day: by the latest word.
#[must_use]
pub fn key_of(said: &[StandingKey], herd: HerdId, day: Option<Day>) -> Option<u8> {
    (1..=9).find(|key| standing_at(said, *key, |_| day) == Some(herd))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(key: u8, herd: i64, since: Option<i32>, holds: bool) -> StandingKey {
        StandingKey { key, herd: HerdId(herd), since: since.map(Day), holds }
    }

    #[test]
    fn a_key_stands_for_a_farm_from_a_day_on() {
        let all = [
            said(1, 1, None, true),
            said(2, 2, None, true),
            said(1, 2, Some(10), true),
            said(2, 2, Some(10), false),
            said(1, 2, Some(20), false),
        ];
        let on = |key, day: i32| standing_at(&all, key, |_| Some(Day(day))).map(|herd| herd.0);
        assert_eq!((on(1, 9), on(1, 10), on(1, 19), on(1, 20)), (Some(1), Some(2), Some(2), None));
        assert_eq!((on(2, 9), on(2, 10), on(3, 9)), (Some(2), None, None));
        assert_eq!(standing_at(&all, 1, |_| None), None, "what has no day comes last");
        assert_eq!(key_of(&all, HerdId(2), Some(Day(9))), Some(2));
        assert_eq!(key_of(&all, HerdId(2), Some(Day(15))), Some(1));
        assert_eq!(key_of(&all, HerdId(2), None), None);
    }

    #[test]
    fn a_key_is_taken_only_from_the_farm_that_gives_it_back() {
        // Herd 1 gave it back on the day on which herd 2 had got it already.
        let all = [said(1, 1, None, true), said(1, 2, Some(10), true), said(1, 1, Some(10), false)];
        assert_eq!(standing_at(&all, 1, |_| Some(Day(10))), Some(HerdId(2)));
    }
}
