//! P9: a start of the handheld that leaves no record passes its number on to the next one, and must
//! not pass on its time.

use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{handheld, herd_at, memory_folder, pull, tell};

/// Switched off on the farm, on again at the desk only to be pulled; two weeks later back at work,
/// without the clock being set.
const STORY: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW COW 27 COW\n\
    keys RH FIND 13 2\nwait 5h\npower off\npower on\nwait 1min\nplug in\npower off\n\
    at 2026-03-17 08:00\npower on\nkeys COW 01 COW COW 58 COW LH FIND 31 2\nwait 3h\nplug in\n";

/// The clock was not set in the morning; off after the day, on again only to be pulled.
const UNTOLD: &str = "at 2026-03-03 07:00\npower on\nkeys COW 01 COW COW 27 COW\n\
    keys RH FIND 13 2\nwait 5h\npower off\nwait 2h\npower on\nwait 1min\nplug in\n";

#[test]
fn p9_an_untold_day_was_before_it_was_pulled() {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    tell(UNTOLD, handheld(Flash::<1024>::blank(8)), |handheld| {
        let mut cable = Cable::clean(handheld);
        pull(&mut cable, &mut herd).unwrap();
        cable.unplug()
    });
    let conn = rusqlite::Connection::open(&path).unwrap();
    let found: (String, i64, Option<i64>) = conn
        .query_row(
            "SELECT date(at_ms / 1000, 'unixepoch'), clock, uncertainty_ms FROM finding",
            [],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .unwrap();
    // Bounded from above only: how far off it is cannot be known.
    assert_eq!(found, ("2026-03-03".to_owned(), 1, None));
    let mut rules = conn.prepare("SELECT DISTINCT rule FROM remark").unwrap();
    let rules: Vec<String> =
        rules.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap();
    assert!(rules.iter().any(|rule| rule == "clock-bounded"), "{rules:?}");
}

#[test]
fn p9_two_weeks_later_is_two_weeks_later() {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    tell(STORY, handheld(Flash::<1024>::blank(8)), |handheld| {
        let mut cable = Cable::clean(handheld);
        pull(&mut cable, &mut herd).unwrap();
        cable.unplug()
    });
    let conn = rusqlite::Connection::open(&path).unwrap();
    let mut found = conn
        .prepare("SELECT animal, date(at_ms / 1000, 'unixepoch') FROM finding ORDER BY animal")
        .unwrap();
    let found: Vec<(i64, String)> = found
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    assert_eq!(found, [(27, "2026-03-03".to_owned()), (58, "2026-03-17".to_owned())]);
}
