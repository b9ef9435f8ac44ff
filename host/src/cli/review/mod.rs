//! `hornrule review`: what is held or flagged, and what a person says of it.
//!
//! ```text
//! list --> show ENTRY --> decide ENTRIES ... --> herd tables derived again
//!                            take-back DECISION
//!                            visit ENTRY --farm NAME
//! ```

mod chosen;
mod decide;
mod interview;
mod list;
mod show;
mod visit;

use std::io;

use clap::{Args, Subcommand};

use super::{Desk, Failure};
pub(super) use chosen::Filter;
use hornrule_facts::Key;
use hornrule_herd::Database;

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
    Visit(visit::Options),
}

pub(super) fn run(options: Options, desk: &Desk) -> Result<(), Failure> {
    match options.verb {
        Verb::List(options) => list::run(&options, desk),
        Verb::Show(options) => show::run(&options, desk),
        Verb::Decide(options) => decide::run(&options, desk),
        Verb::TakeBack(options) => decide::back(&options, desk),
        Verb::Visit(options) => visit::run(&options, desk),
    }
}

fn all_held() -> Filter {
    Filter { held: true, ..Filter::default() }
}

/// What is held, as `review list --held` shows it.
pub(super) fn held(herd: &Database) -> Result<String, Failure> {
    list::waiting(all_held(), herd)
}

/// The held entries.
pub(super) fn held_keys(herd: &Database) -> Result<Vec<Key>, Failure> {
    all_held().waiting(herd)
}

/// Asks about held entries, as `review decide --held` does.
pub(super) fn ask_about_held(
    herd: &mut Database,
    who: Option<String>,
    at_ms: i64,
) -> Result<(), Failure> {
    let keys = held_keys(herd)?;
    let (input, mut output) = (io::stdin(), super::say::Out);
    interview::interview(herd, &keys, (who, None, at_ms), &mut input.lock(), &mut output)
}
