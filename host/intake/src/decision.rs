//! Decisions: what a person said about a record, and what that makes of it.
//!
//! ```text
//! decision rows (only ever added) --in_force--> Ruling by record --> walk
//! ```
//!
//! The record itself stays as it came. Rules look at what the decisions make of it: a corrected
//! entry can be flagged or held again.

use hornrule_facts::{Decision, Verdict};
use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{Entry, Seq};
use jiff::tz::TimeZone;

use hornrule_facts::field::Field;
use hornrule_facts::remark::Severity;
use hornrule_facts::{AnimalId, Day, HerdId};

/// Stands for what a decision on the farm says, until the farm's name is known.
const FARM: &str = "at";

/// The decisions that hold: those that nobody took back.
#[must_use]
pub fn in_force(decisions: &[Decision]) -> Vec<&Decision> {
    let back: BTreeSet<i64> = decisions
        .iter()
        .filter_map(|one| match one.verdict {
            Verdict::TakeBack(decision) => Some(decision),
            _ => None,
        })
        .collect();
    let holds = |one: &&Decision| {
        !matches!(one.verdict, Verdict::TakeBack(_)) && !back.contains(&one.decision)
    };
    decisions.iter().filter(holds).collect()
}

/// What the decisions in force make of one record.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ruling {
    /// It stands whatever rules say.
    pub accepted: bool,
    /// It is as if not said.
    pub discarded: bool,
    /// Whose it is.
    pub animal: Option<AnimalId>,
    /// At which farm the work was from here on.
    pub herd: Option<HerdId>,
    /// Corrected fields, in the order in which they were corrected.
    fields: Vec<(Field, i64)>,
    /// What was decided, by whom, when and why.
    said: Vec<(String, String, i64, String)>,
}

/// The rulings of one log, from decisions in the order of their numbers.
#[must_use]
pub fn rulings(decisions: &[Decision]) -> BTreeMap<Seq, Ruling> {
    let mut rulings: BTreeMap<Seq, Ruling> = BTreeMap::new();
    for one in in_force(decisions) {
        let ruling = rulings.entry(one.seq).or_default();
        let what = match one.verdict {
            Verdict::Accept => {
                (ruling.accepted, ruling.discarded) = (true, false);
                "accepted as it is".to_owned()
            }
            Verdict::Discard => {
                (ruling.accepted, ruling.discarded) = (false, true);
                "discarded".to_owned()
            }
            Verdict::Reassign(animal) => {
                ruling.animal = Some(animal);
                format!("given to cow {animal}")
            }
            Verdict::Correct(field, value) => {
                ruling.fields.push((field, value));
                format!("corrected: {} is {}", field.name(), field.show(value))
            }
            Verdict::At(herd) => {
                ruling.herd = Some(herd);
                // The name is put in where it is told.
                FARM.to_owned()
            }
            Verdict::TakeBack(_) => continue,
        };
        ruling.said.push((what, one.who.clone(), one.at_ms, one.why.clone()));
    }
    rulings
}

impl Ruling {
    /// The entry as corrected.
    #[must_use]
    pub fn entry(&self, mut entry: Entry) -> Entry {
        for (field, value) in &self.fields {
            // A field that the entry has not was refused when it was decided.
            let _put = field.put(&mut entry, *value);
        }
        entry
    }

    /// Whether it answers what a rule says of the record itself: what is held was only discarded,
    /// what is flagged was looked at.
    #[must_use]
    pub fn settles(&self, severity: Severity) -> bool {
        self.discarded || (self.accepted && severity == Severity::Flagged)
    }

    /// Under what it is counted: the word that a remark carries instead of a rule.
    #[must_use]
    pub fn word(&self) -> &'static str {
        if self.discarded {
            "discarded"
        } else if self.animal.is_some() {
            "reassigned"
        } else if !self.fields.is_empty() || self.herd.is_some() {
            "corrected"
        } else {
            "accepted"
        }
    }

    /// "Entry 12 was accepted as it is (Anna, 2026-03-04: seen again on the farm)."
    #[must_use]
    pub fn sentence(&self, seq: Seq, zone: &TimeZone, farm: &str) -> String {
        let told = |(what, who, at_ms, why): &(String, String, i64, String)| {
            let what = if what == FARM { format!("put at {farm}") } else { what.clone() };
            let day = Day::of(*at_ms, zone).map_or_else(String::new, |day| format!(", {day}"));
            format!("{what} ({who}{day}: {why})")
        };
        let all: Vec<String> = self.said.iter().map(told).collect();
        format!("Entry {} was {}.", seq.0, all.join("; "))
    }
}
