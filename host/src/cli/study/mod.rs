//! `hornrule study`: a protocol, its sample, its data set.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use serde::Serialize;
use serde_json::{Value, json};

use super::{Desk, Failure};
use hornrule_exchange::study;
use hornrule_exchange::study::{Draw, Protocol, TEMPLATE, read_protocol, read_sample};
use hornrule_exchange::table::{Cell, Table};
use hornrule_files::{input, output};

/// Run a study: protocol file, seeded sample, data set for others
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    New(NewOptions),
    Check(CheckOptions),
    Sample(SampleOptions),
    Export(ExportOptions),
}

/// Write a sample protocol to start from
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule study new wall.toml")]
struct NewOptions {
    /// Protocol file to write; it must not exist yet
    file: PathBuf,
}

/// Check a protocol; show how much work it is and how much is done
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule study check wall.toml\n  hornrule study check wall.toml --json"
)]
struct CheckOptions {
    /// Protocol file
    file: PathBuf,
    /// Sample drawn earlier [default: draw it from the current herd lists]
    #[arg(long, value_name = "FILE")]
    sample: Option<PathBuf>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// Draw the order in which cows, claws and dimensions are measured
///
/// The same seed and herd lists give the same order. CSV, one row per reading.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule study sample wall.toml --out sample.csv\n  \
                  hornrule study sample wall.toml --json")]
struct SampleOptions {
    /// Protocol file
    file: PathBuf,
    /// Write to this file [default: the terminal]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// Write the data set: CSV, Parquet, data dictionary, data package
///
/// One row per reading, with its unit, landmarks, calliper, gauge check and clock. Cows are
/// identified by number and tag, and the farm by name: ask the farm before you publish.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule study export wall.toml --sample sample.csv --out wall-2026"
)]
struct ExportOptions {
    /// Protocol file
    file: PathBuf,
    /// Sample drawn earlier [default: draw it from the current herd lists]
    #[arg(long, value_name = "FILE")]
    sample: Option<PathBuf>,
    /// Folder to write to; created if missing
    #[arg(long, value_name = "FOLDER")]
    out: PathBuf,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Verb::New(options) => new(options),
        Verb::Check(options) => check(options, desk),
        Verb::Sample(options) => sample(options, desk),
        Verb::Export(options) => export(options, desk),
    }
}

fn new(options: &NewOptions) -> Result<(), Failure> {
    // Created only if missing: a protocol under way must not be lost.
    output::write_new(&options.file, TEMPLATE.as_bytes())?;
    println!("protocol  {}", options.file.display());
    println!("\nTry now:  change it, then hornrule study check {}", options.file.display());
    Ok(())
}

fn protocol(file: &Path) -> Result<Protocol, Failure> {
    let text = input::text(file, input::BY_HAND)?;
    read_protocol(&text).map_err(Failure::study(file))
}

/// The sample of a file, where one is named.
fn drawn(file: Option<&Path>, protocol: &Protocol) -> Result<Option<Vec<Draw>>, Failure> {
    let Some(file) = file else { return Ok(None) };
    let bytes = input::read(file, input::BY_PROGRAM)?;
    read_sample(protocol, &bytes).map(Some).map_err(Failure::study(file))
}

/// What a script sees of a check.
#[derive(Serialize)]
struct CheckRow {
    name: String,
    cows: Vec<CowsRow>,
    readings_a_cow: usize,
    readings: usize,
    taken: usize,
    beside: usize,
}

#[derive(Serialize)]
struct CowsRow {
    herd: String,
    cows: usize,
}

fn check(options: &CheckOptions, desk: &Desk) -> Result<(), Failure> {
    let protocol = protocol(&options.file)?;
    let herd = desk.existing_database()?;
    let drawn = drawn(options.sample.as_deref(), &protocol)?;
    let far = study::progress(&herd, &protocol, drawn).map_err(Failure::study(&options.file))?;
    let cows = far.cows.into_iter().map(|(herd, cows)| CowsRow { herd, cows });
    let row = CheckRow {
        name: protocol.name.clone(),
        cows: cows.collect(),
        readings_a_cow: protocol.readings_each(),
        readings: far.wanted,
        taken: far.taken,
        beside: far.beside,
    };
    if options.json {
        println!("{}", super::json(&row)?);
        return Ok(());
    }
    println!("study     {}", row.name);
    println!("days      {} to {}", protocol.days.0, protocol.days.1);
    for one in &protocol.dimensions {
        println!("measure   {}: {}", one.dimension.name, one.landmarks);
    }
    for one in &row.cows {
        println!("sample    {}: {} cows, {} readings each", one.herd, one.cows, row.readings_a_cow);
    }
    println!("taken     {} of {} readings", row.taken, row.readings);
    if row.beside > 0 {
        println!(
            "beside    {} readings of claws that were not drawn, or beyond the repeats",
            row.beside
        );
    }
    Ok(())
}

fn sample(options: &SampleOptions, desk: &Desk) -> Result<(), Failure> {
    let protocol = protocol(&options.file)?;
    let herd = desk.existing_database()?;
    let table = study::sample(&herd, &protocol).map_err(Failure::study(&options.file))?;
    let text = if options.json {
        let rows: Vec<Value> = table.rows.iter().map(|row| json_row(&table, row)).collect();
        let all = json!({
            "study": protocol.name,
            "seed": protocol.seed,
            "generator": study::GENERATOR,
            "rows": rows,
        });
        super::json(&all)? + "\n"
    } else {
        let bytes = table.csv().map_err(Failure::table(&options.file))?;
        String::from_utf8_lossy(&bytes).into_owned()
    };
    match &options.out {
        None => print!("{text}"),
        Some(file) => {
            output::write(file, text.as_bytes())?;
            println!("sample    {}: {} readings to take", file.display(), table.rows.len());
        }
    }
    Ok(())
}

/// A row by the names of its columns; what it lacks is left out.
fn json_row(table: &Table, row: &[Cell]) -> Value {
    let cell = |cell: &Cell| match cell {
        Cell::Whole(number) => Some(json!(number)),
        Cell::Flag(flag) => Some(json!(flag)),
        Cell::Empty => None,
        other => Some(json!(other.in_text())),
    };
    let named = table.columns.iter().zip(row);
    Value::Object(named.filter_map(|(c, v)| Some((c.name.to_owned(), cell(v)?))).collect())
}

fn export(options: &ExportOptions, desk: &Desk) -> Result<(), Failure> {
    let protocol = protocol(&options.file)?;
    let herd = desk.existing_database()?;
    let wrong = Failure::study(&options.file);
    let drawn = drawn(options.sample.as_deref(), &protocol)?;
    let set = study::gather(&herd, &protocol, drawn).map_err(&wrong)?;
    let files = study::package(&protocol, &set).map_err(&wrong)?;
    output::folder(&options.out)?;
    for file in &files {
        output::write(&options.out.join(&file.name), &file.bytes)?;
    }
    let (anchored, readings) = set.anchored;
    let [passed, failed, none] = set.checked;
    if options.json {
        let row = json!({
            "folder": options.out.display().to_string(),
            "files": files.iter().map(|file| &file.name).collect::<Vec<_>>(),
            "readings": readings,
            "in_sample": set.in_sample,
            "clock_anchored": anchored,
            "gauge_check_passed": passed,
            "gauge_check_failed": failed,
            "gauge_check_none": none,
        });
        println!("{}", super::json(&row)?);
        return Ok(());
    }
    println!("data set  {}: {} files", options.out.display(), files.len());
    println!("readings  {readings}, of which {} in the sample", set.in_sample);
    println!(
        "gauge     {passed} after a passed check, {failed} after a failed one, {none} after none"
    );
    println!("clock     {anchored} of {readings} times seen beside the office's clock");
    Ok(())
}
