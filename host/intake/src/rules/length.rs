//! Rules over lengths.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{Entry, Reading};

use super::{Check, Moment, Rule};
use hornrule_facts::Severity::{Flagged, Held};
use hornrule_facts::What;
use hornrule_facts::codes::{DORSAL_WALL, TOE_HEIGHT};
use hornrule_facts::limits::{self, Limits};
use hornrule_facts::plain as words;

/// Both ends are allowed.
fn outside(length: Nanometres, (low, high): (Nanometres, Nanometres)) -> bool {
    length < low || high < length
}

fn possible(reading: &Reading) -> (Nanometres, Nanometres) {
    let (low, high) = reading.dimension.possible_mm;
    (Nanometres::from_mm(low.into()), Nanometres::from_mm(high.into()))
}

/// A length that no claw has.
pub(super) const IMPOSSIBLE: Rule = Rule {
    id: "impossible-length",
    severity: Held,
    looks_for: "a length that no claw or gauge block has",
    check: Check::Moment(|moment| {
        let Entry::Reading(reading) = moment.entry else { return None };
        let limits = reading.dimension.possible_mm;
        outside(reading.length, possible(reading)).then(|| {
            format!(
                "{}: {} of {} cannot be (possible is {} to {} mm). Was the calliper zeroed, and \
                 the right dimension chosen?",
                moment.subject(),
                reading.dimension.name,
                words::length(reading.length),
                limits.0,
                limits.1
            )
        })
    }),
};

/// A length that few claws have.
pub(super) const UNUSUAL: Rule = Rule {
    id: "unusual-length",
    severity: Flagged,
    looks_for: "a length outside what is usual",
    check: Check::Moment(|moment| {
        let Entry::Reading(reading) = moment.entry else { return None };
        let usual = moment.limits.usual_mm.get(usize::from(reading.dimension.code()))?;
        let (low, high) = (Limits::nm(usual.0), Limits::nm(usual.1));
        let unusual =
            outside(reading.length, (low, high)) && !outside(reading.length, possible(reading));
        unusual.then(|| {
            format!(
                "{}: {} of {} is unusually {} (usual is {} to {} mm). Measure again when you see \
                 her next.",
                moment.subject(),
                reading.dimension.name,
                words::length(reading.length),
                if reading.length < low { "short" } else { "long" },
                limits::shown(usual.0),
                limits::shown(usual.1)
            )
        })
    }),
};

/// A claw that was cut short.
pub(super) const SHORT_AFTER_TRIMMING: Rule = Rule {
    id: "short-after-trimming",
    severity: Flagged,
    looks_for: "a dorsal wall that is short after trimming",
    check: Check::Moment(|moment| {
        let Entry::Reading(reading) = moment.entry else { return None };
        let trimmed = moment.clip?.trimmed && reading.dimension.code() == DORSAL_WALL;
        let least = Limits::nm(moment.limits.short_mm);
        (trimmed && reading.length < least && !outside(reading.length, possible(reading))).then(
            || {
                format!(
                    "{}: {} of dorsal wall are left after trimming, less than {} mm. The sole at \
                     the toe may be thin: look whether it yields to the thumb, and leave the toe \
                     alone next time.",
                    moment.subject(),
                    words::length(reading.length),
                    limits::shown(moment.limits.short_mm)
                )
            },
        )
    }),
};

/// The toe cannot stand higher than its wall is long.
pub(super) const TOE_ABOVE_WALL: Rule = Rule {
    id: "toe-above-wall",
    severity: Flagged,
    looks_for: "a toe height above the dorsal wall length of the same claw",
    check: Check::Moment(toe_above_wall),
};

fn toe_above_wall(moment: &Moment<'_>) -> Option<String> {
    let Entry::Reading(reading) = moment.entry else { return None };
    let now = moment.clip?;
    let other = match now.dimension.code() {
        TOE_HEIGHT => DORSAL_WALL,
        DORSAL_WALL => TOE_HEIGHT,
        _ => return None,
    };
    // The last reading of the other one on the same claw, in the same state of trim.
    let before =
        moment.before.iter().rev().find_map(|(_, observation)| match observation.what {
            What::Reading(clip)
                if observation.place == reading.place
                    && clip.dimension.code() == other
                    && clip.trimmed == now.trimmed =>
            {
                Some(clip.length)
            }
            _ => None,
        })?;
    let (toe, wall) =
        if other == DORSAL_WALL { (now.length, before) } else { (before, now.length) };
    (toe > wall).then(|| {
        format!(
            "{}: the toe height of {} is more than the dorsal wall length of {}, which no claw \
             has. One of the two may have been clipped as the other; measure both again.",
            moment.subject(),
            words::length(toe),
            words::length(wall)
        )
    })
}
