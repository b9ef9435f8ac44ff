//! `hornrule export xlsx`: a workbook for the office.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::DaysOptions;
use crate::cli::herd::chosen;
use crate::cli::{Desk, Failure};
use hornrule_exchange::sheets::{DueRow, sheets};
use hornrule_exchange::table::workbook;
use hornrule_exchange::{Extract, way_sheet};
use hornrule_facts::{Herd, Language};
use hornrule_files::output;
use hornrule_herd::Database;
use hornrule_papers::{due, words};
use hornrule_questions::visit::{VisitReport, list_visits};

/// Write a workbook: visits, findings, actions, readings, derived measures, scores, what is due
///
/// One sheet each, with real numbers, dates and booleans, and units in the headings. Days are the
/// farm's own; times are UTC. The due sheet is as of each herd's latest visit.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule export xlsx --out herd.xlsx\n  \
                  hornrule export xlsx --herd \"Alder Brook\" --from 2026-03-01 --out march.xlsx")]
pub(super) struct Options {
    /// Only this farm
    #[arg(long)]
    herd: Option<String>,
    #[command(flatten)]
    days: DaysOptions,
    /// Workbook to write
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// What a script sees of a sheet.
#[derive(Serialize)]
struct Row {
    sheet: &'static str,
    rows: usize,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let herds = match &options.herd {
        Some(name) => vec![chosen(&herd, Some(name))?],
        None => herd.herds()?,
    };
    let days = options.days.days()?;
    let mut extracts = Vec::new();
    let mut open = Vec::new();
    for listed in &herds {
        extracts.extend(Extract::gather(&herd, listed.herd, days)?);
        open.extend(due_rows(&herd, listed)?);
    }
    let (mut tables, newest) = sheets(&extracts, &open);
    tables.push(way_sheet(&herd.way_facts()?));
    let bytes = workbook(&tables, newest).map_err(Failure::table(&options.out))?;
    output::write(&options.out, &bytes)?;
    let rows: Vec<Row> =
        tables.iter().map(|one| Row { sheet: one.name, rows: one.rows.len() }).collect();
    if options.json {
        println!("{}", crate::cli::json(&rows)?);
        return Ok(());
    }
    println!("workbook  {}", options.out.display());
    let counts: Vec<String> =
        rows.iter().map(|row| format!("{} {}", row.rows, row.sheet)).collect();
    println!("rows      {}", counts.join(", "));
    Ok(())
}

/// What is due after a herd's last visit.
fn due_rows(herd: &Database, listed: &Herd) -> Result<Vec<DueRow>, Failure> {
    let last = list_visits(herd)?.into_iter().find(|(of, ..)| *of == listed.herd);
    let Some((of, day, _)) = last else { return Ok(Vec::new()) };
    let Some(report) = VisitReport::gather(herd, of, day)? else { return Ok(Vec::new()) };
    let words = words::Words::new(Language::English);
    let row = |due: hornrule_questions::visit::due::Due| {
        let (what, rule) = due::in_words(&words, &due);
        let (overdue, who) = (due.overdue(day).into(), due.duty.who().word());
        let lesions = due::lesions_in_words(&words, &due.cases);
        DueRow {
            herd: listed.name.clone(),
            cow: due.name.animal.number(),
            name: due.name.name,
            day: due.day,
            place: due.place,
            what,
            rule,
            overdue,
            who,
            lesions,
        }
    };
    Ok(report.due.into_iter().map(row).collect())
}
