//! A cow identified by her tag: from the reader's line to the herd number in the herd list.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{handheld, herd_at, pull, rows, tell};

type Chip = Flash<1024>;

/// Findings of the day, for each way to identify cow 27 (tag 999000000000027 on the list).
fn day(named: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    let story = format!(
        "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n{named}\nwait 1s\n\
         keys RH FIND 13 2 DO 31\nclip 81.20 mm\nkeys COW COW"
    );
    let told = tell(&story, handheld(Chip::blank(8)), |handheld| handheld);
    pull(&mut Cable::clean(told), &mut herd).unwrap();
    assert_eq!(rows::count(&path, "finding"), 1, "{named}");
    // What was measured and when does not show how she was identified.
    let dump = rows::dump_without(&path, &["at_ms", "until_ms", "uptime_ms", "uncertainty_ms"]);
    let table = |name: &str| {
        let rows = dump.split(&format!("== {name}\n")).nth(1).unwrap();
        rows.split("== ").next().unwrap().to_owned()
    };
    table("finding") + &table("action")
}

#[test]
fn her_tag_read_or_keyed_is_the_cow_that_her_herd_number_is() {
    let by_number = day("keys COW 27 COW");
    assert!(by_number.contains("27"), "{by_number}");
    assert_eq!(day("tag 999000000000027"), by_number);
    assert_eq!(day("tag 1999000000000027"), by_number, "with the animal flag");
    assert_eq!(day("tag 999 000000000027"), by_number, "with a blank");
    assert_eq!(day("keys COW 999000000000027 COW"), by_number);
    assert_eq!(day("tag 999000000000027\ntag 999000000000027"), by_number, "read twice");
    assert_ne!(day("keys COW 31 COW"), by_number);
}

#[test]
fn nonsense_is_heard_and_leaves_the_cow_before() {
    for nonsense in ["27600012345678", "HELLO", "8000F9C000000001", "999274877906944"] {
        let story = format!("keys COW 27 COW\ntag {nonsense}\nexpect Refused");
        assert_eq!(day(&story), day("keys COW 27 COW"), "{nonsense}");
    }
}
