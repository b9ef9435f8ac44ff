//! Rules over a log, record by record: damage, gaps, faults, the clock.

use hornrule_protocol::OpenError;
use hornrule_protocol::record::{CalliperFault, Entry};

use super::super::clock::{Standing, is_sane};
use super::super::remark::Severity::{Flagged, Held};
use super::{Check, Rule, Seen};

const fn rule(
    id: &'static str,
    severity: super::Severity,
    looks_for: &'static str,
    check: fn(&Seen<'_>) -> Option<String>,
) -> Rule {
    Rule { id, severity, looks_for, check: Check::Record(check) }
}

/// What a record says; `None` for one that does not open.
fn entry<'a>(seen: &'a Seen<'_>) -> Option<&'a Entry> {
    seen.opened.as_ref().ok().map(|record| &record.entry)
}

/// A record whose checksum does not hold.
pub(super) const DAMAGED: Rule =
    rule("damaged", Held, "a record whose checksum does not hold", |seen| {
        matches!(seen.opened, Err(OpenError::Damaged)).then(|| {
            format!(
                "Entry {} is damaged and cannot be read. Write down by hand what you remember of \
                 it; the handheld's memory may be wearing out.",
                seen.seq.0
            )
        })
    });

/// A record of a newer version.
pub(super) const NEWER: Rule =
    rule("newer", Held, "a record of a version this program does not know", |seen| {
        match seen.opened {
            Err(OpenError::Newer { version }) => Some(format!(
                "Entry {} is of version {version}, which this program does not know. It is safe; \
                 update the program, then rebuild.",
                seen.seq.0
            )),
            _ => None,
        }
    });

/// A whole record that makes no sense.
pub(super) const MALFORMED: Rule =
    rule("malformed", Held, "a record that is whole but cannot be understood", |seen| {
        matches!(seen.opened, Err(OpenError::Malformed)).then(|| {
            format!(
                "Entry {} is whole, but this program does not understand it. It is safe; check \
                 that handheld and program are of the same version.",
                seen.seq.0
            )
        })
    });

/// Numbers without records.
pub(super) const NUMBERS_MISSING: Rule =
    rule("numbers-missing", Flagged, "numbers in the log that have no record", |seen| {
        let missing = seen.missing?;
        let entries = match (missing.first, missing.last) {
            (first, last) if first == last => format!("Entry {} is", first.0),
            (first, last) => format!("Entries {} to {} are", first.0, last.0),
        };
        let what = if missing.lost {
            "lost on the handheld"
        } else {
            "not here yet: pull again, that may bring them"
        };
        Some(format!(
            "{entries} {what}. A cow may have been named in between, so entries up to the next cow \
             are held."
        ))
    });

/// The log was full.
pub(super) const LOG_WAS_FULL: Rule =
    rule("log-was-full", Flagged, "entries refused because the handheld was full", |seen| {
        match entry(seen)? {
            Entry::Gap { refused } => Some(format!(
                "The handheld was full and refused {refused} entries. Pull more often; entries up \
                 to the next cow are held, because a cow may have been named in between."
            )),
            _ => None,
        }
    });

/// UNDO of something that is not there.
pub(super) const NOTHING_TO_UNDO: Rule = rule(
    "nothing-to-undo",
    Flagged,
    "an UNDO that finds nothing to take back",
    |seen| match entry(seen)? {
        Entry::Void { seq: target } if seen.missed_void => Some(format!(
            "Entry {} takes back entry {}, which is missing, of an earlier start, or nothing \
                 that can be taken back. Look whether something is to be corrected by hand.",
            seen.seq.0, target.0
        )),
        _ => None,
    },
);

/// A clip that gave no length.
pub(super) const CALLIPER_FAULT: Rule =
    rule("calliper-fault", Flagged, "a clip of the calliper that gave no length", |seen| {
        let Entry::CalliperFault(fault) = entry(seen)? else { return None };
        Some(match fault {
            CalliperFault::Silent => {
                "The calliper was silent. Check its plug and battery.".to_owned()
            }
            CalliperFault::WrongBits => {
                "The calliper sent too few or too many bits. Check for a loose plug.".to_owned()
            }
            CalliperFault::Nonsense => {
                "The calliper sent no number. Check plug and battery, and that it is of a known \
                 kind."
                    .to_owned()
            }
            CalliperFault::Unsteady => {
                "The jaws moved while the calliper was read. Hold still and clip again.".to_owned()
            }
        })
    });

/// A clock that cannot be right.
pub(super) const CLOCK_NONSENSE: Rule =
    rule("clock-nonsense", Flagged, "a clock set to a year before 2000 or after 2200", |seen| {
        match entry(seen)? {
            Entry::Clock { unix_ms } if !is_sane(*unix_ms) => Some(
                "The handheld was told a time that cannot be right, and it is not used. Check the \
                 clock of the computer that set it."
                    .to_owned(),
            ),
            _ => None,
        }
    });

/// A boot that stands on the wall clock only by its neighbours.
pub(super) const CLOCK_BOUNDED: Rule = rule(
    "clock-bounded",
    Flagged,
    "a start of the handheld whose time is only estimated",
    |seen| {
        let Standing::Between { uncertainty_ms, .. } = seen.starts? else { return None };
        let how = match uncertainty_ms {
            Some(ms) => format!("within {} minutes either way", ms / 60_000 + 1),
            None => "and nobody can say how far off".to_owned(),
        };
        Some(format!(
            "From entry {} on the handheld had not been told the time. Times are estimated from \
             the starts before and after, {how}; check the day. Set the clock before work.",
            seen.seq.0
        ))
    },
);
