//! The power is cut at **every** byte that a short day writes to flash.
//!
//! P1 and P2: everything acknowledged is there after the cut, at most one record more, nothing
//! twice; and the day goes on.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_board_sim::{Handheld, Played, Player, Story};
use hornrule_core::cue::Cue;
use hornrule_core::log::Log;
use hornrule_protocol::{DeviceId, Entry, LogId, Record, Sealed, Seq, open};
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{herd_at, identity, pull, rows};

type Chip = Flash<1024>;

const MORNING: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 27 COW RH FIND 13 2\nclip 81.20 mm\nkeys DO 30 UNDO DO 30 RH DO 10\nkeys COW 31 COW\n\
    keys LH FIND 00\nkeys SCORE 1 2\nkeys COW COW";
const AFTER_THE_CUT: &str = "wait 5s\npower on\nkeys COW 46 COW LH FIND 31 2";

fn chip() -> Chip {
    Chip::blank(8)
}

/// Plays until the story or the power ends.
fn play(story: &str, handheld: &mut Handheld<Chip>) {
    let story: Story = story.parse().unwrap();
    let mut player = Player::new(1);
    for line in &story.lines {
        match player.play(handheld, line) {
            Ok(Played::Done | Played::PluggedIn) => {}
            // The flash failed while it was being mounted.
            Err(_) => return,
        }
    }
}

fn promises(handheld: &Handheld<Chip>) -> usize {
    handheld.heard().iter().filter(|heard| heard.cue.is_promise()).count()
}

/// The log of a handheld that is off, as a later boot finds it.
fn mounted(handheld: &mut Handheld<Chip>) -> Log<Chip> {
    Log::mount(handheld.flash().unwrap().clone(), LogId(77)).ok().unwrap()
}

fn torn_slots(handheld: &mut Handheld<Chip>) -> u32 {
    mounted(handheld).torn()
}

/// What is in flash, in order.
fn entries(handheld: &mut Handheld<Chip>) -> Vec<Record> {
    let mut log = mounted(handheld);
    let (device, id): (DeviceId, LogId) = (identity().device, log.id());
    let mut records = Vec::new();
    let mut from = Seq::FIRST;
    while let Some(sealed) = log.read_from(from).unwrap() {
        let sealed: Sealed = sealed;
        assert!(sealed.seq() >= from, "numbers rise");
        from = sealed.seq().next();
        records.push(open(device, id, &sealed).unwrap());
    }
    records
}

/// What the trimmer entered, without what handheld and office add.
fn said(records: &[Record]) -> Vec<Entry> {
    let by_hand = |entry: &Entry| !matches!(entry, Entry::Started(_) | Entry::Clock { .. });
    records.iter().map(|record| record.entry).filter(by_hand).collect()
}

#[test]
fn p1_p2_cut_at_every_byte() {
    let mut whole = hornrule_tests::handheld(chip());
    play(MORNING, &mut whole);
    let promised = promises(&whole);
    whole.power_off();
    let steps = whole.flash().unwrap().steps();
    let all = said(&entries(&mut whole));
    assert_eq!(all.len(), promised);
    assert!(steps > 400, "{steps} bytes and erases are too few to mean anything");
    let mut torn = 0;
    for cut in 0..steps {
        let mut flash = chip();
        flash.seed(cut);
        flash.dies_after(cut);
        let mut handheld = hornrule_tests::handheld(flash);
        play(MORNING, &mut handheld);
        let acknowledged = promises(&handheld);
        handheld.power_off();
        assert!(handheld.flash().unwrap().is_dead(), "cut {cut}");
        handheld.flash().unwrap().revive();
        handheld.power_on().unwrap();
        handheld.power_off();
        let there = said(&entries(&mut handheld));
        assert!(
            there.len() == acknowledged || there.len() == acknowledged + 1,
            "cut {cut}: {acknowledged} acknowledged, {} there",
            there.len()
        );
        assert_eq!(there, all[..there.len()], "cut {cut}");
        torn += usize::from(torn_slots(&mut handheld) > 0);
        // And the day goes on.
        play(AFTER_THE_CUT, &mut handheld);
        assert_ne!(handheld.heard().last().unwrap().cue, Cue::LogUnusable, "cut {cut}");
        handheld.power_off();
        assert_eq!(said(&entries(&mut handheld)).len(), there.len() + 2, "cut {cut}");
    }
    assert!(torn > 100, "{torn} cuts of {steps} tore a slot: the test hardly bites");
}

#[test]
fn p4_a_cut_day_is_pulled_once() {
    let folder = tempfile::tempdir().unwrap();
    let steps = {
        let mut whole = hornrule_tests::handheld(chip());
        play(MORNING, &mut whole);
        whole.power_off();
        whole.flash().unwrap().steps()
    };
    for cut in (7..steps).step_by(97) {
        let path = folder.path().join(format!("{cut}.db"));
        let mut herd = herd_at(&path);
        let mut flash = chip();
        flash.dies_after(cut);
        let mut handheld = hornrule_tests::handheld(flash);
        play(MORNING, &mut handheld);
        handheld.power_off();
        handheld.flash().unwrap().revive();
        play(AFTER_THE_CUT, &mut handheld);
        let mut cable = Cable::clean(handheld);
        let day = pull(&mut cable, &mut herd).unwrap();
        let again = pull(&mut cable, &mut herd).unwrap();
        assert_eq!(again.stored.new, 0);
        let mut handheld = cable.unplug();
        handheld.power_off();
        let there = entries(&mut handheld).len();
        assert_eq!(rows::count(&path, "sealed"), there, "cut {cut}");
        assert_eq!(usize::try_from(day.stored.new).unwrap(), there, "cut {cut}");
    }
}

const TREATED: &str = "at 2026-03-03 07:00\npower on\noffice clock\n\
    office plan bundle=1:31-this,32-this,10-partner\nkeys COW 01 COW\nkeys COW 27 COW RH FIND 13 2";

/// Power fails while a bundle's parts go into flash: those that are there stand, and the office is
/// told that there are fewer than were keyed; never of a bundle that is not there or whole.
#[test]
fn a_bundle_cut_at_any_byte_is_told_in_the_office() {
    let folder = hornrule_tests::memory_folder();
    let steps = |last: &str| {
        let mut whole = hornrule_tests::handheld(chip());
        play(TREATED, &mut whole);
        play(last, &mut whole);
        whole.power_off();
        whole.flash().unwrap().steps()
    };
    let (before, after) = (steps(""), steps("keys DO 01"));
    let mut told = [0; 4];
    for cut in (before..=after).step_by(5) {
        let path = folder.path().join(format!("{cut}.db"));
        let mut herd = herd_at(&path);
        let mut flash = chip();
        flash.dies_after(cut);
        let mut handheld = hornrule_tests::handheld(flash);
        play(TREATED, &mut handheld);
        play("keys DO 01", &mut handheld);
        handheld.power_off();
        handheld.flash().unwrap().revive();
        let there = entries(&mut handheld);
        let keyed = there.iter().any(|record| matches!(record.entry, Entry::Bundle { .. }));
        let parts = there.iter().filter(|record| matches!(record.entry, Entry::Action(_))).count();
        handheld.power_on().unwrap();
        let pulled = pull(&mut Cable::clean(handheld), &mut herd).unwrap();
        let remarks = &pulled.intake.remarks;
        let cut_short = remarks.iter().any(|remark| remark.rule == "bundle-cut-short");
        assert_eq!(cut_short, keyed && parts < 3, "cut {cut}: {parts} parts, {remarks:#?}");
        assert_eq!(rows::count(&path, "action"), parts, "cut {cut}");
        told[parts] += usize::from(cut_short);
    }
    assert!(told[..3].iter().all(|cuts| *cuts > 0), "{told:?}");
}
