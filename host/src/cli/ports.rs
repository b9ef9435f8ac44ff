//! `hornrule ports`: which serial ports there are, and behind which a handheld answers.

use clap::Args;
use serde::Serialize;

use super::Failure;
use super::desk::device_name;
use crate::office;
use hornrule_line::port;
use hornrule_line::port::Address;

/// List serial ports, and which has a handheld
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule ports\n  hornrule ports --json")]
pub(super) struct Options {
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    port: String,
    what: String,
    handheld: Option<String>,
    note: Option<String>,
}

pub(super) fn run(options: &Options) -> Result<(), Failure> {
    let rows: Vec<Row> = port::found_ports()
        .into_iter()
        .map(|found| {
            let (handheld, note) = match port::open(&Address::Serial(found.path.clone())) {
                Err(error) => (None, Some(error.to_string())),
                Ok(mut port) => match office::greet(&mut *port) {
                    Ok(hello) => (Some(device_name(hello.device)), None),
                    Err(error) => (None, Some(error.to_string())),
                },
            };
            Row { port: found.path, what: found.what, handheld, note }
        })
        .collect();
    if options.json {
        println!("{}", super::json(&rows)?);
    } else if rows.is_empty() {
        println!("There is no serial port. Plug in the cable and try again.");
    } else {
        for row in rows {
            let state = match (&row.handheld, &row.note) {
                (Some(device), _) => format!("handheld {device}"),
                (None, Some(note)) => note.clone(),
                (None, None) => String::new(),
            };
            println!("{:<20} {:<32} {state}", row.port, row.what);
        }
    }
    Ok(())
}
