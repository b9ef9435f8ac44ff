//! `hornrule bill`.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::kit::{FILE, OTHER, WORDS, failed, fails, hornrule, json, says, two_days};

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

/// One entry of the 3rd is held: a length without a cow.
const HELD: [&str; 2] = ["--with-held", "no work"];
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
    let issued = json(at, &bill(&["issue", "--who", "Anna", "--json", HELD[0], HELD[1]]));
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
    let note = json(at, &[&bill(&["credit", "2026-0001", "--json"])[..], &HELD, &why].concat());
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
    (1..=246).rev().find(glued).unwrap().to_string()
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
    let words = bill(&["issue", "--who", "Anna", HELD[0], HELD[1]]);
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
    says(at, &bill(&["issue", "--who", "Anna", "--html", "bill.html", HELD[0], HELD[1]]));
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

const FREE: &str = r#"
[line.travel]
price = "0.55"
unit = "km"
tax = "standard"
text = { en = "Travel", de = "Anfahrt" }
[line.hours]
price = 48
unit = { en = "h", de = "Std." }
tax = "standard"
"#;

/// By hand, beside the 497.00 of the visits: 34.5 km at 0.55 are 18.975, a half: 18.98; 1.75 h at
/// 48.00 are 84.00; 599.98 at 19 % are 113.9962: 114.00; in all 713.98.
#[test]
fn free_lines_are_on_the_bill_in_the_farms_language() {
    let folder = farm();
    let at = folder.path();
    fs::write(at.join("prices.toml"), format!("{PRICES}{FREE}")).unwrap();
    says(at, &["herd", "set", "--language", "de"]);
    let lines = ["--line", "travel", "34.5", "--line", "hours", "1.75"];
    let issued = [&["issue", "--who", "Anna", "--json"][..], &HELD, &lines].concat();
    let issued = json(at, &bill(&issued));
    assert_eq!((&issued["net"], &issued["gross"]), (&"599.98".into(), &"713.98".into()));
    assert_eq!(issued["free_lines"][0]["amount"], "18.98");
    insta::assert_snapshot!("bill_free_lines", says(at, &bill(&["show", "2026-0001"])));
    let back = ["credit", "2026-0001", "--whole", "--who", "A", "--why", "slip", "--json"];
    let back = json(at, &bill(&back));
    assert_eq!(
        (&back["gross"], &back["free_lines"][1]["quantity"]),
        (&"-713.98".into(), &"-1.75".into())
    );
    for (words, code, part) in [
        (&["draft", "--line", "travel", "1,5"][..], OTHER, "like 34 or 1.5"),
        (&["draft", "--line", "travel", "0"], OTHER, "no quantity"),
        (&["draft", "--line", "travel"], WORDS, "--line"),
        (&["draft", "--line", "ointment", "2"], OTHER, "it has hours, travel"),
        (&["draft", "--lines-only"], WORDS, "--line"),
    ] {
        fails(at, &bill(words), code, &[part]);
    }
}

#[test]
fn entries_that_are_held_keep_a_bill_from_being_issued() {
    let folder = farm();
    let at = folder.path();
    let told = ["1 entry", "review list --held --herd \"Alder Brook\"", "--with-held"];
    fails(at, &bill(&["issue", "--who", "Anna"]), OTHER, &told);
    assert_eq!(json(at, &bill(&["list", "--json"])), serde_json::json!([]));
    let words = ["issue", "--who", "Anna", "--with-held", "a length without a cow", "--json"];
    let issued = json(at, &bill(&words));
    assert_eq!(
        (&issued["held"], &issued["held_why"]),
        (&1.into(), &"a length without a cow".into())
    );
    assert_eq!(json(at, &bill(&["show", "2026-0001", "--json"])), issued);
}

/// The bill stands whatever becomes of its paper, and nobody may think that it does not.
#[test]
fn the_number_is_said_when_the_paper_fails() {
    let folder = farm();
    let at = folder.path();
    for (turn, option) in [(1, "--html"), (2, "--pdf"), (3, "--csv")] {
        let number = format!("2026-000{turn}");
        let day = ["", "2026-03-03", "2026-03-17", "2026-03-17"][turn];
        if turn == 3 {
            let back = ["credit", "2026-0002", "--whole", "--who", "A", "--why", "x"];
            fails(
                at,
                &bill(&[&back[..], &["--html", "none/note.html"]].concat()),
                OTHER,
                &["bill 2026-0003 is issued and stands"],
            );
            continue;
        }
        let words = ["issue", "--who", "A", "--from", day, "--until", day, option, "none/bill"];
        let words = [&words[..], &HELD].concat();
        let output = hornrule(at, &bill(&words));
        let said = String::from_utf8(output.stdout.clone()).unwrap();
        assert_eq!(said, format!("issued    {number}\n"));
        let told = [
            format!("bill {number} is issued and stands"),
            format!("hornrule bill show {number}"),
            "do not issue it again".to_owned(),
        ];
        failed(output, &words, OTHER, &told.each_ref().map(String::as_str));
        assert_eq!(json(at, &bill(&["show", &number, "--json"]))["number"], number.as_str());
    }
}

/// 591.43, to be paid by 1 April.
#[test]
fn a_bill_is_paid_in_parts_and_reminded_of() {
    let folder = farm();
    let at = folder.path();
    says(at, &bill(&[&["issue", "--who", "Anna"][..], &HELD].concat()));
    let on = |now: &'static str, words: &[&'static str]| -> Vec<&'static str> {
        [&["--pretend-now", now, "bill"][..], words].concat()
    };
    let (in_time, late) = ("2026-04-01T08:00:00Z", "2026-04-05T08:00:00Z");
    let none = says(at, &on(in_time, &["reminders"]));
    assert!(none.contains("No bill is overdue."), "{none}");
    let part = ["paid", "2026-0001", "--amount", "200", "--on", "2026-04-02", "--who", "Anna"];
    let part = says(at, &on(late, &part));
    assert_eq!(
        part,
        "payment   1: 200.00 EUR for bill 2026-0001 on 2026-04-02\nopen      391.43 EUR on bill \
         2026-0001\n"
    );
    insta::assert_snapshot!("bill_reminders", says(at, &on(late, &["reminders"])));
    let listed = json(at, &on(late, &["reminders", "--json"]));
    assert_eq!(
        (&listed["overdue"][0]["open"], &listed["overdue"][0]["overdue_days"]),
        (&"391.43".into(), &4.into())
    );
    // A credit note counts against its bill.
    let block = block_of(at);
    let why = ["--who", "Anna", "--why", "it was no block"];
    says(at, &[&["review", "decide", &block, "--discard"][..], &why].concat());
    says(at, &on(late, &["credit", "2026-0001", "--who", "Anna", "--why", "x", HELD[0], HELD[1]]));
    let rest = says(at, &on(late, &["paid", "2026-0001", "--who", "Anna"]));
    assert!(
        rest.contains("payment   2: 371.20 EUR") && rest.contains("open      nothing"),
        "{rest}"
    );
    let list = json(at, &on(late, &["list", "--json"]));
    assert_eq!((&list[0]["open"], &list[1]["open"]), (&"0.00".into(), &serde_json::Value::Null));
    // The first was another farm's; both rows stay.
    let slip = ["take-back", "1", "--who", "Anna", "--why", "was Birch Hill's"];
    let back = says(at, &on(late, &slip));
    assert!(back.contains("open      200.00 EUR"), "{back}");
    insta::assert_snapshot!("bill_payments", says(at, &on(late, &["payments", "2026-0001"])));
    insta::assert_snapshot!("bill_list", says(at, &on(late, &["list"])));
    says(at, &["rebuild"]);
    assert_eq!(json(at, &on(late, &["payments", "--json"])).as_array().unwrap().len(), 3);
    for (words, code, part) in [
        (&["paid", "2026-0009", "--who", "A"][..], OTHER, "no bill 2026-0009"),
        (&["paid", "2026-0002", "--who", "A"], OTHER, "credit note"),
        (&["paid", "2026-0001", "--who", "A", "--amount", "200.01"], OTHER, "only 200.00 EUR"),
        (&["paid", "2026-0001", "--who", "A", "--amount", "1,5"], OTHER, "like 200.00"),
        (&["paid", "2026-0001", "--who", "A", "--amount", "0"], OTHER, "like 200.00"),
        (&["paid", "2026-0001", "--who", "A", "--on", "2026-04-06"], OTHER, "not come yet"),
        (&["paid", "2026-0001"], WORDS, "--who"),
        (&["take-back", "1", "--who", "A", "--why", "x"], OTHER, "no longer stands"),
        (&["take-back", "9", "--who", "A", "--why", "x"], OTHER, "no payment 9"),
        (&["take-back", "2", "--who", "A"], WORDS, "--why"),
    ] {
        fails(at, &on(late, words), code, &[part]);
    }
    let over = ["paid", "2026-0001", "--who", "A", "--amount", "250", "--overpaid"];
    let over = says(at, &on(late, &over));
    assert!(over.contains("overpaid  50.00 EUR"), "{over}");
}
