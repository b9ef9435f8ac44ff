//! Keys by their legends, both ways.

use hornrule_core::keypad::Key;

/// What a hand does: a key, or the pedal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stroke {
    /// A key of the matrix.
    Key(Key),
    /// The pedal, or the calliper's own send button.
    Clip,
}

/// What stands on a key.
#[must_use]
pub const fn legend(key: Key) -> &'static str {
    match key {
        Key::Lf => "LF",
        Key::Rf => "RF",
        Key::Lh => "LH",
        Key::Rh => "RH",
        Key::Find => "FIND",
        Key::Do => "DO",
        Key::Size => "SIZE",
        Key::Score => "SCORE",
        Key::Cow => "COW",
        Key::Undo => "UNDO",
        Key::Zero => "0",
        Key::One => "1",
        Key::Two => "2",
        Key::Three => "3",
        Key::Four => "4",
        Key::Five => "5",
        Key::Six => "6",
        Key::Seven => "7",
        Key::Eight => "8",
        Key::Nine => "9",
    }
}

/// "COW 27 COW RH FIND 13 2": digits in a row stand together, as they are spoken; a code's two
/// digits and what follows it are kept apart.
#[must_use]
pub fn show_strokes(strokes: &[Stroke]) -> String {
    let mut text = String::new();
    // Digits since the last word, and after how many of them another number begins.
    let (mut digits, mut code) = (0, None);
    for stroke in strokes {
        let (word, digit) = match stroke {
            Stroke::Key(key) => (legend(*key), key.digit().is_some()),
            Stroke::Clip => ("clip", false),
        };
        let together = digit && digits > 0 && code != Some(digits);
        if !text.is_empty() && !together {
            text.push(' ');
        }
        text.push_str(word);
        digits = if digit { digits + 1 } else { 0 };
        code = match stroke {
            _ if digit => code,
            Stroke::Key(Key::Find | Key::Do) => Some(2),
            Stroke::Key(Key::Score) => Some(1),
            Stroke::Key(_) | Stroke::Clip => None,
        };
    }
    text
}

/// A word that is no key.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no key; keys are LF RF LH RH FIND DO SIZE SCORE COW UNDO, digits, and clip")]
pub struct NotAKey(pub String);

/// Reads what [`show_strokes`] writes; letters may be small.
///
/// # Errors
/// [`NotAKey`], with the word.
pub fn read_strokes(text: &str) -> Result<Vec<Stroke>, NotAKey> {
    let mut strokes = Vec::new();
    for word in text.split_whitespace() {
        let upper = word.to_ascii_uppercase();
        let named = Key::ALL.into_iter().find(|key| legend(*key) == upper);
        match named {
            Some(key) => strokes.push(Stroke::Key(key)),
            None if upper == "CLIP" => strokes.push(Stroke::Clip),
            None => {
                for c in upper.chars() {
                    let key = Key::ALL.into_iter().find(|key| {
                        key.digit().is_some_and(|digit| c.to_digit(10) == Some(u32::from(digit)))
                    });
                    strokes.push(Stroke::Key(key.ok_or_else(|| NotAKey(word.to_owned()))?));
                }
            }
        }
    }
    Ok(strokes)
}
