//! Bundles through the whole handheld: power cut between parts, and a log without room for all.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::cue::Cue;
use hornrule_core::keypad::Key;
use hornrule_core::log::Log;
use hornrule_core::plan::Plans;
use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::plan::Head;
use hornrule_protocol::record::Done;
use hornrule_protocol::{Action, Bundle, Claw, Entry, Foot, LogId, Place, Record, Seq, Side, open};
use hornrule_testkit::keyed::{Chip, DEVICE, Keyed, load};

/// Bundle 1: opened, lowered, block on the partner claw, left open.
const PARTS: [(u8, At); 4] =
    [(31, At::ThisClaw), (32, At::ThisClaw), (10, At::Partner), (20, At::Foot)];

fn plans() -> Plans<Chip> {
    let bundle = PARTS.into_iter().fold(Bundle::new(1).unwrap(), |bundle, (code, at)| {
        bundle.then(BundlePart::new(Action::from_code(code).unwrap(), at, 0).unwrap()).unwrap()
    });
    let head = Head { farms: 0b10, bundles: 1, ..Head::default() };
    let plan = [&head.to_bytes()[..], &bundle.to_bytes()].concat();
    let mut plans = Plans::mount(Chip::blank(2));
    load(&mut plans, &plan).unwrap();
    plans
}

/// A handheld with the plan in force.
fn on(flash: Chip) -> Keyed {
    Keyed::start(flash, plans()).unwrap()
}

const COW_5_LH: [Key; 4] = [Key::Cow, Key::Five, Key::Cow, Key::Lh];
const DO_01: [Key; 3] = [Key::Do, Key::Zero, Key::One];

fn records(flash: Chip) -> Vec<Record> {
    let mut log = Log::mount(flash, LogId(9)).ok().unwrap();
    let mut records = Vec::new();
    let mut from = Seq::FIRST;
    while let Ok(Some(sealed)) = log.read_from(from) {
        records.push(open(DEVICE, log.id(), &sealed).unwrap());
        from = sealed.seq().next();
    }
    records
}

/// The bundle and its parts on the left hind's outer claw.
fn expected() -> Vec<Entry> {
    let claw = Claw { foot: Foot::LeftHind, side: Side::Lateral };
    let partner = Claw { side: Side::Medial, ..claw };
    let places =
        [Place::Claw(claw), Place::Claw(claw), Place::Claw(partner), Place::Foot(claw.foot)];
    let parts = PARTS.into_iter().zip(places).map(|((code, _), place)| {
        Entry::Action(Done { action: Action::from_code(code).unwrap(), place, days: 0 })
    });
    [Entry::Bundle { bundle: 1, parts: 4 }].into_iter().chain(parts).collect()
}

#[test]
fn one_cue_when_all_parts_are_in_flash_and_one_undo_for_all() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5_LH);
    bench.say(&DO_01);
    assert_eq!(bench.heard, [Cue::KeyTaken, Cue::KeyTaken, Cue::Committed]);
    bench.say(&[Key::Undo]);
    let said = records(bench.device.into_flash());
    // Started, the cow, and then the bundle as number 3.
    let entries: Vec<Entry> = said.iter().map(|record| record.entry).collect();
    assert_eq!(entries[2..7], expected());
    assert_eq!(entries[7..], [Entry::Void { seq: Seq(3) }]);
    assert!(said[2..7].iter().all(|record| record.uptime == said[2].uptime), "said at one time");
}

/// P1 for bundles: whichever write the power fails at, what is in flash is a true beginning of what
/// was said, and the cue was heard only if it is all of it.
#[test]
fn power_cut_at_every_step_of_a_bundle() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5_LH);
    let before = bench.device.into_flash();
    let (mut whole, mut lengths) = (false, std::collections::BTreeSet::new());
    for bytes in 0.. {
        let mut flash = before.clone();
        flash.dies_after(bytes);
        let mut bench = on(flash);
        bench.say(&COW_5_LH);
        bench.say(&DO_01);
        let promised = bench.heard.contains(&Cue::Committed);
        let mut flash = bench.device.into_flash();
        flash.revive();
        let entries: Vec<Entry> = records(flash).iter().map(|record| record.entry).collect();
        let begun = entries.iter().position(|one| matches!(one, Entry::Bundle { .. }));
        let found = begun.map_or(&[][..], |at| &entries[at..]);
        assert_eq!(*found, expected()[..found.len()], "{bytes}");
        assert!(!promised || found.len() == 5, "{bytes}: promised with {} records", found.len());
        lengths.insert(found.len());
        if promised {
            whole = true;
            break;
        }
    }
    assert!(whole && lengths.len() >= 6, "cut within every record: {lengths:?}");
}

/// A log with room for two more takes none of five, and counts five.
#[test]
fn a_log_without_room_for_all_parts_takes_none() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5_LH);
    while bench.device.journal().free() > 2 {
        bench.say(&[Key::Score, Key::One, Key::One]);
    }
    bench.say(&DO_01);
    assert_eq!(bench.heard.last(), Some(&Cue::LogFull));
    assert_eq!((bench.device.journal().free(), bench.device.journal().refused()), (2, 5));
    // One sentence still fits, after the word about what was refused.
    bench.say(&[Key::Score, Key::One, Key::Two]);
    let entries: Vec<Entry> =
        records(bench.device.into_flash()).iter().map(|record| record.entry).collect();
    assert!(!entries.iter().any(|one| matches!(one, Entry::Bundle { .. })));
    assert!(entries.contains(&Entry::Gap { refused: 5 }));
}
