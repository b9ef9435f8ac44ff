//! What the doctor says of a sound database, a sick one, and of handhelds.

use hornrule_protocol::{Boot, DeviceId, LogId, Seq, Uptime};

use super::*;
use hornrule_kit::{EIGHT, Inspect, LH_OUT, Story, take_in, two_farms};

fn day() -> Database {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).read(1, 8000, LH_OUT).wait(3_600_000).clock(EIGHT + 3_624_100);
    take_in(&mut herd, &story);
    herd
}

#[test]
fn a_sound_database_is_well() {
    let looks = database(&mut day()).unwrap();
    insta::assert_snapshot!(told(&looks));
    assert!(looks.iter().all(|look| look.how != How::Bad));
}

#[test]
fn what_is_sick_is_named() {
    let mut herd = day();
    let before = herd.dump();
    // The last record is damaged; three numbers are lost before it.
    let mut story = Story::at_work();
    story.cow(312).read(1, 8000, LH_OUT).wait(3_600_000).clock(EIGHT + 3_624_100).lose(3);
    story.cow(313).damage().cow(351).newer();
    take_in(&mut herd, &story);
    herd.spoil();
    let spoilt = herd.dump();
    let looks = database(&mut herd).unwrap();
    insta::assert_snapshot!(told(&looks));
    assert_eq!(herd.dump(), spoilt, "the doctor changes nothing");
    // And a rebuild heals it.
    let changes = hornrule_intake::rebuild_and_compare(&mut herd).unwrap();
    let changed: Vec<_> =
        changes.iter().filter(|one| !one.is_none()).map(|one| one.table).collect();
    assert_eq!(changed, ["presence", "reading"]);
    assert!(herd.dump().len() > before.len());
    let again = hornrule_intake::rebuild_and_compare(&mut herd).unwrap();
    assert!(again.iter().all(hornrule_herd::Change::is_none));
}

#[test]
fn a_handheld_that_is_not_well_says_what_to_do() {
    let hello = Hello {
        device: DeviceId(7),
        log: LogId(9),
        firmware: [0, 1, 0],
        boot: Boot(1),
        first: Seq(41),
        next: Seq(50),
        released: Seq(40),
    };
    let state = State {
        uptime: Uptime(0),
        waiting: 9,
        free: 100,
        refused: 0,
        torn: 0,
        calliper_faults: 0,
        stuck_keys: 0,
        clock_known: true,
        battery_mv: 0,
    };
    assert_eq!(device(&hello, &state, 40).len(), 1);
    let sick = State {
        refused: 3,
        torn: 1,
        calliper_faults: 2,
        stuck_keys: 1,
        clock_known: false,
        ..state
    };
    insta::assert_snapshot!(told(&device(&hello, &sick, 38)));
}
