//! What goes wrong at the chute: a stuck key, a calliper that is missing or wired wrongly, a chip
//! that is reset or stops itself.

use hornrule_core::cue::Cue;
use hornrule_core::keypad::Key;
use hornrule_protocol::Entry;
use hornrule_protocol::record::{StartCause, Started};
use hornrule_tests::identity;
use hornrule_tests_emu::flash::{blank, filled, records, said};
use hornrule_tests_emu::gdb::Gdb;
use hornrule_tests_emu::image::Image;
use hornrule_tests_emu::player::{Lines, Player};

use crate::heard;

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_key_held_at_the_start_is_told_and_the_others_work() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.power_on(1 << Key::Undo.position());
    // The start is itself a look out.
    player.wait_heard(Cue::KeyStuck, 2);
    player.tell("office clock\nkeys COW 27 COW\nexpect Committed").unwrap();
    assert_eq!(heard(&player, Cue::KeyStuck), 2);
    player.power_off();
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_calliper_that_is_absent_or_wired_wrongly_gives_no_value() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.tell("power on\nkeys COW 27 COW RH\ncalliper off\nclip 81.20 mm").unwrap();
    // Not done: why? Its count, five.
    player.tell("expect CalliperFault\nkeys SIZE SIZE\nexpect CalliperFault").unwrap();
    assert_eq!(player.heard().last().and_then(|heard| heard.count()), Some(5));
    player.tell("calliper sync24").unwrap();
    for lines in [Lines::Inverted, Lines::Swapped] {
        player.wire(lines);
        player.tell("clip 81.20 mm\nexpect CalliperFault").unwrap();
    }
    player.wire(Lines::Straight);
    player.tell("clip 81.20 mm\nexpect Committed").unwrap();
    player.power_off();
    let said = said(&player.flash, identity());
    let faults = said.iter().filter(|entry| matches!(entry, Entry::CalliperFault(_))).count();
    let values = said.iter().filter(|entry| matches!(entry, Entry::Reading(_))).count();
    assert_eq!((faults, values), (3, 1), "{said:?}");
}

fn starts(player: &Player) -> Vec<(StartCause, u32)> {
    let of = |entry| match entry {
        Entry::Started(Started { cause, fault, .. }) => Some((cause, fault)),
        _ => None,
    };
    records(&player.flash, identity()).iter().filter_map(|record| of(record.entry)).collect()
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_reset_and_a_fault_are_told_by_the_next_start() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.tell("power on\noffice clock\nkeys COW 27 COW\nexpect Committed").unwrap();
    player.emulator.as_mut().unwrap().reset();
    player.wait_heard(Cue::Ready, 2);
    player.tell("office clock\nkeys COW 28 COW\nexpect Committed").unwrap();
    // An undefined instruction (ARMv6-M Architecture Reference Manual, UDF).
    let at = player.on().plant(0xDE00);
    Gdb::new(player.on().debugger()).jump(at);
    player.wait_heard(Cue::Ready, 3);
    player.tell("office clock\nkeys COW 29 COW\nexpect Committed").unwrap();
    player.power_off();
    player.tell("power on\noffice clock\nkeys COW 30 COW\nexpect Committed").unwrap();
    player.power_off();
    let fault = at & 0xFFFF | 1;
    let expected = [
        (StartCause::PowerOn, 0),
        (StartCause::Reset, 0),
        (StartCause::Panic, fault),
        (StartCause::PowerOn, 0),
    ];
    assert_eq!(starts(&player), expected);
}

/// Where the board's `sim.rs` panics, as encoded by its `last.rs`: the file's name as passed to the
/// compiler, summed to 16 bits, then the line.
fn place_of_the_panic() -> u32 {
    let source = include_str!("../../../../firmware/board-emu/src/sim.rs");
    let line =
        source.lines().position(|line| line.trim_start().starts_with("panic!(")).unwrap() + 1;
    let name = b"src/sim.rs";
    let sum = name.iter().fold(0_u32, |sum, byte| (sum * 31 + u32::from(*byte)) % 0x1_0000);
    sum << 16 | u32::try_from(line).unwrap()
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_panic_tells_its_file_and_line_at_the_next_start() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.tell("power on\noffice clock\nkeys COW 27 COW RH\nexpect Lateral").unwrap();
    player.on().make_it_panic();
    player.wait_heard(Cue::Ready, 2);
    player.tell("office clock\nkeys COW 28 COW\nexpect Committed").unwrap();
    player.power_off();
    assert_eq!(
        starts(&player),
        [(StartCause::PowerOn, 0), (StartCause::Panic, place_of_the_panic())]
    );
    // What was acknowledged before it is there, and the unfinished sentence is not.
    let said = said(&player.flash, identity());
    assert_eq!(said.len(), 2, "{said:?}");
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_battery_that_is_low_is_told() {
    let mut player = Player::new(Image::open(), identity(), filled(identity(), 5).0);
    player.tell("battery 3300\npower on").unwrap();
    // The start is itself a look out.
    player.wait_heard(Cue::BatteryLow, 2);
    // At the cow once more, and when asked by its count; nobody has set the clock either.
    player.tell("keys COW 27 COW\nkeys SIZE SIZE\nexpect ClockUnknown").unwrap();
    let counts: Vec<u8> = player.heard().iter().filter_map(|heard| heard.count()).collect();
    assert_eq!(counts, [44, 45]);
    player.power_off();
}

/// The check on what the image does is not blind.
#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
#[should_panic(expected = "the chip does not allow this")]
fn what_the_chip_does_not_allow_fails_the_run() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.tell("power on").unwrap();
    player.on().trespass();
    player.power_off();
}
