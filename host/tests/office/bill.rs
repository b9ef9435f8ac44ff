//! `hornrule bill`.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::kit::{FILE, OTHER, WORDS, fails, json, says, two_days};

const PRICES: &str = r#"currency = "EUR"
pay-within = 14
seller = ["Hoof & Horn", "Mill Lane 4"]
note = "Thank you."

[tax]
standard = 19

[item.call-out]
price = 35
tax = "standard"
[item.cow]
price = "12.50"
tax = "standard"
[item.block]
price = "18.00"
tax = "standard"
[farm."Alder Brook".item.block]
price = "17.00"
"#;

const NOW: [&str; 2] = ["--pretend-now", "2026-03-18T08:00:00Z"];

fn farm() -> tempfile::TempDir {
    let folder = two_days();
    fs::write(folder.path().join("prices.toml"), PRICES).unwrap();
    let lines = ["--address", "Alder Brook Farm", "--address", "Long Road 1"];
    says(folder.path(), &[&["herd", "set"][..], &lines].concat());
    folder
}

fn bill<'a>(words: &[&'a str]) -> Vec<&'a str> {
    [&NOW[..], &["bill"], words].concat()
}

/// Counted from the story: 25 of 26 cows trimmed (188 is for the vet) and 4 blocks on the 3rd, one
/// cow trimmed and 2 blocks on the 17th. By hand: 35.00 + 25 x 12.50 + 4 x 17.00 = 415.50; 35.00 +
/// 12.50 + 2 x 17.00 = 81.50; in all 497.00, and 19 % of it, 94.43; 591.43.
#[test]
fn a_bill_from_draft_to_credit_note() {
    let folder = farm();
    let at = folder.path();
    let draft = json(at, &bill(&["draft", "--json"]));
    assert_eq!(draft["number"], serde_json::Value::Null);
    assert_eq!(
        (&draft["net"], &draft["tax"], &draft["gross"]),
        (&"497.00".into(), &"94.43".into(), &"591.43".into())
    );
    insta::assert_snapshot!("bill_draft", says(at, &bill(&["draft"])));
    let issued = json(at, &bill(&["issue", "--who", "Anna", "--json"]));
    assert_eq!((&issued["number"], &issued["by"]), (&"2026-0001".into(), &"Anna".into()));
    assert_eq!(issued["lines"], draft["lines"]);
    insta::assert_snapshot!("bill_issued", says(at, &bill(&["show", "2026-0001"])));
    fails(at, &bill(&["issue", "--who", "Anna"]), OTHER, &["nothing to bill", "Alder Brook"]);

    // Cow 118's block of the 17th is discarded: the bill stands, the list says so, a credit note
    // comes.
    let block = block_of(at);
    let why = ["--who", "Anna", "--why", "it was no block"];
    says(at, &[&["review", "decide", &block, "--discard"][..], &why].concat());
    assert_eq!(json(at, &bill(&["show", "2026-0001", "--json"])), issued);
    let list = says(at, &bill(&["list"]));
    assert!(list.contains("hornrule bill credit 2026-0001"), "{list}");
    let note = json(at, &[&bill(&["credit", "2026-0001", "--json"])[..], &why].concat());
    assert_eq!(
        (&note["kind"], &note["of"], &note["number"]),
        (&"credit".into(), &"2026-0001".into(), &"2026-0002".into())
    );
    // By hand: 17.00 and 19 % of it, 3.23.
    assert_eq!(
        (&note["net"], &note["tax"], &note["gross"]),
        (&"-17.00".into(), &"-3.23".into(), &"-20.23".into())
    );
    assert_eq!(note["why"], "it was no block");
    let list = json(at, &bill(&["list", "--json"]));
    let gross: Vec<&str> =
        list.as_array().unwrap().iter().map(|row| row["gross"].as_str().unwrap()).collect();
    assert_eq!(gross, ["591.43", "-20.23"]);
    assert!(list.as_array().unwrap().iter().all(|row| row["changed"] == 0));
    // A rebuild leaves bills alone.
    says(at, &["rebuild"]);
    assert_eq!(json(at, &bill(&["show", "2026-0001", "--json"])), issued);
}

/// The number of the last entry that glues a block on.
fn block_of(at: &Path) -> String {
    let glued = |seq: &u32| {
        let shown = says(at, &["review", "show", &seq.to_string()]);
        shown.lines().any(|line| line.starts_with('>') && line.contains("block glued on"))
    };
    (1..=281).rev().find(glued).unwrap().to_string()
}

#[test]
fn a_bill_as_a_table() {
    let folder = farm();
    says(folder.path(), &bill(&["draft", "--csv", "bill.csv"]));
    let table = fs::read_to_string(folder.path().join("bill.csv")).unwrap();
    insta::assert_snapshot!("bill_table", table);
}

#[test]
fn two_programs_at_once_bill_a_day_once() {
    let folder = farm();
    let words = bill(&["issue", "--who", "Anna"]);
    let start = || {
        let mut program = Command::new(env!("CARGO_BIN_EXE_hornrule"));
        program.current_dir(folder.path()).env_remove("HORNRULE_DB").args(&words);
        program.stdout(std::process::Stdio::null()).stderr(std::process::Stdio::null());
        program.spawn().unwrap()
    };
    let all = [start(), start(), start()];
    let done = all.into_iter().map(|mut one| one.wait().unwrap().success()).filter(|ok| *ok);
    assert_eq!(done.count(), 1);
    let list = json(folder.path(), &bill(&["list", "--json"]));
    assert_eq!(list.as_array().unwrap().len(), 1);
    assert_eq!(list[0]["number"], "2026-0001");
}

#[test]
fn slips_are_told_and_issue_nothing() {
    let folder = farm();
    let at = folder.path();
    let prices = at.join("prices.toml");
    for (words, code, part) in [
        (&["issue"][..], WORDS, "--who"),
        (&["issue", "--who", " "], WORDS, "a word or more"),
        (&["draft", "--herd", "Nowhere"], OTHER, "Alder Brook"),
        (&["draft", "--from", "2026-03-18", "--until", "2026-03-01"], OTHER, "before --from"),
        (&["draft", "--until", "2026-01-01"], OTHER, "nothing to bill"),
        (&["draft", "--prices", "none.toml"], FILE, "no price list"),
        (&["show", "2026-0001"], OTHER, "no bill 2026-0001"),
        (&["show", "first"], WORDS, "like 2026-0001"),
        (&["credit", "2026-0001", "--who", "A", "--why", "x"], OTHER, "no bill 2026-0001"),
    ] {
        fails(at, &bill(words), code, &[part]);
    }
    fs::write(&prices, PRICES.replace("12.50", "12,50")).unwrap();
    fails(at, &bill(&["issue", "--who", "A"]), FILE, &["prices.toml", "line 13", "price in EUR"]);
    fs::write(&prices, PRICES.replace("EUR", "CHF")).unwrap();
    fails(at, &bill(&["issue", "--who", "A"]), OTHER, &["CHF", "EUR"]);
    fs::write(&prices, b"currency = \"EUR\xFF\"").unwrap();
    fails(at, &bill(&["draft"]), FILE, &["prices.toml"]);
    assert_eq!(json(at, &bill(&["list", "--json"])), serde_json::json!([]));
}

/// The paper: in the farm's language, with all that was issued.
#[test]
fn a_bill_as_a_page() {
    let folder = farm();
    let at = folder.path();
    says(at, &["herd", "set", "--language", "de"]);
    says(at, &bill(&["issue", "--who", "Anna", "--html", "bill.html"]));
    let page = fs::read_to_string(at.join("bill.html")).unwrap();
    let parts = ["Rechnung 2026-0001", "Alder Brook Farm", "Hoof &amp; Horn", "591,43", "94,43"];
    for part in parts {
        assert!(page.contains(part), "{part}: {page}");
    }
    // The farm's language changes; what was issued stays in its own.
    says(at, &["herd", "set", "--language", "en"]);
    insta::assert_snapshot!("bill_german", says(at, &bill(&["show", "2026-0001"])));
    if cfg!(feature = "pdf") {
        says(at, &bill(&["show", "2026-0001", "--pdf", "bill.pdf"]));
        says(at, &bill(&["show", "2026-0001", "--pdf", "again.pdf"]));
        let bytes = fs::read(at.join("bill.pdf")).unwrap();
        assert!(bytes.starts_with(b"%PDF-"));
        assert_eq!(bytes, fs::read(at.join("again.pdf")).unwrap(), "the same bytes again");
    }
}
