//! More new horn than can form.

use hornrule_casebook::Case;
use hornrule_facts::codes::{HORN_OPENED, REGROWN};
use hornrule_facts::{Day, Fact, What};
use hornrule_protocol::{Nanometres, Place};

use super::{Asked, Noticed};

/// Horn that can form over an opened lesion in two weeks at best, mm: 1/8 inch (common practice, no
/// source).
pub const REGROWN_MM: f64 = 3.175;
/// Two weeks.
const DAYS: i64 = 14;
/// The same in nanometres.
const REGROWN_NM: i64 = 3_175_000;

pub(super) fn notices(asked: &Asked<'_>) -> Vec<(Place, Noticed)> {
    let mut all: Vec<(Place, Noticed)> = Vec::new();
    // The last reading of a claw counts: it was measured again for a reason.
    for fact in asked.of_day.iter().rev() {
        let What::Reading(clip) = fact.what else { continue };
        if clip.dimension.code() != REGROWN || all.iter().any(|(place, _)| *place == fact.place) {
            continue;
        }
        let Some(since) = since(asked.facts, asked.cases(), (fact.place, asked.day)) else {
            continue;
        };
        let days = asked.day.0 - since.0;
        let most = most(days);
        all.push((fact.place, Noticed::Regrown { length: clip.length, days, most }));
    }
    all.retain(|(_, what)| matches!(what, Noticed::Regrown { length, most, .. } if length > most));
    all.sort_by_key(|(place, _)| *place);
    all
}

/// The last day before on which the horn of that claw was opened; else the day its oldest case that
/// stands was found.
/// `facts`: her actions in the order of time.
pub(crate) fn since<'a>(
    facts: &[Fact],
    cases: impl Iterator<Item = &'a Case>,
    (place, day): (Place, Day),
) -> Option<Day> {
    let opened = facts.iter().rev().find(|fact| {
        let opened = matches!(fact.what, What::Action(done) if done.action.code() == HORN_OPENED);
        opened && fact.place == place && fact.day < day
    });
    let here = cases.filter(|case| case.is_horn() && case.place == place);
    let found = here.map(|case| case.found).filter(|found| *found < day).min();
    opened.map(|fact| fact.day).or(found)
}

/// At most so much can form in so many days.
pub(crate) fn most(days: i32) -> Nanometres {
    let most = REGROWN_NM * i64::from(days) / DAYS;
    Nanometres(i32::try_from(most).unwrap_or(i32::MAX))
}
