//! Rules that ask whether a thing said has its herd, its time, its cow and its claw.

use hornrule_protocol::codes::{About, Seat};
use hornrule_protocol::record::Entry;
use hornrule_protocol::{Lesion, Place};

use super::super::chute::{Cow, is_gauge};
use super::super::office::Whose;
use super::{Begun, Check, Moment, Rule};
use hornrule_facts::Severity::{Flagged, Held};
use hornrule_facts::plain as words;

const fn held(
    id: &'static str,
    looks_for: &'static str,
    check: fn(&Moment<'_>) -> Option<String>,
) -> Rule {
    Rule { id, severity: Held, looks_for, check: Check::Moment(check) }
}

/// A plan of another day.
pub(super) const OLD_PLAN: Rule = Rule {
    id: "old-plan",
    severity: Flagged,
    looks_for: "a visit on another day than that of the plan that says which farm it is",
    check: Check::Visit(|begun| {
        let day = begun.day.filter(|day| *day != begun.plan)?;
        let Begun { seq, farm, plan, .. } = begun;
        let keyed = begun
            .key
            .map_or_else(|| "No farm was keyed".to_owned(), |key| format!("Farm {key} was keyed"));
        Some(format!(
            "{keyed} on {day}, and the handheld had the plan of {plan}: it was taken as {farm}. \
             If that is right, accept this entry; else say which farm it was with `hornrule \
             review visit {} --farm NAME`. Load the plan in the morning of each day.",
            seq.0
        ))
    }),
};

/// A key without a herd.
pub(super) const UNKNOWN_FARM: Rule =
    held("unknown-farm", "work at a farm key that means no farm", |moment| match moment.whose {
        Whose::UnknownFarm(key) => Some(format!(
            "This was keyed at farm {key}, and no farm had that key on that day. Say which farm it \
             was with `hornrule review visit {seq} --farm NAME`, or give the key to its farm with \
             `hornrule herd set --herd NAME --key {key} --since DATE`; a farm that is new is \
             imported first (`hornrule herd import`).",
            seq = moment.seq.0
        )),
        Whose::NotInPlan { key, plan } => Some(format!(
            "This was keyed at farm {key}, and the plan of {plan}, which the handheld had, has no \
             such farm. Say which farm it was with `hornrule review visit {} --farm NAME`.",
            moment.seq.0
        )),
        Whose::Herd(_) | Whose::NoVisit | Whose::NoVisitOf { .. } => None,
    });

/// No visit, and no herd that must be meant.
pub(super) const NO_VISIT: Rule = held(
    "no-visit",
    "work without a farm, where more than one could be meant",
    |moment| match moment.whose {
        Whose::NoVisit => Some(format!(
            "No farm was keyed before this, and not exactly one herd is known. Say which farm \
                 it was with `hornrule review visit {} --farm NAME`; or import a herd list, and the \
                 entry comes in by itself.",
            moment.seq.0
        )),
        Whose::NoVisitOf { plan } => Some(format!(
            "The plan of {plan} has several farms, and none was keyed after it was loaded. Say \
                 which farm it was with `hornrule review visit {} --farm NAME`. At each farm key \
                 COW 0, its key, COW.",
            moment.seq.0
        )),
        Whose::Herd(_) | Whose::UnknownFarm(_) | Whose::NotInPlan { .. } => None,
    },
);

/// No time.
pub(super) const CLOCK_UNKNOWN: Rule =
    held("clock-unknown", "work whose day nobody knows", |moment| {
        moment.when.is_none().then(|| {
            "The handheld has never been seen beside a clock, so the day is not known. Pull again \
             from the handheld itself; the entry then comes in by itself."
                .to_owned()
        })
    });

/// A day that nobody can be certain of.
pub(super) const DAY_UNCERTAIN: Rule = Rule {
    id: "day-uncertain",
    severity: Flagged,
    looks_for: "a cow whose day is open, because the clock's uncertainty reaches over midnight",
    check: Check::Moment(|moment| {
        let (Entry::Animal(_), Some(when), Some(day)) = (moment.entry, moment.when, moment.day)
        else {
            return None;
        };
        // Nobody can say how far off: the start of the boot has said that already.
        let open = when.uncertainty_ms?;
        let (first, last) = moment.days?;
        (first != last).then(|| {
            format!(
                "{} was in the chute on {day}, give or take {}: it may have been any day from \
                 {first} to {last}. Set the handheld's clock before work; intervals from this day \
                 are as uncertain.",
                moment.subject(),
                words::duration(open)
            )
        })
    }),
};

/// Everything but naming a cow and reading a gauge block needs a cow.
fn needs_cow(entry: &Entry) -> bool {
    !matches!(entry, Entry::Animal(_)) && !is_gauge(entry)
}

/// The cow is not certain.
pub(super) const AFTER_GAP: Rule =
    held("after-gap", "work after missing entries and before the next cow", |moment| {
        (needs_cow(moment.entry) && moment.cow == Cow::Uncertain).then(|| {
            format!(
                "Entry {} comes after missing or unreadable entries, so nobody can say for certain \
                 which cow it belongs to. Say so in the office if you remember.",
                moment.seq.0
            )
        })
    });

/// No cow.
pub(super) const NO_COW: Rule = held("no-cow", "work without a cow in the chute", |moment| {
    (needs_cow(moment.entry) && moment.cow == Cow::Nobody).then(|| {
        format!(
            "Entry {} was said with no cow in the chute, or after her number was taken back. Key \
             the cow first; say in the office which cow it was.",
            moment.seq.0
        )
    })
});

/// A tag that no animal carries.
pub(super) const NO_ANIMAL: Rule =
    held("no-animal", "an electronic tag number that no animal carries", |moment| {
        let about_her = needs_cow(moment.entry) || matches!(moment.entry, Entry::Animal(_));
        (about_her && moment.cow == Cow::NoAnimal).then(|| {
            "The tag number keyed has no country code, and no animal carries such a tag. Key her \
             herd number, or the 15 digits again."
                .to_owned()
        })
    });

/// No claw or foot where one is needed.
pub(super) const NO_CLAW: Rule =
    held("no-claw", "a measurement, finding or treatment without its claw or foot", |moment| {
        let (what, wanted, there) = match moment.entry {
            Entry::Reading(r) if !r.dimension.is_gauge() => {
                (r.dimension.name, "claw", matches!(r.place, Place::Claw(_)))
            }
            Entry::Finding(f) if f.lesion.seat == Seat::Claw && !is_sound(f.lesion) => {
                (f.lesion.name, "claw", matches!(f.place, Place::Claw(_)))
            }
            Entry::Finding(f) => (f.lesion.name, "foot", f.place != Place::Cow),
            Entry::Action(done) => match done.action.about {
                // "All feet trimmed", "this foot trimmed", "no foot trimmed".
                About::Claw | About::Foot if done.action.spreads() => return None,
                About::Claw => (done.action.name, "claw", matches!(done.place, Place::Claw(_))),
                About::Foot => (done.action.name, "foot", done.place != Place::Cow),
                About::Cow | About::Tools => return None,
            },
            _ => return None,
        };
        (!there).then(|| {
            format!(
                "{}: {what} was said without choosing a {wanted}. Choose the {wanted} first; say \
                 in the office which one it was.",
                moment.subject()
            )
        })
    });

/// "Looked at, sound" may be said of a whole foot.
fn is_sound(lesion: Lesion) -> bool {
    lesion.code == 0
}
