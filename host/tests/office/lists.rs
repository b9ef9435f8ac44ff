//! `hornrule herd import`: what changes is shown, and then taken or not.

use std::fs;

use crate::kit::{FILE, OTHER, WORDS, fails, json, says, two_days};

const AT: [&str; 2] = ["--pretend-now", "2026-03-20T08:00:00Z"];

fn import<'a>(words: &[&'a str]) -> Vec<&'a str> {
    [&AT[..], &["herd", "import", "cows.csv", "--herd", "Alder Brook"], words].concat()
}

#[test]
fn changes_are_shown_before_they_are_taken() {
    let folder = two_days();
    let at = folder.path();
    // Clover's tag stands behind another number; 58 has a new name; all others are gone.
    let list = "Stallnr;Name;Chip\r\n427;Clover;999000000000027\r\n\
                58;Haselnuss;999000000000058\r\n";
    fs::write(at.join("cows.csv"), list).unwrap();
    let map = ["--map", "number=Stallnr", "--map", "tag=Chip"];
    let before = json(at, &["cow", "27", "--json"]);
    let dry = says(at, &import(&[&map[..], &["--dry-run"]].concat()));
    insta::assert_snapshot!("herd_import_dry_run", dry);
    // Nobody can be asked here.
    fails(at, &import(&map), OTHER, &["nothing was imported", "--yes", "27 -> 427"]);
    assert_eq!(json(at, &["herd", "list", "--json"])[0]["cows"], 26);
    let done = json(at, &import(&[&map[..], &["--yes", "--json"]].concat()));
    let counts = ["renumbered", "changed", "left"].map(|what| done[what].as_i64().unwrap());
    assert_eq!(counts, [1, 1, 24]);
    // Her history is under her new number, and a rebuild says the same.
    let after = json(at, &["cow", "427", "--json"]);
    let places = |history: &serde_json::Value| -> Vec<serde_json::Value> {
        history["days"].as_array().unwrap().iter().map(|day| day["places"].clone()).collect()
    };
    assert_eq!(places(&after), places(&before));
    assert_eq!(places(&after).len(), 2);
    says(at, &["rebuild"]);
    assert_eq!(json(at, &["cow", "427", "--json"]), after);
    let due = ["due", "--day", "2026-03-20", "--until", "2026-12-31", "--json"];
    let due = json(at, &due);
    let rows = due["due"].as_array().unwrap();
    let cows: Vec<i64> = rows.iter().map(|row| row["cow"].as_i64().unwrap()).collect();
    // 291 was keyed and never listed: nobody said that she left.
    assert!(cows.contains(&427) && cows.iter().all(|cow| [427, 58, 291].contains(cow)), "{cows:?}");
    // The headings are remembered, and the same file again changes nothing.
    let again = json(at, &import(&["--json"]));
    assert_eq!((&again["same"], &again["imported"]), (&2.into(), &true.into()));
    // A farm's zone stays as it is unless given.
    let shown = says(at, &["herd", "show"]);
    assert!(shown.contains("Europe/Dublin"), "{shown}");
}

#[test]
fn slips_are_told_and_import_nothing() {
    let folder = two_days();
    let at = folder.path();
    let before = json(at, &["herd", "list", "--json"]);
    let refused = |list: &[u8], words: &[&str], code: i32, part: &str| {
        fs::write(at.join("cows.csv"), list).unwrap();
        fails(at, &import(words), code, &[part]);
    };
    refused(b"number,name\n12,Fr\xFCh\n", &["--yes"], FILE, "--encoding latin-1");
    refused(b"cow\n12\n", &["--yes"], FILE, "--map number=HEADING");
    refused(b"cow\n12\n", &["--yes", "--map", "number=nr"], FILE, "no column `nr`");
    refused(b"number\n12\n", &["--yes", "--map", "colour=x"], FILE, "has no column `colour`");
    refused(b"number\n12\n", &["--map", "number"], WORDS, "number=Stallnummer");
    refused(b"number\n12\n", &["--encoding", "ebcdic"], WORDS, "utf-8, latin-1");
    refused(b"number,tag\n12,123000000000012\n", &["--yes"], FILE, "country");
    refused(b"number,official\n12,UK230011300123\n", &["--yes"], FILE, "check digit");
    refused(b"number\n12\n", &["--yes", "--zone", "Moon/Base"], FILE, "Moon/Base");
    refused(b"\xFF\xFEn\0", &["--yes"], FILE, "UTF-16");
    assert_eq!(json(at, &["herd", "list", "--json"]), before);
}

/// A file is read to its end, so that one round of corrections is enough.
#[test]
fn all_mistakes_are_told_at_once_and_nothing_is_made() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let list = "number;name;born\r\n12;Berta;2021-04-17\r\n\r\nx7;\"Cora\r\nthe second\";\r\n\
                12;Dora;2026-03-21\r\n";
    fs::write(at.join("cows.csv"), list).unwrap();
    let told = [
        "4 mistakes, and nothing was imported",
        "line 4, column `number`",
        "line 4, column `name`",
        "line 6, column `born` of the herd list: `2026-03-21` is in the future",
        "line 6, column `number` of the herd list: 12 is in line 2 too",
    ];
    fails(at, &import(&["--yes"]), FILE, &told);
    fails(at, &import(&["--dry-run"]), FILE, &told);
    fs::write(at.join("cows.csv"), "number;name\r\n12;Berta\r\n13;\r\n").unwrap();
    let refused = ["1", "nothing was imported", "2 added", "12 Berta", "--yes"];
    fails(at, &import(&[]), OTHER, &refused);
    let dry = says(at, &import(&["--dry-run"]));
    assert!(dry.contains("12 Berta") && dry.contains("Nothing was imported"), "{dry}");
    assert!(!at.join("hornrule.db").exists(), "nothing is made where nothing is taken");
    says(at, &import(&["--yes"]));
    // The same again changes nothing, so nobody is asked.
    let again = says(at, &import(&[]));
    assert!(again.contains("2 as they were"), "{again}");
}
