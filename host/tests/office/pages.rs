//! Pages as files: the visit's report, the letter to the vet, a cow's history, a farm over time.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::kit::{OTHER, WORDS, fails, json, says, two_days};

/// Verb, and what its page says in English and in German.
const PAGES: [(&[&str], &str, &str); 5] = [
    (&["report", "visit"], "Alder Brook: claw trimming", "Alder Brook: Klauenpflege"),
    (
        &["report", "office", "--day", "2026-03-03"],
        "Alder Brook: for the office",
        "Alder Brook: f\u{fc}rs B\u{fc}ro",
    ),
    (
        &["report", "vet"],
        "To the vet: cows of Alder Brook",
        "An den Tierarzt: Kühe von Alder Brook",
    ),
    (&["cow", "118"], "Cow 118", "Kuh 118"),
    (
        &["report", "farm"],
        "Alder Brook: feet over time",
        "Alder Brook: Klauengesundheit im Zeitverlauf",
    ),
];

fn bytes(folder: &Path, name: &str) -> Vec<u8> {
    fs::read(folder.join(name)).unwrap()
}

#[test]
fn every_page_goes_into_files() {
    let folder = two_days();
    let at = folder.path();
    for (verb, english, german) in PAGES {
        let files = ["--html", "page.html", "--csv", "page.csv", "--language", "de"];
        let told = says(at, &[verb, &files].concat());
        assert_eq!(told, "report    page.html\nreport    page.csv\n", "{verb:?}");
        let html = String::from_utf8(bytes(at, "page.html")).unwrap();
        assert!(html.starts_with("<!DOCTYPE html>") && html.contains("<html lang=\"de\">"));
        assert!(html.contains(german), "{verb:?}");
        for word in ["<script", "https:", "url(", "@import"] {
            assert!(!html.contains(word), "{verb:?}: the page says {word}");
        }
        // Each row as long as the heading, by the csv crate.
        let mut table = csv::Reader::from_path(at.join("page.csv")).unwrap();
        assert!(table.records().map(Result::unwrap).count() > 0, "{verb:?}");
        let text = says(at, verb);
        assert!(text.starts_with(english), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
        assert_eq!(says(at, &[verb, &["--language", "en"]].concat()), text);
        let value = json(at, &[verb, &["--json"]].concat());
        assert_eq!(value["farm"], "Alder Brook", "{verb:?}");
        fails(at, &[verb, &["--json", "--pdf", "x.pdf"]].concat(), WORDS, &["--pdf"]);
        fails(at, &[verb, &["--paper", "a5"]].concat(), WORDS, &["a4", "letter"]);
        fails(at, &[verb, &["--csv", "no/such/x.csv"]].concat(), OTHER, &["no/such/x.csv"]);
    }
}

#[cfg(feature = "pdf")]
#[test]
fn every_page_is_a_pdf_that_is_the_same_again() {
    let folder = two_days();
    let at = folder.path();
    for (verb, ..) in PAGES {
        says(at, &[verb, &["--pdf", "one.pdf"]].concat());
        says(at, &[verb, &["--pdf", "two.pdf"]].concat());
        let one = bytes(at, "one.pdf");
        assert!(one.starts_with(b"%PDF-") && one.trim_ascii_end().ends_with(b"%%EOF"), "{verb:?}");
        assert_eq!(one, bytes(at, "two.pdf"), "{verb:?}");
        says(at, &[verb, &["--language", "de", "--paper", "letter", "--pdf", "two.pdf"]].concat());
        assert_ne!(one, bytes(at, "two.pdf"), "{verb:?}");
    }
}

/// What the office needs and the farmer does not: remarks, commands, the handheld's number. The visit's
/// JSON keeps all of it.
#[test]
fn office_matters_stand_on_the_office_page_alone() {
    let folder = two_days();
    let at = folder.path();
    let on = ["--day", "2026-03-03"];
    let visit = says(at, &[&["report", "visit"], &on[..]].concat());
    let office = says(at, &[&["report", "office"], &on[..]].concat());
    for part in ["`hornrule", "c0ffee0000000001", "gauge block", "please check"] {
        assert!(!visit.contains(part), "{part}: {visit}");
    }
    for part in ["`hornrule herd set --vet`", "c0ffee0000000001", "gauge block", "please check"] {
        assert!(office.contains(part), "{part}: {office}");
    }
    let visit = visit.replace('\n', " ");
    assert!(visit.contains("still being checked in the office"), "{visit}");
    // What is a caution for the animal stays with the farmer.
    assert!(visit.contains("the sole at the toe may be thin"), "{visit}");
    let visit = json(at, &[&["report", "visit", "--json"], &on[..]].concat());
    let office = json(at, &[&["report", "office", "--json"], &on[..]].concat());
    for field in ["notices", "flagged", "held", "settled", "handhelds", "gauge_checks"] {
        assert_eq!(visit[field], office[field], "{field}");
    }
    assert!(!office["held"].as_array().unwrap().is_empty());
}

/// A practice in `hornrule.toml`, the farm's vet: both stand on the letter, with room for the answer and
/// without a word about grinders.
#[test]
fn the_letter_says_who_writes_to_whom() {
    let folder = two_days();
    let at = folder.path();
    let practice =
        "[practice]\nname = \"Claw trimming at the ford\"\nphone = \"+44 1632 960123\"\n";
    fs::write(at.join("hornrule.toml"), practice).unwrap();
    says(at, &["herd", "set", "--vet", "Ash Lane Vets", "--vet", "Ash Lane 9"]);
    let letter = says(at, &["report", "vet", "--day", "2026-03-03", "--language", "en"]);
    for part in [
        "Claw trimming at the ford",
        "Phone +44 1632 960123",
        "Ash Lane Vets\nAsh Lane 9",
        "WHY NOW",
        "Your answer",
        "____",
    ] {
        assert!(letter.contains(part), "{part}: {letter}");
    }
    assert!(!letter.contains("grinder"), "{letter}");
    let value = json(at, &["report", "vet", "--day", "2026-03-03", "--json"]);
    assert_eq!(value["to"], serde_json::json!(["Ash Lane Vets", "Ash Lane 9"]));
    let told = says(at, &["rules"]);
    assert!(told.contains("phone = +44 1632 960123"), "{told}");
}

/// Cow 118 of the demo's story: referred to the vet, with a block, seen twice.
#[test]
fn a_cow_is_found_by_number_and_by_tag() {
    let folder = two_days();
    let at = folder.path();
    // How late things are goes by the clock.
    let now = ["--pretend-now", "2026-04-20T12:00:00Z"];
    let page = says(at, &[&now[..], &["cow", "118"]].concat());
    insta::assert_snapshot!("cow_118", page);
    for tag in ["999000000000118", "999 000 000 000 118"] {
        let words = [&now[..], &["cow", tag, "--herd", "Alder Brook"]].concat();
        assert_eq!(says(at, &words), page);
    }
    let value = json(at, &["cow", "999000000000118", "--json"]);
    assert_eq!((&value["cow"], &value["tag"]), (&118.into(), &"999000000000118".into()));
    let days: Vec<&Value> = value["days"].as_array().unwrap().iter().map(|d| &d["day"]).collect();
    assert_eq!(days, ["2026-03-03", "2026-03-17"]);
    for (words, code, part) in [
        (&["cow", "4711"][..], OTHER, "there is no cow 4711 at Alder Brook"),
        (&["cow", "999000000004711"], OTHER, "no cow with the tag 999000000004711 at Alder Brook"),
        (&["cow", "118", "--herd", "Nowhere"], OTHER, "the herds are: Alder Brook"),
        (&["cow", "99900000000118"], WORDS, "has 14 digits; take her herd number"),
        (&["cow", "Bramble"], WORDS, "`Bramble` is no cow's number"),
        (&["cow", "0"], WORDS, "no cow has the number 0"),
    ] {
        fails(at, words, code, &[part]);
    }
    // The same number on a second farm: which one is to be said.
    let list = "number,tag,official\n118,999000000009118,DE 03 123 12345\n";
    fs::write(at.join("cows.csv"), list).unwrap();
    says(at, &["herd", "import", "cows.csv", "--herd", "Birch Hill", "--farm", "2", "--yes"]);
    let official = says(at, &["cow", "de0312312345"]);
    assert!(official.starts_with("Cow 118, Birch Hill"), "{official}");
    fails(at, &["cow", "118"], OTHER, &["Alder Brook and Birch Hill", "--herd"]);
    assert_eq!(says(at, &[&now[..], &["cow", "999000000000118"]].concat()), page);
    let other = says(at, &["cow", "118", "--herd", "Birch Hill"]);
    assert!(other.contains("She has never been recorded in the chute."), "{other}");
}

#[test]
fn the_letter_names_the_cows_that_are_referred() {
    let folder = two_days();
    let at = folder.path();
    insta::assert_snapshot!("vet_english", says(at, &["report", "vet"]));
    insta::assert_snapshot!("vet_german", says(at, &["report", "vet", "--language", "de"]));
    let letter = json(at, &["report", "vet", "--json"]);
    let visit = json(at, &["report", "visit", "--json"]);
    assert_eq!(letter["vet"], visit["vet"]);
    let referred = |of: &Value| -> Vec<u64> {
        let mut all: Vec<u64> =
            of.as_array().unwrap().iter().map(|one| one["cow"].as_u64().unwrap()).collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    assert_eq!(referred(&letter["cows"]), referred(&letter["vet"]));
    fails(at, &["report", "vet", "--day", "2026-03-04"], OTHER, &["report visit --list"]);
}
