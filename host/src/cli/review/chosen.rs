//! Which entries are meant: a number, a run of numbers, a visit, a rule.

use std::collections::BTreeMap;

use clap::Args;
use hornrule_protocol::{DeviceId, LogId, Seq};
use jiff::civil::Date;

use super::super::Failure;
use super::super::desk::device_name;
use super::super::herd::chosen;
use hornrule_facts::Key;
use hornrule_facts::Severity;
use hornrule_facts::{Day, HerdId};
use hornrule_herd::{Database, Noted};

/// Which remarks.
#[derive(Debug, Default, Args)]
pub(in crate::cli) struct Filter {
    /// Only this farm
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) herd: Option<String>,
    /// Only this day
    #[arg(long, value_name = "DATE")]
    pub(in crate::cli) day: Option<Date>,
    /// Only this rule
    #[arg(long, value_name = "RULE")]
    pub(super) rule: Option<String>,
    /// Only held entries
    #[arg(long, conflicts_with = "flagged")]
    pub(super) held: bool,
    /// Only flagged entries
    #[arg(long)]
    pub(super) flagged: bool,
}

/// Which log, where the database has several.
#[derive(Debug, Default, Args)]
pub(super) struct Log {
    /// Number of the handheld; needed if the database knows several
    #[arg(long, value_name = "NUMBER")]
    handheld: Option<String>,
    /// Number of its log; needed if it was formatted again
    #[arg(long, value_name = "NUMBER")]
    log: Option<String>,
}

/// A number, or a run of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Run(pub(super) u32, pub(super) u32);

/// Most entries of one run.
const MOST: u32 = 10_000;

/// "41" or "41-47".
pub(super) fn run(text: &str) -> Result<Run, String> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    match (first.parse(), last.parse()) {
        (Ok(first), Ok(last)) if 0 < first && first <= last && last - first < MOST => {
            Ok(Run(first, last))
        }
        _ => Err(format!("`{text}` is no entry like 41 and no run like 41-47")),
    }
}

impl Log {
    /// The one log meant.
    pub(super) fn of(&self, herd: &Database) -> Result<(DeviceId, LogId), Failure> {
        let logs = herd.logs()?;
        let named = |(device, log): &&(DeviceId, LogId)| {
            self.handheld.as_ref().is_none_or(|name| *name == device_name(*device))
                && self.log.as_ref().is_none_or(|name| *name == format!("{:08x}", log.0))
        };
        let found: Vec<_> = logs.iter().filter(named).collect();
        let all: Vec<String> = logs
            .iter()
            .map(|(device, log)| format!("{} with log {:08x}", device_name(*device), log.0))
            .collect();
        match found.as_slice() {
            [one] => Ok(**one),
            _ if logs.is_empty() => {
                Err(Failure::Said("the database has no entries yet; pull first".to_owned()))
            }
            [] => Err(Failure::Said(format!(
                "the database has no such handheld or log; it has {}",
                all.join(", ")
            ))),
            _ => Err(Failure::Said(format!(
                "choose the handheld with --handheld and the log with --log; the database has {}",
                all.join(", ")
            ))),
        }
    }
}

impl Filter {
    /// The remarks meant. Without a word about it, also those that are decided.
    pub(super) fn noted(&self, herd: &Database) -> Result<Vec<Noted>, Failure> {
        let of = self.herd.as_deref().map(|name| chosen(herd, Some(name))).transpose()?;
        let day = self.day.map(Day::from_date);
        let mut noted = herd.noted()?;
        noted.retain(|one| {
            of.as_ref().is_none_or(|of| one.herd == Some(of.herd))
                && day.is_none_or(|day| one.day == Some(day))
                && self.rule.as_ref().is_none_or(|rule| *rule == one.rule)
                && (!self.held || one.severity == Severity::Held)
                && (!self.flagged || one.severity == Severity::Flagged)
        });
        Ok(noted)
    }

    /// The records meant that wait for a decision, each once.
    pub(super) fn waiting(&self, herd: &Database) -> Result<Vec<Key>, Failure> {
        let mut keys: Vec<Key> = self
            .noted(herd)?
            .iter()
            .filter(|one| one.severity != Severity::Settled)
            .map(|one| one.key)
            .collect();
        keys.sort_unstable();
        keys.dedup();
        Ok(keys)
    }
}

/// The herds' names.
pub(super) fn names(herd: &Database) -> Result<BTreeMap<HerdId, String>, Failure> {
    Ok(herd.herds()?.into_iter().map(|listed| (listed.herd, listed.name)).collect())
}

/// The records of runs that are in the database, ascending.
pub(super) fn of_runs(herd: &Database, log: &Log, runs: &[Run]) -> Result<Vec<Key>, Failure> {
    let (device, log) = log.of(herd)?;
    let mut keys = Vec::new();
    for Run(first, last) in runs {
        let found = herd.sealed_among(device, log, *first..=*last)?;
        if found.is_empty() {
            return Err(Failure::Said(format!(
                "entry {first} is not in the database; `hornrule review list` shows what is waiting"
            )));
        }
        keys.extend(found.iter().map(|sealed| (device, log, sealed.seq())));
    }
    keys.sort_unstable();
    keys.dedup();
    Ok(keys)
}

/// "entry 41", with its handheld where there are several.
pub(super) fn label((device, _, seq): Key, several: bool) -> String {
    let Seq(number) = seq;
    if several { format!("{number} of {}", device_name(device)) } else { number.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_are_numbers_or_runs() {
        assert_eq!(run("41"), Ok(Run(41, 41)));
        assert_eq!(run("41-47"), Ok(Run(41, 47)));
        for wrong in ["", "0", "47-41", "a", "1-", "-1", "1-4294967295", "1-2-3"] {
            assert!(run(wrong).is_err(), "{wrong}");
        }
    }
}
