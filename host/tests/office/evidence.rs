//! The verbs that answer a question, on the demo's season, as a user runs them.

use crate::kit::{hornrule, says};

#[test]
fn questions_are_answered_on_the_season() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    says(at, &["demo", "--no-pdf"]);
    let season = ["--db", "hornrule-demo/season.db"];
    let ask = |words: &[&str]| says(at, &[&season[..], words].concat());
    insta::assert_snapshot!("blocks", ask(&["blocks"]));
    insta::assert_snapshot!("healing", ask(&["healing"]));
    let growth = ["growth", "--herd", "Larch Meadow", "--trim-at", "85", "--trim-to", "76"];
    insta::assert_snapshot!("growth", ask(&growth));
    insta::assert_snapshot!("agreement", ask(&["agreement"]));
    for verb in ["blocks", "healing", "growth", "agreement"] {
        let json: serde_json::Value = serde_json::from_str(&ask(&[verb, "--json"])).unwrap();
        assert!(json["cautions"].as_array().is_some_and(|all| !all.is_empty()), "{verb}");
    }
    let json: serde_json::Value = serde_json::from_str(&ask(&["blocks", "--json"])).unwrap();
    let told = &json["ways"][0]["after_28_days"]["told"];
    assert_eq!(told["level"], 0.95);
    assert!(told["n"].as_u64().unwrap() > 60 && told["method"].is_string());
    // Two days of one farm are too few to say anything, and it says so.
    let few = says(at, &["--db", "hornrule-demo/herd.db", "growth"]);
    assert!(few.contains("not said: too few"), "{few}");
    let wrong = hornrule(at, &[&season[..], &["blocks", "--herd", "Nowhere"]].concat());
    let wrong = String::from_utf8(wrong.stderr).unwrap();
    assert!(wrong.contains("no such farm: it has Larch Meadow, Stony Ford"), "{wrong}");
    let wrong = hornrule(at, &[&season[..], &["growth", "--trim-at", "850"]].concat());
    assert_eq!(wrong.status.code(), Some(2));
}
