//! Rules over a herd's rows of all days.

use hornrule_protocol::Seq;

use super::super::history::{History, Spotted};
use super::super::remark::Severity::Flagged;
use super::super::words;
use super::{Check, Rule};

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

/// Healed, though nothing was ever found there.
pub(super) const HEALED_FROM_NOTHING: Rule = Rule {
    id: "healed-from-nothing",
    severity: Flagged,
    looks_for: "healed, on a foot where no lesion was ever recorded",
    check: Check::History(healed_from_nothing),
};

fn healed_from_nothing(history: &History<'_>) -> Vec<Spotted> {
    let never = history.healed.iter().filter(|healed| {
        let foot = healed.place.foot().map(|foot| foot.number());
        let first = foot.and_then(|foot| history.first_findings.get(&(healed.met.animal, foot)));
        first.is_none_or(|first| *first > healed.at_ms)
    });
    let spot = |healed: &super::super::history::Healed| {
        let sentence = format!(
            "Cow {}, {}: said to be healed, but no lesion was ever recorded on that foot. Was it \
             another foot or another cow, or found before these records begin?",
            healed.met.animal,
            words::place(healed.place)
        );
        Spotted { place: healed.place, ..Spotted::cow(&healed.met, sentence) }
    };
    never.map(spot).collect()
}
