//! `hornrule licences`: whose work is in the program, and under which terms.

use clap::Args;

/// A test holds the file to what the program is built from.
const NOTICES: &str = include_str!("../../THIRD-PARTY.md");

/// Print the licences of the program and of everything in it
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule licences\n  hornrule licences > THIRD-PARTY.md")]
pub(super) struct Options {}

pub(super) fn run(_options: &Options) {
    println!("hornrule {} is under MIT or Apache 2.0, as you like.\n", env!("CARGO_PKG_VERSION"));
    print!("{NOTICES}");
}
