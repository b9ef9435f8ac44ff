//! Rules that ask whether a sentence makes sense beside what was said before.

use hornrule_facts::What;
use hornrule_protocol::codes::{ActionKind, Seat};
use hornrule_protocol::record::{Entry, Finding};
use hornrule_protocol::{Lesion, Place, Uptime};

use super::{Check, Moment, Rule};
use hornrule_facts::Severity::Flagged;
use hornrule_facts::codes::TRIMMED;
use hornrule_facts::observation::Observation;

/// Whether something said before is so near that saying it again is likely a slip.
fn is_near(moment: &Moment<'_>, then: Uptime) -> bool {
    // Thousandths of a second are milliseconds.
    i128::from(moment.uptime.0.abs_diff(then.0)) <= i128::from(moment.limits.twice_s)
}

/// The same sentence twice in a row of seconds.
pub(super) const TWICE: Rule = Rule {
    id: "said-twice",
    severity: Flagged,
    looks_for: "the same sentence twice within seconds",
    check: Check::Moment(|moment| {
        // Readings are exempt: measuring the same claw again is work, not a slip.
        let same = |said: &What| match (said, moment.entry) {
            (What::Finding(then), Entry::Finding(now)) => then == now,
            (What::Action(then), Entry::Action(now)) => then == now,
            (What::Score { scale, value }, Entry::Score { scale: now, value: and }) => {
                scale == now && value == and
            }
            _ => false,
        };
        let twice = moment.before.iter().any(|(at, one)| is_near(moment, *at) && same(&one.what));
        twice.then(|| {
            format!(
                "{}: entry {} says the same as one a moment before. If that was a slip, take one \
                 of them back.",
                moment.subject(),
                moment.seq.0
            )
        })
    }),
};

/// A claw trimmed twice in one stay.
pub(super) const TRIMMED_TWICE: Rule = Rule {
    id: "trimmed-twice",
    severity: Flagged,
    looks_for: "a claw trimmed to form twice in one stay",
    check: Check::Moment(|moment| {
        let Entry::Action(done) = moment.entry else { return None };
        let again = |(at, one): &(Uptime, Observation)| {
            let What::Action(then) = one.what else { return false };
            then.action == done.action && then.place == done.place && !is_near(moment, *at)
        };
        (done.action.code() == TRIMMED && moment.before.iter().any(again)).then(|| {
            format!(
                "{}: trimmed to form a second time in this stay. Was the partner claw or another \
                 foot meant? Lengths after it stand on the claw that was keyed.",
                moment.subject()
            )
        })
    }),
};

/// One finding said twice in one stay.
pub(super) const FOUND_TWICE: Rule = Rule {
    id: "found-twice",
    severity: Flagged,
    looks_for: "the same lesion at the same place twice in one stay",
    check: Check::Moment(|moment| {
        let Entry::Finding(finding) = moment.entry else { return None };
        let again = |(at, one): &(Uptime, Observation)| {
            let What::Finding(then) = one.what else { return false };
            let same = (then.lesion, then.place, then.zone)
                == (finding.lesion, finding.place, finding.zone);
            same && !is_near(moment, *at)
        };
        moment.before.iter().any(again).then(|| {
            format!(
                "{}: {} was found a second time in this stay. If the first was a slip, take it \
                 back; if it was another claw, say which.",
                moment.subject(),
                finding.lesion.name
            )
        })
    }),
};

/// Lesions on which a claw should not bear more: sole, white line and fissures. Heel horn erosion
/// is left out, because most sound partners have some (common practice, no source).
fn bears_badly(lesion: Lesion) -> bool {
    lesion.seat == Seat::Claw && matches!(lesion.code, 11..=18 | 21..=23 | 41..=43)
}

/// A block on the sore claw.
pub(super) const BLOCK_ON_LESION: Rule = Rule {
    id: "block-on-lesion",
    severity: Flagged,
    looks_for: "a block glued on a claw that carries a lesion",
    check: Check::Moment(block_on_lesion),
};

fn block_on_lesion(moment: &Moment<'_>) -> Option<String> {
    let here = moment.place();
    if !matches!(here, Place::Claw(_)) {
        return None;
    }
    let said =
        || moment.before.iter().filter(|(_, one)| one.place == here).map(|(_, one)| one.what);
    let lesion = match moment.entry {
        Entry::Action(done) if done.action.kind == ActionKind::BlockOn => {
            said().find_map(|said| match said {
                What::Finding(finding) if bears_badly(finding.lesion) => Some(finding.lesion),
                _ => None,
            })?
        }
        Entry::Finding(Finding { lesion, .. }) if bears_badly(*lesion) => {
            let block = |said| match said {
                What::Action(done) => done.action.kind == ActionKind::BlockOn,
                What::Stay { .. } | What::Reading(_) | What::Finding(_) | What::Score { .. } => {
                    false
                }
            };
            said().any(block).then_some(*lesion)?
        }
        _ => return None,
    };
    Some(format!(
        "{}: a block and {} were said of the same claw. The block belongs on the sound partner \
         claw; look which of the two was keyed on the wrong claw.",
        moment.subject(),
        lesion.name
    ))
}

/// A zone where that lesion is not found.
pub(super) const UNLIKELY_ZONE: Rule = Rule {
    id: "unlikely-zone",
    severity: Flagged,
    looks_for: "a lesion at a zone where it is not usually found",
    check: Check::Moment(|moment| {
        let Entry::Finding(finding) = moment.entry else { return None };
        let zone = finding.zone?;
        let usual = finding.lesion.zones;
        (!usual.is_empty() && !usual.contains(&zone.number())).then(|| {
            let list: Vec<String> = usual.iter().map(ToString::to_string).collect();
            format!(
                "{}: {} was keyed at zone {} ({}); it is usually found at {} {}. It stands as \
                 keyed; correct it if it was a slip.",
                moment.subject(),
                finding.lesion.name,
                zone.number(),
                zone.region(),
                if list.len() == 1 { "zone" } else { "zones" },
                list.join(", ")
            )
        })
    }),
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lesions_that_bear_badly_are_all_in_horn() {
        let bad: Vec<_> = Lesion::all().filter(|l| bears_badly(*l)).map(|l| l.letters).collect();
        let expected = [
            "SHD", "SHC", "SU", "BU", "TU", "TN", "DS", "TS", "WLF", "WLA", "WLB", "HFV", "HFH",
            "HFA",
        ];
        assert_eq!(bad, expected);
    }
}
