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

/// Whatever a cow or a farm is called, there is a page: every letter of the first two planes, and the
/// corners of the others, in chunks; and names as people give them.
#[test]
fn no_letter_costs_a_page() {
    let date = (2026, 3, 3);
    let quoted = |letter: char| match letter {
        '"' | '\\' => format!("\\{letter}"),
        letter if letter.is_ascii_control() => format!("\\u{:04x}", u32::from(letter)),
        letter => letter.to_string(),
    };
    let all: Vec<char> =
        (0..0x2_0000).chain([0x2_0000, 0xe_0001, 0x10_ffff]).filter_map(char::from_u32).collect();
    for chunk in all.chunks(16_384) {
        let text: String = chunk.iter().map(|letter| format!("{} ", quoted(*letter))).collect();
        let one = page(&format!(r#"{{"kind": "para", "is": "{text}"}}"#));
        if let Err(error) = render(one, "a", date) {
            panic!("{:x}..: {error}", u32::from(chunk[0]));
        }
    }
    for name in [
        "Bella \u{1f404}",
        "\u{725b}",
        "\u{628}\u{642}\u{631}\u{629}",
        "Be\u{301}\u{323}a",
        "a\u{0}b",
    ] {
        let text: String = name.chars().map(quoted).collect();
        let one = page("").replace("Alder <&> Brook", &text);
        assert!(render(one, "a", date).is_ok(), "{name:?}");
    }
}

/// A card of so many sentences, its type so large.
fn card(sentences: usize, grown: u16) -> String {
    let said = "The foot is lifted, the claw is looked at, its horn is brought to length. ";
    page(&format!(r#"{{"kind": "para", "is": "{}"}}"#, said.repeat(sentences)))
        .replace(r#""layout": "report""#, &format!(r#""layout": "card", "grown": {grown}"#))
}

#[test]
fn a_card_is_set_in_the_largest_type_that_takes_no_more_sides_than_the_least() {
    let date = (2026, 3, 3);
    let sides = |json: String| set(json).unwrap().pages().len();
    // Room for the largest on one side, for one between, and for the largest on two.
    for (sentences, expected) in [(10, 108), (145, 0), (200, 108)] {
        let all = || 100..=108;
        let least = sides(card(sentences, 100));
        let fits = |size: &u16| sides(card(sentences, *size)) == least;
        let largest = all().rev().find(fits).unwrap_or(100);
        assert!(expected == largest || expected == 0 && (101..108).contains(&largest), "{largest}");
        let got = render_on_one_sheet(|size| Ok(card(sentences, size)), all(), "a", date).unwrap();
        assert_eq!(got, render(card(sentences, largest), "a", date).unwrap(), "{largest}");
    }
}
