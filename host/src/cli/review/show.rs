//! `hornrule review show`: one entry, as it came, with what stands around it.

use std::collections::BTreeMap;

use clap::Args;
use hornrule_protocol::open;

use super::super::desk::device_name;
use super::super::{Desk, Failure};
use super::chosen::{Log, Run, run as read_run};
use hornrule_facts::HerdId;
use hornrule_facts::Key;
use hornrule_facts::{Decision, Verdict, plain};
use hornrule_herd::Database;
use hornrule_intake::decision::in_force;

/// Entries shown before and after.
const AROUND: u32 = 4;

/// Show an entry, its neighbours, the remarks on it and the decisions
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule review show 41")]
pub(super) struct Options {
    /// Number of the entry
    #[arg(value_name = "ENTRY", value_parser = read_run)]
    entry: Run,
    #[command(flatten)]
    log: Log,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    for (device, log, seq) in
        super::chosen::of_runs(&herd, &options.log, std::slice::from_ref(&options.entry))?
    {
        print!("{}", told(&herd, (device, log, seq))?);
    }
    Ok(())
}

/// All about one record.
pub(super) fn told(herd: &Database, key: Key) -> Result<String, Failure> {
    let (device, log, seq) = key;
    let mut text =
        format!("entry {} of handheld {}, log {:08x}\n", seq.0, device_name(device), log.0);
    let from = seq.0.saturating_sub(AROUND).max(1);
    let under = herd.sealed_under(device, log)?;
    for sealed in herd.sealed_among(device, log, from..=seq.0.saturating_add(AROUND))? {
        let mark = if sealed.seq() == seq { '>' } else { ' ' };
        let says = match open(device, under, &sealed) {
            Ok(record) => {
                let at = plain::duration(i64::try_from(record.uptime.0).unwrap_or(i64::MAX));
                format!("start {}, {at}: {}", record.boot.0, plain::entry(&record.entry))
            }
            Err(error) => format!("{error}"),
        };
        text += &format!("{mark} {:>6}  {says}\n", sealed.seq().0);
        if sealed.seq() == seq {
            let bytes: Vec<String> =
                sealed.as_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
            text += &format!("          bytes {}\n", bytes.join(" "));
        }
    }
    for one in herd.noted()?.iter().filter(|one| one.key == key) {
        text += &format!("{:<9} {}: {}\n", one.severity.name(), one.rule, one.sentence);
    }
    let names = super::chosen::names(herd)?;
    let decisions = herd.decisions()?;
    let holding = in_force(&decisions);
    for one in decisions.iter().filter(|one| (one.device, one.log, one.seq) == key) {
        let state = if holding.contains(&one) { "" } else { " (no longer in force)" };
        text += &format!("decision  {}{state}: {}\n", one.decision, decided(one, &names));
    }
    Ok(text)
}

fn decided(one: &Decision, names: &BTreeMap<HerdId, String>) -> String {
    let what = match one.verdict {
        Verdict::Accept => "accept".to_owned(),
        Verdict::Correct(field, value) => format!("{} is {}", field.name(), field.show(value)),
        Verdict::Reassign(animal) => format!("said of cow {animal}"),
        Verdict::At(herd) => {
            let name = names.get(&herd).map_or("a farm that is not there", String::as_str);
            format!("the work was at {name} from here on")
        }
        Verdict::Discard => "discard".to_owned(),
        Verdict::TakeBack(decision) => format!("takes back decision {decision}"),
    };
    let when = jiff::Timestamp::from_millisecond(one.at_ms).map(|at| at.to_string());
    format!("{what}, by {} at {}: {}", one.who, when.unwrap_or_default(), one.why)
}
