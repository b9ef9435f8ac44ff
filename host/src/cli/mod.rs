//! The command line: one verb a file, all alike. The only room that prints.
//!
//! Each verb has `Options` (what may be said) and `run(words, &Desk) -> Result<(), Failure>`.

// First: its `print!` and `println!` are those of every verb.
#[macro_use]
mod say;

mod agreement;
mod aside;
mod backup;
mod bill;
mod blocks;
mod brief;
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
mod evening;
mod evidence;
mod export;
mod failure;
mod folder;
mod gauge;
mod growth;
#[cfg(feature = "virtual")]
mod handheld;
mod healing;
mod herd;
mod import;
mod licences;
mod notices;
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
mod text;
mod trend;
mod trial;
mod way_facts;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use hornrule_facts::text::escaped;

pub use desk::Desk;
pub use failure::{Exit, Failure};

/// The claw trimmer's office tool.
#[derive(Debug, Parser)]
#[command(name = "hornrule", version, about, long_about = LONG, after_long_help = Exit::HELP)]
struct Options {
    #[command(flatten)]
    desk: desk::DeskOptions,
    #[command(subcommand)]
    verb: Verb,
}

const LONG: &str = "The claw trimmer's office tool: pulls the day from the handheld over a serial \
cable, checks it, keeps the herd database, and says what comes next.\n\nTry `hornrule demo` first: \
it plays two days of an invented farm through a virtual handheld.";

#[derive(Debug, Subcommand)]
enum Verb {
    Ports(ports::Options),
    Clock(clock::Options),
    Plan(plan::Options),
    Trial(trial::Options),
    Pull(pull::Options),
    Evening(evening::Options),
    Status(status::Options),
    Herd(herd::Options),
    Gauge(gauge::Options),
    Report(report::Options),
    Blocks(blocks::Options),
    Healing(healing::Options),
    Growth(growth::Options),
    Agreement(agreement::Options),
    Plot(plot::Options),
    Due(due::Options),
    Bill(bill::Options),
    Export(export::Options),
    Import(import::Options),
    Study(study::Options),
    Cow(cow::Options),
    Review(review::Options),
    Aside(aside::Options),
    Rules(rules::Options),
    Rebuild(rebuild::Options),
    Doctor(doctor::Options),
    Backup(backup::Options),
    Restore(backup::RestoreOptions),
    #[cfg(feature = "virtual")]
    Demo(demo::Options),
    #[cfg(feature = "virtual")]
    Handheld(handheld::Options),
    Calliper(calliper::Options),
    #[cfg(feature = "virtual")]
    Practise(practise::Options),
    Card(card::Options),
    Cues(cues::Options),
    Completions(completions::Options),
    #[command(alias = "licenses")]
    Licences(licences::Options),
}

/// The command line as a tree, for tests that must know every verb.
#[must_use]
pub fn tree() -> clap::Command {
    <Options as clap::CommandFactory>::command()
}

/// Reads the command line, does what it says, and gives the exit code.
#[must_use]
pub fn main() -> ExitCode {
    let options = match Options::try_parse() {
        Ok(options) => options,
        Err(error) => {
            // Help and version come this way too.
            say::clap(&error);
            return if error.use_stderr() { Exit::Words.into() } else { ended(Ok(())) };
        }
    };
    let desk = Desk::new(options.desk);
    let done = match options.verb {
        Verb::Ports(options) => ports::run(&options),
        Verb::Clock(options) => clock::run(&options, &desk),
        Verb::Plan(options) => plan::run(&options, &desk),
        Verb::Trial(options) => trial::run(&options, &desk),
        Verb::Pull(options) => pull::run(&options, &desk),
        Verb::Evening(options) => evening::run(&options, &desk),
        Verb::Status(options) => status::run(&options, &desk),
        Verb::Herd(options) => herd::run(options, &desk),
        Verb::Gauge(options) => gauge::run(&options, &desk),
        Verb::Report(options) => report::run(options, &desk),
        Verb::Blocks(options) => blocks::run(&options, &desk),
        Verb::Healing(options) => healing::run(&options, &desk),
        Verb::Growth(options) => growth::run(&options, &desk),
        Verb::Agreement(options) => agreement::run(&options, &desk),
        Verb::Plot(options) => plot::run(&options, &desk),
        Verb::Due(options) => due::run(&options, &desk),
        Verb::Bill(options) => bill::run(&options, &desk),
        Verb::Cow(options) => cow::run(&options, &desk),
        Verb::Export(options) => export::run(&options, &desk),
        Verb::Import(options) => import::run(&options, &desk),
        Verb::Study(options) => study::run(&options, &desk),
        Verb::Review(options) => review::run(options, &desk),
        Verb::Aside(options) => aside::run(&options, &desk),
        Verb::Rules(options) => rules::run(&options, &desk),
        Verb::Rebuild(options) => rebuild::run(&options, &desk),
        Verb::Doctor(options) => doctor::run(&options, &desk),
        Verb::Backup(options) => backup::run(&options, &desk),
        Verb::Restore(options) => backup::restore(&options, &desk),
        #[cfg(feature = "virtual")]
        Verb::Demo(options) => demo::run(&options),
        #[cfg(feature = "virtual")]
        Verb::Handheld(options) => handheld::run(&options),
        Verb::Calliper(options) => calliper::run(&options, &desk),
        #[cfg(feature = "virtual")]
        Verb::Practise(options) => practise::run(&options, &desk),
        Verb::Card(options) => card::run(&options, &desk),
        Verb::Cues(options) => cues::run(&options),
        Verb::Completions(options) => completions::run(&options),
        Verb::Licences(options) => {
            licences::run(&options);
            Ok(())
        }
    };
    ended(done)
}

/// Says why a verb failed, or why what it printed did not arrive, and gives the exit code.
fn ended(done: Result<(), Failure>) -> ExitCode {
    match done.and_then(|()| say::finish()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("hornrule: {}", brief::brief(&failure.to_string()));
            failure.exit().into()
        }
    }
}

/// Who says so and why, of what goes on record; both are needed.
fn signed(who: &Option<String>, why: &Option<String>) -> Result<(String, String), Failure> {
    let given = |text: &Option<String>| text.as_deref().unwrap_or_default().trim().to_owned();
    let (who, why) = (given(who), given(why));
    if who.is_empty() || why.is_empty() {
        return Err(Failure::Said("give a name with --who and a reason with --why".to_owned()));
    }
    Ok((who, why))
}

/// One JSON value, for scripts.
fn json<T: serde::Serialize>(value: &T) -> Result<String, Failure> {
    let text = serde_json::to_string_pretty(value);
    // What would be shown otherwise than it is, is escaped: a script reads the very value.
    text.map(|text| escaped(&text).into_owned()).map_err(|error| Failure::Said(error.to_string()))
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_command_line_is_sound() {
        super::tree().debug_assert();
    }
}
