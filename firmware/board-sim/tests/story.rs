//! Stories through the real core: what a person would hear, and what is then in flash.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_board_sim::{FlashFile, Handheld, Identity, PlayError, Played, Player, Story};
use hornrule_core::cue::Cue;
use hornrule_core::log::Log;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_protocol::{DeviceId, Entry, LogId, Nanometres, Record, Seq, open};
use hornrule_testkit::flash::Flash;

const IDENTITY: Identity = Identity { device: DeviceId(1), fresh_log: LogId(2) };
type Small = Flash<1024>;

fn off(flash: Small) -> Handheld<Small> {
    Handheld::new(flash, IDENTITY, 0)
}

fn tell(story: &str) -> Result<Handheld<Small>, PlayError> {
    let story: Story = story.parse().unwrap();
    let mut handheld = off(Small::blank(16));
    let mut player = Player::new(1);
    for line in &story.lines {
        assert_eq!(player.play(&mut handheld, line)?, Played::Done);
    }
    Ok(handheld)
}

/// Every record in flash, as a later boot finds it.
fn records(mut handheld: Handheld<Small>) -> Vec<Record> {
    handheld.power_off();
    let mut log = Log::mount(handheld.flash().unwrap().clone(), LogId(99)).ok().unwrap();
    let mut records = Vec::new();
    let mut from = Seq::FIRST;
    while let Some(sealed) = log.read_from(from).unwrap() {
        records.push(open(IDENTITY.device, IDENTITY.fresh_log, &sealed).unwrap());
        from = sealed.seq().next();
    }
    records
}

fn lengths(handheld: Handheld<Small>) -> Vec<(Nanometres, UnitMode, CalliperKind)> {
    records(handheld)
        .into_iter()
        .filter_map(|record| match record.entry {
            Entry::Reading(reading) => Some((reading.length, reading.unit, reading.kind)),
            _ => None,
        })
        .collect()
}

#[test]
fn a_clip_goes_through_bits_into_flash_for_both_kinds() {
    let handheld = tell(
        "power on\nkeys COW 5 COW RH\nclip 75.32 mm\nexpect Committed\nclip 2.9655 in\n\
         calliper bcd52\nclip 75.32 mm\nexpect Committed\nclip 2.9655 in\nclip -0.99 mm",
    )
    .unwrap();
    let (mm, inch) = (UnitMode::Millimetre, UnitMode::Inch);
    // 2.9655 in is exactly 75.3237 mm (1 in = 25.4 mm).
    assert_eq!(
        lengths(handheld),
        [
            (Nanometres(75_320_000), mm, CalliperKind::Sync24),
            (Nanometres(75_323_700), inch, CalliperKind::Sync24),
            (Nanometres(75_320_000), mm, CalliperKind::Bcd52),
            (Nanometres(75_323_700), inch, CalliperKind::Bcd52),
            (Nanometres(-990_000), mm, CalliperKind::Bcd52),
        ]
    );
}

#[test]
fn a_silent_calliper_and_a_loose_plug_give_a_fault_and_no_length() {
    let handheld = tell(
        "power on\nkeys COW 5 COW RH\ncalliper off\nclip 75.32 mm\nexpect CalliperFault\n\
         calliper sync24\nplug loose\nclip 75.32 mm\nexpect CalliperFault\nplug firm\n\
         clip 75.32 mm\nexpect Committed",
    )
    .unwrap();
    let faults = records(handheld)
        .iter()
        .filter(|record| matches!(record.entry, Entry::CalliperFault(_)))
        .count();
    assert_eq!(faults, 2);
}

#[test]
fn a_boot_that_says_nothing_leaves_no_record_and_boots_count_up() {
    let handheld =
        tell("power on\npower off\npower on\nkeys COW 5 COW\npower cut\npower on\nkeys COW 6 COW")
            .unwrap();
    let boots: Vec<u16> = records(handheld).iter().map(|record| record.boot.0).collect();
    assert_eq!(boots, [1, 1, 2, 2], "Started and the cow, twice");
}

#[test]
fn the_clock_is_sealed_and_its_lack_is_said_once() {
    let handheld = tell(
        "at 2026-03-03 07:00\npower on\nkeys COW 5 COW\nexpect ClockUnknown\noffice clock\n\
         keys COW 6 COW\nexpect Committed",
    )
    .unwrap();
    let clocks: Vec<i64> = records(handheld)
        .iter()
        .filter_map(|record| match record.entry {
            Entry::Clock { unix_ms } => Some(unix_ms),
            _ => None,
        })
        .collect();
    let seven = "2026-03-03T07:00:00Z".parse::<jiff::Timestamp>().unwrap().as_millisecond();
    assert_eq!(clocks.len(), 1);
    assert!((seven..seven + 5_000).contains(&clocks[0]));
}

#[test]
fn a_stuck_key_and_a_low_battery_are_said() {
    let handheld = tell("power on\nhold UNDO 12s\nbattery 3300\nkeys COW 5 COW").unwrap();
    let heard: Vec<Cue> = handheld.heard().iter().map(|heard| heard.cue).collect();
    assert!(heard.contains(&Cue::KeyStuck));
    assert_eq!(heard.iter().filter(|cue| **cue == Cue::BatteryLow).count(), 2);
}

#[test]
fn an_expectation_that_fails_names_its_line() {
    let Err(error) = tell("power on\nkeys COW 5 COW\n\nexpect Refused") else { panic!("it held") };
    assert_eq!(error.to_string(), "story line 4: expected Refused, heard ClockUnknown");
}

#[test]
fn a_story_played_twice_is_the_same_to_the_byte() {
    let image = || {
        let mut handheld = tell("power on\nkeys COW 5 COW RH FIND 132\nclip 75.32 mm").unwrap();
        handheld.power_off();
        handheld.flash().unwrap().image().to_vec()
    };
    assert_eq!(image(), image());
}

#[test]
fn flash_in_a_file_outlives_the_process() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("flash");
    let story: Story = "power on\nkeys COW 5 COW".parse().unwrap();
    for _ in 0..2 {
        let flash = FlashFile::open(&path, 8).unwrap();
        let mut handheld = Handheld::new(flash, IDENTITY, 0);
        let mut player = Player::new(1);
        for line in &story.lines {
            player.play(&mut handheld, line).unwrap();
        }
    }
    let log = Log::mount(FlashFile::open(&path, 8).unwrap(), LogId(99)).ok().unwrap();
    assert_eq!(log.next(), Seq(5), "two boots of two records each");
    // Two on one file would write over each other.
    let error = FlashFile::open(&path, 8).unwrap_err().to_string();
    assert!(error.contains("another virtual handheld"), "{error}");
    drop(log);
    drop(FlashFile::open(&path, 8).unwrap());
    std::fs::write(&path, b"not a flash").unwrap();
    assert!(FlashFile::open(&path, 8).is_err());
}

/// Plan, due cues, order, limits, gauge block, unknown cow, all in one story.
#[test]
fn a_planned_day_is_heard() {
    let story = "
        at 2026-03-03 07:00
        power on
        office clock
        office plan 1:412=recheck-RH 1:415 1:416=do-not-trim 1:417=vet,block-off-LH order=1x2,3 gauge=75.00 limit=1:70-90
        keys SIZE 0
        clip 75.01 mm
        expect GaugePassed
        clip 75.10 mm
        expect GaugeFailed
        keys COW 415 COW
        expect CowKnown
        keys COW 416 COW
        expect DoNotTrim
        keys COW 999 COW
        expect CowUnknown
        keys COW 412 COW
        expect CowDue
        keys LH
        expect Lateral
        keys RH
        expect FootDue
        # Why? And the next clip?
        keys SIZE SIZE
        expect DueRecheck
        keys SIZE SIZE
        expect Next1
        clip 69.90 mm
        expect TooShort
        clip 90.10 mm
        expect TooLong
        keys SIZE SIZE SIZE SIZE
        expect Next3
        clip 50.00 mm
        expect Committed
        keys SIZE SIZE
        expect OrderDone
        # The plan is on flash: a battery swapped at noon does not lose it.
        power cut
        wait 5min
        power on
        keys COW 417 COW
        wait 3s
        keys LH
        expect FootDue
        # Blind: nobody at the chute learns whether a length is usual.
        office plan 1:412 blind
        keys COW 412 COW RH
        clip 200.00 mm
        expect Committed
        # Two farms: which one must be said.
        office plan 1:12=vet 2:12 2:13=due
        keys COW 12 COW
        expect FarmUnknown
        keys COW 02 COW
        expect Committed
        keys COW 12 COW
        expect CowKnown
        keys COW 13 COW
        expect CowDue
        keys COW 03 COW
        expect FarmUnknown
    ";
    let mut handheld = Handheld::new(FlashFile::in_memory(8), IDENTITY, 0);
    let mut player = Player::new(1);
    for line in &story.parse::<Story>().unwrap().lines {
        player.play(&mut handheld, line).unwrap();
    }
    let heard: Vec<Cue> = handheld.heard().iter().map(|heard| heard.cue).collect();
    let vet = heard.iter().position(|cue| *cue == Cue::Vet).unwrap();
    assert_eq!(heard[vet + 1], Cue::CowDue, "vet first, then what is due");
}

#[test]
fn a_plan_that_is_refused_stops_the_story() {
    let story = "power on\noffice plan 1:5 1:5\n";
    let mut handheld = Handheld::new(FlashFile::in_memory(8), IDENTITY, 0);
    let mut player = Player::new(1);
    let lines = story.parse::<Story>().unwrap().lines;
    player.play(&mut handheld, &lines[0]).unwrap();
    let error = player.play(&mut handheld, &lines[1]).unwrap_err().to_string();
    assert!(error.contains("line 2") && error.contains("refuses the plan"), "{error}");
}
