//! `hornrule licences`: whose work is in the program, and under which terms.

use std::io::{ErrorKind, Write};
use std::path::Path;

use clap::Args;

use super::Failure;

/// A test holds the file to what the program is built from.
const NOTICES: &str = include_str!("../../THIRD-PARTY.md");

/// Print the licences of the program and of everything in it
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule licences\n  hornrule licences > THIRD-PARTY.md")]
pub(super) struct Options {}

pub(super) fn run(_options: &Options) -> Result<(), Failure> {
    let own = concat!(
        "hornrule ",
        env!("CARGO_PKG_VERSION"),
        " is under MIT or Apache 2.0, as you like.\n\n"
    );
    let mut out = std::io::stdout().lock();
    let done = out.write_all(own.as_bytes()).and_then(|()| out.write_all(NOTICES.as_bytes()));
    match done {
        // Whoever reads has read enough.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(Failure::file(Path::new("the terminal"))),
    }
}
