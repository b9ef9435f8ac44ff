//! What a reader that is not the writer's finds in a PDF: how many sheets, and which words. For
//! tests.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;

use hayro_syntax::Pdf;
use hayro_syntax::content::ops::TypedInstruction;
use hayro_syntax::object::{self, Array, Dict, Stream};
use hayro_syntax::page::Page;

/// How many sheets.
pub(super) fn sheets(pdf: &[u8]) -> usize {
    Pdf::new(pdf.to_vec()).unwrap().pages().iter().count()
}

/// All text of tables and paragraphs in the order in which it was set, without white space and
/// hyphens: how lines were broken does not show.
pub(super) fn letters(pdf: &[u8]) -> String {
    let pdf = Pdf::new(pdf.to_vec()).unwrap();
    let text: String = pdf.pages().iter().map(page_text).collect();
    bare(&text)
}

/// A text as [`letters`] gives it.
pub(super) fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && !"-\u{ad}\u{2010}".contains(*c)).collect()
}

/// Points in which most texts are set.
pub(super) fn type_size(pdf: &[u8]) -> f64 {
    let pdf = Pdf::new(pdf.to_vec()).unwrap();
    let mut counts: BTreeMap<u64, usize> = BTreeMap::new();
    for page in pdf.pages().iter() {
        let mut operations = page.typed_operations();
        while let Some(operation) = operations.next() {
            if let TypedInstruction::TextFont(named) = operation {
                *counts.entry((named.1.as_f64() * 100.0).round() as u64).or_default() += 1;
            }
        }
    }
    let most = counts.into_iter().max_by_key(|(_, count)| *count);
    most.map_or(0.0, |(hundredths, _)| hundredths as f64 / 100.0)
}

fn page_text(page: &Page<'_>) -> String {
    let mut text = String::new();
    let mut font = BTreeMap::new();
    let mut fonts: BTreeMap<String, BTreeMap<u16, String>> = BTreeMap::new();
    let mut operations = page.typed_operations();
    while let Some(operation) = operations.next() {
        match operation {
            TypedInstruction::TextFont(named) => {
                let name = named.0.as_str().to_owned();
                font = fonts
                    .entry(name)
                    .or_insert_with(|| meanings(&page.resources().get_font(named.0).unwrap()))
                    .clone();
            }
            TypedInstruction::ShowText(shown) => show(shown.0, &font, &mut text),
            TypedInstruction::ShowTexts(shown) => {
                let parts: &Array<'_> = shown.0;
                for part in parts.iter::<object::Object<'_>>() {
                    if let object::Object::String(part) = part {
                        show(&part, &font, &mut text);
                    }
                }
            }
            _ => {}
        }
    }
    text
}

/// Two bytes a glyph: fonts by glyph number, as the standard's Identity-H has them.
fn show(shown: &object::String<'_>, font: &BTreeMap<u16, String>, text: &mut String) {
    for glyph in shown.as_bytes().chunks(2) {
        let glyph = u16::from_be_bytes(glyph.try_into().unwrap());
        text.push_str(font.get(&glyph).map_or("", String::as_str));
    }
}

/// What each glyph of a font means, by its ToUnicode table (ISO 32000-1, 9.10.3).
fn meanings(font: &Dict<'_>) -> BTreeMap<u16, String> {
    let table = font.get::<Stream<'_>>("ToUnicode").unwrap();
    let table = String::from_utf8_lossy(&table.decoded().unwrap()).into_owned();
    let mut meanings = BTreeMap::new();
    for section in table.split("beginbfchar").skip(1) {
        let words = hex(section.split("endbfchar").next().unwrap());
        for pair in words.chunks_exact(2) {
            meanings.insert(pair[0][0], String::from_utf16(&pair[1]).unwrap());
        }
    }
    for section in table.split("beginbfrange").skip(1) {
        let words = hex(section.split("endbfrange").next().unwrap());
        for three in words.chunks_exact(3) {
            for (at, glyph) in (three[0][0]..=three[1][0]).enumerate() {
                let mut meaning = three[2].clone();
                *meaning.last_mut().unwrap() += u16::try_from(at).unwrap();
                meanings.insert(glyph, String::from_utf16(&meaning).unwrap());
            }
        }
    }
    meanings
}

/// `<0041> <0042>` as words of 16 bits.
fn hex(text: &str) -> Vec<Vec<u16>> {
    let inside = text.split('<').skip(1).map(|part| part.split('>').next().unwrap());
    inside
        .map(|digits| {
            let digits: Vec<char> = digits.chars().filter(char::is_ascii_hexdigit).collect();
            let word = |four: &[char]| u16::from_str_radix(&four.iter().collect::<String>(), 16);
            digits.chunks(4).map(|four| word(four).unwrap()).collect()
        })
        .collect()
}
