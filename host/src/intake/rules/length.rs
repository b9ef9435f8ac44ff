//! Rules over lengths.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::Entry;

use super::super::observation::Said;
use super::super::remark::Severity::{Flagged, Held};
use super::super::words;
use super::{Check, Moment, Rule};

/// Dimension numbers of the code table.
const DORSAL_WALL: u8 = 1;
const TOE_HEIGHT: u8 = 5;

/// Both ends are allowed.
fn outside(length: Nanometres, (low, high): (u16, u16)) -> bool {
    length < Nanometres::from_mm(low.into()) || Nanometres::from_mm(high.into()) < length
}

/// A length that no claw has.
pub(super) const IMPOSSIBLE: Rule = Rule {
    id: "impossible-length",
    severity: Held,
    looks_for: "a length that no claw or gauge block has",
    check: Check::Moment(|moment| {
        let Entry::Reading(reading) = moment.entry else { return None };
        let limits = reading.dimension.possible_mm;
        outside(reading.length, limits).then(|| {
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
        let (usual, possible) = (reading.dimension.usual_mm, reading.dimension.possible_mm);
        let unusual = outside(reading.length, usual) && !outside(reading.length, possible);
        unusual.then(|| {
            let how =
                if reading.length < Nanometres::from_mm(usual.0.into()) { "short" } else { "long" };
            format!(
                "{}: {} of {} is unusually {how} (usual is {} to {} mm). Measure again when you \
                 see her next.",
                moment.subject(),
                reading.dimension.name,
                words::length(reading.length),
                usual.0,
                usual.1
            )
        })
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
        moment.before.iter().rev().find_map(|(_, observation)| match observation.said {
            Said::Reading(clip)
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
