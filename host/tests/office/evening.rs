//! `hornrule evening`: the verbs of an evening in their order, run again at any step.

use std::fs;
use std::path::Path;

use crate::kit::{FILE, Handheld, OTHER, PORT, fails, json, says, two_days};

const LIST: &str = include_str!("../../demo/alder-brook.csv");
const PRICES: &str = include_str!("../../demo/prices.toml");

/// The evening, for a story that is short.
const NOW: &str = "2026-03-17T08:30:00Z";

fn evening<'a>(words: &[&'a str]) -> Vec<&'a str> {
    [&["--pretend-now", NOW, "evening", "--no-pdf"][..], words].concat()
}

/// One day, two farms; a length between two cows is of nobody.
const STORY: &str = "at 2026-03-17 07:00\npower on\nat 2026-03-17 07:30\nkeys COW 01 COW\n\
    keys COW 12 COW\nkeys RH\nclip 81.20 mm\nwait 70s\nkeys DO 30\nwait 20s\nkeys COW 118 COW\n\
    keys RH\nkeys FIND 13 FIND 04 2\nkeys DO 31\nkeys DO 81\nwait 2min\nat 2026-03-17 08:20\n\
    keys COW 02 COW\nclip 76.10 mm\nwait 20s\nkeys COW 7 COW\nkeys LH\nkeys DO 30\n\
    wait 2min\nkeys COW 02 COW\nplug in\n";

/// Two farms with their lists, and a price list.
fn before() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    fs::write(at.join("day.story"), STORY).unwrap();
    fs::write(at.join("prices.toml"), PRICES).unwrap();
    for (list, name, farm) in [(LIST, "Alder Brook", "1"), ("number;name\n7;Berta\n", "Höfe", "2")]
    {
        fs::write(at.join("cows.csv"), list).unwrap();
        let list = ["herd", "import", "cows.csv", "--herd", name, "--farm", farm, "--yes"];
        says(at, &[&list[..], &["--zone", "Europe/Dublin"]].concat());
    }
    folder
}

fn text(at: &Path, file: &str) -> String {
    fs::read_to_string(at.join(file)).unwrap()
}

#[test]
fn an_evening_from_the_cable_to_the_drafts_and_again() {
    let folder = before();
    let at = folder.path();
    let handheld = Handheld::on(at, "flash", &["--story", "day.story"]);
    let first = says(at, &evening(&["--port", &handheld.port]));
    drop(handheld);
    insta::assert_snapshot!("evening_first", first);
    let farm = "evening-2026-03-17/alder-brook";
    assert!(text(at, &format!("{farm}/visit.html")).contains("Alder Brook"));
    assert!(text(at, &format!("{farm}/vet.html")).contains("118"));
    assert!(text(at, &format!("{farm}/bill.html")).contains("Bill, draft"));
    assert!(text(at, "evening-2026-03-17/due.csv").contains("Alder Brook"));
    assert!(text(at, "evening-2026-03-17/due.ics").starts_with("BEGIN:VCALENDAR"));
    // What the verbs say is what the evening wrote.
    says(at, &["report", "visit", "--herd", "Alder Brook", "--html", "visit.html"]);
    assert_eq!(text(at, "visit.html"), text(at, &format!("{farm}/visit.html")));
    // Nobody was asked: nothing is decided, nothing is issued.
    let held = json(at, &["review", "list", "--held", "--json"]);
    let entry = held[0]["entry"].to_string();
    assert_eq!(json(at, &["bill", "list", "--json"]), serde_json::json!([]));

    // Again, with the handheld still plugged in: all of it is there.
    let handheld = Handheld::on(at, "flash", &["--now", NOW]);
    let again = says(at, &evening(&["--port", &handheld.port]));
    drop(handheld);
    insta::assert_snapshot!("evening_again", again);

    // Decided and issued; then it names nothing but the printer.
    let by = ["--who", "Anna", "--why", "his note"];
    says(at, &[&["review", "decide", &entry, "--discard"][..], &by].concat());
    for farm in ["Alder Brook", "Höfe"] {
        let issue = ["bill", "issue", "--herd", farm, "--until", "2026-03-17", "--who", "Anna"];
        says(at, &[&evening(&[])[..2], &issue].concat());
    }
    insta::assert_snapshot!("evening_done", says(at, &evening(&["--no-pull"])));
}

#[test]
fn an_evening_goes_on_where_it_stopped() {
    let folder = two_days();
    let at = folder.path();
    let nobody = evening(&["--port", "tcp:127.0.0.1:1"]);
    fails(at, &nobody, PORT, &["step 1 of 6 (pull)", "goes on from there"]);
    let elsewhere = [&["--db", "none.db"][..], &nobody].concat();
    fails(at, &elsewhere, PORT, &["step 1 of 6 (pull)"]);
    assert!(!at.join("none.db").exists(), "without a handheld no database is made");
    // Another day, without a price list.
    let first = says(at, &evening(&["--no-pull", "--day", "2026-03-03", "--out", "papers"]));
    for part in [
        "Alder Brook: visit, 26 cows",
        "no price list at prices.toml",
        "hornrule evening --no-pull --day 2026-03-03",
        "print what is in papers",
    ] {
        assert!(first.contains(part), "{part}: {first}");
    }
    assert!(!at.join("papers/alder-brook/bill.html").exists());
    // A price list with a mistake stops it there; the pages before it stand.
    fs::write(at.join("prices.toml"), PRICES.replace("12.50", "12,50")).unwrap();
    let wrong = evening(&["--no-pull"]);
    fails(at, &wrong, FILE, &["prices.toml", "line 13", "step 6 of 6 (bills)"]);
    assert!(at.join("evening-2026-03-17/alder-brook/visit.html").exists());
    // In another currency: told, and the exit code says so at the end.
    fs::write(at.join("prices.toml"), PRICES.replace("EUR", "CHF")).unwrap();
    fails(at, &wrong, OTHER, &["CHF"]);
    // No room for the papers.
    fs::write(at.join("taken"), "").unwrap();
    let taken = evening(&["--no-pull", "--out", "taken"]);
    fails(at, &taken, OTHER, &["taken", "step 4 of 6 (pages)"]);
    fails(at, &evening(&["--no-pull", "--day", "2026-03-04"]), OTHER, &["no visit on 2026-03-04"]);
}

#[test]
fn a_german_farm_has_german_papers() {
    let folder = two_days();
    let at = folder.path();
    fs::write(at.join("prices.toml"), PRICES).unwrap();
    says(at, &["herd", "set", "--language", "de"]);
    says(at, &evening(&["--no-pull", "--out", "papers"]));
    assert!(text(at, "papers/alder-brook/bill.html").contains("Rechnung, Entwurf"));
    assert!(text(at, "papers/alder-brook/visit.html").contains("17. März 2026"));
}

/// Before any list and any visit it says what comes first.
#[test]
fn an_evening_without_a_visit_names_the_next_step() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    says(at, &["demo", "--no-pdf"]);
    let handheld = Handheld::on(at, "hornrule-demo/handheld.flash", &[]);
    let told = says(at, &evening(&["--port", &handheld.port]));
    for part in ["held", "No visit is on record yet", "hornrule herd import FILE"] {
        assert!(told.contains(part), "{part}: {told}");
    }
}
