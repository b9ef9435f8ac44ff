//! P4 and P5: the same database over a line that drops, corrupts, duplicates, splits and adds
//! bytes.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_board_sim::Handheld;
use hornrule_testkit::dirty_wire::Dirt;
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{ALDER_BROOK, handheld, herd_at, pull, rows, tell};

type Chip = Flash<1024>;

/// The story's first day, plugged in, just before the first pull.
fn plugged_in() -> Handheld<Chip> {
    let (first_day, _) = ALDER_BROOK.split_once("plug in").unwrap();
    tell(first_day, handheld(Chip::blank(190)), |handheld| handheld)
}

#[test]
fn p4_p5_same_database_whatever_the_line_does() {
    let folder = tempfile::tempdir().unwrap();
    let clean = folder.path().join("clean.db");
    pull(&mut Cable::clean(plugged_in()), &mut herd_at(&clean)).unwrap();
    let expected = rows::dump(&clean);
    // A one-kilobyte frame passes a line with one fault in 3,000 bytes seven times out of ten.
    let kinds = [
        Dirt { drops: 3_000, ..Dirt::default() },
        Dirt { flips: 3_000, ..Dirt::default() },
        Dirt { repeats: 3_000, ..Dirt::default() },
        Dirt { echoes: 5, ..Dirt::default() },
        Dirt { noise: 3_000, ..Dirt::default() },
        Dirt { drops: 9_000, flips: 9_000, repeats: 9_000, echoes: 30, noise: 9_000 },
    ];
    for (kind, dirt) in kinds.into_iter().enumerate() {
        let mut spoiled = 0;
        for seed in 0..6 {
            let path = folder.path().join(format!("{kind}-{seed}.db"));
            let mut herd = herd_at(&path);
            let mut cable = Cable::dirty(plugged_in(), dirt, seed);
            // A line this bad may need several attempts: every pull continues where the last one
            // stopped.
            let pulls = (1..=8).find(|_| pull(&mut cable, &mut herd).is_ok());
            assert!(pulls.is_some(), "{dirt:?} seed {seed}: eight pulls did not do");
            spoiled += cable.spoiled();
            assert_eq!(rows::dump(&path), expected, "{dirt:?} seed {seed}");
        }
        assert!(spoiled > 0, "{dirt:?} spoiled nothing: the test is blind there");
    }
}
