//! P4: the power fails after a call. What was not synced is lost, or some of it is.
//!
//! Files are rebuilt from the log of one undisturbed pull. A write counts as on the disk once its
//! own file was synced after it. Of the later ones none is there, or each sector of 512 bytes by
//! itself is or is not (a seeded coin): a disk may write them in any order. A truncation or removal
//! that was not followed by a sync of the file is such a write too. That a new file's name is there
//! is taken for granted.

use std::fs;
use std::path::Path;

use crate::bench::{Bench, Start, folder, long, sample};
use crate::shim;
use crate::shim::{Act, Call, ENDS, Kind};

const SECTOR: usize = 512;

/// What becomes of calls that no sync followed.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Unsynced {
    /// All are lost.
    Lost,
    /// Some are; which ones, the seed says.
    Some(u32),
}

impl Unsynced {
    /// Whether this part of that call reached the disk.
    fn there(self, call: usize, part: usize) -> bool {
        match self {
            Self::Lost => false,
            Self::Some(seed) => {
                // SplitMix64 (Steele, Lea, Flood 2014, written from memory), one bit of it. Not a
                // checksum: those are linear, and neighbouring sectors would fall together.
                let mut z = u64::from(seed) << 48 ^ (call as u64) << 24 ^ part as u64;
                z = z.wrapping_add(0x9E37_79B9_7F4A_7C15);
                z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
                z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
                (z >> 33) & 1 == 1
            }
        }
    }
}

/// One file on the disk.
#[derive(Clone, Default)]
struct Disk {
    synced: Option<Vec<u8>>,
    pending: Vec<(usize, Act)>,
}

impl Disk {
    fn take(&mut self, number: usize, act: &Act) {
        if matches!(act, Act::Sync) {
            for (_, act) in std::mem::take(&mut self.pending) {
                apply(&mut self.synced, &act, |_| true);
            }
            // A file that was synced is there, be it empty.
            self.synced.get_or_insert_with(Vec::new);
        } else {
            self.pending.push((number, act.clone()));
        }
    }

    fn after(mut self, unsynced: Unsynced) -> Option<Vec<u8>> {
        for (number, act) in std::mem::take(&mut self.pending) {
            apply(&mut self.synced, &act, |part| unsynced.there(number, part));
        }
        self.synced
    }
}

fn apply(file: &mut Option<Vec<u8>>, act: &Act, there: impl Fn(usize) -> bool) {
    match act {
        Act::Write { offset, bytes } => {
            let mut at = *offset;
            let mut rest = bytes.as_slice();
            while !rest.is_empty() {
                let (part, more) = rest.split_at(rest.len().min(SECTOR - at % SECTOR));
                if there(at / SECTOR) {
                    let file = file.get_or_insert_with(Vec::new);
                    file.resize(file.len().max(at + part.len()), 0);
                    file[at..at + part.len()].copy_from_slice(part);
                }
                at += part.len();
                rest = more;
            }
        }
        Act::Truncate(length) if there(0) => {
            file.get_or_insert_with(Vec::new).resize(*length, 0);
        }
        Act::Unlink if there(0) => *file = None,
        Act::Truncate(_) | Act::Unlink | Act::Sync | Act::Rename => {}
    }
}

/// Puts the files as the disk has them where the database is.
pub(crate) fn lose_power(
    db: &Path,
    before: &[Option<Vec<u8>>; 3],
    calls: &[Call],
    unsynced: Unsynced,
) {
    let mut disks = before.clone().map(|synced| Disk { synced, pending: Vec::new() });
    for (number, call) in calls.iter().enumerate() {
        disks[call.file].take(number, &call.act);
    }
    for (disk, end) in disks.into_iter().zip(ENDS) {
        let path = format!("{}{end}", db.display());
        match disk.after(unsynced) {
            Some(bytes) => fs::write(path, bytes).unwrap(),
            None => {
                let _there = fs::remove_file(path);
            }
        }
    }
    // Mapped memory that nobody synced: anything may stand there.
    fs::write(format!("{}-shm", db.display()), [0xA5; 32_768]).unwrap();
}

fn at_every_call(start: Start, quick: usize) {
    let bench = Bench::get();
    let folder = folder();
    let db = bench.database(folder.path(), start);
    bench.pull(&db, Kind::None, 0);
    let calls = shim::calls(&db);
    let before = bench.files(start);
    let seeds = if long() { 4 } else { 1 };
    let places = sample(&(0..=calls.len()).collect::<Vec<_>>(), quick);
    let mut tried = 0;
    for done in places {
        let ways = (0..seeds).map(Unsynced::Some).chain([Unsynced::Lost]);
        for unsynced in ways {
            let about = format!("{start:?}, power lost after call {done}, unsynced {unsynced:?}");
            let db = bench.database(folder.path(), start);
            lose_power(&db, &before, &calls[..done], unsynced);
            bench.holds(&db, start, &about);
            tried += 1;
        }
    }
    eprintln!("{start:?}, power lost: {tried} disks of {} calls", calls.len());
}

#[test]
fn p4_power_lost_at_every_call() {
    at_every_call(Start::Listed, 24);
}

#[test]
fn p4_power_lost_at_every_call_of_a_first_pull() {
    at_every_call(Start::Fresh, 24);
}

#[test]
fn p4_power_lost_at_every_call_of_a_second_pull() {
    at_every_call(Start::Second, 24);
}

/// The fake itself: it loses what was not synced, and nothing else.
#[test]
fn the_disk_keeps_what_was_synced() {
    let write = |byte: u8| Act::Write { offset: 510, bytes: vec![byte; 4] };
    let mut disk = Disk::default();
    for (number, act) in [write(1), Act::Sync, write(2), Act::Truncate(1)].iter().enumerate() {
        disk.take(number, act);
    }
    let lost = disk.clone().after(Unsynced::Lost).unwrap();
    assert_eq!((lost.len(), &lost[510..]), (514, &[1u8; 4][..]));
    let torn = (0..64).filter(|seed| {
        let there = disk.clone().after(Unsynced::Some(*seed)).unwrap();
        there.len() == 514 && there[510..] == [1, 1, 2, 2]
    });
    assert!(torn.count() > 2, "a write is never torn between sectors");
}
