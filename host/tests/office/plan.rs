//! `hornrule plan`, the whole binary, against the virtual handheld.

use std::path::Path;

use serde_json::Value;

use crate::kit::{self, Handheld, on_demo};

const DAY: &str = "2026-03-31";

fn says(folder: &Path, words: &[&str]) -> String {
    kit::said(on_demo(folder, words), words)
}

fn refuses(folder: &Path, words: &[&str], code: i32, naming: &str) {
    kit::failed(on_demo(folder, words), words, code, &[naming]);
}

#[test]
fn a_plan_is_built_loaded_read_back_and_stays() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    says(folder, &["demo", "--no-pdf"]);
    insta::assert_snapshot!(
        "plan_shown",
        says(
            folder,
            &["plan", "--show", "--day", DAY, "--order", "1x2,3", "--do-not-trim", "1:58"]
        )
    );
    let handheld = Handheld::on(folder, "cow.flash", &["--baud", "4000000"]);
    let load = ["plan", "--port", &handheld.port, "--day", DAY, "--order", "1x2,3", "--json"];
    let plan: Value = serde_json::from_str(&says(folder, &load)).unwrap();
    // The due list of the same day, on another way, names the same cows as far as they are due.
    let until = ["due", "--day", DAY, "--until", "2026-04-03", "--json"];
    let due: Value = serde_json::from_str(&says(folder, &until)).unwrap();
    let listed = |rows: &Value, has: fn(&Value) -> bool| -> std::collections::BTreeSet<String> {
        let rows = rows.as_array().unwrap().iter().filter(|row| has(row));
        rows.map(|row| row["cow"].to_string().trim_matches('"').to_owned()).collect()
    };
    let planned = listed(&plan["cows"], |row| row["needs"] != "");
    assert_eq!(planned, listed(&due["due"], |_| true));
    assert!(!planned.is_empty());
    let name = plan["loaded"]["plan"].as_str().unwrap().to_owned();
    assert_eq!(plan["loaded"]["handheld"], "c0ffee0000000001");
    // A second load of the same plan changes nothing, and a plan outlives the power.
    let again: Value = serde_json::from_str(&says(folder, &load)).unwrap();
    assert_eq!(again["loaded"]["plan"], name.as_str());
    let status = says(folder, &["status", "--port", &handheld.port, "--json"]);
    let status: Value = serde_json::from_str(&status).unwrap();
    assert_eq!(status["handheld"]["clock_known"], true);
    drop(handheld);
    let flash = std::fs::read(folder.join("cow.plan-flash")).unwrap();
    let number = u32::from_str_radix(&name, 16).unwrap();
    assert_eq!(flash[12..16], number.to_le_bytes(), "the mark of the first bank names it");
}

#[test]
fn mistakes_are_named_and_load_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    says(folder, &["demo", "--no-pdf"]);
    let day = ["--show", "--day", DAY];
    let with = |words: &[&'static str]| [&["plan"][..], &day, words].concat();
    refuses(folder, &with(&["--order", "0"]), 2, "no dimension");
    refuses(folder, &with(&["--limit", "1=90-70"]), 2, "1=70-90");
    refuses(folder, &with(&["--farm", "3"]), 1, "no herd has the digit 3");
    refuses(folder, &with(&["--do-not-trim", "2:5"]), 1, "no farm 2");
    refuses(folder, &with(&["--do-not-trim", "1:7"]), 1, "no such cow");
    refuses(folder, &["plan", "--port", "tcp:127.0.0.1:1"], 3, "127.0.0.1:1");
}
