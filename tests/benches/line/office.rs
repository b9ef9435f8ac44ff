//! Our own pull through the relay.

use std::collections::VecDeque;
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::os::fd::AsFd;
use std::thread;
use std::time::{Duration, Instant};

use hornrule_board_sim::wire::Wire;
use hornrule_board_sim::{Session, Story, serve};
use hornrule_line::clock::SystemClock;
use hornrule_line::port::Serial;
use hornrule_line::pull::{Anchor, Batch, Links, Run, run};
use hornrule_protocol::digest::RunDigest;
use hornrule_protocol::limits::MAX_DIGESTED;
use hornrule_protocol::message::Hello;
use hornrule_protocol::{Sealed, Seq};
use hornrule_testkit::flash::Flash;
use nix::poll::{PollFd, PollFlags, PollTimeout, poll};

use super::Figure;
use super::relay::Relay;

/// The handheld's end of the relay.
struct End(File, String);

impl Wire for End {
    fn address(&self) -> String {
        self.1.clone()
    }

    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let wait = PollTimeout::try_from(wait).unwrap_or(PollTimeout::ZERO);
        let mut fds = [PollFd::new(self.0.as_fd(), PollFlags::POLLIN)];
        if poll(&mut fds, wait)? == 0 { Ok(0) } else { self.0.read(buffer) }
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }
}

/// Keeps only times.
#[derive(Default)]
struct Stopwatch {
    first: Option<Instant>,
    last: Option<Instant>,
    /// Bytes of the first batch, which came before the first time was taken.
    before: u64,
    /// The last records, which are proved before the release.
    last_records: VecDeque<Sealed>,
}

impl Links for Stopwatch {
    type Error = io::Error;

    fn meet(&mut self, _: &Hello) -> Result<Vec<Run>, io::Error> {
        Ok(Vec::new())
    }

    fn proved(&mut self, _: usize) -> Result<Seq, io::Error> {
        Ok(Seq::NONE)
    }

    fn compare(&mut self, _: &Batch) -> Result<(), io::Error> {
        Ok(())
    }

    fn judge(&mut self) -> Result<Seq, io::Error> {
        Ok(Seq::NONE)
    }

    fn settle(&mut self, _: Seq) -> Result<Vec<(Seq, Seq)>, io::Error> {
        Ok(Vec::new())
    }

    fn fill(&mut self, _: &Batch) -> Result<(), io::Error> {
        Ok(())
    }

    fn confirm(&mut self, _: Seq) -> Result<Option<Vec<Run>>, io::Error> {
        let mut digest = RunDigest::new();
        self.last_records.iter().for_each(|one| digest.add(one));
        let seq = |one: Option<&Sealed>| one.map_or(Seq::NONE, Sealed::seq);
        let (from, through) = (seq(self.last_records.front()), seq(self.last_records.back()));
        let count = digest.count();
        Ok(Some(vec![Run { from, through, count, digest: digest.finish() }]))
    }

    fn consent(&mut self) -> Result<bool, io::Error> {
        Ok(true)
    }

    fn anchor(&mut self, _: &Anchor) -> Result<(), io::Error> {
        Ok(())
    }

    fn store(&mut self, batch: &Batch) -> Result<(), io::Error> {
        let now = Instant::now();
        if self.first.is_none() {
            self.first = Some(now);
            self.before = batch.sealed.iter().map(|one| one.as_bytes().len() as u64).sum();
        }
        self.last = Some(now);
        self.last_records.extend(batch.sealed.iter().cloned());
        let surplus = self.last_records.len().saturating_sub(MAX_DIGESTED as usize);
        self.last_records.drain(..surplus);
        Ok(())
    }

    fn progress(&mut self, _: Seq, _: Seq) {}
}

pub(crate) struct PulledDay {
    pub(crate) records: u64,
    pub(crate) sealed_bytes: u64,
    pub(crate) wire_bytes: u64,
    /// From the first batch to the last.
    pub(crate) stream: Figure,
    /// From the first request to the last answer.
    pub(crate) whole: Figure,
}

pub(crate) fn pull(records: u32, latency: Duration) -> PulledDay {
    let relay = Relay::start(latency);
    let file = OpenOptions::new().read(true).write(true).open(&relay.handheld).unwrap();
    let end = End(file, relay.handheld.clone());
    let handheld = thread::spawn(move || {
        let mut quiet = io::sink();
        let handheld = hornrule_tests::handheld(Flash::<1024>::blank(190));
        let mut session = Session::new(handheld, Box::new(end), &mut quiet);
        serve(&mut session, Some(&long_day(records)), 1).unwrap();
    });
    let mut port = Serial::open(&relay.office).unwrap();
    // The day is played faster than real time, but not instantly.
    while hornrule::office::greet(&mut port).is_err() {}
    let mut watch = Stopwatch::default();
    let began = Instant::now();
    let pulled = run(&mut port, &mut watch, &SystemClock).unwrap();
    let whole = began.elapsed();
    drop(port);
    handheld.join().unwrap();
    let stream = watch.last.unwrap() - watch.first.unwrap();
    let label = |what: &str| format!("{what}, {:.1} ms latency", latency.as_secs_f64() * 1e3);
    PulledDay {
        records: pulled.records,
        sealed_bytes: pulled.sealed_bytes,
        wire_bytes: pulled.wire_bytes,
        stream: Figure {
            what: label("hornrule pull, first to last batch"),
            payload: pulled.sealed_bytes - watch.before,
            took: stream,
        },
        whole: Figure {
            what: label("hornrule pull, whole, from Hello to Released"),
            payload: pulled.sealed_bytes,
            took: whole,
        },
    }
}

/// A day with this many records: three per cow, and two of the handheld's own.
fn long_day(records: u32) -> Story {
    let mut text = "at 2026-03-03 07:00\npower on\noffice clock\n".to_owned();
    for cow in 0..(records - 2) / 3 {
        text += &format!("keys COW {} COW RH FIND 13 2 DO 30\n", 100 + cow);
    }
    for _ in 0..(records - 2) % 3 {
        text += "keys SCORE 1 2\n";
    }
    text += "plug in\n";
    text.parse().unwrap()
}
