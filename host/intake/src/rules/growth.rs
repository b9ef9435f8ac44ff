//! Rules that compare a claw with itself and with its cow's other feet.

use std::collections::BTreeMap;

use hornrule_protocol::{DeviceId, Foot, LogId, Nanometres, Place, Seq, Side};

use super::super::history::{History, Measure, Spotted};
use super::{Check, Rule};
use hornrule_facts::Severity::Flagged;
use hornrule_facts::codes::DORSAL_WALL;
use hornrule_facts::limits::{Limits, PER_UNIT};
use hornrule_facts::plain as words;

/// Days of a month, rounded: horn does not read calendars.
const MONTH_DAYS: i64 = 30;

/// A length far from what this claw had.
pub(super) const FAR_FROM_HISTORY: Rule = Rule {
    id: "far-from-history",
    severity: Flagged,
    looks_for: "a length before trimming that lies far from this claw's last one",
    check: Check::History(far_from_history),
};

fn far_from_history(history: &History<'_>) -> Vec<Spotted> {
    let same = |a: &Measure, b: &Measure| {
        (a.met.animal, a.place, a.dimension.code()) == (b.met.animal, b.place, b.dimension.code())
    };
    let mut spotted = Vec::new();
    for claw in history.measures.chunk_by(same) {
        for (i, now) in claw.iter().enumerate().filter(|(_, now)| !now.trimmed) {
            let earlier = claw[..i].iter().rev().find(|then| then.met.day < now.met.day);
            spotted.extend(earlier.and_then(|then| strayed(&history.limits, then, now)));
        }
    }
    spotted
}

fn strayed(limits: &Limits, then: &Measure, now: &Measure) -> Option<Spotted> {
    let days = i64::from(now.met.day.0) - i64::from(then.met.day.0);
    let grown = limits.history_mm_month.saturating_mul(days) / MONTH_DAYS;
    let allowed = limits.history_mm.saturating_add(grown);
    let off = now.length.distance(then.length);
    (i64::from(off) > allowed.saturating_mul(i64::from(Nanometres::PER_MM) / PER_UNIT)).then(|| {
        let sentence = format!(
            "Cow {}, {}: {} of {} now and {} {} before. That is more than horn grows or is worn in \
             that time. Was it another cow, claw or dimension?",
            now.met.animal,
            words::place(now.place),
            now.dimension.name,
            words::length(now.length),
            words::length(then.length),
            words::count(usize::try_from(days).unwrap_or(0), "day", "days"),
        );
        Spotted { place: now.place, ..Spotted::cow(&now.met, sentence) }
    })
}

/// A length far from those of the three other feet.
pub(super) const FAR_FROM_FEET: Rule = Rule {
    id: "far-from-feet",
    severity: Flagged,
    looks_for: "a dorsal wall that differs much from those of the three other feet",
    check: Check::History(far_from_feet),
};

/// The same claw of all feet in one stay, in one state of trim.
type Four = (DeviceId, LogId, Seq, Side, bool);

fn far_from_feet(history: &History<'_>) -> Vec<Spotted> {
    let mut stays: BTreeMap<Four, BTreeMap<Foot, &Measure>> = BTreeMap::new();
    for measure in history.measures.iter().filter(|one| one.dimension.code() == DORSAL_WALL) {
        let Place::Claw(claw) = measure.place else { continue };
        let met = &measure.met;
        let four = (met.device, met.log, measure.presence, claw.side, measure.trimmed);
        // The last reading of each counts: it was measured again for a reason.
        stays.entry(four).or_default().insert(claw.foot, measure);
    }
    let mut spotted = Vec::new();
    for feet in stays.values().filter(|feet| feet.len() == Foot::ALL.len()) {
        for (foot, measure) in feet {
            let mut others: Vec<Nanometres> =
                feet.iter().filter(|(other, _)| *other != foot).map(|(_, m)| m.length).collect();
            others.sort_unstable();
            let middle = others[others.len() / 2];
            let most = Limits::nm(history.limits.feet_mm);
            if measure.length.distance(middle) > most.distance(Nanometres(0)) {
                spotted.push(odd_foot(measure, middle));
            }
        }
    }
    spotted
}

fn odd_foot(measure: &Measure, middle: Nanometres) -> Spotted {
    let sentence = format!(
        "Cow {}, {}: dorsal wall length of {}, while the same claw of the three other feet has {} \
         in the middle. Was another claw or dimension meant, or the toe broken?",
        measure.met.animal,
        words::place(measure.place),
        words::length(measure.length),
        words::length(middle),
    );
    Spotted { place: measure.place, ..Spotted::cow(&measure.met, sentence) }
}
