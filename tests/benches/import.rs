//! From sealed records in the inbox to committed rows in the herd tables, compared with a bare
//! prepared insert of the very same rows.
//!
//! `cargo bench -p hornrule-tests --bench import`
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

use std::path::Path;
use std::time::{Duration, Instant};

use criterion::{BatchSize, Criterion, Throughput};
use hornrule_facts::Batch;
use hornrule_herd::Database;
use hornrule_herd::inbox::{Anchor, PullStart};
use hornrule_intake as intake;
use hornrule_protocol::record::{
    CalliperKind, Done, Finding, Reading, StartCause, Started, UnitMode,
};
use hornrule_protocol::{
    Action, AnimalNumber, Boot, Claw, DeviceId, Dimension, Entry, Foot, HerdNumber, Lesion, LogId,
    Nanometres, Place, Record, Seq, Side, Uptime, seal,
};
use hornrule_tests::list_alder_brook;
use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};

const DEVICE: DeviceId = DeviceId(7);
const LOG: LogId = LogId(9);
/// Cows of an invented year; each has eleven entries.
const COWS: u32 = 2_000;
const DERIVED: [&str; 5] = ["presence", "reading", "finding", "action", "score"];

/// Everything entered at the chute, sealed.
fn batch() -> Batch {
    let mut entries = vec![
        Entry::Started(Started { cause: StartCause::PowerOn, firmware: [0, 1, 0], fault: 0 }),
        Entry::Clock { unix_ms: 1_772_500_000_000 },
        Entry::Visit { farm: 1 },
    ];
    let codes: Vec<Lesion> = Lesion::all().filter(|lesion| lesion.code > 0).collect();
    for cow in 0..COWS {
        let number = HerdNumber::new(1 + cow).unwrap();
        entries.push(Entry::Animal(AnimalNumber::Herd(number)));
        for (foot, side) in [(2, Side::Lateral), (2, Side::Medial), (3, Side::Lateral)] {
            let foot = Foot::from_number(foot).unwrap();
            let place = Place::Claw(Claw { foot, side });
            let lesion = codes[(cow % 12) as usize];
            entries.push(Entry::Finding(Finding { lesion, place, grade: 2, zone: None }));
            entries.push(Entry::Reading(Reading {
                length: Nanometres::from_mm(75),
                dimension: Dimension::DORSAL_WALL,
                place,
                unit: UnitMode::Millimetre,
                kind: CalliperKind::Sync24,
            }));
            let action = Action::from_code(30).unwrap();
            entries.push(Entry::Action(Done { action, place, days: 0 }));
        }
        entries.push(Entry::AnimalLeft);
    }
    let mut sealed = Vec::new();
    for (place, entry) in (1u32..).zip(entries) {
        let record = Record { boot: Boot(1), uptime: Uptime(u64::from(place) * 9_000), entry };
        sealed.push(seal(DEVICE, LOG, Seq(place), &record).unwrap());
    }
    let through = Seq(u32::try_from(sealed.len()).unwrap());
    Batch { device: DEVICE, log: LOG, from: Seq::FIRST, through, sealed }
}

/// A database with the batch in its inbox and nothing derived.
fn filled(path: &Path, batch: &Batch) -> Database {
    let mut herd = Database::open(path).unwrap();
    list_alder_brook(&mut herd);
    let start = PullStart {
        device: DEVICE,
        log: LOG,
        firmware: [0, 1, 0],
        source: "bench".to_owned(),
        started_ms: 0,
    };
    let pull = herd.begin_pull(&start).unwrap();
    herd.store(pull, batch).unwrap();
    let anchor = Anchor {
        boot: Boot(1),
        uptime: Uptime(18_000),
        unix_ms: 1_772_500_000_000,
        round_trip_ms: 2,
    };
    herd.anchor(pull, DEVICE, LOG, &anchor).unwrap();
    herd
}

/// The derived rows of a database, table by table, as values.
fn rows(path: &Path) -> Vec<(String, Vec<Vec<Value>>)> {
    let conn = Connection::open(path).unwrap();
    let table = |name: &str| {
        let mut query = conn.prepare(&format!("SELECT * FROM {name}")).unwrap();
        let columns = query.column_count();
        let rows: Vec<Vec<Value>> = query
            .query_map([], |row| (0..columns).map(|place| row.get(place)).collect())
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let marks: Vec<String> = (1..=columns).map(|place| format!("${place}")).collect();
        (format!("INSERT INTO {name} VALUES ({})", marks.join(", ")), rows)
    };
    DERIVED.into_iter().map(table).collect()
}

/// One transaction of prepared inserts into the same tables of an empty database.
fn bare(path: &Path, tables: &[(String, Vec<Vec<Value>>)]) -> Duration {
    let mut herd = Database::open(path).unwrap();
    list_alder_brook(&mut herd);
    drop(herd);
    let mut conn = Connection::open(path).unwrap();
    conn.pragma_update(None, "journal_mode", "WAL").unwrap();
    conn.pragma_update(None, "synchronous", "FULL").unwrap();
    let began = Instant::now();
    let tx = conn.transaction().unwrap();
    for (insert, rows) in tables {
        let mut query = tx.prepare(insert).unwrap();
        for row in rows {
            query.execute(params_from_iter(row)).unwrap();
        }
    }
    tx.commit().unwrap();
    began.elapsed()
}

fn derived(path: &Path, batch: &Batch) -> Duration {
    let mut herd = filled(path, batch);
    let began = Instant::now();
    intake::run(&mut herd, DEVICE, LOG, Seq::FIRST).unwrap();
    began.elapsed()
}

fn median(mut times: Vec<Duration>) -> f64 {
    times.sort_unstable();
    times[times.len() / 2].as_secs_f64()
}

fn main() {
    let batch = batch();
    let records = u64::from(batch.through.0);
    let folder = tempfile::tempdir().unwrap();
    let mut count = 0;
    let mut fresh = || {
        count += 1;
        folder.path().join(format!("{count}.db"))
    };
    let first = fresh();
    derived(&first, &batch);
    let tables = rows(&first);
    let inserted: usize = tables.iter().map(|(_, rows)| rows.len()).sum();

    let mut criterion = Criterion::default().sample_size(10).configure_from_args();
    let mut group = criterion.benchmark_group("import");
    group.throughput(Throughput::Elements(records));
    group.bench_function("inbox to herd rows", |bencher| {
        bencher.iter_batched(
            || filled(&fresh(), &batch),
            |mut herd| intake::run(&mut herd, DEVICE, LOG, Seq::FIRST).unwrap(),
            BatchSize::PerIteration,
        );
    });
    group.finish();
    criterion.final_summary();

    // The ratio of alternate turns in one run: a busy computer slows both alike.
    if std::env::args().any(|word| word == "--test") {
        return;
    }
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for _ in 0..7 {
        ours.push(derived(&fresh(), &batch));
        theirs.push(bare(&fresh(), &tables));
    }
    let (ours, theirs) = (median(ours), median(theirs));
    let (ours_rate, bare_rate) = (records as f64 / ours, inserted as f64 / theirs);
    println!("import: {records} records to {inserted} rows, {ours_rate:.0} records/s");
    println!("bare prepared insert of the same rows: {bare_rate:.0} rows/s");
    println!("ratio of times, bare over import: {:.2}", theirs / ours);
}
