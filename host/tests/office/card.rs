//! `hornrule card`: the code card against the protocol's tables.

use std::fs;

use hornrule_protocol::{Dimension, Lesion, Scale};

use crate::kit::{OTHER, WORDS, fails, json, says};

/// The codes of a part of the card's JSON, with what stands beside them.
fn rows(card: &serde_json::Value, part: &str) -> Vec<(String, String)> {
    let text = |row: &serde_json::Value, field: &str| row[field].as_str().unwrap().to_owned();
    card[part]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (text(row, "keys"), text(row, "says")))
        .collect()
}

#[test]
fn the_card_is_the_tables_on_paper_in_both_languages() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let card = json(folder, &["card", "--json"]);
    let codes = |part| rows(&card, part).into_iter().map(|(keys, _)| keys).collect::<Vec<_>>();
    let two = |code: u8| format!("{code:02}");
    assert_eq!(codes("lesions"), Lesion::all().map(|one| two(one.code())).collect::<Vec<_>>());
    let one = |code: u8| code.to_string();
    assert_eq!(codes("dimensions"), Dimension::all().map(|d| one(d.code())).collect::<Vec<_>>());
    assert_eq!(codes("scales"), Scale::all().map(|s| one(s.code())).collect::<Vec<_>>());
    for (lesion, (_, says)) in Lesion::all().zip(rows(&card, "lesions")) {
        assert!(says.starts_with(lesion.name), "{says}");
    }

    // As text in German, as a page, as a PDF of letter size in inches: one call writes them all.
    let said = says(
        folder,
        &[
            "card",
            "--language",
            "de",
            "--unit",
            "inch",
            "--paper",
            "letter",
            "--pdf",
            "k.pdf",
            "--html",
            "k.html",
        ],
    );
    assert!(said.contains("k.pdf"), "{said}");
    let pdf = fs::read(folder.join("k.pdf")).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    let html = fs::read_to_string(folder.join("k.html")).unwrap();
    assert!(html.contains("size: letter") && html.contains("Tastenkarte"), "{html}");
    assert!(html.contains("2.36\u{2013}4.72") || html.contains("2,36\u{2013}4,72"), "inches");
    // The same card on the same day is the same file.
    let again = ["card", "--language", "de", "--unit", "inch", "--paper", "letter"];
    says(folder, &[&again[..], &["--pdf", "again.pdf"]].concat());
    assert_eq!(fs::read(folder.join("again.pdf")).unwrap(), pdf);
    let text = says(folder, &["card"]);
    assert!(text.contains("sole ulcer") && text.contains("Call the vet now"), "{text}");
}

#[test]
fn what_cannot_be_written_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    fails(folder, &["card", "--language", "fr"], WORDS, &["en and de"]);
    fails(folder, &["card", "--paper", "a3"], WORDS, &["a4 and letter"]);
    fails(folder, &["card", "--pdf", "no/such/card.pdf"], OTHER, &["no/such/card.pdf"]);
}
