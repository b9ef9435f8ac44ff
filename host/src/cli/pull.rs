//! `hornrule pull`: the day, from the handheld into the herd database.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::notices::{self, LookAgain};
use super::progress::Progress;
use super::{Desk, Failure};
use crate::office;
use crate::office::{PulledDay, Standing};
use hornrule_files::output::Stream;
use hornrule_herd::Database;
use hornrule_intake::Intake;
use hornrule_line::port::{Port, Recording};

/// Pull the day from the handheld into the herd database, checked
///
/// Records are stored before the handheld may erase them. An interrupted pull resumes where it
/// stopped; a second pull adds nothing.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule pull\n  hornrule pull --port tcp:192.0.2.7:3000\n  \
                  hornrule pull --record monday.session --json")]
pub(super) struct Options {
    #[command(flatten)]
    port: PortOptions,
    /// Record everything sent over the cable to this file
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// What a script sees.
#[derive(Serialize)]
struct Row {
    port: String,
    handheld: String,
    log: String,
    from: u32,
    received: u64,
    new: u32,
    known: u32,
    conflicts: u32,
    sealed_bytes: u64,
    wire_bytes: u64,
    released_through: Option<u32>,
    accepted: u32,
    flagged: u32,
    held: u32,
    voided: u32,
    /// Records that a second reading brought.
    mended: u32,
    /// "new", "same", "follows", "aside" or "contradicts".
    standing: &'static str,
    /// The number under which records were kept aside.
    aside: Option<String>,
    /// The handheld was not told to let go.
    withheld: bool,
    /// Visits with something to look at before the farm goes home.
    look_again: Vec<LookAgain>,
    database: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (address, port) = Desk::port(&options.port)?;
    let mut session = options.record.as_deref().map(Stream::open).transpose()?;
    let mut herd = desk.database()?;
    let source = address.to_string();
    let mut port: Box<dyn Port + '_> = match (&mut session, &options.record) {
        (Some(session), Some(file)) => {
            Box::new(Recording::new(port, session).map_err(Failure::file(file))?)
        }
        _ => port,
    };
    let day = take(&source, &mut *port, desk, &mut herd);
    drop(port);
    // Also after a pull that failed: then it is needed most.
    let kept = session.map_or(Ok(()), Stream::finish);
    let day = day?;
    kept?;
    let look_again = notices::of_pull(&herd, &day)?;
    if options.json {
        println!("{}", super::json(&row(&source, &day, look_again, desk))?);
    } else {
        print!("{}", told(&day));
        look_again.iter().for_each(|one| print!("{}", one.told()));
        if day.intake.held > 0 && herd.herds()?.is_empty() {
            println!(
                "note      no herd is listed yet, so nothing has a place: `hornrule herd import`"
            );
            println!("          brings in what is held");
        }
        println!("database  {}", desk.db().display());
    }
    match day.pulled.finished.withheld {
        true => Err(Failure::Withheld { address: source }),
        false => Ok(()),
    }
}

/// Pulls from a port of this name, with a progress bar.
pub(super) fn take(
    source: &str,
    port: &mut dyn Port,
    desk: &Desk,
    herd: &mut Database,
) -> Result<PulledDay, Failure> {
    let progress = Progress::new();
    let day = office::pull(port, herd, desk.clock(), source, &mut |stored, last| {
        progress.at(stored, last);
    });
    progress.done();
    day.map_err(|error| Failure::pull(source, error))
}

fn row(port: &str, day: &PulledDay, look_again: Vec<LookAgain>, desk: &Desk) -> Row {
    let PulledDay { pulled, stored, intake, mended, standing } = day;
    let (standing, aside) = word(standing);
    Row {
        port: port.to_owned(),
        handheld: device_name(pulled.hello.device),
        log: format!("{:08x}", pulled.hello.log.0),
        from: pulled.from.0,
        received: pulled.records,
        new: stored.new,
        known: stored.known,
        conflicts: stored.conflicts,
        sealed_bytes: pulled.sealed_bytes,
        wire_bytes: pulled.wire_bytes,
        released_through: pulled.finished.released.map(|seq| seq.0),
        accepted: intake.accepted,
        flagged: intake.flagged,
        held: intake.held,
        voided: intake.voided,
        mended: *mended,
        standing,
        aside,
        withheld: pulled.finished.withheld,
        look_again,
        database: desk.db().display().to_string(),
    }
}

/// One word, and the number of a log kept aside.
fn word(standing: &Standing) -> (&'static str, Option<String>) {
    match standing {
        Standing::New => ("new", None),
        Standing::Same => ("same", None),
        Standing::Follows => ("follows", None),
        Standing::Aside(aside) => ("aside", aside.as_ref().map(|one| format!("{:08x}", one.log.0))),
        Standing::Contradicts => ("contradicts", None),
    }
}

/// What a pull brought, for people.
pub(super) fn told(day: &PulledDay) -> String {
    let PulledDay { pulled, stored, intake, mended, standing } = day;
    let mut lines = vec![format!("handheld  {}", device_name(pulled.hello.device))];
    let aside = matches!(standing, Standing::Aside(_)) && pulled.finished.withheld;
    lines.push(if stored.new == 0 {
        "pulled    nothing new: everything on it was here already".to_owned()
    } else {
        let again = match stored.known {
            0 => String::new(),
            known => format!(", {known} were here already"),
        };
        let beside = if aside { ", kept aside" } else { "" };
        format!("pulled    {} records{beside}{again}", stored.new)
    });
    if *mended > 0 {
        lines.push(format!(
            "read again  {mended} of them: they were missing or damaged at the first reading"
        ));
    }
    if stored.conflicts > 0 && !aside {
        lines.push(format!(
            "CONFLICT  {} records differ from those stored under the same number; both are kept, \
             nothing was replaced",
            stored.conflicts
        ));
    }
    lines.extend(unlike(day));
    if stored.new > 0 && !aside {
        lines.push(checked(intake));
    }
    lines.push(released(day));
    lines.join("\n") + "\n"
}

/// What a handheld says that is not the log it names.
fn unlike(day: &PulledDay) -> Vec<String> {
    let PulledDay { pulled, standing, .. } = day;
    let (device, log) = (device_name(pulled.hello.device), pulled.hello.log.0);
    match standing {
        Standing::New | Standing::Same => Vec::new(),
        Standing::Follows => vec![
            "note      nothing of what is stored is on it any more; its new records follow on by \
             start and time"
                .to_owned(),
        ],
        Standing::Aside(Some(one)) => {
            let mut lines = super::aside::about(one);
            // Left out were those of that day; work may have been done with it since.
            if day.stored.new > 0 && one.ruling.as_ref().is_some_and(|ruling| !ruling.takes) {
                lines.push(format!(
                    "note      {} new records went there too: if they are work, `hornrule aside take \
                     {:08x}`",
                    day.stored.new, one.log.0
                ));
            }
            lines
        }
        Standing::Aside(None) => vec![format!(
            "CONFLICT  it calls itself {device} with log {log:08x}, but what it holds is not what is \
             stored; nothing of it was kept. Pull again; `hornrule doctor` checks both"
        )],
        Standing::Contradicts => vec![
            "CONFLICT  what it holds is not what it sent a moment before; what came is kept, and it \
             keeps its records. Check the cable, do not change handhelds during a pull, pull again; \
             `hornrule doctor` checks the database"
                .to_owned(),
        ],
    }
}

fn released(day: &PulledDay) -> String {
    let finished = &day.pulled.finished;
    match finished.released {
        Some(released) => {
            format!("released  through record {}; the handheld has room again", released.0)
        }
        None if finished.withheld => {
            "released  nothing: the handheld keeps its records until this is settled".to_owned()
        }
        None => "released  not confirmed; the next pull does it".to_owned(),
    }
}

fn checked(intake: &Intake) -> String {
    let Intake { accepted, flagged, held, voided, .. } = intake;
    format!(
        "checked   {accepted} accepted, {flagged} flagged, {held} held, {voided} taken back by UNDO"
    )
}
