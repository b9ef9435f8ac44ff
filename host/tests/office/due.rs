//! `hornrule due`.

use std::fs;

use crate::kit::{FILE, OTHER, WORDS, fails, json, says, two_days};

#[test]
fn what_is_due_after_the_second_visit() {
    let folder = two_days();
    let due = |words: &[&str]| says(folder.path(), &[&["due", "--day"], words].concat());
    insta::assert_snapshot!("due_english", due(&["2026-03-17"]));
    insta::assert_snapshot!("due_german", due(&["2026-03-17", "--language", "de"]));
    // Blocks glued on at the first visit and not spoken of since are due at the day keyed then.
    let report = says(folder.path(), &["report", "visit", "--day", "2026-03-17", "--json"]);
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let list =
        json(folder.path(), &["due", "--day", "2026-03-17", "--until", "2026-12-31", "--json"]);
    let blocks = |rows: &serde_json::Value, what: &str, word: &str| {
        rows.as_array().unwrap().iter().filter(|row| row[what] == word).count()
    };
    assert_eq!(blocks(&list["due"], "what", "block-off"), 4);
    assert_eq!(blocks(&report["due"], "what", "take the block off"), 4);
    assert_eq!(list["later"], 0);
    // Before the second visit the first one's things are open, and some of them overdue.
    let before = json(folder.path(), &["due", "--day", "2026-03-16", "--json"]);
    let of_58: Vec<(i64, &str, &str)> = before["due"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["cow"] == 58 && row["overdue"] == true)
        .map(|row| {
            let days = row["overdue_days"].as_i64().unwrap();
            (days, row["what"].as_str().unwrap(), row["who"].as_str().unwrap())
        })
        .collect();
    assert_eq!(of_58, [(10, "wrap-off", "farmer"), (6, "recheck", "trimmer")]);
    // All that is overdue is the day's own, before any other visit.
    let visits =
        before["due"].as_array().unwrap().iter().map(|row| {
            (row["visit"].as_str().unwrap().to_owned(), row["overdue"].as_bool().unwrap())
        });
    let visits: Vec<(String, bool)> = visits.collect();
    assert!(visits.is_sorted_by_key(|one| &one.0));
    assert!(visits.iter().all(|(visit, overdue)| !overdue || visit == "2026-03-16"));
    let nothing = due(&["2026-03-02"]);
    assert!(nothing.contains("Nothing is due up to 16 Mar 2026."), "{nothing}");
}

#[test]
fn todays_list_goes_by_the_clock() {
    let folder = two_days();
    let words = ["--pretend-now", "2026-03-17T18:00:00Z", "due", "--json"];
    let now = json(folder.path(), &words);
    assert_eq!((&now["day"], &now["until"]), (&"2026-03-17".into(), &"2026-03-31".into()));
    assert_eq!(now, json(folder.path(), &["due", "--day", "2026-03-17", "--json"]));
}

#[test]
fn the_offices_days_count_and_a_slip_in_them_is_named() {
    let folder = two_days();
    let block = || {
        let list =
            json(folder.path(), &["due", "--day", "2026-03-17", "--until", "2027-01-01", "--json"]);
        let rows = list["due"].as_array().unwrap().clone();
        let one = rows.iter().find(|row| row["what"] == "block-off" && row["cow"] == 118).unwrap();
        one["day"].as_str().unwrap().to_owned()
    };
    assert_eq!(block(), "2026-04-14");
    let file = folder.path().join("hornrule.toml");
    fs::write(&file, "[due]\nblock-off = 35\n").unwrap();
    assert_eq!(block(), "2026-04-21");
    fs::write(&file, "[due]\nblock-of = 35\n").unwrap();
    fails(folder.path(), &["due"], FILE, &["hornrule.toml", "line 2", "block-off"]);
    fs::remove_file(&file).unwrap();
    assert_eq!(block(), "2026-04-14");
}

#[test]
fn tables_and_calendars_hold_the_same_lines() {
    let folder = two_days();
    let words =
        ["--pretend-now", "2026-03-17T18:00:00Z", "due", "--csv", "d.csv", "--ics", "d.ics"];
    let told = says(folder.path(), &words);
    assert_eq!(told, "calendar  d.ics: 11 due until 2026-03-31\nreport    d.csv\n");
    let list = json(folder.path(), &["due", "--day", "2026-03-17", "--json"]);
    let lines = list["due"].as_array().unwrap();
    let mut table = csv::Reader::from_path(folder.path().join("d.csv")).unwrap();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    // A line a duty for scripts, a row a cow and visit in the table.
    assert_eq!((rows.len(), lines.len()), (8, 11));
    for row in &rows {
        let (visit, cow) = (&row[1], row[4].parse::<i64>().unwrap());
        let hers: Vec<&serde_json::Value> =
            lines.iter().filter(|line| line["cow"] == cow && line["visit"] == visit).collect();
        let late = hers.iter().map(|line| line["overdue_days"].as_i64().unwrap()).max();
        assert_eq!((&row[0], Some(row[3].parse().unwrap())), ("Alder Brook", late), "{row:?}");
        assert_eq!(row[2], *hers.iter().map(|line| line["day"].as_str().unwrap()).min().unwrap());
        assert_eq!(row[5], *hers[0]["name"].as_str().unwrap());
    }
    let text = fs::read_to_string(folder.path().join("d.ics")).unwrap();
    assert!(text.lines().all(|line| line.len() <= 75), "folded at 75 bytes");
    assert!(text.split('\n').all(|line| line.is_empty() || line.ends_with('\r')));
    insta::assert_snapshot!("due_calendar", text.replace('\r', ""));
    // The same list gives the same bytes but for the stamp.
    says(folder.path(), &words);
    let again = fs::read_to_string(folder.path().join("d.ics")).unwrap();
    let plain = |text: &str| {
        text.lines().filter(|line| !line.starts_with("DTSTAMP")).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(plain(&text), plain(&again));
}

/// The sheet for the pocket: a page of its own, with a box before each line.
#[test]
fn a_sheet_with_boxes() {
    let folder = two_days();
    says(folder.path(), &["due", "--day", "2026-03-17", "--html", "due.html"]);
    let page = fs::read_to_string(folder.path().join("due.html")).unwrap();
    assert_eq!(page.matches("class=\"tick\"").count(), 8, "a box a cow and visit");
    for word in ["<script", "http:", "https:", "url(", "@import", "src="] {
        assert!(!page.contains(word), "the page says {word}");
    }
    if cfg!(feature = "pdf") {
        let words = ["due", "--day", "2026-03-17", "--pdf", "due.pdf", "--paper", "letter"];
        says(folder.path(), &words);
        assert!(fs::read(folder.path().join("due.pdf")).unwrap().starts_with(b"%PDF-"));
    }
}

#[test]
fn slips_are_told() {
    let folder = two_days();
    for (words, code, part) in [
        (&["due", "--day", "17.03.2026"][..], WORDS, "--day"),
        (&["due", "--day", "2026-03-17", "--until", "2026-03-16"], OTHER, "before the day"),
        (&["due", "--herd", "Nowhere"], OTHER, "Alder Brook"),
        (&["due", "--language", "fr"], WORDS, "languages are en and de"),
        (&["due", "--json", "--csv", "x.csv"], WORDS, "--csv"),
        (&["due", "--json", "--ics", "x.ics"], WORDS, "--ics"),
        (&["due", "--ics", "no/such/folder/x.ics"], OTHER, "x.ics"),
    ] {
        fails(folder.path(), words, code, &[part]);
    }
}

/// The vet's answer ends a referral, and nothing else does; a slip is taken back.
#[test]
fn what_the_office_was_told_is_done() {
    let folder = two_days();
    let folder = folder.path();
    let now = ["--pretend-now", "2026-03-18T12:00:00Z"];
    let on_violet = || -> Vec<String> {
        let list = json(folder, &[&now[..], &["due", "--until", "2026-04-30", "--json"]].concat());
        let rows = list["due"].as_array().unwrap().iter().filter(|row| row["cow"] == 188);
        rows.map(|row| row["what"].as_str().unwrap().to_owned()).collect()
    };
    let done = |words: &[&str]| -> Vec<String> {
        let all = [&now[..], &["due", "done"], words].concat();
        says(folder, &all).lines().map(str::to_owned).collect()
    };
    // Hers are the foot, and that she hardly walks; the second is answered by a note of her own.
    assert_eq!(on_violet(), ["vet", "vet"]);
    let gait = ["188", "--duty", "vet", "--who", "Anna", "--why", "the vet saw her walk"];
    assert_eq!(done(&gait).len(), 2);
    done(&[&gait[..], &["--take-back"]].concat());
    assert_eq!(done(&[]), ["herd      Alder Brook", "noted     nothing yet"]);
    let answer = ["--who", "Anna", "--why", "the vet saw her: an abscess, opened"];
    let vet = [&["188", "--duty", "vet", "--at", "LH"][..], &answer].concat();
    assert_eq!(done(&vet), ["done      188  vet, left hind foot, since 2026-03-03"]);
    assert_eq!(on_violet(), ["vet"], "that she hardly walks is another matter");
    let noted = done(&[]);
    assert!(noted[1].contains("188  vet, left hind foot (Anna: the vet saw her"), "{noted:?}");
    // The cow's page says so too, and a slip is taken back.
    done(&[&vet[..], &["--take-back"]].concat());
    assert_eq!(on_violet(), ["vet", "vet"]);
    assert_eq!(done(&[])[1], "noted     nothing yet");
    // All or none: the second cow has nothing of the kind.
    let both = [&["188", "27", "--duty", "vet"][..], &answer].concat();
    fails(folder, &[&now[..], &["due", "done"], &both].concat(), OTHER, &["cow 27", "Nothing was"]);
    assert_eq!(on_violet(), ["vet", "vet"]);
    let refused: [(&[&str], i32, &str); 6] = [
        (&["188", "--duty", "vet"], WORDS, "--who"),
        (&["188", "--duty", "vat"], WORDS, "duties are vet, recheck"),
        (&["188", "--duty", "vet", "--at", "XX"], WORDS, "LH outer"),
        (&["188", "--duty", "vet", "--who", "Anna", "--why", " "], OTHER, "--why"),
        (
            &["188", "--duty", "vet", "--day", "2026-03-19", "--who", "A", "--why", "b"],
            OTHER,
            "not come",
        ),
        (&["188", "--duty", "vet", "--take-back", "--who", "A", "--why", "b"], OTHER, "no vet"),
    ];
    for (words, code, part) in refused {
        fails(folder, &[&now[..], &["due", "done"], words].concat(), code, &[part]);
    }
}

/// Sold, dead and not brought: who said so and why stands, and what it ends is told.
#[test]
fn a_cow_that_is_gone_and_one_that_was_not_brought() {
    let folder = two_days();
    let folder = folder.path();
    fn with<'a>(words: &[&'a str]) -> Vec<&'a str> {
        [&["--pretend-now", "2026-04-18T12:00:00Z"][..], words].concat()
    }
    let done = |words: &[&str]| -> Vec<String> {
        let said = says(folder, &with(&[&["due", "done"], words].concat()));
        said.lines().map(str::to_owned).collect()
    };
    let hers = |cow: i64| {
        let list = json(folder, &with(&["due", "--until", "2027-04-01", "--json"]));
        let rows = list["due"].as_array().unwrap().clone();
        rows.into_iter().filter(|row| row["cow"] == cow).count()
    };
    let signed = ["--who", "Anna", "--why", "told by phone"];
    assert_eq!(hers(118), 4);
    let sold = [&["118", "--gone", "sold"][..], &signed].concat();
    assert_eq!(done(&sold).len(), 4, "each duty that it ends is told");
    assert_eq!(hers(118), 0);
    fails(folder, &with(&[&["due", "done"][..], &sold].concat()), OTHER, &["owes nothing"]);
    done(&[&sold[..], &["--take-back"]].concat());
    assert_eq!(hers(118), 4);
    // She was in the chute on 17 March, so she was not dead on the 16th.
    let dead = [&["118", "--gone", "dead", "--day", "2026-03-16"][..], &signed].concat();
    fails(folder, &with(&[&["due", "done"][..], &dead].concat()), OTHER, &["in the chute after"]);
    let away = [&["27", "167", "--not-brought"][..], &signed].concat();
    assert_eq!(
        done(&away),
        ["noted     27  not brought, 2026-04-18", "noted     167  not brought, 2026-04-18"]
    );
    assert_eq!((hers(27), hers(167)), (3, 3));
    let noted = done(&[]);
    assert!(
        noted.iter().any(|line| line.contains("not-brought") && line.contains("told by phone"))
    );
    for words in
        [&["27", "--gone", "lost"][..], &["27", "--gone", "sold", "--not-brought"], &["27"]]
    {
        fails(folder, &with(&[&["due", "done"], words, &signed].concat()), WORDS, &[]);
    }
    fails(
        folder,
        &with(&[&["due", "done", "99", "--not-brought"][..], &signed].concat()),
        OTHER,
        &["cow 99"],
    );
}

/// A sheet a farm, in the farm's language, with the practice's phone number on top.
#[test]
fn a_sheet_for_each_farmer() {
    let folder = two_days();
    let folder = folder.path();
    fs::write(
        folder.join("hornrule.toml"),
        "[practice]\nname = \"Hoof & Horn\"\nphone = \"+44 1632 960123\"\n",
    )
    .unwrap();
    says(folder, &["herd", "set", "--herd", "Alder Brook", "--language", "de"]);
    let told = says(folder, &["due", "--day", "2026-04-20", "--sheets", "sheets"]);
    assert!(told.starts_with("sheet     sheets/due-1-alder-brook.html"), "{told}");
    let page = fs::read_to_string(folder.join("sheets/due-1-alder-brook.html")).unwrap();
    let top = page.find("Hoof &amp; Horn, Telefon +44 1632 960123").unwrap();
    assert!(top < page.find("<table").unwrap(), "the number stands above the list");
    for word in
        ["Alder Brook: was fällig ist", "Tage überfällig", "schadet der Klaue, die ihn trägt"]
    {
        assert!(page.contains(word), "{word}");
    }
}
