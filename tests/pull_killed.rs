//! P3 and P4: the office disappears at every single call of a pull; the next pull ends in the same
//! database.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_board_sim::Handheld;
use hornrule_protocol::Seq;
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{ALDER_BROOK, handheld, herd_at, pull, rows, tell};

type Chip = Flash<1024>;

fn plugged_in() -> Handheld<Chip> {
    let (first_day, _) = ALDER_BROOK.split_once("plug in").unwrap();
    tell(first_day, handheld(Chip::blank(190)), |handheld| handheld)
}

fn released(handheld: &Handheld<Chip>) -> Seq {
    handheld.device().unwrap().journal().log().released()
}

#[test]
fn p3_p4_gone_at_every_call() {
    let folder = tempfile::tempdir().unwrap();
    let clean = folder.path().join("clean.db");
    let mut cable = Cable::clean(plugged_in());
    pull(&mut cable, &mut herd_at(&clean)).unwrap();
    let calls = cable.calls();
    let expected = rows::dump(&clean);
    assert!(calls > 15, "{calls} calls are too few to mean anything");
    for killed in 0..calls {
        let path = folder.path().join(format!("{killed}.db"));
        let mut cable = Cable::clean(plugged_in()).pulled_after(killed);
        let gone = pull(&mut cable, &mut herd_at(&path));
        assert!(gone.is_err(), "call {killed} of {calls}");
        let handheld = cable.unplug();
        // P3: nothing is released that is not in the database.
        let stored = rows::count(&path, "sealed");
        assert!(released(&handheld).0 as usize <= stored, "call {killed}");
        let mut cable = Cable::clean(handheld);
        pull(&mut cable, &mut herd_at(&path)).unwrap();
        assert_eq!(rows::dump(&path), expected, "call {killed}");
    }
}
