//! P4: a crew of two handhelds on one farm, pulled in any order and in any pieces, ends in one and
//! the same database.

use hornrule_board_sim::{Handheld, Identity};
use hornrule_protocol::{DeviceId, LogId};
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{herd_at, pull, rows, tell};

type Chip = Flash<1024>;

const LEFT_CHUTE: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 27 COW RH FIND 13 2 DO 31\nclip 81.20 mm\nkeys COW 31 COW LH FIND 00";
const RIGHT_CHUTE: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 46 COW LH FIND 22 1 DO 30\nkeys COW 58 COW LH FIND 31 2 DO 60\nclip 78.35 mm";

fn handheld(number: u64) -> Handheld<Chip> {
    // The same log number on purpose: two logs are distinguished by their handhelds too.
    let identity = Identity { device: DeviceId(number), fresh_log: LogId(5) };
    Handheld::new(Chip::blank(8), identity, 0)
}

fn left() -> Cable<Chip> {
    Cable::clean(tell(LEFT_CHUTE, handheld(0xA), |handheld| handheld))
}

fn right() -> Cable<Chip> {
    Cable::clean(tell(RIGHT_CHUTE, handheld(0xB), |handheld| handheld))
}

#[test]
fn p4_in_either_order_and_cut_in_the_middle() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let mut herd = herd_at(&path("left-first"));
    let first = pull(&mut left(), &mut herd).unwrap();
    let second = pull(&mut right(), &mut herd).unwrap();
    assert!(first.stored.new > 5 && second.stored.new > 5);
    let expected = rows::dump(&path("left-first"));
    // Four cows from two chutes.
    assert_eq!(rows::count(&path("left-first"), "presence"), 4);

    let mut herd = herd_at(&path("right-first"));
    pull(&mut right(), &mut herd).unwrap();
    pull(&mut left(), &mut herd).unwrap();
    assert_eq!(rows::dump(&path("right-first")), expected);

    let calls = {
        let mut cable = right();
        pull(&mut cable, &mut herd_at(&path("count"))).unwrap();
        cable.calls()
    };
    for killed in 0..calls {
        let name = format!("cut-{killed}");
        let mut herd = herd_at(&path(&name));
        let mut cable = right().pulled_after(killed);
        pull(&mut cable, &mut herd).unwrap_err();
        pull(&mut left(), &mut herd).unwrap();
        pull(&mut Cable::clean(cable.unplug()), &mut herd).unwrap();
        assert_eq!(rows::dump(&path(&name)), expected, "cut at call {killed}");
    }
}
