//! `hornrule export ade`: diagnoses, treatments and alerts in the open standard.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use serde::Serialize;

use super::DaysOptions;
use crate::cli::herd::chosen;
use crate::cli::{Desk, Failure};
use hornrule_exchange::Extract;
use hornrule_exchange::ade::{Earlier, Gone, Identifier, Positions, SOURCE, Wishes, export};
use hornrule_files::{input, output};
use hornrule_herd::Span;

/// Write a herd's findings, actions and alerts as ICAR ADE JSON
///
/// Writes diagnosis, treatment and attention events of the open standard for animal data exchange.
/// What the standard has no field for (lengths, scores, healing) goes into a second file:
/// day.hornrule.json beside day.json. Times are UTC. The same database gives the same bytes.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule export ade --herd \"Alder Brook\" --out day.json\n  \
                  hornrule export ade --herd \"Alder Brook\" --from 2026-03-03 --to 2026-03-03 \
                  --source org.example.herdtool --location uk.cph=34/123/1234 --out day.json")]
pub(super) struct Options {
    /// Farm's name
    #[arg(long)]
    herd: String,
    #[command(flatten)]
    days: DaysOptions,
    /// ADE file to write
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Earlier export of this farm; events no longer in the records go out as deleted
    #[arg(long, value_name = "FILE")]
    earlier: Option<PathBuf>,
    /// How to name positions: legs for releases up to 1.5, toes for newer ones
    #[arg(long, value_enum, default_value_t = Where::Legs)]
    positions: Where,
    /// Reverse domain name or URI of the source system
    #[arg(long, value_name = "NAME", default_value = SOURCE, value_parser = name)]
    source: String,
    /// Farm's identifier in a scheme the receiver uses
    #[arg(long, value_name = "SCHEME=ID", value_parser = identifier)]
    location: Option<Identifier>,
    /// Trimmer's name
    #[arg(long, value_name = "NAME", value_parser = name)]
    responsible: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Where {
    Legs,
    Toes,
}

/// What a script sees.
#[derive(Serialize)]
struct Row {
    file: String,
    diagnoses: usize,
    treatments: usize,
    attention: usize,
    deleted: usize,
    beside: String,
    readings: usize,
    scores: usize,
    findings: usize,
    actions: usize,
}

fn name(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err("it is empty".to_owned()) } else { Ok(text.to_owned()) }
}

fn identifier(text: &str) -> Result<Identifier, String> {
    let (scheme, id) = text.split_once('=').unwrap_or_default();
    match (name(scheme), name(id)) {
        (Ok(scheme), Ok(id)) => Ok(Identifier { scheme, id }),
        _ => Err("write it like uk.cph=34/123/1234".to_owned()),
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let listed = chosen(&herd, Some(&options.herd))?;
    let gather = |days| {
        let extract = Extract::gather(&herd, listed.herd, days)?;
        extract.ok_or_else(|| Failure::Said(format!("{} is gone", listed.name)))
    };
    let extract = gather(options.days.days()?)?;
    let wishes = Wishes {
        source: options.source.clone(),
        location: options.location.clone(),
        responsible: options.responsible.clone(),
        positions: match options.positions {
            Where::Legs => Positions::Legs,
            Where::Toes => Positions::Toes,
        },
    };
    let gone = match &options.earlier {
        // On whatever day it is said.
        Some(file) => gone(file, &gather(Span::EVER)?, &wishes, desk)?,
        None => Gone::default(),
    };
    let taken_back = gone.count();
    let done = export(&extract, &wishes, gone).map_err(|error| Failure::Said(error.to_string()))?;
    let beside = beside(&options.out);
    output::write(&options.out, done.ade.as_bytes())?;
    output::write(&beside, done.beside.as_bytes())?;
    let [readings, scores, findings, actions] = done.own;
    let row = Row {
        file: options.out.display().to_string(),
        diagnoses: done.diagnoses,
        treatments: done.treatments,
        attention: done.attention,
        deleted: taken_back,
        beside: beside.display().to_string(),
        readings,
        scores,
        findings,
        actions,
    };
    if options.json {
        println!("{}", crate::cli::json(&row)?);
        return Ok(());
    }
    println!(
        "ade       {}: {} diagnoses, {} treatments, {} alerts",
        row.file, row.diagnoses, row.treatments, row.attention
    );
    if options.earlier.is_some() {
        println!("deleted   {taken_back} events of the earlier file are no longer on record");
    }
    println!(
        "beside    {}: {readings} readings, {scores} scores, {findings} findings, {actions} \
         actions that the standard has no room for",
        row.beside
    );
    Ok(())
}

/// What an earlier file has and is no longer on record.
fn gone(file: &Path, everything: &Extract, wishes: &Wishes, desk: &Desk) -> Result<Gone, Failure> {
    let text = input::text(file, input::BY_PROGRAM)?;
    let gone = Earlier::read(&text)
        .and_then(|earlier| earlier.gone(everything, wishes, desk.clock().unix_ms()));
    gone.map_err(|error| Failure::Said(format!("{}: {error}", file.display())))
}

/// `day.hornrule.json` beside `day.json`.
fn beside(file: &Path) -> PathBuf {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!("{stem}.hornrule.json"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_location_is_scheme_and_id() {
        let one = identifier("uk.cph=34/123/1234").unwrap();
        assert_eq!((one.scheme.as_str(), one.id.as_str()), ("uk.cph", "34/123/1234"));
        for wrong in ["", "=", "uk.cph", "uk.cph=", "=34"] {
            assert!(identifier(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_second_file_stands_beside_the_first() {
        assert_eq!(beside(Path::new("out/day.json")), Path::new("out/day.hornrule.json"));
        assert_eq!(beside(Path::new("day")), Path::new("day.hornrule.json"));
    }
}
