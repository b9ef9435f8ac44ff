//! The command line: one verb a file, all alike. The only room that prints.
//!
//! Each verb has `Words` (what may be said) and `run(words, &Desk) -> Result<(), Failure>`.

mod agreement;
mod backup;
mod bill;
mod blocks;
mod calliper;
mod card;
mod clock;
mod completions;
mod cow;
mod cues;
#[cfg(feature = "virtual")]
mod demo;
mod desk;
mod doctor;
mod due;
mod evidence;
mod export;
mod failure;
mod gauge;
mod growth;
#[cfg(feature = "virtual")]
mod handheld;
mod healing;
mod herd;
mod import;
mod paper;
mod plan;
mod plot;
mod ports;
#[cfg(feature = "virtual")]
mod practise;
mod progress;
mod pull;
mod rebuild;
mod report;
mod review;
mod rules;
mod status;
mod study;
mod trend;
mod trial;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

pub use desk::Desk;
pub use failure::{Exit, Failure};

/// The claw trimmer's office tool.
#[derive(Debug, Parser)]
#[command(name = "hornrule", version, about, long_about = LONG, after_long_help = Exit::HELP)]
struct Words {
    #[command(flatten)]
    desk: desk::DeskWords,
    #[command(subcommand)]
    verb: Verb,
}

const LONG: &str = "The claw trimmer's office tool: pulls the day from the handheld over a serial \
cable, checks it, keeps the herd database, and says what comes next.\n\nTry `hornrule demo` first: \
it plays two days of an invented farm through a virtual handheld.";

#[derive(Debug, Subcommand)]
enum Verb {
    Ports(ports::Words),
    Clock(clock::Words),
    Plan(plan::Words),
    Trial(trial::Words),
    Pull(pull::Words),
    Status(status::Words),
    Herd(herd::Words),
    Gauge(gauge::Words),
    Report(report::Words),
    Blocks(blocks::Words),
    Healing(healing::Words),
    Growth(growth::Words),
    Agreement(agreement::Words),
    Plot(plot::Words),
    Due(due::Words),
    Bill(bill::Words),
    Export(export::Words),
    Import(import::Words),
    Study(study::Words),
    Cow(cow::Words),
    Review(review::Words),
    Rules(rules::Words),
    Rebuild(rebuild::Words),
    Doctor(doctor::Words),
    Backup(backup::Words),
    Restore(backup::RestoreWords),
    #[cfg(feature = "virtual")]
    Demo(demo::Words),
    #[cfg(feature = "virtual")]
    Handheld(handheld::Words),
    Calliper(calliper::Words),
    #[cfg(feature = "virtual")]
    Practise(practise::Words),
    Card(card::Words),
    Cues(cues::Words),
    Completions(completions::Words),
}

/// Reads the command line, does what it says, and gives the exit code.
#[must_use]
pub fn main() -> ExitCode {
    let words = match Words::try_parse() {
        Ok(words) => words,
        Err(error) => {
            // Help and version come this way too; a closed pipe is nobody's fault.
            let _printed = error.print();
            return if error.use_stderr() { Exit::Words.into() } else { ExitCode::SUCCESS };
        }
    };
    let desk = Desk::new(words.desk);
    let done = match words.verb {
        Verb::Ports(words) => ports::run(&words),
        Verb::Clock(words) => clock::run(&words, &desk),
        Verb::Plan(words) => plan::run(&words, &desk),
        Verb::Trial(words) => trial::run(&words, &desk),
        Verb::Pull(words) => pull::run(&words, &desk),
        Verb::Status(words) => status::run(&words, &desk),
        Verb::Herd(words) => herd::run(words, &desk),
        Verb::Gauge(words) => gauge::run(&words, &desk),
        Verb::Report(words) => report::run(words, &desk),
        Verb::Blocks(words) => blocks::run(&words, &desk),
        Verb::Healing(words) => healing::run(&words, &desk),
        Verb::Growth(words) => growth::run(&words, &desk),
        Verb::Agreement(words) => agreement::run(&words, &desk),
        Verb::Plot(words) => plot::run(&words, &desk),
        Verb::Due(words) => due::run(&words, &desk),
        Verb::Bill(words) => bill::run(&words, &desk),
        Verb::Cow(words) => cow::run(&words, &desk),
        Verb::Export(words) => export::run(&words, &desk),
        Verb::Import(words) => import::run(&words, &desk),
        Verb::Study(words) => study::run(&words, &desk),
        Verb::Review(words) => review::run(words, &desk),
        Verb::Rules(words) => rules::run(&words, &desk),
        Verb::Rebuild(words) => rebuild::run(&words, &desk),
        Verb::Doctor(words) => doctor::run(&words, &desk),
        Verb::Backup(words) => backup::run(&words, &desk),
        Verb::Restore(words) => backup::restore(&words, &desk),
        #[cfg(feature = "virtual")]
        Verb::Demo(words) => demo::run(&words),
        #[cfg(feature = "virtual")]
        Verb::Handheld(words) => handheld::run(&words),
        Verb::Calliper(words) => calliper::run(&words, &desk),
        #[cfg(feature = "virtual")]
        Verb::Practise(words) => practise::run(&words, &desk),
        Verb::Card(words) => card::run(&words, &desk),
        Verb::Cues(words) => cues::run(&words),
        Verb::Completions(words) => {
            completions::run(&words);
            Ok(())
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("hornrule: {failure}");
            failure.exit().into()
        }
    }
}

/// One JSON value, for scripts.
fn json<T: serde::Serialize>(value: &T) -> Result<String, Failure> {
    serde_json::to_string_pretty(value).map_err(|error| Failure::Said(error.to_string()))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        super::Words::command().debug_assert();
    }
}
