//! P2: a full log refuses and says so, loses nothing it has taken, and later reports how much it
//! refused.

use hornrule_core::cue::Cue;
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{handheld, herd_at, pull, rows, tell};

type Chip = Flash<1024>;

#[test]
fn p2_full_at_noon() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    // Five pages: about 80 records. Forty cows with three sentences each do not fit.
    let mut story = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n".to_owned();
    for cow in 100..140 {
        story += &format!("keys COW {cow} COW RH FIND 13 2 DO 30\n");
    }
    story += "expect LogFull\nplug in\nkeys COW 27 COW LH FIND 00\nexpect Committed\nplug in\n";
    let mut refused = Vec::new();
    let mut stored = Vec::new();
    tell(&story, handheld(Chip::blank(5)), |handheld| {
        let full = handheld.heard().iter().filter(|heard| heard.cue == Cue::LogFull).count();
        refused.push(full);
        let promises = handheld.heard().iter().filter(|heard| heard.cue.is_promise()).count();
        let mut cable = Cable::clean(handheld);
        let day = pull(&mut cable, &mut herd).unwrap();
        stored.push((promises, day.stored.new));
        cable.unplug()
    });
    let [first, second] = refused[..] else { unreachable!("two pulls") };
    assert!(first > 10, "{first} refused: the log never filled");
    assert_eq!(first, second, "after the pull nothing is refused any more");
    // In addition to what was promised: Started and Clock, then the Gap.
    assert_eq!(usize::try_from(stored[0].1).unwrap(), stored[0].0 + 2);
    assert_eq!(usize::try_from(stored[1].1).unwrap(), stored[1].0 - stored[0].0 + 1);
    let dump = rows::dump(&path);
    assert!(
        dump.contains(&format!("refused {first} ")) || dump.contains(&format!("{first} entries")),
        "the remark on the gap names the number:\n{}",
        dump.lines().filter(|line| line.contains("gap")).collect::<Vec<_>>().join("\n")
    );
}

#[test]
fn the_trimmer_is_warned_before_it_is_full() {
    let mut story = "power on\noffice clock\n".to_owned();
    for cow in 100..140 {
        story += &format!("keys COW {cow} COW RH FIND 13 2 DO 30\n");
    }
    let handheld = tell(&story, handheld(Chip::blank(5)), |handheld| handheld);
    let heard: Vec<Cue> = handheld.heard().iter().map(|heard| heard.cue).collect();
    let warned = heard.iter().position(|cue| *cue == Cue::LogNearlyFull).unwrap();
    let full = heard.iter().position(|cue| *cue == Cue::LogFull).unwrap();
    assert!(warned < full);
}
