//! The demo, as a new user runs it: twice, and then the other verbs on what it left.

use std::fs;
use std::path::Path;

use crate::kit::{Handheld, says};

/// Each farm's papers, and the due list of both.
fn papers_of_the_season(demo: &Path) {
    let read = |file: &str| fs::read(demo.join(file)).unwrap();
    let text = |file: &str| String::from_utf8(read(file)).unwrap();
    for (folder, farm) in [("larch-meadow", "Larch Meadow"), ("stony-ford", "Stony Ford")] {
        for page in ["visit", "farm", "vet", "bill"] {
            assert!(text(&format!("{folder}/{page}.html")).contains(farm), "{folder}/{page}");
        }
        let cows = fs::read_dir(demo.join(folder)).unwrap().filter(|file| {
            file.as_ref().unwrap().file_name().to_string_lossy().starts_with("cow-")
        });
        assert_eq!(cows.count(), 1);
        for page in ["visit", "bill"] {
            assert!(read(&format!("{folder}/{page}.pdf")).starts_with(b"%PDF-"));
        }
    }
    assert!(read("due.pdf").starts_with(b"%PDF-"));
    assert!(text("due.ics").starts_with("BEGIN:VCALENDAR\r\n"));
    let due = text("due.csv");
    assert!(due.contains("Larch Meadow") && due.contains("Stony Ford"), "{due}");
}

#[test]
fn the_whole_path_and_a_second_time() {
    let folder = tempfile::tempdir().unwrap();
    let first = says(folder.path(), &["demo"]);
    insta::assert_snapshot!("first", first);
    let page = folder.path().join("hornrule-demo/visit-2026-03-03.html");
    let written = fs::read_to_string(&page).unwrap();
    assert!(written.contains("Alder Brook") && written.contains("Vet now"));
    papers_of_the_season(&folder.path().join("hornrule-demo"));
    let words = ["--db", "hornrule-demo/herd.db", "report", "visit", "--json"];
    let latest: serde_json::Value = serde_json::from_str(&says(folder.path(), &words)).unwrap();
    assert_eq!(
        (latest["day"].as_str(), latest["summary"]["cows"].as_u64()),
        (Some("2026-03-17"), Some(9))
    );
    assert_eq!(latest["vet"][0]["cow"], 118);
    let second = says(folder.path(), &["demo", "--no-pdf"]);
    insta::assert_snapshot!("second", second);
    assert_eq!(fs::read_to_string(&page).unwrap(), written, "the same page");
    // The same over TCP, from nothing, by hand: handheld in one terminal, pull in the other.
    let fresh = says(folder.path(), &["demo", "--fresh", "--no-pdf"]);
    assert_eq!(fresh, first, "a demo from anew is the same to the letter");
}

#[test]
fn a_session_is_recorded_and_replayed_into_the_same_database() {
    let folder = tempfile::tempdir().unwrap();
    says(folder.path(), &["demo", "--no-pdf"]);
    let handheld = Handheld::on(folder.path(), "hornrule-demo/handheld.flash", &[]);
    let port = handheld.port.clone();
    let record = ["--db", "a.db", "pull", "--port", &port, "--record", "day.session", "--json"];
    let pulled: serde_json::Value = serde_json::from_str(&says(folder.path(), &record)).unwrap();
    // Released long ago by the demo's own database, but still on flash: this database is new.
    assert!(pulled["new"].as_u64().unwrap() > 200, "{pulled}");
    let status = says(folder.path(), &["--db", "a.db", "status", "--port", &port, "--json"]);
    let status: serde_json::Value = serde_json::from_str(&status).unwrap();
    assert_eq!(status["handheld"]["waiting"], 0);
    assert_eq!(status["handheld"]["handheld"], "c0ffee0000000001");
    let clock = says(folder.path(), &["--db", "a.db", "clock", "--port", &port]);
    assert!(clock.contains("set       to the office's time"), "{clock}");
    drop(handheld);
    let replay = ["--db", "b.db", "pull", "--port", "replay:day.session", "--json"];
    let replayed: serde_json::Value = serde_json::from_str(&says(folder.path(), &replay)).unwrap();
    assert_eq!(replayed["new"], pulled["new"]);
    let again: serde_json::Value = serde_json::from_str(&says(folder.path(), &replay)).unwrap();
    assert_eq!((again["new"].as_u64(), again["received"].as_u64()), (Some(0), Some(0)));
}

/// Every verb has an example in its help.
#[test]
fn help_shows_how() {
    let folder = tempfile::tempdir().unwrap();
    for words in [
        &["ports"][..],
        &["clock"],
        &["pull"],
        &["evening"],
        &["bill", "draft"],
        &["bill", "issue"],
        &["bill", "credit"],
        &["bill", "list"],
        &["bill", "show"],
        &["bill", "paid"],
        &["bill", "take-back"],
        &["bill", "payments"],
        &["bill", "reminders"],
        &["status"],
        &["herd", "import"],
        &["herd", "list"],
        &["herd", "set"],
        &["herd", "show"],
        &["gauge"],
        &["review", "list"],
        &["review", "show"],
        &["review", "decide"],
        &["review", "take-back"],
        &["rules"],
        &["rebuild"],
        &["doctor"],
        &["backup"],
        &["restore"],
        &["report", "visit"],
        &["report", "vet"],
        &["report", "farm"],
        &["cow"],
        &["due"],
        &["plan"],
        &["cues"],
        &["export", "ade"],
        &["export", "xlsx"],
        &["import", "ade"],
        &["study", "new"],
        &["study", "check"],
        &["study", "sample"],
        &["study", "export"],
        &["blocks"],
        &["healing"],
        &["growth"],
        &["agreement"],
        &["plot"],
        &["demo"],
        &["handheld"],
        &["completions"],
    ] {
        let help = says(folder.path(), &[words, &["--help"]].concat());
        assert!(help.contains("Example:\n  hornrule "), "{words:?}:\n{help}");
    }
    insta::assert_snapshot!("help", says(folder.path(), &["--help"]));
    let completions = says(folder.path(), &["completions", "bash"]);
    assert!(completions.contains("hornrule"));
}
