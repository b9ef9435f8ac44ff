//! Power cuts: at seeded moments, and at flash operations.
//!
//! P1 and P2: everything acknowledged by a cue is there, at most one entry more, in the order of
//! entry; and the day goes on.

use std::panic::{self, AssertUnwindSafe};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use hornrule_protocol::Entry;
use hornrule_testkit::seeded::Seeded;
use hornrule_tests::{identity, long};
use hornrule_tests_emu::emulator::Run;
use hornrule_tests_emu::flash::{blank, filled, said};
use hornrule_tests_emu::gdb::{Gdb, Operation};
use hornrule_tests_emu::image::{Image, LOG_LENGTH};
use hornrule_tests_emu::player::Player;

use crate::promises;

/// Bytes of a page of the emulated chip's flash.
const PAGE: usize = 1024;
const DAY: &str = "power on\nkeys COW 27 COW RH FIND 13 2\nclip 81.20 mm\nkeys DO 30 UNDO";
const GOES_ON: &str = "power on\noffice clock\nkeys COW 46 COW\nexpect Committed";

/// Compares `there`, after a cut with this many entries acknowledged, with all that were entered.
fn holds(there: &[Entry], acknowledged: usize, all: &[Entry], cut: &str) {
    assert!(
        there.len() == acknowledged || there.len() == acknowledged + 1,
        "{cut}: {acknowledged} acknowledged, {} there",
        there.len()
    );
    assert_eq!(there, &all[..there.len()], "{cut}");
}

/// A whole day: what was entered, and how long it took.
fn whole() -> (Vec<Entry>, Duration) {
    let mut player = Player::new(Image::open(), identity(), blank());
    let from = Instant::now();
    player.tell(DAY).unwrap();
    let took = from.elapsed();
    let promised = promises(&player);
    player.power_off();
    let all = said(&player.flash, identity());
    assert_eq!(all.len(), promised);
    assert!(promised > 4, "{promised} entries are too few to mean anything");
    (all, took)
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn p1_p2_cut_at_seeded_moments() {
    let (all, took) = whole();
    let cuts = if long() { 200 } else { 20 };
    let mut chance = Seeded::new(2026);
    let mut lengths = Vec::new();
    for cut in 0..cuts {
        // One section of the day per cut, and a moment in it, so that the cuts are spread.
        let part = took / cuts;
        let within = u64::try_from(part.as_micros()).unwrap();
        let at = part * cut + Duration::from_micros(chance.below(within));
        let mut player = Player::new(Image::open(), identity(), blank());
        player.cut_at = Some(Instant::now() + at);
        // A day that ended first was not cut, but it was acknowledged all the same.
        let _cut = player.tell(DAY);
        player.power_off();
        let there = said(&player.flash, identity());
        holds(&there, promises(&player), &all, &format!("cut {cut} at {at:?}"));
        lengths.push(there.len());
        if cut % 4 == 0 {
            player.cut_at = None;
            player.tell(GOES_ON).unwrap();
            player.power_off();
            assert_eq!(said(&player.flash, identity()).len(), there.len() + 1, "cut {cut}");
        }
    }
    lengths.dedup();
    assert!(lengths.len() > 3, "the cuts all fell between the same entries: {lengths:?}");
    println!("{cuts} cuts at seeded moments of {took:?}: nothing acknowledged was lost");
}

/// The flash after an operation, and what had been acknowledged by then.
struct Cut {
    operation: Operation,
    flash: Vec<u8>,
    acknowledged: usize,
}

/// Starts on a log that has some entries, plays, and cuts at every operation on its flash.
fn cuts(flash: Vec<u8>, before: usize, play: impl FnOnce(&mut Player)) -> (Vec<Cut>, Player) {
    let mut player = Player::new(Image::open(), identity(), flash.clone());
    player.run = Run::ByDebugger;
    player.power_on(0);
    let debugger = player.on().debugger();
    let panel = Arc::clone(&player.on().panel);
    let over = AtomicBool::new(false);
    let cuts = thread::scope(|scope| {
        let watcher = scope.spawn(|| {
            let mut cuts = Vec::new();
            let over = || over.load(Ordering::Relaxed);
            Gdb::new(debugger).every_operation(flash, over, |operation, flash| {
                let (heard, _) = panel.heard();
                let acknowledged =
                    before + heard.iter().filter(|heard| heard.cue.is_promise()).count();
                cuts.push(Cut { operation, flash: flash.to_vec(), acknowledged });
            });
            cuts
        });
        // The watcher ends whatever happens to the day; otherwise a failure would never show.
        let played = panic::catch_unwind(AssertUnwindSafe(|| play(&mut player)));
        over.store(true, Ordering::Relaxed);
        let cuts = watcher.join().unwrap();
        played.unwrap_or_else(|failed| panic::resume_unwind(failed));
        cuts
    });
    player.power_off();
    (cuts, player)
}

/// The first start formats: cut at every operation of that; the next start finishes it.
#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn p1_cut_at_every_flash_operation_of_the_first_format() {
    let (cuts, mut player) = cuts(blank(), 0, |player| {
        // Each of some 200 operations is a stop, so this takes longer than any unwatched start.
        let started = (0..8).any(|_| player.on().panel.wait_begun(0, Duration::from_secs(30)));
        assert!(started, "the handheld does not start");
    });
    let last = cuts.last().unwrap();
    assert!(last.flash == player.flash, "operations were missed, or went to other pages");
    let erases = cuts.iter().filter(|cut| cut.operation == Operation::Erase).count();
    // Each page once; then the words of a header and of a mark.
    assert_eq!(erases, LOG_LENGTH as usize / PAGE);
    assert!(cuts.len() > erases + 5, "{} operations", cuts.len());
    assert!(cuts.iter().all(|cut| cut.acknowledged == 0));
    let mut flashes: Vec<_> = cuts.iter().map(|cut| &cut.flash).collect();
    flashes.dedup();
    assert!(flashes.len() > 5, "header and mark were written word by word");
    player.run = Run::AtOnce;
    for (at, flash) in flashes.iter().enumerate() {
        player.flash = (*flash).clone();
        player.tell(GOES_ON).unwrap();
        player.power_off();
        assert_eq!(said(&player.flash, identity()).len(), 1, "state {at}");
    }
    println!(
        "first format: {} flash operations, {} states of flash, each a cut and a start",
        cuts.len(),
        flashes.len()
    );
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn p1_p2_cut_at_every_flash_operation() {
    // Enough that the day runs past the end of a page of 21 slots: one erase is among the cuts.
    let before = 15;
    let (flash, _) = filled(identity(), before);
    let before = usize::try_from(before).unwrap();
    let (_, day) = DAY.split_once('\n').unwrap();
    let (cuts, mut player) = cuts(flash, before, |player| {
        player.wait_ready();
        player.tell(day).unwrap();
    });
    let all = said(&player.flash, identity());
    assert_eq!(all.len(), before + promises(&player));
    let last = cuts.last().unwrap();
    assert!(last.flash == player.flash, "operations were missed, or went to other pages");
    let erases = cuts.iter().filter(|cut| cut.operation == Operation::Erase).count();
    assert!(erases > 0 && cuts.len() > 40, "{} operations, {erases} erases", cuts.len());
    let mut ahead = 0;
    for (at, cut) in cuts.iter().enumerate() {
        let there = said(&cut.flash, identity());
        holds(&there, cut.acknowledged, &all, &format!("operation {at}"));
        ahead += usize::from(there.len() > cut.acknowledged);
    }
    assert!(ahead > 0, "no record was ever ahead of its cue: nothing was cut in between");
    // The image itself continues from there: from every cut in the long run, otherwise from some.
    let step = if long() { 1 } else { cuts.len().div_ceil(6) };
    player.run = Run::AtOnce;
    for (at, cut) in cuts.iter().enumerate().step_by(step) {
        player.flash.clone_from(&cut.flash);
        let there = said(&cut.flash, identity()).len();
        player.tell(GOES_ON).unwrap();
        player.power_off();
        assert_eq!(said(&player.flash, identity()).len(), there + 1, "operation {at}");
    }
    println!("{} flash operations ({erases} erases), each a cut: P1 and P2 hold", cuts.len());
}
