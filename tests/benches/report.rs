//! The report of one visit from a database of 10,000,000 observations, compared with the bare
//! statements it runs: the same texts, prepared, every column of every row read and nothing done
//! with it.
//!
//! `cargo bench -p hornrule-tests --bench report` (minutes, and 2 GB in the folder for temporary
//! files; with `--test` a small database)
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

mod season;

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::Criterion;
use hornrule_facts::{Day, HerdId};
use hornrule_herd::{Database, QUERIES};
use hornrule_papers::visit::render_terminal;
use hornrule_questions::visit::{VisitReport, list_visits};
use rusqlite::types::ValueRef;
use rusqlite::{Connection, params_from_iter};
use season::{APART, COWS, filled, herds};

/// Visits that a report looks back on.
const EARLIER: i64 = 5;

/// A query's text by its name.
fn text(name: &str) -> &'static str {
    QUERIES.iter().find(|(one, _)| *one == name).unwrap().1
}

/// Reads every column of every row; returns the number of rows.
fn bare(conn: &Connection, name: &str, params: &[i64]) -> u64 {
    let mut statement = conn.prepare_cached(text(name)).unwrap();
    let columns = statement.column_count();
    let mut rows = statement.query(params_from_iter(params)).unwrap();
    let mut count = 0;
    while let Some(row) = rows.next().unwrap() {
        for place in 0..columns {
            let value: ValueRef<'_> = row.get_ref(place).unwrap();
            black_box(value);
        }
        count += 1;
    }
    count
}

/// Facts of a table over days.
fn facts(conn: &Connection, table: &str, (herd, from, through): (i64, i64, i64)) -> u64 {
    bare(conn, &format!("{table}_FACTS"), &[herd, from, through])
}

/// The statements of a visit's report, as `VisitReport::gather` runs them: the day's facts, and all
/// findings and actions of the herd up to the day, of which its cases are made.
fn statements(conn: &Connection, (herd, day): (i64, i64)) -> u64 {
    let mut rows = bare(conn, "HERDS", &[]) + 2 * bare(conn, "ANIMALS", &[herd]);
    for table in ["STAY", "READING", "FINDING", "ACTION", "SCORE"] {
        rows += facts(conn, table, (herd, day, day));
    }
    for table in ["FINDING", "ACTION"] {
        rows += facts(conn, table, (herd, i64::from(i32::MIN), day));
    }
    rows += bare(conn, "DAYS_BEFORE", &[herd, day, EARLIER]);
    rows += facts(conn, "STAY", (herd, day - EARLIER * APART, day - APART));
    // Once for each of the three times that facts are read.
    rows += 3 * bare(conn, "FLAGS", &[herd]);
    rows += bare(conn, "REMARKS", &[herd, day]) + bare(conn, "UNPLACED_REMARKS", &[]);
    rows += bare(conn, "GAUGE_FACTS", &[herd, day, day]) + bare(conn, "DUE_RULES", &[]);
    rows + bare(conn, "CLOSINGS", &[herd])
}

fn reported(herd: &Database, of: HerdId, day: Day) -> VisitReport {
    VisitReport::gather(herd, of, day).unwrap().unwrap()
}

fn median(mut times: Vec<Duration>) -> f64 {
    times.sort_unstable();
    times[times.len() / 2].as_secs_f64()
}

fn main() {
    let trial = std::env::args().any(|word| word == "--test");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let observations = filled(&path, if trial { 6 } else { 125 });
    let herd = Database::open(&path).unwrap();
    let (of, day, cows) = list_visits(&herd).unwrap()[0];
    assert_eq!(i64::from(cows), COWS);
    let conn = Connection::open(&path).unwrap();
    // The newest visits come first, and those of one day are sorted by herd.
    let key = (herds(&conn)[0], i64::from(day.0));
    let rows = statements(&conn, key);
    assert!(reported(&herd, of, day).cows.len() == COWS as usize);

    let mut criterion = Criterion::default().sample_size(10).configure_from_args();
    criterion.bench_function("visit report", |bencher| {
        bencher.iter(|| reported(&herd, of, day));
    });
    criterion.bench_function("its bare statements", |bencher| {
        bencher.iter(|| statements(&conn, key));
    });
    criterion.final_summary();
    if trial {
        return;
    }
    let (mut ours, mut page, mut theirs) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..15 {
        let began = Instant::now();
        let report = reported(&herd, of, day);
        ours.push(began.elapsed());
        black_box(render_terminal(&report));
        page.push(began.elapsed());
        let began = Instant::now();
        black_box(statements(&conn, key));
        theirs.push(began.elapsed());
    }
    let (ours, page, theirs) = (median(ours), median(page), median(theirs));
    println!("{observations} observations; the report of {cows} cows reads {rows} rows");
    println!("bare statements {:.0} ms, report {:.0} ms", theirs * 1e3, ours * 1e3);
    println!("ratio of times, report over bare: {:.2}", ours / theirs);
    println!("ratio with the page as text: {:.2}", page / theirs);
}
