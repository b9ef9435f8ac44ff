//! Rules over a log, record by record: damage, gaps, faults, the clock.

use hornrule_protocol::OpenError;
use hornrule_protocol::record::{CalliperFault, Entry, StartCause};

use super::super::clock::{Standing, is_sane};
use super::{Check, Rule, Seen};
use hornrule_facts::Severity::{Flagged, Held};
use hornrule_facts::plain as words;

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

/// A bundle that power or flash cut short. One taken back is complete: nothing of it was said.
pub(super) const BUNDLE_CUT_SHORT: Rule = rule(
    "bundle-cut-short",
    Flagged,
    "a bundle of which not all parts are on record",
    |seen| {
        let (Entry::Bundle { bundle, parts }, Some(cut)) = (entry(seen)?, seen.cut) else {
            return None;
        };
        let there = match cut.there {
            0 => "none is".to_owned(),
            1 => "only the first is".to_owned(),
            more => format!("only the first {more} are"),
        };
        let why = match cut.may_come {
            true => "Pull again, that may bring the rest. If it does not, power failed",
            false => "Power failed",
        };
        Some(format!(
            "Bundle {bundle} at entry {} has {}, of which {there} on record. {why} while they were \
             stored, or the flash gave out; no cue promised them. What is on record counts as done. \
             Ask about the rest, and key it when she is seen next.",
            seen.seq.0,
            words::count(usize::from(*parts), "part", "parts"),
        ))
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
        let standing = &seen.starts?.standing;
        if !matches!(standing, Standing::Between { .. }) {
            return None;
        }
        let first = seen.opened.as_ref().ok().and_then(|record| standing.when(record.uptime));
        let how = match first.and_then(|when| when.uncertainty_ms) {
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

/// Clocks that contradict each other within one boot.
pub(super) const CLOCK_CONTRADICTS: Rule = rule(
    "clock-contradicts",
    Flagged,
    "an office clock that was wrong, or was moved, between two looks at the handheld's",
    |seen| {
        let Standing::Anchored(course) = &seen.starts?.standing else { return None };
        let (doubted, off_ms) = course.doubted()?;
        let believed = if course.is_even() {
            "Nobody can say which is right, so the times are left open over both"
        } else {
            "The larger part that agrees is believed"
        };
        Some(format!(
            "In the start of the handheld from entry {} on, {} of the office's clock beside the \
             handheld's {} the others: up to {} {}. {believed}. Look at clock, date and time zone \
             of the computer that set the clock or pulled, then pull again.",
            seen.seq.0,
            words::count(doubted, "reading", "readings"),
            if doubted == 1 { "contradicts" } else { "contradict" },
            words::duration(off_ms),
            if off_ms < 0 { "behind" } else { "ahead" },
        ))
    },
);

/// Clocks that contradict each other from boot to boot.
pub(super) const CLOCK_BACKWARDS: Rule = rule(
    "clock-backwards",
    Flagged,
    "a start of the handheld that the office's clock puts before the end of the one before",
    |seen| {
        let back_ms = seen.starts?.back_ms?;
        Some(format!(
            "By the office's clock the handheld started at entry {} at least {} before it was \
             switched off the last time, which cannot be. The clock of a computer was wrong at one \
             of the two; look at its clock, date and time zone, and check the days.",
            seen.seq.0,
            words::duration(back_ms),
        ))
    },
);

/// A start that was not the trimmer's.
pub(super) const HANDHELD_FAULT: Rule =
    rule("handheld-fault", Flagged, "a start of the handheld that a fault caused", |seen| {
        let Entry::Started(started) = entry(seen)? else { return None };
        let what = match started.cause {
            StartCause::PowerOn | StartCause::Reset | StartCause::Unknown => return None,
            StartCause::BrownOut => "its voltage fell. Charge or change the battery, and look at \
                                     its contacts"
                .to_owned(),
            StartCause::Watchdog => "it hung and was started again. If that happens again, send \
                                     the firmware's makers a backup"
                .to_owned(),
            StartCause::Panic => format!(
                "it stopped itself with fault {:08x}. Tell that number to the firmware's makers",
                started.fault
            ),
        };
        Some(format!(
            "At entry {} the handheld was started by a fault: {what}. What was acknowledged before \
             is here; a sentence half said is not, and the cow has to be keyed again.",
            seen.seq.0
        ))
    });
