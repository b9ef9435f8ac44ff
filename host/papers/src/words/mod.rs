//! Every text that a page shows, in each language, and how dates and numbers are written in it.
//!
//! ```text
//! en/*.ftl --build.rs--> enum Say (a variant a text, its blanks as fields)
//! en/*.ftl, de/*.ftl --Words::new(language)--> say(Say::..) --> String
//! en/codes.ftl, de/codes.ftl --------------> lesion(..), action(..), place(..), .. --> String
//! ```
//!
//! A text that is not there, or a blank left empty, does not compile; a test holds the languages to
//! the same ids with the same blanks. To add a text, add it to a file of each language. To add a
//! language, add a folder, its plural rules and its way to write dates and numbers below.
//!
//! The German was written without a native trimmer at hand and wants a check by one.

mod codes;
mod locale;

#[cfg(test)]
mod tests;

use fluent_bundle::{FluentArgs, FluentBundle, FluentResource, FluentValue};
use unic_langid::{LanguageIdentifier, langid};

use hornrule_facts::{FarmSettings, Language, LengthUnit};
pub use say::Say;

/// What fills a blank: a text or a whole number. Decimals go in as text, written by [`Words`].
pub type Blank<'a> = FluentValue<'a>;

mod say {
    use super::{Blank, FluentArgs};

    include!(concat!(env!("OUT_DIR"), "/say.rs"));

    impl<'a> Say<'a> {
        pub(super) fn apart(self) -> (&'static str, FluentArgs<'a>) {
            let id = self.id();
            let mut args = FluentArgs::new();
            self.fill(&mut args);
            (id, args)
        }
    }
}

/// One language's texts, with the unit that lengths are written in.
pub struct Words {
    language: Language,
    unit: LengthUnit,
    trial_ways: Vec<(u8, String)>,
    bundle: FluentBundle<FluentResource>,
}

impl std::fmt::Debug for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Words")
            .field("language", &self.language)
            .field("unit", &self.unit)
            .finish_non_exhaustive()
    }
}

const fn texts(language: Language) -> (LanguageIdentifier, &'static [&'static str]) {
    match language {
        Language::English => (langid!("en"), say::EN),
        Language::German => (langid!("de"), say::DE),
    }
}

impl Words {
    /// A language's texts; lengths in millimetres.
    #[must_use]
    pub fn new(language: Language) -> Self {
        let (tag, texts) = texts(language);
        let mut bundle = FluentBundle::new(vec![tag]);
        // Marks that keep directions of writing apart; all of our languages go one way.
        bundle.set_use_isolating(false);
        for text in texts {
            // What can be read of a file is kept; a test reads them all without a fault.
            let resource = match FluentResource::try_new((*text).to_owned()) {
                Ok(resource) | Err((resource, _)) => resource,
            };
            bundle.add_resource_overriding(resource);
        }
        Self { language, unit: LengthUnit::Millimetre, trial_ways: Vec::new(), bundle }
    }

    /// As a farm wants its papers.
    #[must_use]
    pub fn of(settings: &FarmSettings) -> Self {
        Self::new(settings.language).in_unit(settings.unit)
    }

    /// The same with lengths in another unit.
    #[must_use]
    pub fn in_unit(self, unit: LengthUnit) -> Self {
        Self { unit, ..self }
    }

    /// The same, and these trial ways (1 to 9) of gluing a block have a name beside their number.
    #[must_use]
    pub fn with_trial_ways(self, trial_ways: Vec<(u8, String)>) -> Self {
        Self { trial_ways, ..self }
    }

    /// The language.
    #[must_use]
    pub const fn language(&self) -> Language {
        self.language
    }

    /// The unit of lengths.
    #[must_use]
    pub const fn unit(&self) -> LengthUnit {
        self.unit
    }

    /// A text, its blanks filled.
    #[must_use]
    pub fn say(&self, say: Say<'_>) -> String {
        let (id, args) = say.apart();
        self.find(id, Some(&args)).unwrap_or_else(|| id.to_owned())
    }

    fn find(&self, id: &str, args: Option<&FluentArgs<'_>>) -> Option<String> {
        let pattern = self.bundle.get_message(id)?.value()?;
        let mut errors = Vec::new();
        let text = self.bundle.format_pattern(pattern, args, &mut errors);
        Some(text.into_owned())
    }
}
