//! Text said on the command line that is kept: one line, of a bounded length.

use hornrule_facts::text::{NAME, NOTE, fitting};

/// A name: a farm, a person, a way of gluing.
pub(super) fn name(text: &str) -> Result<String, String> {
    fitting(text, NAME)
}

/// A reason, a note, a line of an address.
pub(super) fn note(text: &str) -> Result<String, String> {
    fitting(text, NOTE)
}
