//! `hornrule pull`: the day, from the handheld into the herd database.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::notices::{self, LookAgain};
use super::progress::Progress;
use super::{Desk, Failure};
use crate::office;
use crate::office::PulledDay;
use hornrule_intake::Intake;
use hornrule_line::port::Recording;

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
    /// Visits with something to look at before the farm goes home.
    look_again: Vec<LookAgain>,
    database: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (address, mut port) = Desk::port(&options.port)?;
    if let Some(file) = &options.record {
        port = Box::new(Recording::new(port, file).map_err(Failure::file(file))?);
    }
    let mut herd = desk.database()?;
    let progress = Progress::new();
    let source = address.to_string();
    let day = office::pull(&mut *port, &mut herd, desk.clock(), &source, &mut |stored, last| {
        progress.at(stored, last);
    });
    progress.done();
    let day = day.map_err(|error| Failure::pull(&source, error))?;
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
    Ok(())
}

fn row(port: &str, day: &PulledDay, look_again: Vec<LookAgain>, desk: &Desk) -> Row {
    let PulledDay { pulled, stored, intake } = day;
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
        look_again,
        database: desk.db().display().to_string(),
    }
}

/// What a pull brought, for people.
pub(super) fn told(day: &PulledDay) -> String {
    let PulledDay { pulled, stored, intake } = day;
    let mut lines = vec![format!("handheld  {}", device_name(pulled.hello.device))];
    lines.push(if stored.new == 0 {
        "pulled    nothing new: everything on it was here already".to_owned()
    } else {
        let again = match stored.known {
            0 => String::new(),
            known => format!(", {known} were here already"),
        };
        format!("pulled    {} records{again}", stored.new)
    });
    if stored.conflicts > 0 {
        lines.push(format!(
            "CONFLICT  {} records differ from those stored under the same number; both are kept, \
             nothing was replaced",
            stored.conflicts
        ));
    }
    if stored.new > 0 {
        lines.push(checked(intake));
    }
    let Some(released) = pulled.finished.released else {
        lines.push("released  not confirmed; the next pull does it".to_owned());
        return lines.join("\n") + "\n";
    };
    lines.push(format!("released  through record {}; the handheld has room again", released.0));
    lines.join("\n") + "\n"
}

fn checked(intake: &Intake) -> String {
    let Intake { accepted, flagged, held, voided, .. } = intake;
    format!(
        "checked   {accepted} accepted, {flagged} flagged, {held} held, {voided} taken back by UNDO"
    )
}
