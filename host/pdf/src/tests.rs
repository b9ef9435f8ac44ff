//! What the crate promises of any page.

use super::*;

fn page(blocks: &str) -> String {
    format!(
        r#"{{"title": "Alder <&> Brook", "subtitle": null, "footer": "f", "language": "en",
        "paper": "a4", "layout": "report", "date": [2026, 3, 3],
        "sheet": ["Page ", " of ", ""], "blocks": [{blocks}]}}"#
    )
}

#[test]
fn the_same_page_gives_the_same_bytes_and_another_date_other_ones() {
    let json = page(r#"{"kind": "para", "is": "Cow *312* #panic() $x$"}"#);
    let once = render(json.clone(), "a", (2026, 3, 3)).unwrap();
    assert_eq!(once, render(json.clone(), "a", (2026, 3, 3)).unwrap());
    assert_ne!(once, render(json, "a", (2026, 3, 4)).unwrap());
    assert!(once.starts_with(b"%PDF-"));
}

#[test]
fn it_says_which_standards_it_keeps() {
    let bytes = render(page(""), "a", (2026, 3, 3)).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    for mark in ["pdfuaid:part", "pdfaid:part", "pdfaid:conformance"] {
        assert!(text.contains(mark), "no {mark}");
    }
}

/// Both validators are at work: a figure that says nothing to those who cannot see it is refused.
#[test]
fn a_figure_without_words_is_refused() {
    let svg =
        r#"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><path d='M0 0h9'/></svg>"#;
    let figure = |alt: &str| {
        page(&format!(
            r#"{{"kind": "figures", "is": [{{"svg": "{svg}", "caption": null, "alt": {alt},
            "width": "half", "lines": []}}]}}"#
        ))
    };
    assert!(render(figure("\"a line\""), "a", (2026, 3, 3)).is_ok());
    let PdfError::Refused(why) = render(figure("null"), "a", (2026, 3, 3)).unwrap_err();
    assert!(why.contains("alt"), "{why}");
}

#[test]
fn what_is_no_page_is_refused() {
    for json in ["", "{}", "[1]", r#"{"title": 3}"#] {
        assert!(render(json.to_owned(), "a", (2026, 3, 3)).is_err(), "{json}");
    }
    assert!(render(page(r#"{"kind": "hologram", "is": 1}"#), "a", (2026, 3, 3)).is_err());
}
