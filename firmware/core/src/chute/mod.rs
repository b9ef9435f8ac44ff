//! The entry grammar: keys and readings in, entries and cues out.
