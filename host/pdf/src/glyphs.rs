//! Letters that our fonts do not have, before the typesetter sees them.
//!
//! A name may hold anything: a smiley, Chinese, a stray control character. The standards refuse a page
//! with a letter that no font has; so each becomes a box, which shows that something stood there. What
//! shows nothing by itself (joiners, marks of direction, variation selectors) goes, and so does an
//! accent that no letter of ours carries. The other formats write names as they are.

use std::sync::LazyLock;

use typst::foundations::Bytes;
use typst::text::Font;

use crate::world::FONTS;

/// U+25A1, a white square: both fonts have it.
const BOX: char = '\u{25a1}';

/// What every face has: a page mixes them.
static COVERED: LazyLock<Vec<Font>> =
    LazyLock::new(|| FONTS.iter().flat_map(|bytes| Font::iter(Bytes::new(*bytes))).collect());

/// JSON whose strings our fonts can set: runs of what they lack are one box each.
#[must_use]
pub(crate) fn settable(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    let mut boxed = false;
    let mut letters = json.chars();
    while let Some(letter) = letters.next() {
        if letter == '\\' {
            out.push_str(&escaped(&mut letters));
        } else if letter.is_ascii() {
            if letter != '\u{7f}' {
                out.push(letter);
            }
        } else if is_silent(letter) {
            continue;
        } else if is_covered(letter) {
            out.push(letter);
        } else if !is_mark(letter) && !boxed {
            out.push(BOX);
            boxed = true;
            continue;
        } else {
            continue;
        }
        boxed = false;
    }
    out
}

/// What follows a backslash: control characters other than line ends and tabs go.
fn escaped(letters: &mut std::str::Chars<'_>) -> String {
    match letters.next() {
        Some('u') => {
            let digits: String = letters.by_ref().take(4).collect();
            let code = u32::from_str_radix(&digits, 16).unwrap_or(0);
            match char::from_u32(code) {
                Some(letter) if letter.is_ascii_control() || is_silent(letter) => String::new(),
                Some(letter) if is_covered(letter) => format!("\\u{digits}"),
                _ => BOX.to_string(),
            }
        }
        Some('b' | 'f') | None => String::new(),
        Some(other) => format!("\\{other}"),
    }
}

fn is_covered(letter: char) -> bool {
    // What a private letter means nobody else knows; the standards refuse them.
    let private = matches!(letter, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..);
    !private && COVERED.iter().all(|font| font.info().coverage.contains(u32::from(letter)))
}

/// Shows nothing by itself, whether a font has it or not.
const fn is_silent(letter: char) -> bool {
    matches!(letter,
        '\u{80}'..='\u{9f}'
        | '\u{200b}'..='\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}'
        | '\u{e0000}'..='\u{e0fff}')
}

/// Stands on the letter before it: blocks of combining marks, and the skin tones of smileys.
const fn is_mark(letter: char) -> bool {
    matches!(letter,
        '\u{300}'..='\u{36f}'
        | '\u{483}'..='\u{489}'
        | '\u{591}'..='\u{5c7}'
        | '\u{610}'..='\u{61a}'
        | '\u{64b}'..='\u{65f}'
        | '\u{1ab0}'..='\u{1aff}'
        | '\u{1dc0}'..='\u{1dff}'
        | '\u{20d0}'..='\u{20ff}'
        | '\u{fe20}'..='\u{fe2f}'
        | '\u{1f3fb}'..='\u{1f3ff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_font_lacks_is_a_box_and_the_rest_stays() {
        for (name, expected) in [
            ("Berta", "Berta"),
            ("Jörg & Žofie – 12 € → ok", "Jörg & Žofie – 12 € → ok"),
            ("Ελένη Молочная", "Ελένη Молочная"),
            ("Bella \u{1f404}", "Bella \u{25a1}"),
            ("\u{1f469}\u{200d}\u{1f33e} Hof", "\u{25a1} Hof"),
            ("\u{725b}\u{725b}", "\u{25a1}"),
            ("\u{628}\u{642}\u{631}\u{629} 7", "\u{25a1} 7"),
            ("Be\u{301}a", "Be\u{301}a"),
            (r"a\u0000b\n\\u0001\b\u00e4\u725b", "ab\\n\\\\u0001\\u00e4\u{25a1}"),
            ("x\u{200b}y\u{feff}z", "xyz"),
            ("\u{e000}\u{fffd}\u{10ffff}", "\u{25a1}"),
        ] {
            assert_eq!(settable(name), expected, "{name:?}");
        }
    }
}
