//! ICAR ADE JSON, the open standard for animal data exchange; formats in `EXCHANGE.md`.
//!
//! ```text
//! Extract --events--> three collections of ADE        day.json
//!         --earlier-> what went out before and is no longer on record, into the same
//!         --beside--> what ADE has no resource for    day.hornrule.json
//! animals of ADE --animals--> herd list (CSV's own path)
//! ```

mod animals;
mod beside;
mod earlier;
mod events;
mod place;
mod resource;

#[cfg(test)]
mod tests;

pub use animals::{AdeError, Animals, Part};
pub use earlier::{Earlier, EarlierError, Gone};
pub use events::{Exported, export};
pub use place::Positions;
pub use resource::Identifier;

use hornrule_facts::AnimalId;

use super::extract::Extract;

/// The default: the reverse name of a domain that nobody owns.
pub const SOURCE: &str = "local.hornrule";
/// The standard's scheme for electronic tags.
const TAG_SCHEME: &str = "std.iso.11785";
/// The end of our scheme for herd numbers.
const NUMBER_SCHEME: &str = ".herd-number";

/// What the office says about an export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wishes {
    /// Reverse domain name or URI of the system the events come from.
    pub source: String,
    /// The farm, in a scheme of the receiver; `None` gives ours.
    pub location: Option<Identifier>,
    /// Who trimmed.
    pub responsible: Option<String>,
    /// Which words for places on the animal.
    pub positions: Positions,
}

impl Default for Wishes {
    fn default() -> Self {
        Self {
            source: SOURCE.to_owned(),
            location: None,
            responsible: None,
            positions: Positions::Legs,
        }
    }
}

/// A cow as ADE names her: by tag where one is known, else by herd number.
fn animal(extract: &Extract, wishes: &Wishes, animal: AnimalId) -> Identifier {
    match extract.tag(animal) {
        Some(tag) => Identifier { scheme: TAG_SCHEME.to_owned(), id: tag },
        None => Identifier {
            scheme: format!("{}{NUMBER_SCHEME}", wishes.source),
            id: animal.to_string(),
        },
    }
}
