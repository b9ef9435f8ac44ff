//! The pull's memory does not grow with what arrives: deframer, batch and window have fixed sizes.
//!
//! A test crate of its own, because it measures the memory of its whole process.
#![cfg(target_os = "linux")]
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::convert::Infallible;

use hornrule_line::clock::Clock;
use hornrule_line::pull::{Anchor, Batch, Links, Run, run};
use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::{Boot, DeviceId, Entry, LogId, Record, Seq, Uptime, seal};
use hornrule_tests::long;
use hornrule_tests::scripted::{Answer, Scripted, Truth, batch, wire};

/// Counts, and keeps nothing.
#[derive(Default)]
struct Counting {
    records: u64,
    most: usize,
}

impl Links for Counting {
    type Error = Infallible;

    fn meet(&mut self, _: &Hello) -> Result<Vec<Run>, Infallible> {
        Ok(Vec::new())
    }

    fn proved(&mut self, _: usize) -> Result<Seq, Infallible> {
        Ok(Seq::NONE)
    }

    fn compare(&mut self, _: &Batch) -> Result<(), Infallible> {
        Ok(())
    }

    fn judge(&mut self) -> Result<Seq, Infallible> {
        Ok(Seq::NONE)
    }

    fn settle(&mut self, _: Seq) -> Result<Vec<(Seq, Seq)>, Infallible> {
        Ok(Vec::new())
    }

    fn fill(&mut self, _: &Batch) -> Result<(), Infallible> {
        Ok(())
    }

    fn confirm(&mut self, _: Seq) -> Result<Option<Vec<Run>>, Infallible> {
        Ok(Some(Vec::new()))
    }

    fn consent(&mut self) -> Result<bool, Infallible> {
        Ok(true)
    }

    fn anchor(&mut self, _: &Anchor) -> Result<(), Infallible> {
        Ok(())
    }

    fn store(&mut self, batch: &Batch) -> Result<(), Infallible> {
        self.records += batch.sealed.len() as u64;
        self.most = self.most.max(batch.sealed.len());
        Ok(())
    }

    fn progress(&mut self, _: Seq, _: Seq) {}
}

struct Still;
impl Clock for Still {
    fn unix_ms(&self) -> i64 {
        0
    }
}

/// The most memory this process has ever had, bytes (`VmHWM` of proc(5)).
fn most_memory() -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap();
    line.trim().trim_end_matches(" kB").parse::<usize>().unwrap() * 1024
}

/// Pulls a log with this many records, a window at a time.
fn pull(records: u32) -> Counting {
    let (device, log) = (DeviceId(5), LogId(6));
    let mut truth = Truth::day(device, log, 1);
    truth.hello.next = Seq(records + 1);
    let record = Record { boot: Boot(1), uptime: Uptime(9), entry: Entry::AnimalLeft };
    let (mut next, mut sent, mut stream) = (Seq(1), 0, None);
    let mut port = Scripted::new(|id, request| {
        let credit = match request {
            Request::Read { from, credit, .. } => {
                (next, sent, stream) = (from, 0, Some(id));
                credit
            }
            Request::Credit { batches } if stream == Some(id) => batches,
            other => return truth.answer(id, other).into(),
        };
        let mut line = Vec::new();
        while sent < credit && next.0 <= records {
            let through = Seq(records.min(next.0 + 59));
            let run: Vec<_> = (next.0..=through.0)
                .map(|seq| seal(device, log, Seq(seq), &record).unwrap())
                .collect();
            line.extend(batch(id, next, through, &run));
            (next, sent) = (through.next(), sent + 1);
        }
        if next.0 > records {
            line.extend(wire(id, &Response::End { next }));
        }
        Answer::from(line)
    });
    let mut links = Counting::default();
    run(&mut port, &mut links, &Still).unwrap();
    links
}

#[test]
fn the_pull_takes_no_more_memory_for_a_hundred_times_the_records() {
    let few = pull(5_000);
    assert_eq!((few.records, few.most), (5_000, 60));
    let before = most_memory();
    let many = if long() { 1_000_000 } else { 100_000 };
    assert_eq!(pull(many).records, u64::from(many));
    let grown = most_memory() - before;
    // 100,000 records are 1.7 MB on the wire; the limit is less.
    assert!(grown < 1_000_000, "{grown} bytes more");
}
