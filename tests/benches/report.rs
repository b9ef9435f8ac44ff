//! The report of one visit from a database of 10,000,000 observations, compared with the bare
//! statements it runs: the same texts, prepared, every column of every row read and nothing done
//! with it.
//!
//! `cargo bench -p hornrule-tests --bench report` (minutes, and 2 GB in the folder for temporary
//! files; with `--test` a small database)
//!
//! ```text
//! 40 farms x 125 visits x 65 cows x 31 observations, 8 claws trimmed each
//! ```
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use criterion::Criterion;
use hornrule_exchange::{Target, import_herd};
use hornrule_facts::{Day, HerdId};
use hornrule_herd::{Database, QUERIES};
use hornrule_papers as report;
use hornrule_questions::visit::VisitReport;
use rusqlite::types::ValueRef;
use rusqlite::{Connection, Statement, params_from_iter};

const FARMS: i64 = 40;
const COWS: i64 = 65;
/// Days between one visit of a farm and the next.
const APART: i64 = 14;
const FIRST_DAY: i64 = 18_000;
const EARLIER: i64 = 5;
/// Code table lesions used by the findings in turn; 0 is "sound".
const LESIONS: [i64; 6] = [0, 13, 12, 0, 21, 0];

/// Farms with their lists, and their visits written straight into the herd tables.
fn filled(path: &Path, visits: i64) -> i64 {
    let mut herd = Database::open(path).unwrap();
    let numbers: Vec<String> = (1..=COWS).map(|cow| cow.to_string()).collect();
    let list = format!("number\n{}\n", numbers.join("\n"));
    for farm in 1..=FARMS {
        let target = Target { name: format!("Farm {farm}"), farm: None, zone: "UTC".to_owned() };
        import_herd(&mut herd, &target, list.as_bytes()).unwrap();
    }
    drop(herd);
    let mut conn = Connection::open(path).unwrap();
    let herds = herds(&conn);
    conn.pragma_update(None, "synchronous", "OFF").unwrap();
    let tx = conn.transaction().unwrap();
    let mut observations = 0;
    {
        let mut into = Tables::of(&tx);
        for herd in herds {
            let mut seq = 0;
            for visit in 0..visits {
                for cow in 1..=COWS {
                    observations += into.cow(herd, FIRST_DAY + visit * APART, cow, &mut seq);
                }
            }
        }
    }
    tx.commit().unwrap();
    conn.execute_batch("ANALYZE").unwrap();
    observations
}

/// The numbers of the herds.
fn herds(conn: &Connection) -> Vec<i64> {
    let mut query = conn.prepare("SELECT herd FROM herd ORDER BY herd").unwrap();
    query.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
}

struct Tables<'a> {
    presence: Statement<'a>,
    reading: Statement<'a>,
    finding: Statement<'a>,
    action: Statement<'a>,
    score: Statement<'a>,
}

impl<'a> Tables<'a> {
    fn of(conn: &'a Connection) -> Self {
        let into = |table: &str, columns: usize| {
            let marks: Vec<String> = (1..=columns).map(|place| format!("${place}")).collect();
            conn.prepare(&format!("INSERT INTO {table} VALUES ({})", marks.join(", "))).unwrap()
        };
        Self {
            presence: into("presence", 11),
            reading: into("reading", 19),
            finding: into("finding", 16),
            action: into("action", 15),
            score: into("score", 15),
        }
    }

    /// One cow's stay: 16 walls, 4 findings, 8 claws trimmed, a block on and off, a score, and the
    /// stay itself; returns how many rows that was.
    fn cow(&mut self, herd: i64, day: i64, cow: i64, seq: &mut i64) -> i64 {
        let stay = *seq + 1;
        let mut rows = 0;
        let mut row = |table: &mut Statement<'_>, more: &[i64]| {
            *seq += 1;
            rows += 1;
            let at_ms = day * 86_400_000 + *seq;
            let (device, log, boot, uncertainty, clock) = (7, 9, 1, 2_000, 0);
            let all = [herd, device, log, *seq, boot, at_ms, day, uncertainty, clock, cow];
            table.execute(params_from_iter(all.iter().chain(more))).unwrap();
        };
        // The stay has its end where the others have their day, and nothing else.
        let at_ms = day * 86_400_000 + stay;
        self.presence
            .execute((herd, 7, 9, stay, 1, at_ms, at_ms + 300_000, day, 2_000, 0, cow))
            .unwrap();
        row(&mut self.score, &[stay, 0, 0, 1, 1 + (cow + day) % 5]);
        for foot in 0..4 {
            let lesion = LESIONS[((cow + day / APART + foot) % 6) as usize];
            row(&mut self.finding, &[stay, foot, 1, lesion, i64::from(lesion != 0), 4]);
            for side in 1..=2 {
                let wall = 80_000_000 + cow * 10_000;
                row(&mut self.reading, &[stay, foot, side, 1, wall, 0, 0, 0, 1]);
                row(&mut self.action, &[stay, foot, side, 30, 0]);
                row(&mut self.reading, &[stay, foot, side, 1, wall - 5_000_000, 0, 0, 1, 1]);
            }
        }
        let block = if (day / APART) % 2 == 0 { 40 } else { 41 };
        row(&mut self.action, &[stay, 2, 2, block, 0]);
        rows + 1
    }
}

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

/// The statements of a visit's report, as `VisitReport::gather` runs them.
fn statements(conn: &Connection, (herd, day): (i64, i64)) -> u64 {
    let mut rows = bare(conn, "HERDS", &[]) + 2 * bare(conn, "ANIMALS", &[herd]);
    for name in ["STAYS", "READINGS", "FINDINGS", "ACTIONS", "SCORES", "REMARKS"] {
        rows += bare(conn, name, &[herd, day]);
    }
    rows += bare(conn, "DAYS_BEFORE", &[herd, day, EARLIER]);
    for visit in 1..=EARLIER {
        for name in ["STAYS", "FINDINGS"] {
            rows += bare(conn, name, &[herd, day - visit * APART]);
        }
    }
    rows += bare(conn, "GAUGES", &[day, herd]) + bare(conn, "UNPLACED_REMARKS", &[]);
    rows += bare(conn, "DUE_RULES", &[]);
    for name in ["FOUND_THROUGH", "DONE_THROUGH"] {
        rows += bare(conn, name, &[herd, day]);
    }
    rows
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
    let (of, day, cows) = report::list_visits(&herd).unwrap()[0];
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
        black_box(report.render_terminal());
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
