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
pub(super) use chosen::Filter;

/// Look at held or flagged entries, and decide about them
///
/// A record stays as it was pulled. A decision says who decided what, when and why, and a further
/// decision can take it back. The herd tables are derived from both.
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    List(list::Options),
    Show(show::Options),
    Decide(decide::Options),
    TakeBack(decide::BackOptions),
}

pub(super) fn run(options: Options, desk: &Desk) -> Result<(), Failure> {
    match options.verb {
        Verb::List(options) => list::run(&options, desk),
        Verb::Show(options) => show::run(&options, desk),
        Verb::Decide(options) => decide::run(&options, desk),
        Verb::TakeBack(options) => decide::back(&options, desk),
    }
}
