//! What leaves the database and what comes from other programs, by the whole binary on the demo's
//! database. `host/exchange-check` reads the same files with other people's programs.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::kit;
use crate::kit::{DATABASE, FILE, OTHER, WORDS, on_demo};

fn says(folder: &Path, words: &[&str]) -> String {
    kit::said(on_demo(folder, words), words)
}

fn json(folder: &Path, words: &[&str]) -> Value {
    serde_json::from_str(&says(folder, &[words, &["--json"]].concat())).unwrap()
}

fn fails(folder: &Path, words: &[&str], code: i32, naming: &[&str]) {
    kit::failed(on_demo(folder, words), words, code, naming);
}

/// A folder in which the demo was played.
fn demo() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    says(folder.path(), &["demo", "--no-pdf"]);
    folder
}

fn value(folder: &Path, file: &str) -> Value {
    serde_json::from_str(&fs::read_to_string(folder.join(file)).unwrap()).unwrap()
}

fn has_null(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(all) => all.iter().any(has_null),
        Value::Object(all) => all.values().any(has_null),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => false,
    }
}

#[test]
fn a_day_in_ade_and_what_is_beside_it() {
    let folder = demo();
    let at = folder.path();
    let words = ["export", "ade", "--herd", "Alder Brook", "--out", "day.json"];
    let told = json(at, &words);
    let (ade, beside) = (value(at, "day.json"), value(at, "day.hornrule.json"));
    assert!(!has_null(&ade) && !has_null(&beside));
    for (name, count) in
        [("Diagnosis", "diagnoses"), ("Treatment", "treatments"), ("Attention", "attention")]
    {
        let collection = &ade[format!("icar{name}EventCollection")];
        let members = collection["member"].as_array().unwrap();
        assert_eq!(told[count], collection["view"]["totalItems"]);
        assert_eq!(told[count].as_u64().unwrap(), members.len() as u64);
        assert!(!members.is_empty());
        insta::assert_snapshot!(
            format!("ade_{name}"),
            serde_json::to_string_pretty(&members[0]).unwrap()
        );
    }
    // The lengths of the report are the lengths beside the events.
    let mut ours: BTreeMap<String, u64> = BTreeMap::new();
    for day in ["2026-03-03", "2026-03-17"] {
        let report = json(at, &["report", "visit", "--day", day]);
        for line in report["lengths"].as_array().unwrap() {
            for when in ["before_trimming", "after_trimming"] {
                let readings = line[when]["readings"].as_u64().unwrap_or(0);
                *ours.entry(line["dimension"].as_str().unwrap().to_owned()).or_default() +=
                    readings;
            }
        }
    }
    let mut theirs: BTreeMap<String, u64> = BTreeMap::new();
    for one in beside["readings"].as_array().unwrap() {
        *theirs.entry(one["name"].as_str().unwrap().to_owned()).or_default() += 1;
    }
    assert_eq!(theirs, ours);
    // The same words give the same bytes, and one day gives that day's events.
    let before = fs::read(at.join("day.json")).unwrap();
    says(at, &words);
    assert_eq!(fs::read(at.join("day.json")).unwrap(), before);
    let to = ["--to", "2026-03-03", "--out", "first.json"];
    let first = json(at, &[&words[..4], &to].concat());
    let from = ["--from", "2026-03-04", "--out", "second.json"];
    let second = json(at, &[&words[..4], &from].concat());
    for count in
        ["diagnoses", "treatments", "attention", "readings", "scores", "findings", "actions"]
    {
        let number = |of: &Value| of[count].as_u64().unwrap();
        assert_eq!(number(&first) + number(&second), number(&told), "{count}");
    }
    assert!(!at.join("day.json.part").exists());
}

#[test]
fn a_decision_changes_what_goes_out_and_keeps_its_name() {
    let folder = demo();
    let at = folder.path();
    let words = ["export", "ade", "--herd", "Alder Brook", "--out", "day.json"];
    says(at, &words);
    let of = |file: &Value| file["icarDiagnosisEventCollection"]["member"][0].clone();
    let before = of(&value(at, "day.json"));
    let seq = before["id"].as_str().unwrap().rsplit('-').next().unwrap().to_owned();
    let now = ["--pretend-now", "2026-04-01T12:00:00Z"];
    let decide = ["review", "decide", &seq, "--set", "grade=3", "--why", "seen on the photograph"];
    says(at, &[&now[..], &decide, &["--who", "office"]].concat());
    says(at, &words);
    let after = of(&value(at, "day.json"));
    assert_eq!(after["id"], before["id"]);
    assert_eq!(after["eventDateTime"], before["eventDateTime"]);
    assert_eq!(after["diagnoses"][0]["severity"], "Severe");
    assert!(
        after["meta"]["modified"].as_str().unwrap().starts_with("2026-04-01T12:00:0"),
        "{after}"
    );
}

/// What the receiver has of a finding that the office discards.
#[test]
fn what_went_out_and_is_said_no_more_is_deleted() {
    let folder = demo();
    let at = folder.path();
    let words = ["export", "ade", "--herd", "Alder Brook", "--out"];
    says(at, &[&words[..], &["first.json"]].concat());
    let first = value(at, "first.json")["icarDiagnosisEventCollection"]["member"][0].clone();
    let seq = first["id"].as_str().unwrap().rsplit('-').next().unwrap().to_owned();
    let decide = ["review", "decide", &seq, "--discard", "--why", "another cow", "--who", "office"];
    says(at, &decide);
    // Another day goes out: what is no longer recorded is reported all the same.
    let now = ["--pretend-now", "2026-04-02T12:00:00Z"];
    let late = ["second.json", "--from", "2026-03-17", "--earlier", "first.json"];
    let told = json(at, &[&now[..], &words, &late].concat());
    assert_eq!(told["deleted"], 1);
    let second = value(at, "second.json");
    let last = second["icarDiagnosisEventCollection"]["member"].as_array().unwrap().last().unwrap();
    assert_eq!((&last["id"], &last["meta"]["isDeleted"]), (&first["id"], &Value::Bool(true)));
    assert!(last["meta"]["modified"].as_str().unwrap().starts_with("2026-04-02T12:00:0"), "{last}");
    let fault = |file: &str, naming: &[&str]| {
        fails(at, &[&words[..], &["third.json", "--earlier", file]].concat(), OTHER, naming);
        assert!(!at.join("third.json").exists());
    };
    fault("none.json", &["none.json"]);
    fault("first.hornrule.json", &["first.hornrule.json", "export ade"]);
    fs::write(at.join("torn.json"), &fs::read(at.join("first.json")).unwrap()[..900]).unwrap();
    fault("torn.json", &["torn.json", "not JSON"]);
}

#[test]
fn animals_of_ade_become_the_herd_list() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let animal = |number: u32, name: &str| {
        serde_json::json!({
            "resourceType": "icarAnimalCoreResource",
            "identifier": { "scheme": "std.iso.11785", "id": format!("99900000000{number:04}") },
            "specie": "Cattle", "gender": "Female",
            "managementTag": number.to_string(), "name": name,
        })
    };
    let write = |cows: &[Value]| {
        let file = serde_json::json!({ "member": cows });
        fs::write(at.join("animals.json"), file.to_string()).unwrap();
    };
    let words = ["--db", "new.db", "import", "ade", "animals.json", "--herd", "Alder Brook"];
    write(&[animal(12, "Berta"), animal(13, "Cora")]);
    let dry = says(at, &[&words[..], &["--dry-run"]].concat());
    assert!(dry.contains("2 added") && dry.contains("nothing was written"), "{dry}");
    assert!(!at.join("new.db").exists(), "a dry run makes no database");
    says(at, &[&words[..], &["--farm", "1", "--zone", "Europe/Dublin", "--yes"]].concat());
    write(&[animal(12, "Berta"), animal(14, "Dora")]);
    // Nobody can be asked here.
    fails(at, &words, OTHER, &["nothing was imported", "13 Cora", "14 Dora", "--yes"]);
    let again = says(at, &[&words[..], &["--yes"]].concat());
    assert!(again.contains("1 added, 0 changed, 1 as they were, 1 left"), "{again}");
    let expected = json(at, &["--db", "new.db", "herd", "list"]);
    let herd = &expected[0];
    let told = ["herd", "farm", "zone", "cows"].map(|name| &herd[name]);
    let kept: [serde_json::Value; 4] =
        ["Alder Brook".into(), 1.into(), "Europe/Dublin".into(), 2.into()];
    assert_eq!(told, kept.each_ref(), "farm and zone stay as they were");
    // A page of a longer list removes nobody, and says so.
    let page = serde_json::json!({
        "view": { "totalItems": 2, "next": "https://example.org/animals?page=2" },
        "member": [animal(12, "Bertha")],
    });
    fs::write(at.join("animals.json"), page.to_string()).unwrap();
    let part = says(at, &[&words[..], &["--dry-run"]].concat());
    for told in ["0 left", "12 Bertha", "name Berta -> Bertha", "holds 1 of 2", "nobody leaves"] {
        assert!(part.contains(told), "{told}: {part}");
    }
    // A mistake in one animal imports none.
    write(&[animal(15, "Edda"), animal(15, "Frieda")]);
    fails(at, &words, FILE, &["animals.json", "animal 2", "herd number 15"]);
    write(&[animal(15, "Edda"), Value::Null, animal(15, "Frieda")]);
    fails(at, &words, FILE, &["3 mistakes", "animal 2", "animal 3"]);
    fs::write(at.join("animals.json"), "{").unwrap();
    fails(at, &words, FILE, &["animals.json", "line 1", "not JSON"]);
    fs::write(at.join("animals.json"), [0xFF, 0xFE, 0x00]).unwrap();
    fails(at, &words, FILE, &["animals.json", "not JSON"]);
    assert_eq!(json(at, &["--db", "new.db", "herd", "list"]), expected);
    fails(at, &["import", "ade", "none.json", "--herd", "x"], OTHER, &["none.json"]);
    write(&[animal(12, "Berta")]);
    let zone = [&words[..], &["--zone", "Mars/Olympus"]].concat();
    fails(at, &zone, FILE, &["Mars/Olympus", "IANA"]);
}

#[test]
fn a_workbook_counts_what_the_report_counts() {
    let folder = demo();
    let at = folder.path();
    let sheets = json(at, &["export", "xlsx", "--out", "herd.xlsx"]);
    let rows = |name: &str, of: &Value| {
        let sheet = of.as_array().unwrap().iter().find(|sheet| sheet["sheet"] == name);
        sheet.unwrap()["rows"].as_u64().unwrap()
    };
    assert_eq!(rows("visits", &sheets), 2);
    let report = json(at, &["report", "visit"]);
    assert_eq!(rows("due", &sheets), report["due"].as_array().unwrap().len() as u64);
    let words = ["export", "ade", "--herd", "Alder Brook", "--out", "day.json"];
    let ade = json(at, &words);
    for name in ["readings", "scores"] {
        assert_eq!(rows(name, &sheets), ade[name].as_u64().unwrap(), "{name}");
    }
    let one = json(at, &["export", "xlsx", "--from", "2026-03-04", "--out", "late.xlsx"]);
    assert_eq!(rows("visits", &one), 1);
    let before = fs::read(at.join("herd.xlsx")).unwrap();
    assert!(before.starts_with(b"PK"));
    says(at, &["export", "xlsx", "--out", "herd.xlsx", "--herd", "Alder Brook"]);
    assert_eq!(fs::read(at.join("herd.xlsx")).unwrap(), before, "the only herd is all herds");
}

#[test]
fn a_study_from_protocol_to_data_set() {
    let folder = demo();
    let at = folder.path();
    says(at, &["study", "new", "wall.toml"]);
    let template = fs::read(at.join("wall.toml")).unwrap();
    fails(at, &["study", "new", "wall.toml"], OTHER, &["wall.toml"]);
    assert_eq!(fs::read(at.join("wall.toml")).unwrap(), template, "nothing is overwritten");
    let check = json(at, &["study", "check", "wall.toml"]);
    assert_eq!((check["readings_a_cow"].as_u64(), check["readings"].as_u64()), (Some(8), Some(80)));
    assert_eq!(check["cows"][0]["cows"], 10);
    insta::assert_snapshot!("study_check", says(at, &["study", "check", "wall.toml"]));
    let sample = says(at, &["study", "sample", "wall.toml"]);
    insta::assert_snapshot!("study_sample", sample);
    assert_eq!(sample.lines().count(), 81);
    assert_eq!(says(at, &["study", "sample", "wall.toml"]), sample, "the same seed, the same list");
    let rows = json(at, &["study", "sample", "wall.toml"]);
    assert_eq!(
        (rows["seed"].as_u64(), rows["rows"].as_array().unwrap().len()),
        (Some(20_260_301), 80)
    );
    let other = fs::read_to_string(at.join("wall.toml")).unwrap().replace("20260301", "20260302");
    fs::write(at.join("other.toml"), other).unwrap();
    assert_ne!(says(at, &["study", "sample", "other.toml"]), sample, "another seed, another list");
    let done = json(at, &["study", "export", "wall.toml", "--out", "set"]);
    let readings = done["readings"].as_u64().unwrap();
    assert_eq!(
        check["taken"].as_u64().unwrap() + check["beside"].as_u64().unwrap(),
        readings,
        "what the check counts is what goes out"
    );
    let mut files: Vec<String> = fs::read_dir(at.join("set"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    let expected = [
        "datapackage.json",
        "derived.csv",
        "dictionary.csv",
        "dimensions.csv",
        "gauge-checks.csv",
        "protocol.toml",
        "readings.csv",
        "readings.parquet",
        "sample.csv",
    ];
    assert_eq!(files, expected);
    assert_eq!(fs::read_to_string(at.join("set/sample.csv")).unwrap(), sample);
    assert_eq!(fs::read(at.join("set/protocol.toml")).unwrap(), template);
    let csv = fs::read_to_string(at.join("set/readings.csv")).unwrap();
    assert_eq!(csv.lines().count() as u64, readings + 1);
    insta::assert_snapshot!(
        "study_first_readings",
        csv.lines().take(4).collect::<Vec<_>>().join("\n")
    );
    // Walls before trimming, all longer than those of which the literature tells the sole.
    let derived = fs::read_to_string(at.join("set/derived.csv")).unwrap();
    assert_eq!(derived.lines().count(), 1, "{derived}");
    insta::assert_snapshot!(
        "study_dictionary",
        fs::read_to_string(at.join("set/dictionary.csv")).unwrap()
    );
    let package = value(at, "set/datapackage.json");
    assert!(!has_null(&package));
    assert_eq!(package["hornrule"]["readings"]["all"].as_u64().unwrap(), readings);
    assert_eq!(package["hornrule"]["handhelds"][0]["gauge_block_mm"], 75.0);
}

/// The list changes after the draw; what was drawn before the study counts all the same.
#[test]
fn a_sample_outlives_the_herd_list() {
    let folder = demo();
    let at = folder.path();
    says(at, &["study", "new", "wall.toml"]);
    let sample = says(at, &["study", "sample", "wall.toml"]);
    let check = json(at, &["study", "check", "wall.toml"]);
    let done = json(at, &["study", "export", "wall.toml", "--out", "set"]);
    assert!(done["in_sample"].as_u64().unwrap() > 0);
    says(at, &["study", "sample", "wall.toml", "--out", "drawn.csv"]);
    let cows: String = (500..540).map(|cow| format!("{cow}\n")).collect();
    fs::write(at.join("cows.csv"), format!("number\n{cows}")).unwrap();
    let list = ["herd", "import", "cows.csv", "--herd", "Alder Brook", "--yes"];
    says(at, &list);
    assert_ne!(says(at, &["study", "sample", "wall.toml"]), sample);
    let drawn = ["--sample", "drawn.csv"];
    let kept = json(at, &[&["study", "export", "wall.toml", "--out", "kept"], &drawn[..]].concat());
    assert_eq!(kept["in_sample"], done["in_sample"]);
    assert_eq!(fs::read_to_string(at.join("kept/sample.csv")).unwrap(), sample);
    let again = json(at, &[&["study", "check", "wall.toml"], &drawn[..]].concat());
    assert_eq!(again["taken"], check["taken"]);
    fs::write(at.join("drawn.csv"), "number\n12\n").unwrap();
    let wrong = [&["study", "check", "wall.toml"], &drawn[..]].concat();
    fails(at, &wrong, FILE, &["drawn.csv", "line 1"]);
}

#[test]
fn protocols_with_a_mistake_name_the_line_and_write_nothing() {
    let folder = demo();
    let at = folder.path();
    says(at, &["study", "new", "good.toml"]);
    let good = fs::read_to_string(at.join("good.toml")).unwrap();
    let bad =
        |old: &str, new: &str| fs::write(at.join("bad.toml"), good.replace(old, new)).unwrap();
    for (old, new, says) in [
        ("repeats = 2", "repeats = 0", &["line 21", "repeats"][..]),
        ("repeats = 2", "repaets = 2", &["line 21", "repaets"]),
        ("name = \"Alder Brook\"", "name = \"Nowhere\"", &["Nowhere", "herd list"]),
        ("cows = 10", "cows = 100", &["26 cows", "100"]),
    ] {
        bad(old, new);
        for verb in
            [&["check"][..], &["sample", "--out", "sample.csv"], &["export", "--out", "set"]]
        {
            let words = [&["study", verb[0], "bad.toml"], &verb[1..]].concat();
            fails(at, &words, FILE, &[&["bad.toml"], says].concat());
        }
    }
    assert!(!at.join("set").exists() && !at.join("sample.csv").exists());
    fails(at, &["study", "check", "none.toml"], OTHER, &["none.toml"]);
}

#[test]
fn exports_that_cannot_be_leave_what_was_there() {
    let folder = demo();
    let at = folder.path();
    let ade = ["export", "ade", "--herd", "Alder Brook", "--out"];
    fails(
        at,
        &[&ade[..], &["no/such/folder/day.json"]].concat(),
        OTHER,
        &["no/such/folder/day.json"],
    );
    fs::create_dir(at.join("folder")).unwrap();
    fails(at, &[&ade[..], &["folder"]].concat(), OTHER, &["folder"]);
    assert!(!at.join("folder.part").exists(), "nothing half done is left");
    fails(at, &["export", "xlsx", "--out", "no/such/herd.xlsx"], OTHER, &["no/such/herd.xlsx"]);
    let elsewhere = ["export", "ade", "--herd", "Nowhere", "--out", "day.json"];
    fails(at, &elsewhere, OTHER, &["Nowhere", "Alder Brook"]);
    let ends = ["--from", "2026-03-17", "--to", "2026-03-03"];
    fails(at, &[&ade[..], &["day.json"], &ends].concat(), OTHER, &["2026-03-17", "swap"]);
    for (option, word) in [("--location", "34/123"), ("--source", " "), ("--positions", "hooves")] {
        fails(at, &[&ade[..], &["day.json", option, word]].concat(), WORDS, &[option]);
    }
    let none = ["--db", "none.db"];
    fails(at, &[&none[..], &ade, &["day.json"]].concat(), DATABASE, &["none.db"]);
    fails(
        at,
        &[&none[..], &["export", "xlsx", "--out", "a.xlsx"]].concat(),
        DATABASE,
        &["none.db"],
    );
    assert!(!at.join("day.json").exists() && !at.join("a.xlsx").exists());
}

#[test]
fn a_database_without_herds_gives_empty_sheets() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    let db = ["--db", "empty.db"];
    says(
        at,
        &[&db[..], &["herd", "import", "cows.csv", "--herd", "Alder Brook", "--yes"]].concat(),
    );
    let sheets = json(at, &[&db[..], &["export", "xlsx", "--out", "herd.xlsx"]].concat());
    assert!(sheets.as_array().unwrap().iter().all(|sheet| sheet["rows"] == 0), "{sheets}");
    let ade = ["export", "ade", "--herd", "Alder Brook", "--out", "day.json"];
    let told = json(at, &[&db[..], &ade].concat());
    assert_eq!((told["diagnoses"].as_u64(), told["readings"].as_u64()), (Some(0), Some(0)));
}
