//! `hornrule review`: what is held or flagged, and what a person says of it.
//!
//! ```text
//! list --> show ENTRY --> decide ENTRIES ... --> herd tables derived again
//!                            take-back DECISION
//! ```

mod chosen;
mod decide;
mod interview;
mod list;
mod show;

use clap::{Args, Subcommand};

use super::{Desk, Failure};

/// Look at held or flagged entries, and decide about them
///
/// A record stays as it was pulled. A decision says who decided what, when and why, and a further
/// decision can take it back. The herd tables are derived from both.
#[derive(Debug, Args)]
pub(super) struct Words {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    List(list::Words),
    Show(show::Words),
    Decide(decide::Words),
    TakeBack(decide::BackWords),
}

pub(super) fn run(words: Words, desk: &Desk) -> Result<(), Failure> {
    match words.verb {
        Verb::List(words) => list::run(&words, desk),
        Verb::Show(words) => show::run(&words, desk),
        Verb::Decide(words) => decide::run(&words, desk),
        Verb::TakeBack(words) => decide::back(&words, desk),
    }
}
