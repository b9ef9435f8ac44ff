//! The demo's two days, end to end: keys and bits in, database and reports out.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::cue::Cue;
use hornrule_facts::Day;
use hornrule_papers::visit::{json, render_html, render_terminal};
use hornrule_questions::visit::{VisitReport, list_visits};
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{ALDER_BROOK, handheld, herd_at, pull, rows, tell};

type Chip = Flash<1024>;

/// As many pages as the demo's virtual handheld has.
fn chip() -> Chip {
    Chip::blank(190)
}

fn day(text: &str) -> Day {
    Day::from_date(text.parse().unwrap())
}

#[test]
fn two_days_become_two_visits_with_their_reports() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    let mut pulls = Vec::new();
    tell(ALDER_BROOK, handheld(chip()), |handheld| {
        let mut cable = Cable::clean(handheld);
        let day = pull(&mut cable, &mut herd).unwrap();
        pulls.push((day.stored.new, day.intake.accepted, day.intake.flagged, day.intake.held));
        let again = pull(&mut cable, &mut herd).unwrap();
        assert_eq!((again.stored.new, again.pulled.records), (0, 0), "a second pull adds nothing");
        cable.unplug()
    });
    insta::assert_debug_snapshot!("what_each_pull_brought", pulls);
    let visits = list_visits(&herd).unwrap();
    let days: Vec<Day> = visits.iter().map(|(_, day, _)| *day).collect();
    assert_eq!(days, [day("2026-03-17"), day("2026-03-03")]);
    for (of, day, _) in visits {
        let report = VisitReport::gather(&herd, of, day).unwrap().unwrap();
        insta::assert_snapshot!(format!("visit_{}_terminal", day.date()), render_terminal(&report));
        let json = serde_json::to_string_pretty(&json(&report)).unwrap();
        insta::assert_snapshot!(format!("visit_{}_json", day.date()), json);
        insta::assert_snapshot!(format!("visit_{}_page", day.date()), render_html(&report));
    }
    insta::assert_snapshot!("herd_tables", rows::dump(&path));
}

/// P1 over the whole story: as many promises were heard as there are stored entries of the trimmer.
#[test]
fn p1_every_promise_heard_is_a_record_stored() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    let mut promises = 0;
    let mut counted = 0;
    tell(ALDER_BROOK, handheld(chip()), |handheld| {
        let heard = &handheld.heard()[counted..];
        promises += heard.iter().filter(|heard| heard.cue.is_promise()).count();
        counted = handheld.heard().len();
        let mut cable = Cable::clean(handheld);
        pull(&mut cable, &mut herd).unwrap();
        cable.unplug()
    });
    // Recorded by the handheld itself or by the office: two starts, one clock, two plans, and a clip of
    // the calliper that gave no length. And a bundle's one promise is for its parts too: bundles 2, 3
    // (twice) and 5, with 3, 4 and 2 parts.
    assert_eq!(rows::count(&path, "sealed"), promises + 6 + (3 + 4 + 4 + 2));
}

#[test]
fn the_story_is_the_one_that_was_promised() {
    // At least 24 cows, and every mistake a tired person makes.
    let mut heard = Vec::new();
    tell(ALDER_BROOK, handheld(chip()), |handheld| {
        heard = handheld.heard().iter().map(|heard| heard.cue).collect();
        handheld
    });
    for cue in [Cue::Undone, Cue::Dropped, Cue::Unplaced, Cue::CalliperFault, Cue::TooShort] {
        assert!(heard.contains(&cue), "{cue:?}");
    }
    assert!(ALDER_BROOK.lines().filter(|line| line.ends_with(" in")).count() >= 3, "inch mode");
}
