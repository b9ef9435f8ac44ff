//! A page that has one of everything, in every renderer.

use super::{
    Block, Caution, Cell, Column, Figure, Notice, Number, Page, Room, Table, Weight, Width,
};
use crate::words::Words;
use hornrule_facts::{Day, Language, Paper};

/// 2026-03-03.
const DAY: Day = Day(20_515);

pub(crate) fn of_everything(language: Language) -> Page {
    let words = Words::new(language);
    let mut page = Page::new(&words, Paper::A4, "Alder & <Brook>".to_owned(), DAY);
    page.subtitle = Some(words.long_date(DAY));
    page.heading("First");
    page.para(
        "A sentence that is long enough to be wrapped, because no terminal of eighty columns \
               holds all of its words on one line.",
    );
    page.add(Block::Numbers(vec![
        Number { label: "Cows".to_owned(), value: "62".to_owned(), note: None },
        Number { label: "Lame".to_owned(), value: "7".to_owned(), note: Some("of 31".to_owned()) },
    ]));
    page.add(Block::Notice(Notice {
        weight: Weight::Now,
        heading: "Vet now".to_owned(),
        lines: vec!["Cow 313: toe necrosis".to_owned()],
    }));
    page.add(Block::Lines(vec!["Alder Brook".to_owned(), "Mill Lane 1".to_owned()]));
    page.add(Block::List(vec!["one".to_owned(), "two".to_owned()]));
    let columns =
        vec![Column::text("What", 1), Column::number("How many"), Column::text("Done", 0)];
    let mut table = Table::new("things", "What there is", columns).grouped_by("Cow");
    table.section("312 Berta, \"the\" first");
    table.row([Cell::from("sole ulcer, moderate"), "2".into(), Cell::Tick]);
    table.row([Cell::Strong("<script>".to_owned()), "13".into(), Cell::Tick]);
    page.add(Block::Table(table));
    page.note("A note.");
    page.add(Block::Figures(vec![Figure {
        svg: "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 20\">\
              <text x=\"2\" y=\"14\" font-family=\"Inter\" font-size=\"10\">drawn</text></svg>"
            .to_owned(),
        caption: Some("A drawing.".to_owned()),
        alt: "The word drawn".to_owned(),
        lines: vec!["drawn".to_owned()],
        width: Width::Half,
    }]));
    page.add(Block::Room(Room { label: "Your answer:".to_owned(), lines: 2 }));
    page.add(Block::Break);
    page.add(Block::Cautions(vec![Caution {
        heading: "Mind".to_owned(),
        text: "the step.".to_owned(),
    }]));
    page
}

/// On a phone a row is a card: each cell says which column it is of, and one style sheet makes it so.
#[test]
fn no_column_is_lost_on_a_phone() {
    let page = of_everything(Language::English).render_html();
    for column in ["What", "How many", "Done"] {
        assert_eq!(page.matches(&format!("data-column=\"{column}\"")).count(), 2, "{column}");
    }
    assert!(page.contains("content: attr(data-column)"));
}

/// A cow or farm may be called anything: the PDF shows a box, the other formats the name.
#[cfg(feature = "pdf")]
#[test]
fn a_name_that_no_font_has_costs_no_page() {
    for name in
        ["Bella \u{1f404}", "\u{725b}\u{725b}", "\u{628}\u{642}\u{631}\u{629}", "Be\u{301}a\u{323}"]
    {
        let mut page = of_everything(Language::German);
        page.title = name.to_owned();
        page.para(name);
        assert!(page.render_pdf().is_ok(), "{name}");
        assert!(page.render_html().contains(name) && page.render_terminal().contains(name));
    }
}

#[test]
fn terminal() {
    let text = of_everything(Language::English).render_terminal();
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    insta::assert_snapshot!(text);
}

#[test]
fn csv() {
    let page = of_everything(Language::English);
    insta::assert_snapshot!(page.render_csv("things").unwrap());
    assert_eq!(page.render_csv("other"), None);
    // Read back by the csv crate: the same cells.
    let text = page.render_csv("things").unwrap();
    let rows: Vec<csv::StringRecord> =
        csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).collect();
    assert_eq!(&rows[0][0], "312 Berta, \"the\" first");
    assert_eq!(&rows[1][1], "<script>");
}

#[test]
fn html() {
    let page = of_everything(Language::German).render_html();
    for word in ["<script", "https:", "url(", "@import", "src=\""] {
        assert!(!page.contains(word), "the page says {word}");
    }
    assert!(page.contains("<html lang=\"de\">") && page.contains("&lt;script&gt;"));
    let body = page.split("<body>").nth(1).unwrap();
    insta::assert_snapshot!(body.replace("><", ">\n<"));
}
