//! Computer keys as handheld keys.
//!
//! ```text
//!  Q   W   E    R          LF  RF  FIND  UNDO
//!  A   S   D    F          LH  RH  DO    SIZE
//!  1   2   3    C          1   2   3     COW
//!  4   5   6    V          4   5   6     SCORE
//!  7   8   9    0          7   8   9     0
//! ```
//!
//! The upper two rows lie as on the handheld; digits are taken from the row or the number block.

use hornrule_core::keypad::Key;
use ratatui_crossterm::crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

use hornrule_line::keying::Stroke;

/// What a computer key asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wish {
    /// A key of the handheld, or the calliper.
    Stroke(Stroke),
    /// Show which keys say it.
    ShowKeys,
    /// Show the table of sentences, or its next part.
    Sentences,
    /// The next exercise.
    Next,
    /// Stop the program, as Ctrl-Z does elsewhere.
    Stop,
    /// The end.
    End,
}

/// What stands on the computer key for a handheld key.
pub(super) const fn computer_key(key: Key) -> &'static str {
    match key {
        Key::Lf => "q",
        Key::Rf => "w",
        Key::Find => "e",
        Key::Undo => "r",
        Key::Lh => "a",
        Key::Rh => "s",
        Key::Do => "d",
        Key::Size => "f",
        Key::Cow => "c",
        Key::Score => "v",
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

/// `None` for a key that means nothing here, and for a key that comes up.
pub(super) fn wish(event: &KeyEvent) -> Option<Wish> {
    if event.kind == KeyEventKind::Release {
        return None;
    }
    match event.code {
        KeyCode::Esc => Some(Wish::End),
        KeyCode::Char('c' | 'd') if event.modifiers.contains(KeyModifiers::CONTROL) => {
            Some(Wish::End)
        }
        KeyCode::Char('z') if event.modifiers.contains(KeyModifiers::CONTROL) => Some(Wish::Stop),
        // Any other key with Ctrl or Alt is not ours.
        KeyCode::Char(_)
            if event.modifiers.intersects(KeyModifiers::CONTROL | KeyModifiers::ALT) =>
        {
            None
        }
        KeyCode::Char('h' | 'H') | KeyCode::F(1) => Some(Wish::Sentences),
        KeyCode::Tab | KeyCode::Char('?') => Some(Wish::ShowKeys),
        KeyCode::Char('n' | 'N') => Some(Wish::Next),
        KeyCode::Char(' ') => Some(Wish::Stroke(Stroke::Clip)),
        KeyCode::Backspace => Some(Wish::Stroke(Stroke::Key(Key::Undo))),
        KeyCode::Enter => Some(Wish::Stroke(Stroke::Key(Key::Cow))),
        KeyCode::Char(c) => {
            let mut letter = [0; 4];
            let letter = c.to_ascii_lowercase().encode_utf8(&mut letter);
            let key = Key::ALL.into_iter().find(|key| computer_key(*key) == letter)?;
            Some(Wish::Stroke(Stroke::Key(key)))
        }
        _ => None,
    }
}
