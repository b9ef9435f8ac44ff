//! `hornrule report farm`, on the demo's season, whose truth is known.

use std::collections::BTreeSet;
use std::fs;

use hornrule::season::{SEED, Season, truth};
use hornrule_protocol::Lesion;
use serde_json::Value;

use crate::kit::{OTHER, WORDS, fails, json, says, season, two_days};

fn told<'a>(rows: &'a Value, key: &str, name: &str) -> &'a Value {
    let mut rows = rows.as_array().unwrap().iter();
    rows.find(|row| row[key] == name).unwrap()
}

fn covers(answer: &Value, truth: f64) -> bool {
    let end = |end: &str| answer["told"][end].as_f64().unwrap();
    end("low") <= truth && truth <= end("high")
}

/// Of each farm alone, what was put in: how many cases of which lesion, which of them were there
/// before, how many blocks of which way; healing and blocks inside their intervals. At 95 % one interval in
/// twenty may miss; over all farms and seeds `tests/coverage.rs` counts how many do.
#[test]
fn a_seasons_truth_comes_back() {
    let folder = season();
    let put_in = Season::of(SEED).truth;
    for (digit, name, cows) in [(1, "Larch Meadow", 110), (2, "Stony Ford", 150)] {
        let trend = json(folder.path(), &["report", "farm", "--herd", name, "--json"]);
        let all = &trend["all_days"];
        assert_eq!(all["herd_trimmed"]["of"], cows);
        let mut before = BTreeSet::new();
        let mut sores: Vec<_> = put_in.sores.iter().filter(|one| one.farm == digit).collect();
        sores.sort_by_key(|one| one.found);
        let kinds: Vec<(u8, bool)> = sores
            .iter()
            .map(|one| (one.lesion, !before.insert((one.cow, one.claw, one.lesion))))
            .collect();
        assert!(kinds.iter().filter(|(_, again)| *again).count() > 2, "{name}");
        let lesions: BTreeSet<u8> = kinds.iter().map(|(lesion, _)| *lesion).collect();
        for lesion in lesions {
            let row = told(&all["lesions"], "letters", Lesion::from_code(lesion).unwrap().letters);
            let many = |again| kinds.iter().filter(|one| **one == (lesion, again)).count();
            assert_eq!(row["new_cases"], many(false), "{name}: {row}");
            assert_eq!(row["cases_again"], many(true), "{name}: {row}");
        }
        let months = trend["months"].as_array().unwrap();
        let sum = |field: &str| months.iter().map(|month| month[field].as_u64().unwrap()).sum();
        assert_eq!(all["new_cases"].as_u64(), Some(sum("new_cases")));
        assert_eq!(all["visits"].as_u64(), Some(sum("visits")));
        let glued = |way: u8| {
            put_in.blocks.iter().filter(|one| one.farm == digit && one.way == way).count() as u64
        };
        let ways = trend["blocks"]["ways"].as_array().unwrap();
        assert_eq!(ways.len(), truth::WAYS.len());
        for (row, way) in ways.iter().zip(truth::WAYS) {
            let many = row["blocks"].as_u64().unwrap() + row["unseen"].as_u64().unwrap();
            assert_eq!(
                (row["action"].as_u64(), many),
                (Some(way.action.into()), glued(way.action))
            );
            assert!(covers(&row["after_28_days"], way.still_on(28.0)), "{name}: {row}");
        }
        for (grade, word) in [(1, "slight"), (2, "moderate"), (3, "severe")] {
            let median = truth::healing_scale(grade) * 2f64.ln().powf(1.0 / truth::HEALING_SHAPE);
            let row = told(&trend["healing"]["groups"], "what", word);
            assert!(covers(&row["half_healed"], median), "{name}: {median} {row}");
        }
    }
}

#[test]
fn the_page_in_both_languages() {
    let folder = season();
    let farm = ["report", "farm", "--herd", "Larch Meadow"];
    let page = |words: &[&str]| says(folder.path(), &[&farm[..], words].concat());
    let english = page(&[]);
    assert!(english.lines().all(|line| line.chars().count() <= 80), "{english}");
    insta::assert_snapshot!("farm_english", english);
    insta::assert_snapshot!("farm_german", page(&["--language", "de"]));
    // On some days of Stony Ford a second person judged too.
    let stony = says(folder.path(), &["report", "farm", "--herd", "Stony Ford"]);
    assert!(stony.contains("More handhelds recorded findings in"), "{stony}");
    assert!(!english.contains("More handhelds"), "{english}");
    // Three months of the ten, the last of them cut.
    let words = ["--from", "2025-08-01", "--to", "2025-10-15", "--json"];
    let part = json(folder.path(), &[&farm[..], &words].concat());
    let months: Vec<&Value> =
        part["months"].as_array().unwrap().iter().map(|one| &one["month"]).collect();
    assert_eq!(months, ["2025-08", "2025-09", "2025-10"]);
    assert_eq!(part["records_begin"], "2025-05-12");
}

/// Cells of the CSV against the JSON, by the csv crate.
#[test]
fn the_table_holds_every_lesion_of_every_month() {
    let folder = season();
    let farm = ["report", "farm", "--herd", "Stony Ford"];
    says(folder.path(), &[&farm[..], &["--csv", "farm.csv"]].concat());
    let trend = json(folder.path(), &[&farm[..], &["--json"]].concat());
    let mut table = csv::Reader::from_path(folder.path().join("farm.csv")).unwrap();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    let lesions = trend["all_days"]["lesions"].as_array().unwrap().len();
    let months = trend["months"].as_array().unwrap();
    assert_eq!(rows.len(), months.len() * (lesions + 1));
    for (rows, month) in rows.chunks(lesions + 1).zip(months) {
        assert_eq!(&rows[0][0], month["month"].as_str().unwrap());
        for (row, one) in rows[1..].iter().zip(month["lesions"].as_array().unwrap()) {
            let cows = &one["cows_of_examined"];
            assert_eq!(&row[1], one["letters"].as_str().unwrap());
            assert_eq!(
                (row[3].to_owned(), row[4].to_owned()),
                (cows["cases"].to_string(), cows["of"].to_string())
            );
            let low = cows["share"]["low"].as_f64().unwrap() * 100.0;
            assert!((row[6].parse::<f64>().unwrap() - low).abs() < 0.051, "{row:?}");
        }
    }
}

#[test]
fn two_days_of_one_farm_are_too_few_and_it_says_so() {
    let folder = two_days();
    let page = says(folder.path(), &["report", "farm"]);
    // Cells of a table are wrapped, each by itself.
    for part in ["too few: 2", "healed, 3", "too few: 0", "found lost, 3", "24 of 26"] {
        assert!(page.contains(part), "{part}: {page}");
    }
    // Few cows were examined on the second day alone.
    let words = ["report", "farm", "--from", "2026-03-17", "--to", "2026-03-17"];
    let page = says(folder.path(), &words);
    assert!(page.contains("Fewer than 20 cows were examined in Mar 2026"), "{page}");
}

#[test]
fn slips_are_told() {
    let folder = season();
    let farm = ["report", "farm", "--herd", "Stony Ford"];
    for (words, code, part) in [
        (&["report", "farm"][..], OTHER, "choose a herd with --herd: Larch Meadow, Stony Ford"),
        (&["report", "farm", "--herd", "Nowhere"], OTHER, "there is no herd `Nowhere`"),
        (&[&farm[..], &["--from", "2026-02-01", "--to", "2026-01-01"]].concat(), OTHER, "swap"),
        (&[&farm[..], &["--from", "1990-01-01"]].concat(), OTHER, "more than 120 months"),
        (&[&farm[..], &["--from", "1.2.2026"]].concat(), WORDS, "--from"),
        (&[&farm[..], &["--json", "--csv", "x.csv"]].concat(), WORDS, "--csv"),
        (&[&farm[..], &["--html", "no/such/folder/x.html"]].concat(), OTHER, "x.html"),
    ] {
        fails(folder.path(), words, code, &[part]);
    }
    let nothing =
        says(folder.path(), &[&farm[..], &["--from", "2024-01-01", "--to", "2024-06-30"]].concat());
    assert!(nothing.contains("No cow was recorded in the chute in this period."), "{nothing}");
    fs::write(folder.path().join("cows.csv"), "number\n1\n").unwrap();
    says(
        folder.path(),
        &["herd", "import", "cows.csv", "--herd", "New Farm", "--farm", "3", "--yes"],
    );
    fails(folder.path(), &["report", "farm", "--herd", "New Farm"], OTHER, &["has no visit yet"]);
}
