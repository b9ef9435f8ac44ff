//! P3, P4 and P5: one fault at one byte of a pull, at every byte, in both directions.
//!
//! `HORNRULE_LONG=1` goes through all bytes; without it a seeded sample of every frame.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::fs;
use std::path::{Path, PathBuf};

use hornrule::office;
use hornrule_board_sim::Handheld;
use hornrule_herd::Database;
use hornrule_protocol::Seq;
use hornrule_testkit::flash::Flash;
use hornrule_testkit::seeded::Seeded;
use hornrule_tests::cable::Cable;
use hornrule_tests::faulty::{Fault, Faulty, Way};
use hornrule_tests::{ALDER_BROOK, handheld, herd_at, identity, long, memory_folder, rows, tell};

type Chip = Flash<1024>;

/// A second start of the same day, without the clock set: its records depend on the pull's own
/// anchor.
const AFTERNOON: &str =
    "wait 1h\npower on\nkeys COW 01 COW COW 46 COW LH FIND 31 2 DO 60\nwait 90s";

const FAULTS: [Fault; 8] = [
    Fault::Drop,
    Fault::Flip(0),
    Fault::Flip(6),
    Fault::Split,
    Fault::Repeat,
    // Within the office's patience, and beyond it.
    Fault::Stall(2),
    Fault::Stall(7),
    Fault::Dead,
];

/// The handheld as plugged in, as often as needed.
struct Bench {
    flash: Chip,
    now_ms: u64,
    listed: PathBuf,
    folder: tempfile::TempDir,
}

impl Bench {
    /// The story's first day up to this place.
    fn until(place: &str) -> Self {
        let (told, _) = ALDER_BROOK.split_once(place).unwrap();
        let mut day = tell(told, handheld(Chip::blank(190)), |handheld| handheld);
        day.power_off();
        let folder = memory_folder();
        let listed = folder.path().join("listed.db");
        drop(herd_at(&listed));
        Self { flash: day.flash().unwrap().clone(), now_ms: day.now_ms(), listed, folder }
    }

    fn plugged_in(&self) -> Handheld<Chip> {
        let handheld = Handheld::new(self.flash.clone(), identity(), self.now_ms);
        tell(AFTERNOON, handheld, |handheld| handheld)
    }

    /// A database with the herd list and nothing else.
    fn database(&self) -> PathBuf {
        let path = self.folder.path().join("herd.db");
        for end in ["", "-wal", "-shm"] {
            let _there = fs::remove_file(format!("{}{end}", path.display()));
        }
        fs::copy(&self.listed, &path).unwrap();
        path
    }

    /// What is received and sent in a pull without faults, and the rows it ends in.
    fn recorded(&self) -> ([Vec<u8>; 2], String) {
        let path = self.database();
        let mut cable = Cable::clean(self.plugged_in());
        let clock = cable.clock();
        let mut line = Faulty::sound(&mut cable);
        office::pull(&mut line, &mut Database::open(&path).unwrap(), &clock, "", &mut |_, _| {})
            .unwrap();
        (line.tape(), rows::dump(&path))
    }
}

fn released(handheld: &Handheld<Chip>) -> Seq {
    handheld.device().unwrap().journal().log().released()
}

/// How a pull with a fault ended.
#[derive(Default, Debug)]
struct Ended {
    faults: u32,
    /// Ended well despite the fault.
    at_once: u32,
    /// Ended with an error; the next one fetched the rest.
    next_pull: u32,
}

/// Pulls with the fault, then without, and checks the rows against what is expected.
fn try_one(bench: &Bench, way: Way, at: usize, fault: Fault, expected: &str, ended: &mut Ended) {
    let about = format!("{way:?}, byte {at}, {fault:?}");
    let path = bench.database();
    let mut cable = Cable::clean(bench.plugged_in());
    let clock = cable.clock();
    let pull = |port: &mut dyn hornrule_line::port::Port, path: &Path| {
        let mut herd = Database::open(path).unwrap();
        office::pull(port, &mut herd, &clock, "", &mut |_, _| {})
    };
    let mut line = Faulty::new(&mut cable, way, at, fault);
    let first = pull(&mut line, &path);
    assert!(line.struck(), "{about}: never got there");
    let handheld = cable.unplug();
    let stored = rows::count(&path, "sealed");
    assert!(released(&handheld).0 as usize <= stored, "{about}: P3");
    let mut cable = Cable::clean(handheld);
    match first {
        Ok(_) => ended.at_once += 1,
        Err(_) => {
            ended.next_pull += 1;
            let next = pull(&mut cable, &path);
            assert!(next.is_ok(), "{about}: the next pull says {}", next.unwrap_err());
        }
    }
    ended.faults += 1;
    assert!(rows::dump(&path) == expected, "{about}: other rows");
}

/// Where frames begin and end: (first byte, last byte).
fn frames(tape: &[u8]) -> Vec<(usize, usize)> {
    let mut frames = Vec::new();
    let mut from = None;
    for (at, byte) in tape.iter().enumerate() {
        match (from, *byte) {
            (None, 0) => {}
            (None, _) => from = Some(at),
            (Some(first), 0) => {
                frames.push((first, at));
                from = None;
            }
            (Some(_), _) => {}
        }
    }
    frames
}

/// The bytes at which faults happen.
fn places(tape: &[u8], seed: u64) -> Vec<usize> {
    if long() {
        return (0..tape.len()).collect();
    }
    let mut chance = Seeded::new(seed);
    frames(tape)
        .into_iter()
        .flat_map(|(first, last)| {
            // The zero before, the zero after, and a byte in between.
            let inside = first + usize::try_from(chance.below((last - first) as u64)).unwrap();
            [first - 1, inside, last]
        })
        .collect()
}

fn all(bench: &Bench, way: Way, least_frames: usize) {
    let (tapes, expected) = bench.recorded();
    let tape = &tapes[way as usize];
    let count = frames(tape).len();
    assert!(count >= least_frames, "{count} frames are too few to mean anything");
    for fault in FAULTS {
        let mut ended = Ended::default();
        for at in places(tape, 11) {
            try_one(bench, way, at, fault, &expected, &mut ended);
        }
        eprintln!("{way:?} {fault:?}: {ended:?}, {} bytes, {count} frames", tape.len());
    }
}

#[test]
fn p3_p4_p5_every_byte_the_office_receives() {
    // Hello, three Now, two batches at least, End, Released.
    // Half a day, so that all bytes are done in minutes.
    all(&Bench::until("# Sole ulcer on the left hind"), Way::ToOffice, 8);
}

#[test]
fn p3_p4_p5_every_byte_the_office_sends() {
    // Hello, three Now, Read, Credit, Release.
    all(&Bench::until("plug in"), Way::ToHandheld, 7);
}
