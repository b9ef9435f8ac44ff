//! Keys of the day: the plan gives them, the records are read by them, and mistakes are put right.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::kit::{Handheld, OTHER, WORDS, command, fails, json, says};

/// Four farms with the same two cows; one of them with a standing key.
fn four_farms() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    fs::write(at.join("cows.csv"), "number,name\n12,Bramble\n27,Clover\n").unwrap();
    for (name, route) in
        [("Lindenhof", "3"), ("Neuhof", "1"), ("Birkenhof", "2"), ("Eschenhof", "9")]
    {
        let zone = ["--zone", "Europe/Berlin"];
        says(at, &[&["herd", "import", "cows.csv", "--yes", "--herd", name][..], &zone].concat());
        says(at, &["herd", "set", "--herd", name, "--route", route]);
    }
    says(at, &["herd", "set", "--herd", "Eschenhof", "--key", "1"]);
    folder
}

const STORY: &str = "at 2026-03-03 06:42\npower on\nplug in\nat 2026-03-03 07:18\n\
    keys COW 01 COW\nkeys COW 12 COW RH FIND 13 2\nwait 4min\n\
    keys COW 02 COW\nkeys COW 12 COW LH FIND 13 2\nwait 4min\nkeys COW COW\nplug in\npower off\n\
    at 2026-03-04 06:42\npower on\nplug in\nat 2026-03-04 07:18\n\
    keys COW 01 COW\nkeys COW 12 COW RF FIND 13 2\nwait 4min\n\
    keys COW 03 COW\nkeys COW 12 COW LF FIND 13 2\nwait 4min\nkeys COW COW\nplug in\npower off\n";

/// The days on which a farm's cow 12 was seen, with the places.
fn seen(at: &Path, farm: &str) -> Vec<String> {
    let cow = json(at, &["cow", "12", "--herd", farm, "--json"]);
    cow["days"]
        .as_array()
        .unwrap()
        .iter()
        .map(|day| day["day"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn each_day_has_its_keys_and_nothing_moves() {
    let folder = four_farms();
    let at = folder.path();
    fs::write(at.join("days.story"), STORY).unwrap();
    let words = ["--story", "days.story", "--baud", "4000000"];
    let mut handheld = Handheld::on(at, "cow.flash", &words);
    let port = handheld.port.clone();
    // The story goes on when all is pulled.
    let mut at_plug = |words: &[&str]| {
        let now = handheld.plugged_in();
        let says = |words: &[&str]| {
            says(at, &[&["--pretend-now", &now][..], words, &["--port", &port]].concat())
        };
        let told = says(words);
        if words[0] != "pull" {
            says(&["pull"]);
        }
        told
    };
    // In the order of the round: Neuhof 1, Lindenhof 2.
    let monday = ["plan", "--farm", "Lindenhof", "--farm", "neuhof", "--html", "plan.html"];
    let told = at_plug(&monday);
    assert!(told.contains("plan 1 ("), "{told}");
    let sheet = fs::read_to_string(at.join("plan.html")).unwrap();
    let (neuhof, lindenhof) = (sheet.find("Neuhof").unwrap(), sheet.find("Lindenhof").unwrap());
    assert!(neuhof < lindenhof && sheet.contains("2 cows"), "{sheet}");
    at_plug(&["pull"]);
    assert_eq!(seen(at, "Neuhof"), ["2026-03-03"]);
    assert_eq!(seen(at, "Lindenhof"), ["2026-03-03"]);
    // The next day the same keys are other farms; the third key is not in the plan.
    let tuesday = at_plug(&["plan", "--farm", "Birkenhof", "--farm", "Lindenhof", "--json"]);
    let tuesday: Value = serde_json::from_str(&tuesday).unwrap();
    assert_eq!(tuesday["farms"][0]["name"], "Birkenhof");
    assert_eq!(
        (&tuesday["farms"][0]["farm"], &tuesday["loaded"]["number"]),
        (&1.into(), &2.into())
    );
    at_plug(&["pull"]);
    assert_eq!(seen(at, "Neuhof"), ["2026-03-03"], "nothing moves");
    assert_eq!(seen(at, "Lindenhof"), ["2026-03-03"]);
    assert_eq!(seen(at, "Birkenhof"), ["2026-03-04"]);
    let held = says(at, &["review", "list", "--held"]);
    assert!(held.contains("the plan of 2026-03-04"), "{held}");
    // One decision for the whole visit, seen before it is taken, and taken back.
    let list = json(at, &["review", "list", "--held", "--json"]);
    let entry = list[0]["entry"].to_string();
    let put = ["review", "visit", &entry, "--farm", "Eschenhof"];
    let would = says(at, &[&put[..], &["--dry-run"]].concat());
    assert!(would.contains("held -> Eschenhof 2026-03-04: 1 cow"), "{would}");
    assert_eq!(json(at, &["review", "list", "--held", "--json"]), list);
    let who = ["--who", "Anna", "--why", "keyed 3 for 4"];
    let done = says(at, &[&put[..], &who].concat());
    assert!(done.contains("decided   1 decision"), "{done}");
    assert_eq!(seen(at, "Eschenhof"), ["2026-03-04"]);
    assert_eq!(json(at, &["review", "list", "--held", "--json"]), Value::Array(Vec::new()));
    let rebuilt = says(at, &["rebuild"]);
    assert!(!rebuilt.contains(" new"), "{rebuilt}");
    fails(at, &[&put[..4], &["Nowhere"], &who].concat(), OTHER, &["no herd `Nowhere`"]);
    fails(at, &put, WORDS, &["--who"]);
}

#[test]
fn a_farm_gets_another_name_zone_and_key_with_the_effect_shown() {
    let folder = crate::kit::two_days();
    let at = folder.path();
    fs::write(at.join("cows.csv"), "number\n12\n").unwrap();
    let new = says(at, &["herd", "import", "cows.csv", "--yes", "--herd", "Neuhof"]);
    assert!(new.contains("zone      UTC, that of this computer"), "{new}");
    let now = ["--pretend-now", "2026-03-20T12:00:00Z"];
    let set = |words: &[&'static str]| [&now[..], &["herd", "set"], words].concat();
    let keyed = says(at, &set(&["--herd", "Neuhof", "--key", "1"]));
    for part in [
        "key       1, from 2026-03-20 on",
        "until then it stands for Alder Brook",
        "effect    nothing on record moves",
    ] {
        assert!(keyed.contains(part), "{keyed}");
    }
    let visits = says(at, &["report", "visit", "--list"]);
    assert!(visits.contains("2026-03-03  Alder Brook"), "{visits}");
    // Back to a day that has records: shown, and not done without a yes.
    let back = set(&["--herd", "Neuhof", "--key", "1", "--since", "2026-03-10"]);
    let shown = ["effect    1 visit with 9 cows", "Alder Brook 2026-03-17 -> Neuhof 2026-03-17"];
    fails(at, &back, OTHER, &[&shown[..], &["nothing was changed"]].concat());
    assert_eq!(says(at, &["report", "visit", "--list"]), visits);
    says(at, &[&back[..], &["--yes"]].concat());
    let moved = says(at, &["report", "visit", "--list"]);
    assert!(moved.contains("2026-03-17  Neuhof"), "{moved}");
    assert!(moved.contains("2026-03-03  Alder Brook"), "{moved}");
    let name =
        ["--herd", "Alder Brook", "--name", "Erlenbach", "--zone", "Pacific/Auckland", "--yes"];
    let named = says(at, &set(&name));
    assert!(named.contains("Alder Brook -> Erlenbach"), "{named}");
    assert!(
        named.contains("2026-03-03 -> Erlenbach 2026-03-0") || named.contains("nothing"),
        "{named}"
    );
    fails(at, &set(&["--herd", "Neuhof", "--name", "Erlenbach"]), OTHER, &["already a farm"]);
    fails(at, &set(&["--herd", "Neuhof", "--zone", "Mars/Olympus"]), OTHER, &["no time zone"]);
    fails(at, &set(&["--herd", "Neuhof", "--key", "12"]), WORDS, &["1 to 9"]);
    fails(at, &set(&["--herd", "Neuhof", "--since", "2026-03-01"]), WORDS, &["--key"]);
    let list = ["herd", "import", "cows.csv", "--yes", "--herd", "Neuhof", "--farm", "4"];
    fails(at, &list, crate::kit::FILE, &["has farm key 1, not 4", "herd set"]);
}

#[test]
fn a_plan_has_nine_farms_at_most() {
    let folder = four_farms();
    let at = folder.path();
    let mut words = vec!["plan".to_owned(), "--show".to_owned()];
    for at_round in 1..=10 {
        let name = format!("Farm {at_round}");
        says(at, &["herd", "import", "cows.csv", "--yes", "--herd", &name]);
        words.extend(["--farm".to_owned(), name]);
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    fails(at, &words, OTHER, &["10 farms are too many", "nine"]);
    let shown = says(at, &words[..words.len() - 2]);
    assert!(shown.contains("farm 9    Farm 9: 2 cows"), "{shown}");
    fails(at, &["plan", "--show", "--farm", "Nowhere"], OTHER, &["no farm `Nowhere`", "Lindenhof"]);
    let standing = says(at, &["plan", "--show"]);
    assert!(standing.contains("farm 1    Eschenhof") && !standing.contains("Neuhof"), "{standing}");
}

#[test]
fn a_new_farm_takes_the_zone_of_the_computer() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("cows.csv"), "number\n12\n").unwrap();
    let words = ["herd", "import", "cows.csv", "--yes", "--herd", "Neuhof", "--json"];
    let output = command(folder.path()).env("TZ", "Europe/Vienna").args(words).output().unwrap();
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(told["zone"], "Europe/Vienna");
}
