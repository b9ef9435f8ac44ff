//! `hornrule status`: how the handheld is, and what the database holds.

use clap::Args;
use hornrule_protocol::message::{Hello, Request, Response, State};
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::{Desk, Failure, aside};
use crate::office::{ANSWER, FindError};
use hornrule_herd::{Database, DatabaseError};
use hornrule_line::port::Address;
use hornrule_line::pull::ask;

/// Show the state of the handheld and what the database holds
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule status\n  hornrule status --no-handheld --json")]
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

#[derive(Serialize)]
struct Row {
    handheld: Option<HandheldRow>,
    database: Option<DatabaseRow>,
}

#[derive(Serialize)]
struct HandheldRow {
    port: String,
    handheld: String,
    firmware: String,
    waiting: u32,
    free: u32,
    refused: u32,
    torn: u32,
    calliper_faults: u32,
    stuck_keys: u8,
    clock_known: bool,
    battery_mv: Option<u16>,
}

#[derive(Serialize)]
struct DatabaseRow {
    file: String,
    herds: Vec<HerdRow>,
    logs: Vec<LogRow>,
    aside: Vec<aside::Row>,
}

#[derive(Serialize)]
struct HerdRow {
    herd: String,
    farm: Option<u8>,
    cows: usize,
}

#[derive(Serialize)]
struct LogRow {
    handheld: String,
    log: String,
    through: u32,
    conflicts: u32,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let handheld = if options.no_handheld { None } else { handheld(options)? };
    let database = database(desk)?;
    let row = Row { handheld, database };
    if options.json {
        println!("{}", super::json(&row)?);
        return Ok(());
    }
    match &row.handheld {
        Some(handheld) => tell_handheld(handheld),
        None if options.no_handheld => {}
        None => println!("handheld  none is plugged in"),
    }
    match &row.database {
        Some(database) => tell_database(database),
        None => println!("database  {}: not made yet", desk.db().display()),
    }
    Ok(())
}

/// `None` where no port was named and no handheld answers: that is a state, not a failure.
fn handheld(options: &Options) -> Result<Option<HandheldRow>, Failure> {
    let (address, mut port, hello) = match Desk::handheld(&options.port) {
        Ok(found) => found,
        Err(Failure::Find(FindError::NoPorts | FindError::NoneAnswers(_))) => return Ok(None),
        Err(failure) => return Err(failure),
    };
    let state = ask(&mut *port, &Request::State, ANSWER, |response| match response {
        Response::State(state) => Some(*state),
        _ => None,
    })
    .map_err(|source| Failure::ask(&address, source))?;
    Ok(Some(handheld_row(&address, &hello, &state)))
}

fn handheld_row(address: &Address, hello: &Hello, state: &State) -> HandheldRow {
    let [major, minor, patch] = hello.firmware;
    HandheldRow {
        port: address.to_string(),
        handheld: device_name(hello.device),
        firmware: format!("{major}.{minor}.{patch}"),
        waiting: state.waiting,
        free: state.free,
        refused: state.refused,
        torn: state.torn,
        calliper_faults: state.calliper_faults,
        stuck_keys: state.stuck_keys,
        clock_known: state.clock_known,
        battery_mv: (state.battery_mv > 0).then_some(state.battery_mv),
    }
}

fn database(desk: &Desk) -> Result<Option<DatabaseRow>, Failure> {
    let herd = match Database::open_existing(desk.db()) {
        Ok(herd) => herd,
        Err(DatabaseError::Missing { .. }) => return Ok(None),
        Err(error) => return Err(error.into()),
    };
    let mut herds = Vec::new();
    for listed in herd.herds()? {
        let cows = herd.cows_listed(listed.herd)?;
        herds.push(HerdRow { herd: listed.name, farm: listed.farm, cows });
    }
    let mut logs = Vec::new();
    for (device, log) in herd.logs()? {
        logs.push(LogRow {
            handheld: device_name(device),
            log: format!("{:08x}", log.0),
            through: herd.cursor(device, log)?.0,
            conflicts: herd.conflicts(device, log)?,
        });
    }
    let aside = herd.asides()?.iter().map(aside::row).collect();
    Ok(Some(DatabaseRow { file: desk.db().display().to_string(), herds, logs, aside }))
}

fn tell_handheld(row: &HandheldRow) {
    println!("handheld  {} at {}, firmware {}", row.handheld, row.port, row.firmware);
    println!("log       {} records to pull, room for {} more", row.waiting, row.free);
    if row.refused > 0 {
        println!("FULL      {} records were refused since the log was full", row.refused);
    }
    println!("clock     {}", if row.clock_known { "set" } else { "not set: `hornrule clock`" });
    if let Some(mv) = row.battery_mv {
        println!("battery   {}.{:02} V", mv / 1000, mv % 1000 / 10);
    }
    for (count, what) in [
        (row.calliper_faults, "clips of the calliper gave no value since it was switched on"),
        (u32::from(row.stuck_keys), "keys are stuck"),
        (row.torn, "places on flash were torn by a power cut; no stored record was lost"),
    ] {
        if count > 0 {
            println!("note      {count} {what}");
        }
    }
}

fn tell_database(row: &DatabaseRow) {
    println!("database  {}", row.file);
    for herd in &row.herds {
        let farm = herd.farm.map_or_else(String::new, |farm| format!(", farm {farm}"));
        println!("herd      {}{farm}: {} cows on the list", herd.herd, herd.cows);
    }
    for log in &row.logs {
        println!(
            "stored    handheld {}, log {}: through record {}",
            log.handheld, log.log, log.through
        );
        if log.conflicts > 0 {
            println!("CONFLICT  {} records differ from those stored before", log.conflicts);
        }
    }
    for one in &row.aside {
        println!("{}", one.told());
    }
}
