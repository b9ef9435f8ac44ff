//! What the questions of evidence cost over 10,000,000 observations: time, and memory beyond what
//! was there before, measured in this process.
//!
//! `cargo bench -p hornrule-tests --bench evidence` (minutes, and 2 GB in the folder for temporary
//! files; with `--test` a small database)
//!
//! The goal is under 512 MiB each. The peak is that of the kernel's account (`VmHWM` in
//! `/proc/self/status`, set back before each question); elsewhere than on Linux it is not told.
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

mod season;

use std::collections::BTreeMap;
use std::fs;
use std::hint::black_box;
use std::time::Instant;

use hornrule_facts::HerdId;
use hornrule_herd::Database;
use hornrule_questions::evidence::{self, Bands, Blocks};
use rusqlite::Connection;
use season::{filled, herds};

/// Most memory, MiB.
const GOAL: f64 = 512.0;

/// A line of the kernel's account of this process, MiB.
fn account(line: &str) -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let said = status.lines().find_map(|one| one.strip_prefix(line))?;
    let kib: f64 = said.split_whitespace().next()?.parse().ok()?;
    Some(kib / 1024.0)
}

fn measured(what: &str, ask: impl FnOnce() -> usize) {
    // 5 sets the peak back to what is in use now.
    let reset = fs::write("/proc/self/clear_refs", "5").is_ok();
    let before = account("VmRSS:");
    let began = Instant::now();
    let answers = black_box(ask());
    let took = began.elapsed().as_secs_f64();
    match (before, account("VmHWM:").filter(|_| reset)) {
        (Some(before), Some(peak)) => {
            let verdict = if peak < GOAL { "within" } else { "OVER" };
            println!(
                "{what}: {took:.1} s, {answers} answers, peak {peak:.0} MiB ({:.0} more than \
                 before), {verdict} {GOAL:.0}",
                peak - before
            );
        }
        _ => println!("{what}: {took:.1} s, {answers} answers, memory not told here"),
    }
}

fn main() {
    let trial = std::env::args().any(|word| word == "--test");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let observations = filled(&path, if trial { 6 } else { 125 });
    let conn = Connection::open(&path).unwrap();
    let all: Vec<HerdId> = herds(&conn).into_iter().map(HerdId).collect();
    drop(conn);
    let database = Database::open(&path).unwrap();
    println!("{observations} observations");
    measured("blocks", || {
        let told = evidence::blocks(&database, &all, Blocks::DIFFERENCE, Bands::Drawn).unwrap();
        told.ways.len()
    });
    measured("healing", || evidence::healing(&database, &all, Bands::Drawn).unwrap().groups.len());
    measured("growth", || {
        let told = evidence::growth(&database, &all, Some(85.0), &BTreeMap::new()).unwrap();
        usize::from(told.growth.told().is_some())
    });
    measured("agreement", || evidence::agreement(&database, &all).unwrap().lengths.len());
}
