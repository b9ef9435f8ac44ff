//! The rules: each is a function that returns nothing, or why it fired and what to do.
//!
//! To add one: write its function and its [`Rule`] row in the file it belongs to, add the row to
//! [`RULES`], and give it a case in `intake/tests.rs`, which holds you to that. A rule looks at one
//! of four things, and gets no more than that:
//!
//! | check | looks at | for |
//! | --- | --- | --- |
//! | `Record` | a record as it arrives in its log | damage, gaps, the clock |
//! | `Visit` | the start of work at a farm that the plan of the day says | plans of another day |
//! | `Moment` | something said, with the cow, the time and what was said before | sense |
//! | `History` | a herd's rows of all days and handhelds | what only time can tell |

mod growth;
mod history;
mod length;
mod list;
mod place;
mod record;
mod scale;
mod sense;

use hornrule_protocol::record::{Entry, Record};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{Boot, OpenError, Place, Seq, Uptime};

use super::chute::Cow;
use super::clock::Placed;
use super::history::{History, Spotted};
use super::office::Whose;
use super::stretch::{Cut, Missing};
use hornrule_facts::fact::DOUBTING;
use hornrule_facts::observation::Observation;
use hornrule_facts::{Clip, Day, Limits, Severity, THRESHOLDS, When};

/// A rule.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its name in the database; it never changes.
    pub id: &'static str,
    /// What becomes of a record when it fires.
    pub severity: Severity,
    /// What it looks for, in plain words.
    pub looks_for: &'static str,
    /// How it looks.
    pub check: Check,
}

impl Rule {
    /// Whether its doubt keeps a fact out of statistics.
    #[must_use]
    pub fn doubts(&self) -> bool {
        DOUBTING.contains(&self.id)
    }
}

/// A checksum of the rules and the numbers they go by: another one means that all is to be derived
/// again.
#[must_use]
pub fn checksum(limits: &Limits) -> i64 {
    let mut digest = CRC.digest();
    for rule in RULES {
        digest.update(rule.id.as_bytes());
        digest.update(&[rule.severity.number()]);
        digest.update(rule.looks_for.as_bytes());
    }
    for threshold in THRESHOLDS {
        digest.update(&threshold.value(limits).to_le_bytes());
    }
    i64::from(digest.finalize())
}

/// What a rule looks at. Record and moment rules give the sentence of their remark.
#[derive(Clone, Copy)]
pub enum Check {
    /// A record as it arrives.
    Record(fn(&Seen<'_>) -> Option<String>),
    /// Something said.
    Moment(fn(&Moment<'_>) -> Option<String>),
    /// Where a visit begins by a plan.
    Visit(fn(&Begun<'_>) -> Option<String>),
    /// A herd's rows.
    History(fn(&History<'_>) -> Vec<Spotted>),
}

/// A visit whose farm a plan says.
pub struct Begun<'a> {
    /// The record.
    pub seq: Seq,
    /// The key; it was not keyed where the plan has one farm only.
    pub key: Option<u8>,
    /// The farm that was taken.
    pub farm: &'a str,
    /// The day of the plan.
    pub plan: Day,
    /// The farm's own day of the record, where it is known.
    pub day: Option<Day>,
}

/// A record as it arrives.
pub struct Seen<'a> {
    /// Its number.
    pub seq: Seq,
    /// What it holds.
    pub opened: &'a Result<Record, OpenError>,
    /// The numbers missing right before it.
    pub missing: Option<Missing>,
    /// Whether it takes back something that is not there.
    pub missed_void: bool,
    /// For a bundle with fewer parts than it has, what is there.
    pub cut: Option<Cut>,
    /// For the first record of a boot, where the boot stands on the wall clock.
    pub starts: Option<&'a Placed>,
}

/// Something said: a cow named, a reading, a finding, an action, a score.
pub struct Moment<'a> {
    /// Its record.
    pub seq: Seq,
    /// Its boot.
    pub boot: Boot,
    /// Its uptime.
    pub uptime: Uptime,
    /// What was said.
    pub entry: &'a Entry,
    /// Whose herd.
    pub whose: Whose,
    /// When; `None` where it cannot be dated.
    pub when: Option<When>,
    /// On which day of the farm.
    pub day: Option<Day>,
    /// The first and the last day on which it can have been.
    pub days: Option<(Day, Day)>,
    /// Who is in the chute.
    pub cow: Cow,
    /// For a reading, what is known about its trust.
    pub clip: Option<Clip>,
    /// What was keyed about this cow in this stay and is valid.
    pub before: &'a [(Uptime, Observation)],
    /// For a cow named: another farm whose list has her, where this farm's has not.
    pub elsewhere: Option<&'a str>,
    /// The numbers that rules go by.
    pub limits: &'a Limits,
}

impl Moment<'_> {
    /// Which claw or foot it is about.
    #[must_use]
    pub fn place(&self) -> Place {
        match self.entry {
            Entry::Reading(reading) => reading.place,
            Entry::Finding(finding) => finding.place,
            Entry::Action(done) => done.place,
            _ => Place::Cow,
        }
    }

    /// "Cow 312, left hind, outer claw"; for the head of a sentence.
    #[must_use]
    pub fn subject(&self) -> String {
        let cow = self.cow.animal().map_or_else(|| "A cow".to_owned(), |cow| format!("Cow {cow}"));
        match self.place() {
            Place::Cow => cow,
            place => format!("{cow}, {}", hornrule_facts::plain::place(place)),
        }
    }
}

/// Every rule, in the order in which they look. Held ones first: a record that is held carries the
/// remarks that hold it and no others.
pub const RULES: &[Rule] = &[
    record::DAMAGED,
    record::NEWER,
    record::MALFORMED,
    record::NUMBERS_MISSING,
    record::LOG_WAS_FULL,
    record::NOTHING_TO_UNDO,
    record::BUNDLE_CUT_SHORT,
    record::CALLIPER_FAULT,
    record::CLOCK_NONSENSE,
    record::CLOCK_BOUNDED,
    record::CLOCK_CONTRADICTS,
    record::CLOCK_BACKWARDS,
    record::HANDHELD_FAULT,
    place::OLD_PLAN,
    place::UNKNOWN_FARM,
    place::NO_VISIT,
    place::CLOCK_UNKNOWN,
    place::AFTER_GAP,
    place::NO_COW,
    place::NO_ANIMAL,
    place::NO_CLAW,
    length::IMPOSSIBLE,
    scale::GRADE,
    scale::SCORE,
    length::UNUSUAL,
    length::SHORT_AFTER_TRIMMING,
    length::TOE_ABOVE_WALL,
    place::DAY_UNCERTAIN,
    sense::TWICE,
    sense::TRIMMED_TWICE,
    sense::FOUND_TWICE,
    sense::BLOCK_ON_LESION,
    sense::UNLIKELY_ZONE,
    list::ON_TWO_FARMS,
    list::NOT_LISTED,
    history::MIXED_UNITS,
    history::NO_GAUGE_CHECK,
    history::HEALED_FROM_NOTHING,
    history::RECHECK_BEFORE_LESION,
    history::NO_BLOCK_THERE,
    growth::FAR_FROM_HISTORY,
    growth::FAR_FROM_FEET,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_unique_and_written_alike() {
        for rule in RULES {
            assert_eq!(RULES.iter().filter(|other| other.id == rule.id).count(), 1, "{}", rule.id);
            assert!(rule.id.chars().all(|c| c == '-' || c.is_ascii_lowercase()), "{}", rule.id);
            assert!(rule.looks_for.len() > 10, "{}", rule.id);
        }
    }

    /// What keeps a fact out of statistics is flagged and stays in the tables.
    #[test]
    fn doubts_are_of_rules_that_flag() {
        let doubting: Vec<&Rule> = RULES.iter().filter(|rule| rule.doubts()).collect();
        assert_eq!(doubting.len(), DOUBTING.len());
        assert!(doubting.iter().all(|rule| rule.severity == Severity::Flagged));
    }

    #[test]
    fn every_threshold_is_of_a_rule() {
        for threshold in THRESHOLDS {
            assert!(RULES.iter().any(|rule| rule.id == threshold.rule), "{}", threshold.rule);
        }
    }

    #[test]
    fn another_number_is_another_checksum() {
        let usual = Limits::default();
        for threshold in THRESHOLDS {
            let mut other = usual;
            threshold.set(&mut other, threshold.value(&usual) + 1);
            assert_ne!(checksum(&usual), checksum(&other), "{}", threshold.name());
        }
    }
}
