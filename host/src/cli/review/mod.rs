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

/// Look at entries that are held or flagged, and decide about them
///
/// A record stays as it came. A decision says who decided, when, what and why, and can be taken
/// back by a further one; the herd tables are derived from both.
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
