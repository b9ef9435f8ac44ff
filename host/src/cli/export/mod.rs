//! `hornrule export`: the herd database in other programs' formats.

mod ade;
mod xlsx;

use clap::{Args, Subcommand};
use jiff::civil::Date;

use super::{Desk, Failure};
use hornrule_facts::Day;
use hornrule_herd::Span;

/// Write the herd database in formats other programs read
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Ade(ade::Options),
    Xlsx(xlsx::Options),
}

/// Which days go out.
#[derive(Clone, Debug, Args)]
struct DaysOptions {
    /// First day, at the farm
    #[arg(long, value_name = "DATE")]
    from: Option<Date>,
    /// Last day, at the farm
    #[arg(long, value_name = "DATE")]
    to: Option<Date>,
}

impl DaysOptions {
    fn days(&self) -> Result<Span, Failure> {
        match (self.from, self.to) {
            (Some(from), Some(to)) if to < from => {
                Err(Failure::Said(format!("--to {to} is before --from {from}; swap them")))
            }
            (from, to) => Ok(Span {
                from: from.map_or(Span::EVER.from, Day::from_date),
                through: to.map_or(Span::EVER.through, Day::from_date),
            }),
        }
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Verb::Ade(options) => ade::run(options, desk),
        Verb::Xlsx(options) => xlsx::run(options, desk),
    }
}
