//! The verbs that answer a question, on the demo's season, as a user runs them.

use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use tempfile::TempDir;

use crate::kit::{OTHER, WORDS, fails, hornrule, says};

/// A folder in which the demo was played, once for all.
fn played() -> &'static Path {
    static FOLDER: OnceLock<TempDir> = OnceLock::new();
    let folder = FOLDER.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        says(folder.path(), &["demo", "--no-pdf"]);
        folder
    });
    folder.path()
}

#[test]
fn questions_are_answered_on_the_season() {
    let at = played();
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
    assert!(few.contains("not given: too few"), "{few}");
    let wrong = hornrule(at, &[&season[..], &["blocks", "--herd", "Nowhere"]].concat());
    let wrong = String::from_utf8(wrong.stderr).unwrap();
    assert!(
        wrong.contains("no herd `Nowhere`; the herds are: Larch Meadow, Stony Ford"),
        "{wrong}"
    );
    let wrong = hornrule(at, &[&season[..], &["growth", "--trim-at", "850"]].concat());
    assert_eq!(wrong.status.code(), Some(2));
}

/// The chute says a number, the office beside it what it is called.
#[test]
fn a_trial_way_has_its_name_wherever_it_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    fs::copy(played().join("hornrule-demo/season.db"), at.join("hornrule.db")).unwrap();
    says(at, &["trial", "1", "wooden block, sanded"]);
    let asked = says(at, &["blocks"]);
    assert!(asked.contains("trial way 1 (wooden block, sanded)\n"), "{asked}");
    let json: serde_json::Value = serde_json::from_str(&says(at, &["blocks", "--json"])).unwrap();
    assert_eq!(json["ways"][1]["called"], "wooden block, sanded");
    says(at, &["plot", "blocks", "--svg", "blocks.svg"]);
    says(at, &["report", "farm", "--herd", "Larch Meadow", "--html", "farm.html"]);
    for file in ["blocks.svg", "farm.html"] {
        let text = fs::read_to_string(at.join(file)).unwrap();
        assert!(text.contains("(wooden block, sanded)"), "{file}");
    }
}

/// What a way was on which days: told, listed, counted in `blocks`, replaced and taken out.
#[test]
fn what_a_way_was_stands_beside_its_blocks() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    fs::copy(played().join("hornrule-demo/season.db"), at.join("hornrule.db")).unwrap();
    let told =
        ["trial", "1", "--from", "2020-01-01", "--material", "birch ply", "--height", "22.5"];
    let asked = says(at, &[&told[..], &["--glue", "batch 4711", "--who", "Anna"]].concat());
    assert!(
        asked.contains("way 1     DO 11: from 2020-01-01: birch ply, glue batch 4711"),
        "{asked}"
    );
    let blocks = |at: &std::path::Path| -> serde_json::Value {
        serde_json::from_str(&says(at, &["blocks", "--json"])).unwrap()
    };
    let trial = &blocks(at)["ways"][1];
    assert_eq!(trial["facts"][0]["height_mm"], 22.5);
    assert_eq!(trial["facts"][0]["blocks"], trial["ends"]["glued"]);
    assert_eq!(trial["without_facts"], 0);
    says(at, &["trial", "1", "--from", "2020-01-01", "--clear"]);
    assert_eq!(blocks(at)["ways"][1]["facts"], serde_json::json!([]));
    for (words, why) in [
        (&["trial", "1", "--from", "2020-01-01", "--who", "Anna"][..], "say at least one of"),
        (&["trial", "1", "--from", "2020-01-01", "--material", "ply"][..], "use --who NAME"),
        (&["trial", "0", "usual"][..], "has no other name"),
    ] {
        fails(at, words, 1, &[why]);
    }
}

/// Width and height of a PNG (ISO/IEC 15948:2004, 5.2 and 11.2.2).
fn dots(png: &[u8]) -> (u32, u32) {
    assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
    assert_eq!(&png[12..16], b"IHDR");
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    (number(16), number(20))
}

fn plot<'a>(words: &[&'a str]) -> Vec<&'a str> {
    [&["--db", "hornrule-demo/season.db", "plot"], words].concat()
}

#[test]
fn answers_are_drawn() {
    let at = played();
    for what in ["blocks", "healing", "growth", "agreement", "gauge"] {
        let (svg, png) = (format!("{what}.svg"), format!("{what}.png"));
        let mut words = plot(&[what, "--svg", &svg]);
        let mut told = format!("figure    {svg}\n");
        if cfg!(feature = "pdf") {
            words.extend(["--png", &png, "--dots", "400"]);
            told.push_str(&format!("figure    {png}\n"));
        }
        assert_eq!(says(at, &words), told);
        let drawn = fs::read_to_string(at.join(&svg)).unwrap();
        assert!(drawn.contains("Larch Meadow, Stony Ford"), "{what}");
        if cfg!(feature = "pdf") {
            let png = fs::read(at.join(&png)).unwrap();
            let (wide, high) = dots(&png);
            assert_eq!(wide, 400);
            // No taller than a page of A4 is for its width of text.
            assert!(high > 100 && high < 400 * 297 / 170, "{what}: {high}");
            assert!(png.len() > 4000, "{what}: an empty sheet packs smaller");
        }
    }
    let german = plot(&["healing", "--by", "severity", "--language", "de", "--svg", "de.svg"]);
    says(at, &german);
    assert!(fs::read_to_string(at.join("de.svg")).unwrap().contains("noch nicht abgeheilt"));
    fails(at, &plot(&["blocks"]), WORDS, &["--svg", "--png"]);
    let few = ["--db", "hornrule-demo/herd.db", "plot", "growth", "--png", "few.png"];
    fails(at, &few, OTHER, &["nothing to draw yet: too few claws"]);
    assert!(!at.join("few.png").exists());
    fails(at, &plot(&["gauge", "--svg", "nowhere/gauge.svg"]), OTHER, &["nowhere/gauge.svg"]);
}

/// A study of the season's walls: what a reading is uncertain by is what was put in. Heels that were
/// clipped as walls stand in the data set as doubted, and are no repeats.
#[test]
fn a_studys_uncertainty_is_what_was_put_in() {
    let at = played();
    let season = ["--db", "hornrule-demo/season.db", "study"];
    let study = |words: &[&str]| says(at, &[&season[..], words].concat());
    study(&["new", "wall.toml"]);
    let protocol = fs::read_to_string(at.join("wall.toml")).unwrap();
    let protocol = protocol
        .replace("c0ffee0000000002", "c0ffee0000000003")
        .replace("c0ffee0000000001", "c0ffee0000000002")
        .replace("Alder Brook", "Larch Meadow")
        .replace("from = 2026-03-01", "from = 2025-01-01")
        .replace("to = 2026-03-31", "to = 2026-12-31");
    fs::write(at.join("wall.toml"), protocol).unwrap();
    study(&["export", "wall.toml", "--out", "walls"]);
    let column = |file: &str, name: &str| -> Vec<String> {
        let mut rows = csv::Reader::from_path(at.join("walls").join(file)).unwrap();
        let place = rows.headers().unwrap().iter().position(|one| one == name).unwrap();
        rows.records().map(|row| row.unwrap()[place].to_owned()).collect()
    };
    let told = column("dimensions.csv", "uncertainty_mm");
    let told: f64 = told[0].parse().unwrap();
    // Two people of 0.5 and 0.6 mm: twice the pooled error, a little more with few degrees.
    assert!((2.0 * 0.5 * 0.8..2.0 * 0.6 * 1.25).contains(&told), "{told}");
    let doubted = column("readings.csv", "doubted");
    let uncertain = column("readings.csv", "uncertainty_mm");
    assert!(doubted.iter().any(|one| one == "true"));
    for (doubted, uncertain) in doubted.iter().zip(&uncertain) {
        assert_eq!(doubted == "true", uncertain.is_empty());
    }
}
