//! `hornrule doctor`: whether database and handheld are well, and what to do.

use clap::Args;
use hornrule_protocol::message::{Hello, Request, Response, State};
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::{Desk, Failure};
use crate::office::{ANSWER, FindError};
use hornrule_facts::plain;
use hornrule_herd::{Database, DatabaseError, Health};
use hornrule_intake::clock::DRIFT_PPM;
use hornrule_intake::{courses, would_change};
use hornrule_line::pull::ask;

/// Check the database and the handheld, and say what to do
///
/// Changes nothing. Exits with code 5 if something needs attention.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule doctor\n  hornrule doctor --no-handheld --json")]
pub(super) struct Options {
    #[command(flatten)]
    port: PortOptions,
    /// Do not look for a handheld
    #[arg(long)]
    no_handheld: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// How something is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
enum How {
    Well,
    Note,
    Bad,
}

/// One thing looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct Look {
    what: &'static str,
    how: How,
    says: String,
}

fn look(what: &'static str, how: How, says: impl Into<String>) -> Look {
    Look { what, how, says: says.into() }
}

/// Well where there are none; else how many of what, and what to do.
fn none_or(
    what: &'static str,
    (count, how): (usize, How),
    well: &str,
    (one, many): (&str, &str),
    then: &str,
) -> Look {
    if count == 0 {
        return look(what, How::Well, well);
    }
    look(what, how, format!("{}{then}", plain::count(count, one, many)))
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut looks = Vec::new();
    // As it is: other numbers of the rules are put in force by the verbs that use them.
    let herd = match Database::open_existing(desk.db()) {
        Ok(mut herd) => {
            looks.extend(database(&mut herd)?);
            Some(herd)
        }
        Err(DatabaseError::Missing { .. }) => {
            looks.push(look("database", How::Note, "not made yet; pull or import a herd list"));
            None
        }
        Err(error) => {
            looks.push(look("database", How::Bad, error.to_string()));
            None
        }
    };
    if !options.no_handheld {
        looks.extend(handheld(options, herd.as_ref())?);
    }
    if options.json {
        println!("{}", super::json(&looks)?);
    } else {
        print!("{}", told(&looks));
    }
    let bad = looks.iter().filter(|look| look.how == How::Bad).count();
    match bad {
        0 => Ok(()),
        1 => Err(Failure::Unwell("one thing".to_owned())),
        bad => Err(Failure::Unwell(format!("{bad} things"))),
    }
}

fn told(looks: &[Look]) -> String {
    let line = |look: &Look| {
        let how = match look.how {
            How::Well => "well",
            How::Note => "note",
            How::Bad => "BAD ",
        };
        format!("{how}  {:<10} {}\n", look.what, look.says)
    };
    looks.iter().map(line).collect()
}

fn database(herd: &mut Database) -> Result<Vec<Look>, Failure> {
    let health = herd.health()?;
    let mut looks = file(&health);
    // Only a sound file can be derived from.
    if looks.iter().any(|look| look.how == How::Bad) {
        return Ok(looks);
    }
    looks.extend(tables(&health));
    looks.push(derived(herd)?);
    looks.extend(logs(herd)?);
    looks.extend(same::asides(herd)?);
    looks.extend(draws::all(herd)?);
    looks.extend(clocks(herd, &health)?);
    Ok(looks)
}

/// Whether a rebuild would change anything; tried out in a transaction that is not kept.
fn derived(herd: &mut Database) -> Result<Look, Failure> {
    if herd.is_read_only() {
        let says = "the file can only be read, so a rebuild was not tried";
        return Ok(look("tables", How::Note, says));
    }
    let changed = would_change(herd)?.iter().filter(|change| !change.is_none()).count();
    Ok(none_or(
        "tables",
        (changed, How::Note),
        "a rebuild would change nothing",
        ("table would be another after a rebuild", "tables would be others after a rebuild"),
        ": `hornrule rebuild`",
    ))
}

fn file(health: &Health) -> Vec<Look> {
    let damage = match health.damage.first() {
        None => look("file", How::Well, "SQLite finds it whole"),
        Some(first) => look(
            "file",
            How::Bad,
            format!(
                "SQLite finds it damaged ({first}). Keep a copy of it, then `hornrule restore` the \
                 last backup and pull again; what the handheld still holds comes back"
            ),
        ),
    };
    let then = format!(
        " ({}). Keep a copy, restore the last backup, pull again",
        health.foreign.join(", ")
    );
    let references = none_or(
        "references",
        (health.foreign.len(), How::Bad),
        "every row refers to rows that are there",
        ("table refers to rows that are not there", "tables refer to rows that are not there"),
        &then,
    );
    vec![damage, references]
}

fn tables(health: &Health) -> Vec<Look> {
    let orphans: Vec<String> =
        health.orphans.iter().map(|(table, count)| format!("{count} in {table}")).collect();
    let strays = format!(" ({}): `hornrule rebuild`", orphans.join(", "));
    vec![
        none_or(
            "orphans",
            (orphans.len(), How::Note),
            "every row has its record",
            (
                "table has rows whose record or stay is missing",
                "tables have rows whose record or stay is missing",
            ),
            &strays,
        ),
        none_or(
            "derived",
            (health.behind as usize, How::Note),
            "every log is in the herd tables to its end",
            (
                "log is not in the herd tables to its end",
                "logs are not in the herd tables to their end",
            ),
            ": `hornrule rebuild`, or pull again",
        ),
        none_or(
            "newer",
            (health.newer as usize, How::Note),
            "no record waits for a newer program",
            ("record is of a newer version", "records are of a newer version"),
            ": update this program, then `hornrule rebuild`",
        ),
        none_or(
            "damaged",
            (health.damaged as usize, How::Note),
            "no record is damaged",
            ("record is damaged", "records are damaged"),
            ": `hornrule review list --rule damaged`; if there are more each week, the handheld's \
             memory wears out",
        ),
        none_or(
            "pulls",
            (health.cut_off as usize, How::Note),
            "every pull reached its end",
            ("pull was cut off", "pulls were cut off"),
            "; what came is stored, and the next pull goes on",
        ),
    ]
}

fn logs(herd: &Database) -> Result<Vec<Look>, Failure> {
    let mut looks = Vec::new();
    for (device, log) in herd.logs()? {
        let name = format!("handheld {}, log {:08x}", device_name(device), log.0);
        let runs = herd.lost(device, log)?;
        let lost: u64 = runs.iter().map(|(first, last)| u64::from(last.0 - first.0) + 1).sum();
        let conflicts = herd.conflicts(device, log)?;
        looks.push(match (lost, conflicts) {
            (0, 0) => look(
                "records",
                How::Well,
                format!("{name}: complete through {}", herd.cursor(device, log)?.0),
            ),
            _ => look(
                "records",
                How::Note,
                format!(
                    "{name}: {lost} numbers have no record in {} runs, and {conflicts} records \
                     contradict others; `hornrule review list --rule numbers-missing` shows where",
                    runs.len()
                ),
            ),
        });
    }
    Ok(looks)
}

fn clocks(herd: &Database, health: &Health) -> Result<Vec<Look>, Failure> {
    let mut looks = vec![
        none_or(
            "clock",
            (health.doubted_boots as usize, How::Note),
            "no reading of a clock contradicts another",
            (
                "start of a handheld has clocks that contradict each other",
                "starts of a handheld have clocks that contradict each other",
            ),
            ": look at clock, date and time zone of the computer; `hornrule review list --rule \
             clock-contradicts` (and clock-backwards) shows where",
        ),
        none_or(
            "estimated",
            (health.estimated_boots as usize, How::Note),
            "every start of a handheld has been told the time",
            (
                "start of a handheld was never told the time",
                "starts of a handheld were never told the time",
            ),
            ": `hornrule clock` before work",
        ),
    ];
    let all = courses(herd)?;
    let mut devices: Vec<_> = all.iter().map(|(device, ..)| *device).collect();
    devices.dedup();
    for device in devices {
        // The tightest of its boots.
        let drifts = all.iter().filter(|(of, ..)| *of == device).filter_map(|one| one.2.drift());
        if let Some(drift) = drifts.min_by(|a, b| a.within_ppm.total_cmp(&b.within_ppm)) {
            let says = format!(
                "handheld {}: its clock runs {:+.0} ppm off, give or take {:.0} (allowed are \
                 {DRIFT_PPM})",
                device_name(device),
                drift.ppm,
                drift.within_ppm
            );
            looks.push(look("drift", How::Well, says));
        }
    }
    Ok(looks)
}

/// Nothing where no port was named and no handheld answers: that is no fault.
fn handheld(options: &Options, herd: Option<&Database>) -> Result<Vec<Look>, Failure> {
    let (address, mut port, hello) = match Desk::handheld(&options.port) {
        Ok(found) => found,
        Err(Failure::Find(FindError::NoPorts | FindError::NoneAnswers(_))) => {
            return Ok(vec![look("handheld", How::Well, "none is plugged in")]);
        }
        Err(failure) => return Err(failure),
    };
    let state = ask(&mut *port, &Request::State, ANSWER, |response| match response {
        Response::State(state) => Some(*state),
        _ => None,
    })
    .map_err(|source| Failure::ask(&address, source))?;
    let cursor = herd.map(|herd| herd.cursor(hello.device, hello.log)).transpose()?;
    let mut looks = device(&hello, &state, cursor.map_or(0, |seq| seq.0));
    if let Some(herd) = herd {
        looks.extend(same::handheld(&mut *port, herd, &hello)?);
    }
    Ok(looks)
}

fn device(hello: &Hello, state: &State, stored: u32) -> Vec<Look> {
    let mut looks = vec![look(
        "handheld",
        How::Well,
        format!(
            "{}: {} records to pull, room for {}",
            device_name(hello.device),
            state.waiting,
            state.free
        ),
    )];
    let released = hello.first.0.saturating_sub(stored.saturating_add(1)) as usize;
    for (what, count, how, (one, many), then) in [
        (
            "log",
            state.refused as usize,
            How::Bad,
            ("entry was refused", "entries were refused"),
            " because it is full: pull now, and more often",
        ),
        (
            "released",
            released,
            How::Note,
            ("record is", "records are"),
            " not in this database and no longer on the handheld: another computer has pulled; \
             look for its database",
        ),
        (
            "torn",
            state.torn as usize,
            How::Note,
            ("place on flash was torn", "places on flash were torn"),
            " by a power cut; no record that was acknowledged was lost, but look at battery and \
             contacts",
        ),
        (
            "calliper",
            state.calliper_faults as usize,
            How::Note,
            ("clip gave no length", "clips gave no length"),
            " since it was switched on: check plug and battery of the calliper",
        ),
        (
            "keys",
            usize::from(state.stuck_keys),
            How::Bad,
            ("key is stuck", "keys are stuck"),
            ": clean the keypad, and dry it",
        ),
    ] {
        if count > 0 {
            looks.push(none_or(what, (count, how), "", (one, many), then));
        }
    }
    if !state.clock_known {
        let says = "this start has not been told the time: `hornrule clock`";
        looks.push(look("clock", How::Note, says));
    }
    looks
}

mod draws;
mod same;
#[cfg(test)]
mod tests;
