//! The bill's words, in each language.

use super::Item;
use crate::herd::Language;

/// What an item is called where the price list does not say.
#[must_use]
pub const fn item(language: Language, item: Item) -> &'static str {
    match (language, item) {
        (Language::English, Item::CallOut) => "Journey and set-up",
        (Language::English, Item::Cow) => "Cow trimmed",
        (Language::English, Item::CowSeen) => "Cow seen, not trimmed",
        (Language::English, Item::Block) => "Block glued on",
        (Language::English, Item::BlockOff) => "Block taken off",
        (Language::English, Item::Wrap) => "Wrap put on",
        (Language::German, Item::CallOut) => "Anfahrt und Aufbau",
        (Language::German, Item::Cow) => "Kuh geschnitten",
        (Language::German, Item::CowSeen) => "Kuh angesehen, nicht geschnitten",
        (Language::German, Item::Block) => "Klotz geklebt",
        (Language::German, Item::BlockOff) => "Klotz abgenommen",
        (Language::German, Item::Wrap) => "Verband angelegt",
    }
}
