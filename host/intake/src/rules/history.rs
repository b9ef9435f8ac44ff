//! Rules over a herd's rows of all days.

use std::collections::BTreeSet;

use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::{Place, Seq};

use super::super::history::{Acted, Checks, History, Spotted};
use super::{Check, Rule};
use hornrule_facts::AnimalId;
use hornrule_facts::Severity::Flagged;
use hornrule_facts::codes::{BLOCK_STILL_ON, HEALED};
use hornrule_facts::plain as words;

/// A calliper set to inches and to millimetres on one day.
pub(super) const MIXED_UNITS: Rule = Rule {
    id: "mixed-units",
    severity: Flagged,
    looks_for: "inches and millimetres from one handheld on one day",
    check: Check::History(mixed_units),
};

fn mixed_units(history: &History<'_>) -> Vec<Spotted> {
    let mixed = history.units.iter().filter(|units| units.inch > 0 && units.millimetre > 0);
    let spot = |units: &super::super::history::Units| {
        // The remark stands at the first reading of the rarer unit.
        let seq: Seq =
            if units.inch <= units.millimetre { units.first_inch } else { units.first_millimetre };
        let sentence = format!(
            "On this day the calliper was set to inches for {} and to millimetres for {}. All \
             lengths are kept exactly; look whether the unit key was hit by mistake, and whether \
             the zero was lost with it.",
            words::count(units.inch as usize, "reading", "readings"),
            words::count(units.millimetre as usize, "reading", "readings")
        );
        Spotted::of_day((units.device, units.log, seq), units.day, sentence)
    };
    mixed.map(spot).collect()
}

/// Lengths without a check of the calliper.
pub(super) const NO_GAUGE_CHECK: Rule = Rule {
    id: "no-gauge-check",
    severity: Flagged,
    looks_for: "lengths of a day without a passed check of the calliper before them",
    check: Check::History(no_gauge_check),
};

fn no_gauge_check(history: &History<'_>) -> Vec<Spotted> {
    let open = history.checks.iter().filter(|checks| checks.unchecked > 0);
    let spot = |checks: &Checks| {
        let failed = match checks.failed {
            0 => String::new(),
            failed => format!(", {failed} of them after a check that failed"),
        };
        let sentence = format!(
            "Of this day's {} {} without a passed check of the calliper before {}{failed}. Measure \
             the gauge block before work (SIZE 0 and a clip); `hornrule gauge` tells the office \
             its size.",
            words::count(checks.readings as usize, "length", "lengths"),
            words::count(checks.unchecked as usize, "was taken", "were taken"),
            if checks.unchecked == 1 { "it" } else { "them" },
        );
        Spotted::of_day((checks.device, checks.log, checks.first_unchecked), checks.day, sentence)
    };
    open.map(spot).collect()
}

/// When a lesion was first recorded on the foot of something said, where one ever was.
fn first_finding(history: &History<'_>, act: &Acted) -> Option<i64> {
    let foot = act.place.foot()?.number();
    history.first_findings.get(&(act.met.animal, foot)).copied()
}

fn rechecks<'a>(history: &'a History<'_>) -> impl Iterator<Item = &'a Acted> {
    history.acts.iter().filter(|act| act.action.kind == ActionKind::Healing)
}

/// Healed, though nothing was ever found there.
pub(super) const HEALED_FROM_NOTHING: Rule = Rule {
    id: "healed-from-nothing",
    severity: Flagged,
    looks_for: "healed, on a foot where no lesion was ever recorded",
    check: Check::History(healed_from_nothing),
};

fn healed_from_nothing(history: &History<'_>) -> Vec<Spotted> {
    let never = rechecks(history)
        .filter(|act| act.action.code() == HEALED && first_finding(history, act).is_none());
    let spot = |act: &Acted| {
        let sentence = format!(
            "Cow {}, {}: said to be healed, but no lesion was ever recorded on that foot. Was it \
             another foot or another cow, or found before these records begin?",
            act.met.animal,
            words::place(act.place)
        );
        Spotted { place: act.place, ..Spotted::cow(&act.met, sentence) }
    };
    never.map(spot).collect()
}

/// A recheck of something that was found only later.
pub(super) const RECHECK_BEFORE_LESION: Rule = Rule {
    id: "recheck-before-lesion",
    severity: Flagged,
    looks_for: "a recheck on a foot whose first lesion was recorded only later",
    check: Check::History(recheck_before_lesion),
};

fn recheck_before_lesion(history: &History<'_>) -> Vec<Spotted> {
    let early = rechecks(history)
        .filter(|act| first_finding(history, act).is_some_and(|first| act.at_ms < first));
    let spot = |act: &Acted| {
        let sentence = format!(
            "Cow {}, {}: \"{}\" was said before any lesion was recorded on that foot. Was the \
             lesion keyed on another foot or cow at the visit before, or found before these \
             records begin?",
            act.met.animal,
            words::place(act.place),
            act.action.name
        );
        Spotted { place: act.place, ..Spotted::cow(&act.met, sentence) }
    };
    early.map(spot).collect()
}

/// A block that nobody has glued.
pub(super) const NO_BLOCK_THERE: Rule = Rule {
    id: "no-block-there",
    severity: Flagged,
    looks_for: "a block seen, taken off or lost on a claw where none was on",
    check: Check::History(no_block_there),
};

fn no_block_there(history: &History<'_>) -> Vec<Spotted> {
    let mut on: BTreeSet<(AnimalId, Place)> = BTreeSet::new();
    let mut spotted = Vec::new();
    for act in history.acts {
        let claw = (act.met.animal, act.place);
        match act.action.kind {
            ActionKind::BlockOn => {
                on.insert(claw);
            }
            ActionKind::BlockSeen => {
                if !on.contains(&claw) {
                    spotted.push(missing_block(act));
                }
                // What was seen is on from now on; what came off is not.
                if act.action.code() == BLOCK_STILL_ON {
                    on.insert(claw);
                } else {
                    on.remove(&claw);
                }
            }
            _ => {}
        }
    }
    spotted
}

fn missing_block(act: &Acted) -> Spotted {
    let sentence = format!(
        "Cow {}, {}: \"{}\" was said, but no block is recorded on that claw. Was it the partner \
         claw, another cow, or a block glued before these records begin?",
        act.met.animal,
        words::place(act.place),
        act.action.name
    );
    Spotted { place: act.place, ..Spotted::cow(&act.met, sentence) }
}
