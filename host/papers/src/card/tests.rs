//! The card against the tables that it is made from.

use hornrule_core::cue::{Cue, Family, Light, Signal};
use hornrule_core::keypad::Key;
use hornrule_protocol::{Action, Dimension, Lesion, Scale, Zone};

use super::{Card, Keyed, together};
use crate::page::{Block, Page, Section};
use crate::words::Words;
use hornrule_facts::{Day, Habits, Language, LengthUnit, Paper};
use hornrule_line::keying::{SENTENCES, bar, legend};

/// 2026-03-03.
const DAY: Day = Day(20_515);

fn card(language: Language, unit: LengthUnit, paper: Paper) -> (Words, Page) {
    let words = Words::new(language).in_unit(unit);
    let page = Card::gather(&words, &Habits::default()).page(&words, paper, DAY);
    (words, page)
}

/// The rows of a table, each as its cells' text.
fn rows(page: &Page, name: &str) -> Vec<Vec<String>> {
    let table = page.table(name).unwrap();
    let rows = table.sections.iter().flat_map(|section| &section.rows);
    rows.map(|row| row.iter().map(|cell| cell.text().to_owned()).collect()).collect()
}

/// Whether "13" or a run like "11-19" holds this code.
fn holds(keys: &str, code: u8) -> bool {
    let ends: Vec<u8> = keys
        .split(" d")
        .next()
        .unwrap()
        .split('\u{2013}')
        .filter_map(|end| end.parse().ok())
        .collect();
    matches!(ends.as_slice(), [one] if *one == code)
        || matches!(ends.as_slice(), [low, high] if (low..=high).contains(&&code))
}

#[test]
fn every_row_of_every_table_is_on_every_card() {
    for language in Language::ALL {
        for paper in Paper::ALL {
            let (words, page) = card(language, LengthUnit::Millimetre, paper);
            let stands = |table: &str, code: u8, says: &str| {
                let all = rows(&page, table);
                let row = all.iter().find(|row| holds(&row[0], code));
                let row = row.unwrap_or_else(|| panic!("{table} {code} is not on the card"));
                // A run says the words before its number once.
                let stem = says.trim_end_matches(|c: char| c.is_ascii_digit());
                assert!(row[1].contains(stem), "{table} {code}: {row:?} does not say {says}");
            };
            Lesion::all().for_each(|one| stands("lesions", one.code(), &words.lesion(one)));
            Action::all().for_each(|one| stands("actions", one.code(), &words.action(one)));
            Dimension::all()
                .for_each(|one| stands("dimensions", one.code(), &words.dimension(one)));
            Scale::all().for_each(|one| stands("scales", one.code(), &words.scale(one)));
            let noted = |text: &str| {
                page.blocks
                    .iter()
                    .any(|one| matches!(one, Block::Note(note) if note.contains(text)))
            };
            for zone in (0..=12).filter_map(Zone::new) {
                assert!(noted(&format!("{:02} {}", zone.number(), words.zone(zone))), "{zone:?}");
            }
            assert_eq!(rows(&page, "sentences").len(), SENTENCES.len());
        }
    }
}

#[test]
fn every_cue_is_drawn_and_told() {
    let (words, page) = card(Language::English, LengthUnit::Millimetre, Paper::A4);
    // Eight to learn, each under the colour that the handheld shows.
    let learn = page.table("cues").unwrap();
    for family in Family::ALL {
        let cue = format!("{}: {}", words.family(family), words.advice(family));
        let colour = match family.light() {
            Light::Green => "Green",
            Light::Amber => "Amber",
            Light::Red => "Red",
            Light::Off => "none",
        };
        let under = |section: &&Section| {
            section
                .rows
                .iter()
                .any(|row| row[1].text() == cue && row[0].text() == bar(Signal::of(family), 60))
        };
        let section = learn.sections.iter().find(under).unwrap();
        assert!(section.title.as_ref().unwrap().starts_with(colour), "{family:?}");
    }
    assert_eq!(rows(&page, "cues").len(), Family::ALL.len());
    // Each meaning under its family, with the count that the handheld tells.
    let counts = page.table("counts").unwrap();
    for (family, section) in Family::ALL.into_iter().zip(&counts.sections) {
        assert_eq!(section.title, Some(words.family(family)));
        for cue in Cue::ALL.into_iter().filter(|cue| cue.family() == family) {
            let stands = section.rows.iter().any(|row| match cue.told().count() {
                None => row[0].text() == "\u{2013}" && row[1].text().contains(&words.cue(cue)),
                Some(count) => {
                    holds(row[0].text(), count)
                        && (row[0].text().contains('\u{2013}') || row[1].text() == words.cue(cue))
                }
            });
            assert!(stands, "{cue:?}");
        }
    }
    let both = [words.cue(Cue::OrderDone), words.cue(Cue::GaugePassed)];
    let calliper = &counts.sections[Family::Calliper as usize].rows[0];
    assert!(both.iter().all(|one| calliper[1].text().contains(one)), "measured is green");
}

#[test]
fn every_key_and_every_grade_is_on_it() {
    let (words, page) = card(Language::German, LengthUnit::Inch, Paper::Letter);
    let text = page.render_html();
    for key in Key::ALL {
        assert!(text.contains(&format!(">{}</text>", legend(key))), "{key:?}");
    }
    for lesion in Lesion::all() {
        for word in (0..10).filter_map(|digit| words.grade(lesion, digit)) {
            assert!(text.contains(&word), "{word}");
        }
    }
}

#[test]
fn bundles_and_where_work_starts_are_on_the_trimmers_own_card() {
    let mut habits = Habits::default();
    habits.set("hind", "inner").unwrap();
    for (key, parts) in Habits::EXAMPLE {
        habits.set(key, parts).unwrap();
    }
    for (language, claw, starts) in [
        (Language::English, "partner claw", "hind feet inner claw, front feet outer claw"),
        (Language::German, "Nachbarklaue", "an Hinterfüßen innen, an Vorderfüßen außen"),
    ] {
        let words = Words::new(language);
        let page = Card::gather(&words, &habits).page(&words, Paper::A4, DAY);
        let told = rows(&page, "bundles");
        assert_eq!(told.len(), 5);
        assert_eq!(told[0][0], "DO 0 1");
        let block = words.action(Action::from_code(10).unwrap());
        assert!(told[0][1].ends_with(&format!("{block} ({claw})")), "{told:?}");
        assert!(told[2][1].contains("14"), "{told:?}");
        let noted = |one: &Block| matches!(one, Block::Note(note) if note.contains(starts));
        assert!(page.blocks.iter().any(noted), "{starts}");
    }
    let (_, page) = card(Language::English, LengthUnit::Millimetre, Paper::A4);
    assert!(page.table("bundles").is_none(), "nothing of a plan that says nothing");
}

#[test]
fn limits_are_in_the_unit_asked_for() {
    let usual = |unit| {
        let (_, page) = card(Language::English, unit, Paper::A4);
        rows(&page, "dimensions")[1][2].clone()
    };
    // 60 and 120 mm; 1 in = 25.4 mm exactly.
    assert_eq!(usual(LengthUnit::Millimetre), "60\u{2013}120");
    assert_eq!(usual(LengthUnit::Inch), "2.36\u{2013}4.72");
}

#[test]
fn the_card_as_text() {
    let (_, page) = card(Language::English, LengthUnit::Millimetre, Paper::A4);
    insta::assert_snapshot!("card", page.render_terminal());
    assert!(page.blocks.iter().any(|block| matches!(block, Block::Cautions(_))));
}

/// One sheet, its back used where one side would be too small to read, in each language on each paper and in each unit, and what stands on it is what the
/// protocol's tables say; both by a reader that is not the writer's.
#[cfg(feature = "pdf")]
#[test]
fn the_printed_card_can_be_read_from_an_arms_length_and_has_the_tables_on_it() {
    use crate::pdf_text::{bare, letters, sheets, type_size};
    // To set all eight takes a minute; each two of these three meet.
    let cards = [
        (Language::English, Paper::A4, LengthUnit::Millimetre),
        (Language::English, Paper::Letter, LengthUnit::Inch),
        (Language::German, Paper::A4, LengthUnit::Inch),
        (Language::German, Paper::Letter, LengthUnit::Millimetre),
    ];
    for (language, paper, unit) in cards {
        let (words, page) = card(language, unit, paper);
        let pdf = page.render_pdf().unwrap();
        let which = format!("{language:?} {paper:?} {unit:?}");
        assert!(sheets(&pdf) <= 2, "{which}");
        // Small letters 1.65 mm high: 8.7 minutes of arc at 65 cm, an arm's length.
        let size = type_size(&pdf);
        assert!(size >= 8.6, "{which}: {size} pt is small at arm's length");
        let printed = letters(&pdf);
        let has = |text: String| {
            assert!(printed.contains(&bare(&text)), "{which}: `{text}` in {printed}");
        };
        for one in Lesion::all() {
            has(format!("{:02}{}", one.code(), words.lesion(one)));
        }
        for one in Action::all() {
            let name = words.action(one);
            // Numbered ways are one row, "11-19 ... 1-9".
            let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
            let run = stem.len() < name.len();
            let days = if one.takes_days { "d d" } else { "" };
            let keyed = format!("{:02}{days}{name}", one.code());
            has(if run { stem.to_owned() } else { keyed });
        }
        for one in Dimension::all() {
            has(format!("{}{}", one.code(), words.dimension(one)));
        }
        for one in Scale::all() {
            has(format!("{}{}", one.code(), words.scale(one)));
        }
        for one in (0..=12).filter_map(Zone::new) {
            has(format!("{:02}{}", one.number(), words.zone(one)));
        }
        for (at, row) in SENTENCES.iter().enumerate() {
            has(format!("{}{}", row.keys, words.sentence(at, row.says)));
        }
        let uncounted = |cue: &Cue| !format!("{cue:?}").ends_with(|c: char| c.is_ascii_digit());
        Cue::ALL.into_iter().filter(uncounted).for_each(|cue| has(words.cue(cue)));
        for family in Family::ALL {
            has(format!("{}: {}", words.family(family), words.advice(family)));
        }
    }
}

fn keyed(keys: &str, says: &str) -> Keyed {
    Keyed { keys: keys.to_owned(), says: says.to_owned(), more: String::new() }
}

#[test]
fn runs_of_numbered_rows_become_one_and_others_do_not() {
    let rows = vec![
        keyed("10", "block, the usual way"),
        keyed("11", "block, way 1"),
        keyed("12", "block, way 2"),
        keyed("13", "block, way 3"),
        keyed("15", "block, way 5"),
        keyed("60", "cleaned"),
        keyed("61", "product 1"),
        keyed("62", "product 2"),
        keyed("82 d d", "see again in dd days"),
    ];
    let keys: Vec<(String, String)> =
        together(rows).into_iter().map(|row| (row.keys, row.says)).collect();
    let expected = [
        ("10", "block, the usual way"),
        ("11\u{2013}13", "block, way 1\u{2013}3"),
        ("15", "block, way 5"),
        ("60", "cleaned"),
        ("61\u{2013}62", "product 1\u{2013}2"),
        ("82 d d", "see again in dd days"),
    ];
    let expected = expected.map(|(keys, says)| (keys.to_owned(), says.to_owned()));
    assert_eq!(keys, expected);
}
