//! `hornrule aside`: records that a handheld held under numbers that were taken.

use clap::{Args, Subcommand};
use serde::Serialize;

use super::desk::device_name;
use super::{Desk, Failure, json, signed};
use hornrule_herd::Database;
use hornrule_herd::inbox::aside::{Aside, Ruling};
use hornrule_intake::rule_on_aside;
use hornrule_protocol::LogId;

/// Show records kept aside because their numbers were taken, and say what they are
///
/// A handheld that gives the name of another one, or whose memory was put back to an earlier state,
/// holds other records under numbers that are stored already. A pull keeps them aside: they are in no
/// report, and the handheld keeps them too. Take them in if they are real work; leave them out if
/// they are a copy or a trial. Either way the handheld may let go of them at the next pull, and
/// nothing is erased.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule aside\n  \
                  hornrule aside take 5f3a90c1 --who Anna --why \"second handheld, same number\"\n  \
                  hornrule aside leave 5f3a90c1 --who Anna --why \"rehearsal\"")]
pub(super) struct Options {
    #[command(subcommand)]
    what: Option<What>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Take them in: they go to the herd tables like all others
    Take(Said),
    /// Leave them out of the herd tables
    Leave(Said),
}

#[derive(Debug, Args)]
struct Said {
    /// Number of the log kept aside, as `hornrule aside` shows it
    #[arg(value_name = "LOG", value_parser = number)]
    log: LogId,
    /// Who says so
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO")]
    who: Option<String>,
    /// Why
    #[arg(long, value_name = "TEXT")]
    why: Option<String>,
}

fn number(text: &str) -> Result<LogId, String> {
    let read = u32::from_str_radix(text, 16).map(LogId);
    read.map_err(|_| "up to 8 hexadecimal digits".to_owned())
}

/// What a script sees.
#[derive(Serialize)]
pub(super) struct Row {
    log: String,
    handheld: String,
    given_log: String,
    first: u32,
    through: u32,
    records: u32,
    /// "undecided", "taken in" or "left out".
    ruling: &'static str,
    who: Option<String>,
    why: Option<String>,
}

impl Row {
    /// One line of it, for people.
    pub(super) fn told(&self) -> String {
        let Self { log, handheld, given_log, first, through, records, ruling, .. } = self;
        let sign = if *ruling == "undecided" { "CONFLICT" } else { "aside   " };
        format!(
            "{sign}  log {log}: {records} records {first} to {through} of handheld {handheld}, log \
             {given_log}, kept aside, {ruling}: `hornrule aside`"
        )
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    match &options.what {
        None => {}
        Some(What::Take(said)) => rule(&mut herd, desk, said, true)?,
        Some(What::Leave(said)) => rule(&mut herd, desk, said, false)?,
    }
    let all = herd.asides()?;
    if options.json {
        println!("{}", json(&all.iter().map(row).collect::<Vec<_>>())?);
    } else if all.is_empty() {
        println!("Nothing is kept aside: every handheld held what is stored under its name.");
    } else {
        all.iter().flat_map(about).for_each(|line| println!("{line}"));
    }
    Ok(())
}

fn rule(herd: &mut Database, desk: &Desk, said: &Said, takes: bool) -> Result<(), Failure> {
    let (who, why) = signed(&said.who, &said.why)?;
    let named: Vec<Aside> = herd.asides()?.into_iter().filter(|one| one.log == said.log).collect();
    let [one] = named.as_slice() else {
        let all: Vec<String> =
            herd.asides()?.iter().map(|one| format!("{:08x}", one.log.0)).collect();
        let there = if all.is_empty() { "nothing".to_owned() } else { all.join(", ") };
        return Err(Failure::Said(format!(
            "no log {:08x} is kept aside; kept aside is {there}",
            said.log.0
        )));
    };
    let ruling = Ruling { takes, who, at_ms: desk.clock().unix_ms(), why };
    rule_on_aside(herd, (one.device, one.log), &ruling)?;
    Ok(())
}

pub(super) fn row(one: &Aside) -> Row {
    Row {
        log: format!("{:08x}", one.log.0),
        handheld: device_name(one.device),
        given_log: format!("{:08x}", one.of.0),
        first: one.first.0,
        through: one.through.0,
        records: one.records,
        ruling: match &one.ruling {
            None => "undecided",
            Some(ruling) if ruling.takes => "taken in",
            Some(_) => "left out",
        },
        who: one.ruling.as_ref().map(|ruling| ruling.who.clone()),
        why: one.ruling.as_ref().map(|ruling| ruling.why.clone()),
    }
}

/// What is known of a log kept aside and what to do about it, for people.
pub(super) fn about(one: &Aside) -> Vec<String> {
    let (device, of, log) = (device_name(one.device), one.of.0, one.log.0);
    let (records, first, through) = (one.records, one.first.0, one.through.0);
    let held = format!("{records} records {first} to {through} of handheld {device}, log {of:08x}");
    let Some(Ruling { takes, who, why, .. }) = &one.ruling else {
        return vec![
            format!("CONFLICT  {held}, are not those stored under these numbers."),
            format!(
                "          They are kept aside as log {log:08x}: in no report, and still on the"
            ),
            "          handheld. Two handhelds give the same name, or a memory was put back to"
                .to_owned(),
            "          an earlier state. Say which records are real:".to_owned(),
            format!(
                "          `hornrule aside take {log:08x}` or `hornrule aside leave {log:08x}`."
            ),
            "          Then pull again, and give that handheld a log of its own: format it"
                .to_owned(),
            "          (virtual: a new flash file).".to_owned(),
        ];
    };
    let what = if *takes { "taken in" } else { "left out of all reports" };
    vec![format!("aside     log {log:08x}: {held}, {what} by {who} ({why})")]
}
