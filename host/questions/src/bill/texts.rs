//! Texts of a price list: one for all languages, or by language.

use hornrule_facts::Language;

/// A text in each of the languages that it was given in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Texts(Vec<(Language, String)>);

impl Texts {
    /// The same text in every language.
    #[must_use]
    pub fn same(text: String) -> Self {
        Self(Language::ALL.map(|language| (language, text.clone())).into())
    }

    /// A text in a language.
    pub fn put(&mut self, language: Language, text: String) {
        self.0.retain(|(of, _)| *of != language);
        self.0.push((language, text));
    }

    /// The text of a language; `None` where it was not given.
    #[must_use]
    pub fn of(&self, language: Language) -> Option<&str> {
        self.0.iter().find(|(of, _)| *of == language).map(|(_, text)| text.as_str())
    }

    /// The same, or else the English text, or else the first.
    #[must_use]
    pub fn of_any(&self, language: Language) -> Option<&str> {
        let english = || self.of(Language::English);
        let first = || self.0.first().map(|(_, text)| text.as_str());
        self.of(language).or_else(english).or_else(first)
    }
}
