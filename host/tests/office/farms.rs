//! `hornrule herd set`, `show`, `list`: how a farm's papers look.

use std::fs;

use crate::kit::{OTHER, WORDS, fails, says};

fn two_farms() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("cows.csv"), "number,name\n12,Bramble\n27,Clover\n").unwrap();
    for (name, digit) in [("Alder Brook", "1"), ("Birch Hill", "2")] {
        let list = ["herd", "import", "cows.csv", "--herd", name, "--farm", digit, "--yes"];
        says(folder.path(), &list);
    }
    folder
}

#[test]
fn a_farm_is_set_and_shown() {
    let folder = two_farms();
    let farm = ["--herd", "Birch Hill"];
    let set = ["herd", "set", farm[0], farm[1], "--language", "de", "--unit", "inch"];
    let more = ["--paper", "letter", "--target", "75.5", "--currency", "CHF", "--route", "2"];
    let lines = ["--address", "Birch Hill Farm", "--address", "Mill Lane 4"];
    let vet = ["--vet", "Ash Lane Vets", "--vet", "+44 1632 960200"];
    let words = [&set[..], &more, &lines, &vet].concat();
    let told = says(folder.path(), &words);
    assert_eq!(
        told,
        "herd      Birch Hill\nfarm      2\nzone      UTC\ncows      2\nlanguage  de\n\
         unit      inch\npaper     letter\ntarget    75.5 mm dorsal wall\ncurrency  CHF\n\
         route     2\naddress   Birch Hill Farm\n          Mill Lane 4\n\
         vet       Ash Lane Vets\n          +44 1632 960200\n"
    );
    assert_eq!(says(folder.path(), &["herd", "show", farm[0], farm[1]]), told);
    // What is not named stays; `none` and an empty line take away.
    let off = ["herd", "set", farm[0], farm[1], "--target", "none", "--address", "", "--json"];
    let json: serde_json::Value = serde_json::from_str(&says(folder.path(), &off)).unwrap();
    assert_eq!(json["target"], serde_json::Value::Null);
    assert_eq!(json["address"], serde_json::json!([]));
    assert_eq!((&json["currency"], &json["route"]), (&"CHF".into(), &2.into()));
    // The other farm is as it was.
    let list: serde_json::Value =
        serde_json::from_str(&says(folder.path(), &["herd", "list", "--json"])).unwrap();
    assert_eq!(list[0]["language"], "en");
    assert_eq!(list[0]["currency"], "EUR");
    // A new herd list leaves the settings alone.
    says(folder.path(), &["herd", "import", "cows.csv", "--herd", "Birch Hill", "--yes"]);
    let told = says(folder.path(), &["herd", "show", farm[0], farm[1]]);
    assert!(told.contains("language  de"), "{told}");
}

#[test]
fn slips_are_told_and_change_nothing() {
    let folder = two_farms();
    let before = says(folder.path(), &["herd", "list", "--json"]);
    let set = |words: &[&'static str]| [&["herd", "set", "--herd", "Birch Hill"], words].concat();
    for (words, part) in [
        (["--language", "fr"], "en, de"),
        (["--unit", "cm"], "mm, inch"),
        (["--paper", "A4"], "a4, letter"),
        (["--target", "7"], "40 to 150 mm"),
        (["--currency", "DEM"], "ISO 4217"),
        (["--route", "0"], "1 to 999"),
        (["--address", "one\ntwo"], "one line"),
    ] {
        fails(folder.path(), &set(&words), WORDS, &[part]);
    }
    fails(folder.path(), &["herd", "set", "--language", "de"], OTHER, &["Alder Brook, Birch Hill"]);
    fails(
        folder.path(),
        &["herd", "show", "--herd", "Nowhere"],
        OTHER,
        &["there is no herd `Nowhere`"],
    );
    assert_eq!(says(folder.path(), &["herd", "list", "--json"]), before);
}
