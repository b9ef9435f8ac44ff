//! Both languages hold the same texts with the same blanks, and say what they should.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use fluent_syntax::parser;
use hornrule_protocol::{Action, Dimension, Foot, Lesion, Nanometres, Place, Scale, Side};

use super::{Say, Words, say, texts};
use hornrule_facts::{Day, Language, LengthUnit};

/// 2026-03-03, a Tuesday.
const DAY: Day = Day(20_515);

/// Ids with their blanks, as a parser of Fluent's own reads them.
fn messages(language: Language) -> BTreeMap<String, BTreeSet<String>> {
    let mut found = BTreeMap::new();
    for text in texts(language).1 {
        let resource = parser::parse(*text).expect("every file is sound Fluent");
        for entry in resource.body {
            let message = match entry {
                Entry::Message(message) => message,
                Entry::Comment(_) | Entry::GroupComment(_) | Entry::ResourceComment(_) => continue,
                Entry::Term(term) => panic!("a term: {}", term.id.name),
                Entry::Junk { content } => panic!("junk: {content}"),
            };
            let mut blanks = BTreeSet::new();
            collect(&message.value.expect("a message has a value"), &mut blanks);
            let twice = found.insert(message.id.name.to_owned(), blanks);
            assert!(twice.is_none(), "{} stands twice", message.id.name);
        }
    }
    found
}

fn collect(pattern: &Pattern<&str>, blanks: &mut BTreeSet<String>) {
    for element in &pattern.elements {
        let PatternElement::Placeable { expression } = element else { continue };
        let inline = match expression {
            Expression::Inline(inline) => inline,
            Expression::Select { selector, variants } => {
                variants.iter().for_each(|variant| collect(&variant.value, blanks));
                selector
            }
        };
        match inline {
            InlineExpression::VariableReference { id } => {
                blanks.insert(id.name.to_owned());
            }
            InlineExpression::StringLiteral { .. } => {}
            other => panic!("not used here: {other:?}"),
        }
    }
}

#[test]
fn every_language_holds_the_same_texts_with_the_same_blanks() {
    let english = messages(Language::English);
    for language in Language::ALL {
        assert_eq!(messages(language), english, "{language:?}");
    }
    let listed: BTreeSet<&str> = say::ALL.iter().map(|(id, ..)| *id).collect();
    assert_eq!(listed.len(), say::ALL.len());
    for (id, _, blanks) in say::ALL {
        let blanks: BTreeSet<String> = blanks.iter().map(|blank| (*blank).to_owned()).collect();
        assert_eq!(english.get(*id), Some(&blanks), "{id}");
    }
}

/// A text that nobody asks for is a text that somebody translates for nothing.
#[test]
fn every_text_is_asked_for() {
    fn sources(folder: &Path, into: &mut String) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, into);
            } else if path.extension().is_some_and(|end| end == "rs") {
                into.push_str(&fs::read_to_string(&path).unwrap());
            }
        }
    }
    let mut code = String::new();
    // The pages' own, and the commands'.
    for folder in ["src", "../src"] {
        sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut code);
    }
    let asked: BTreeSet<&str> = code
        .split("Say::")
        .skip(1)
        .map(|rest| rest.split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or_default())
        .collect();
    let idle: Vec<&str> = say::ALL
        .iter()
        .filter(|(_, variant, _)| !asked.contains(variant))
        .map(|(id, ..)| *id)
        .collect();
    assert!(idle.is_empty(), "nobody says {idle:?}");
}

#[test]
fn every_row_of_the_code_tables_has_words() {
    for language in Language::ALL {
        let ids = messages(language);
        let there = |id: String| assert!(ids.contains_key(&id), "{id} in {language:?}");
        Lesion::all().for_each(|row| there(format!("lesion-{}", row.code())));
        Action::all().for_each(|row| there(format!("action-{}", row.code())));
        Dimension::all().for_each(|row| there(format!("dimension-{}", row.code())));
        Dimension::all().for_each(|row| there(format!("landmarks-{}", row.code())));
        Scale::all().for_each(|row| there(format!("scale-{}", row.code())));
        for foot in Foot::ALL {
            there(format!("foot-{}", foot.number()));
            there(format!("foot-letters-{}", foot.number()));
        }
        for side in [Side::Lateral, Side::Medial] {
            there(format!("side-{}", side.number()));
        }
        for lesion in Lesion::all() {
            for word in (0..10).filter_map(|digit| lesion.grades.word(digit)) {
                there(format!("grade-{}", word.replace('.', "-")));
            }
        }
    }
}

/// The protocol's tables are the source of the English names.
#[test]
fn english_is_the_code_tables_own() {
    let words = Words::new(Language::English);
    Lesion::all().for_each(|row| assert_eq!(words.lesion(row), row.name));
    Action::all().for_each(|row| assert_eq!(words.action(row), row.name));
    Dimension::all().for_each(|row| assert_eq!(words.dimension(row), row.name));
    Dimension::all().for_each(|row| assert_eq!(words.landmarks(row), row.landmarks));
    Scale::all().for_each(|row| assert_eq!(words.scale(row), row.name));
    let dermatitis = Lesion::from_code(31).unwrap();
    assert_eq!(words.grade(dermatitis, 5).as_deref(), Some("M4.1"));
}

#[test]
fn dates_numbers_and_lengths_follow_the_language() {
    let english = Words::new(Language::English);
    let german = Words::new(Language::German);
    assert_eq!(english.date(DAY), "3 Mar 2026");
    assert_eq!(german.date(DAY), "3. März 2026");
    assert_eq!(english.long_date(DAY), "Tuesday, 3 March 2026");
    assert_eq!(german.long_date(DAY), "Dienstag, 3. März 2026");
    let wall = Nanometres(76_950_000);
    assert_eq!(english.length_with_unit(wall), "77.0\u{a0}mm");
    assert_eq!(german.length_with_unit(wall), "77,0\u{a0}mm");
    // 76.95 mm / 25.4 = 3.0295 in.
    let inch = Words::new(Language::German).in_unit(LengthUnit::Inch);
    assert_eq!(inch.length_with_unit(wall), "3,03\u{a0}in");
    assert_eq!(german.percent(0.344), "34\u{a0}%");
    assert_eq!(german.place(Place::try_from(6).unwrap()), "HL außen");
    assert_eq!(english.say(Say::OneOrMoreCows { n: 1.into() }), "1 cow");
    assert_eq!(german.say(Say::OneOrMoreCows { n: 2.into() }), "2 Kühe");
}
