//! Text that people write or that files bring: how long it may be, how it is shown, how a table
//! keeps it text.

use std::borrow::Cow;

/// Letters of a name: a cow, a farm, a person, a town.
pub const NAME: usize = 100;
/// Letters of a reason, a note or an address.
pub const NOTE: usize = 500;

/// The text without blanks around it, where it is one line of at most so many letters.
///
/// # Errors
/// What is wrong with it, in words.
pub fn fitting(text: &str, most: usize) -> Result<String, String> {
    let text = text.trim();
    let letters = text.chars().count();
    if letters > most {
        return Err(format!("it has {letters} letters, and {most} is the most; shorten it"));
    }
    if let Some(control) = text.chars().find(|c| is_unseen(*c)) {
        let code = u32::from(control);
        return Err(format!("it holds the control character U+{code:04X}; remove it"));
    }
    Ok(text.to_owned())
}

/// Characters that steer a terminal or turn the order of what is read, and show nothing themselves:
/// C0, DEL and C1 (ISO 6429), the line ends of Unicode, and the bidirectional embeddings, overrides
/// and isolates (Unicode Standard Annex 9, 2.1 to 2.4).
#[must_use]
pub fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{2028}' | '\u{2029}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// The text as a terminal may show it: each such character is a visible sign instead. Line feed,
/// tab, and a carriage return before a line feed stay.
#[must_use]
pub fn shown(text: &str) -> Cow<'_, str> {
    let stays = |at: usize, c: char| match c {
        '\n' | '\t' => true,
        '\r' => text[at..].starts_with("\r\n"),
        c => !is_unseen(c),
    };
    if text.char_indices().all(|(at, c)| stays(at, c)) {
        return Cow::Borrowed(text);
    }
    text.char_indices().map(|(at, c)| if stays(at, c) { c } else { sign(c) }).collect()
}

/// The picture of a control character where Unicode has one, else the sign for what cannot be shown.
fn sign(c: char) -> char {
    match u32::from(c) {
        code @ 0..=0x1F => char::from_u32(0x2400 + code).unwrap_or('\u{FFFD}'),
        0x7F => '\u{2421}',
        _ => '\u{FFFD}',
    }
}

/// The text as JSON escapes it, outside of what JSON escapes by itself: only ever inside strings.
#[must_use]
pub fn escaped(json: &str) -> Cow<'_, str> {
    let unseen = |c: char| c != '\n' && is_unseen(c);
    if !json.contains(unseen) {
        return Cow::Borrowed(json);
    }
    let mut text = String::with_capacity(json.len() + 16);
    for c in json.chars() {
        // All of them are in the first plane: one escape each.
        if unseen(c) { text += &format!("\\u{:04x}", u32::from(c)) } else { text.push(c) }
    }
    Cow::Owned(text)
}

/// What a spreadsheet takes for a formula at the start of a cell (OWASP, "CSV Injection"), the wide
/// forms among them.
const FORMULA: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '＠'];

/// A cell of text for a CSV file, with an apostrophe in front where a spreadsheet would take it for
/// a formula. A number with its sign stays, also with a unit behind it.
#[must_use]
pub fn guarded(cell: &str) -> Cow<'_, str> {
    if cell.starts_with(FORMULA) && !is_number(cell) {
        return Cow::Owned(format!("'{cell}"));
    }
    Cow::Borrowed(cell)
}

/// What [`guarded`] was given.
#[must_use]
pub fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if matches!(guarded(rest), Cow::Owned(_)) => rest,
        _ => cell,
    }
}

/// "-3", "+1,5", "-0.4 mm".
fn is_number(cell: &str) -> bool {
    let number = cell.strip_prefix(['+', '-']).unwrap_or(cell);
    let (number, unit) = number.split_once([' ', '\u{a0}', '\u{202f}']).unwrap_or((number, ""));
    let (whole, part) = number.split_once(['.', ',']).unwrap_or((number, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    digits(whole) && digits(part) && unit.chars().all(|c| c.is_alphabetic() || c == '%')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_one_line_of_so_many_letters() {
        assert_eq!(fitting("  Bärbel ", 6), Ok("Bärbel".to_owned()));
        assert!(fitting("Bärbel", 5).unwrap_err().contains("6 letters, and 5"));
        for control in ['\u{1b}', '\n', '\u{9b}', '\u{202e}', '\0'] {
            let told = fitting(&format!("a{control}b"), 10).unwrap_err();
            assert!(told.contains(&format!("U+{:04X}", u32::from(control))), "{told}");
        }
    }

    #[test]
    fn nothing_steers_the_terminal() {
        assert_eq!(shown("one\ttwo\r\nthree\n"), "one\ttwo\r\nthree\n");
        assert_eq!(shown("\u{1b}[31mred\u{7}\r"), "␛[31mred␇␍");
        assert_eq!(
            shown("a\u{7f}b\u{9b}31m\u{202e}c\u{2066}\u{2028}"),
            "a␡b\u{FFFD}31m\u{FFFD}c\u{FFFD}\u{FFFD}"
        );
        for c in (0..=0x2FFF).filter_map(char::from_u32) {
            let told = shown(c.encode_utf8(&mut [0; 4])).into_owned();
            assert!(!told.chars().any(|c| is_unseen(c) && c != '\n' && c != '\t'), "{c:?}");
        }
    }

    #[test]
    fn json_is_the_same_value_without_them() {
        assert_eq!(
            escaped("{\n  \"a\": \"b\u{9b}c\u{202e}\"\n}"),
            "{\n  \"a\": \"b\\u009bc\\u202e\"\n}"
        );
        assert_eq!(escaped("{}"), "{}");
    }

    #[test]
    fn formulas_are_guarded_and_numbers_are_not() {
        for formula in [
            "=1+1",
            "+A1",
            "-A1",
            "@SUM(A1)",
            "\t=1",
            "-1+cmd|' /C calc'!A0",
            "＝1",
            "-",
            "+49 170 123",
            "-3 A1",
            "-3,4,5",
        ] {
            assert_eq!(guarded(formula), format!("'{formula}"), "{formula}");
            assert_eq!(unguarded(&guarded(formula)), formula);
        }
        for plain in ["-3", "+1,5", "-0.4 mm", "-12 %", "Berta", "", "'s Hof", "2021-04-17"] {
            assert_eq!(guarded(plain), plain);
            assert_eq!(unguarded(plain), plain);
        }
    }
}
