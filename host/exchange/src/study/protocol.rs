//! A study's protocol, read from its file.

use std::collections::BTreeSet;

use hornrule_protocol::{Claw, DeviceId, Dimension, Foot, Side};
use jiff::civil::Date;
use serde::Deserialize;
use toml::Spanned;

use super::StudyError;
use hornrule_facts::Day;
use hornrule_facts::text::{NOTE, is_unseen};
use hornrule_questions::toml_text::TomlText;

/// A protocol to start from.
pub const TEMPLATE: &str = include_str!("template.toml");

/// The highest seed: what a float holds exactly, so that every language does.
const MOST_SEED: i64 = (1 << 53) - 1;
const MOST_REPEATS: i64 = 20;
/// More of any list than this is a slip.
const MOST_LISTED: usize = 64;

/// When a claw is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Moment {
    /// Before it is trimmed to form.
    Before,
    /// After.
    After,
}

impl Moment {
    /// `before` or `after`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::After => "after",
        }
    }
}

/// Who measures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Observer {
    /// A code.
    pub code: String,
    /// The handheld whose readings are this observer's; `None` where there is one observer only.
    pub handheld: Option<DeviceId>,
}

/// What is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measurand {
    /// Which dimension.
    pub dimension: Dimension,
    /// From where to where, in the study's words.
    pub landmarks: String,
}

/// A study's protocol, sound in itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Protocol {
    /// The study's name.
    pub name: String,
    /// What it asks.
    pub question: Option<String>,
    /// First and last day, both included.
    pub days: (Day, Day),
    /// The seed of the sample.
    pub seed: u64,
    /// Readings of each claw and dimension by each observer.
    pub repeats: u8,
    /// When claws are measured, in order.
    pub moments: Vec<Moment>,
    /// What is hidden from whom.
    pub blinding: String,
    /// Cows drawn from each herd; `None` for all.
    pub cows: Option<usize>,
    /// Claws that may be drawn.
    pub claws: Vec<Claw>,
    /// Claws drawn on each cow.
    pub claws_each: usize,
    /// Names of the herds.
    pub herds: Vec<String>,
    /// Who measures.
    pub observers: Vec<Observer>,
    /// What is measured, in order.
    pub dimensions: Vec<Measurand>,
    /// The file, to the letter.
    pub text: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Raw {
    format: Spanned<i64>,
    name: Spanned<String>,
    question: Option<String>,
    from: Spanned<toml::value::Datetime>,
    to: Spanned<toml::value::Datetime>,
    seed: Spanned<i64>,
    repeats: Spanned<i64>,
    moment: Spanned<String>,
    blinding: Spanned<String>,
    sample: RawSample,
    herd: Spanned<Vec<RawHerd>>,
    observer: Spanned<Vec<RawObserver>>,
    dimension: Spanned<Vec<RawDimension>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RawSample {
    cows: Option<Spanned<i64>>,
    claws: Spanned<Vec<Spanned<String>>>,
    claws_each: Option<Spanned<i64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawHerd {
    name: Spanned<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawObserver {
    code: Spanned<String>,
    handheld: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDimension {
    name: Spanned<String>,
    landmarks: Option<Spanned<String>>,
}

/// Reads a protocol.
///
/// # Errors
/// `Text`, `Format`, `Value`, each with its line.
pub fn read_protocol(text: &str) -> Result<Protocol, StudyError> {
    let reader = Reader { text: TomlText(text) };
    let raw: Raw = toml::from_str(text).map_err(|error| {
        let (line, why) = reader.text.unread(&error);
        StudyError::Text { line, why }
    })?;
    if *raw.format.get_ref() != 1 {
        let line = reader.text.line(&raw.format);
        return Err(StudyError::Format { line, found: *raw.format.get_ref() });
    }
    let claws = reader.claws(&raw.sample.claws)?;
    let most = i64::try_from(claws.len()).unwrap_or(i64::MAX);
    let claws_each = match &raw.sample.claws_each {
        None => claws.len(),
        Some(each) => reader.whole(each, "claws-each", 1, most)?,
    };
    let cows = raw.sample.cows.as_ref();
    Ok(Protocol {
        name: reader.words(&raw.name, "name")?,
        question: raw.question.map(|text| text.trim().to_owned()).filter(|text| !text.is_empty()),
        days: reader.days(&raw.from, &raw.to)?,
        seed: reader.whole(&raw.seed, "seed", 0, MOST_SEED)?,
        repeats: reader.whole(&raw.repeats, "repeats", 1, MOST_REPEATS)?,
        moments: reader.moments(&raw.moment)?,
        blinding: reader.words(&raw.blinding, "blinding")?,
        cows: cows.map(|cows| reader.whole(cows, "cows", 1, 100_000)).transpose()?,
        claws,
        claws_each,
        herds: reader.herds(&raw.herd)?,
        observers: reader.observers(&raw.observer)?,
        dimensions: reader.dimensions(&raw.dimension)?,
        text: text.to_owned(),
    })
}

/// Knows the line of a value.
struct Reader<'a> {
    text: TomlText<'a>,
}

impl Reader<'_> {
    fn wrong<T>(&self, at: &Spanned<T>, name: &str, what: impl Into<String>) -> StudyError {
        let line = self.text.line(at);
        StudyError::Value { line, name: name.to_owned(), what: what.into() }
    }

    /// One line of text.
    fn words(&self, value: &Spanned<String>, name: &str) -> Result<String, StudyError> {
        let text = value.get_ref().trim();
        if text.is_empty() {
            return Err(self.wrong(value, name, "is empty; say it in a few words"));
        }
        if text.chars().count() > NOTE {
            return Err(self.wrong(
                value,
                name,
                format!("has more than {NOTE} letters; shorten it"),
            ));
        }
        if text.chars().any(is_unseen) {
            return Err(self.wrong(value, name, "has several lines; leave one"));
        }
        Ok(text.to_owned())
    }

    fn whole<T: TryFrom<i64>>(
        &self,
        value: &Spanned<i64>,
        name: &str,
        least: i64,
        most: i64,
    ) -> Result<T, StudyError> {
        let number = *value.get_ref();
        let fits = (least..=most).contains(&number).then(|| T::try_from(number).ok());
        let wrong =
            || self.wrong(value, name, format!("is {number}; it must be from {least} to {most}"));
        fits.flatten().ok_or_else(wrong)
    }

    fn day(&self, value: &Spanned<toml::value::Datetime>, name: &str) -> Result<Day, StudyError> {
        let at = value.get_ref();
        let date = at.date.filter(|_| at.time.is_none()).and_then(|date| {
            let year = i16::try_from(date.year).ok()?;
            Date::new(year, i8::try_from(date.month).ok()?, i8::try_from(date.day).ok()?).ok()
        });
        let wrong = || self.wrong(value, name, format!("is {at}; write a day like 2026-03-01"));
        date.map(Day::from_date).ok_or_else(wrong)
    }

    fn days(
        &self,
        from: &Spanned<toml::value::Datetime>,
        to: &Spanned<toml::value::Datetime>,
    ) -> Result<(Day, Day), StudyError> {
        let (first, last) = (self.day(from, "from")?, self.day(to, "to")?);
        if last < first {
            return Err(self.wrong(to, "to", format!("is {last}, before `from`; exchange them")));
        }
        Ok((first, last))
    }

    fn moments(&self, value: &Spanned<String>) -> Result<Vec<Moment>, StudyError> {
        match value.get_ref().as_str() {
            "before" => Ok(vec![Moment::Before]),
            "after" => Ok(vec![Moment::After]),
            "both" => Ok(vec![Moment::Before, Moment::After]),
            other => {
                let what = format!("is `{other}`; it must be before, after or both");
                Err(self.wrong(value, "moment", what))
            }
        }
    }

    /// Some, not too many.
    fn some<'v, T>(&self, of: &'v Spanned<Vec<T>>, name: &str) -> Result<&'v [T], StudyError> {
        let list = of.get_ref();
        if list.is_empty() || list.len() > MOST_LISTED {
            let what = format!("has {} entries; it must have 1 to {MOST_LISTED}", list.len());
            return Err(self.wrong(of, name, what));
        }
        Ok(list)
    }

    fn claws(&self, list: &Spanned<Vec<Spanned<String>>>) -> Result<Vec<Claw>, StudyError> {
        let mut claws = Vec::new();
        for one in self.some(list, "claws")? {
            let text = one.get_ref();
            let claw = claw(text).ok_or_else(|| {
                let what = format!("has `{text}`; write a claw like \"LH lateral\"");
                self.wrong(one, "claws", what)
            })?;
            if claws.contains(&claw) {
                return Err(self.wrong(one, "claws", format!("has {text} twice; leave one")));
            }
            claws.push(claw);
        }
        Ok(claws)
    }

    fn herds(&self, list: &Spanned<Vec<RawHerd>>) -> Result<Vec<String>, StudyError> {
        let mut names: Vec<String> = Vec::new();
        for herd in self.some(list, "herd")? {
            let name = self.words(&herd.name, "name")?;
            if names.contains(&name) {
                return Err(self.wrong(&herd.name, "name", "stands twice; leave one"));
            }
            names.push(name);
        }
        Ok(names)
    }

    fn observers(&self, list: &Spanned<Vec<RawObserver>>) -> Result<Vec<Observer>, StudyError> {
        let raw = self.some(list, "observer")?;
        let mut observers: Vec<Observer> = Vec::new();
        for one in raw {
            let code = self.words(&one.code, "code")?;
            if observers.iter().any(|other| other.code == code) {
                return Err(self.wrong(&one.code, "code", "stands twice; leave one"));
            }
            let handheld = one.handheld.as_ref().map(|name| self.handheld(name)).transpose()?;
            if handheld.is_none() && raw.len() > 1 {
                let what =
                    "lacks `handheld`; with several observers it says whose reading is whose";
                return Err(self.wrong(&one.code, "code", what));
            }
            if let Some(name) = &one.handheld
                && observers.iter().any(|other| other.handheld == handheld)
            {
                return Err(self.wrong(
                    name,
                    "handheld",
                    "is another observer's; give each their own",
                ));
            }
            observers.push(Observer { code, handheld });
        }
        Ok(observers)
    }

    fn handheld(&self, name: &Spanned<String>) -> Result<DeviceId, StudyError> {
        let text = name.get_ref();
        let digits = text.len() == 16 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
        let number = digits.then(|| u64::from_str_radix(text, 16).ok()).flatten();
        number.map(DeviceId).ok_or_else(|| {
            let what =
                "is no handheld's number of 16 hexadecimal digits; `hornrule status` shows it";
            self.wrong(name, "handheld", what)
        })
    }

    fn dimensions(&self, list: &Spanned<Vec<RawDimension>>) -> Result<Vec<Measurand>, StudyError> {
        let mut dimensions: Vec<Measurand> = Vec::new();
        let mut seen = BTreeSet::new();
        for one in self.some(list, "dimension")? {
            let name = one.name.get_ref().trim();
            let known = || Dimension::all().filter(|dimension| !dimension.is_gauge());
            let dimension = known().find(|dimension| dimension.name == name).ok_or_else(|| {
                let names: Vec<&str> = known().map(|dimension| dimension.name).collect();
                let what = format!("is `{name}`; it must be one of {}", names.join(", "));
                self.wrong(&one.name, "name", what)
            })?;
            if !seen.insert(dimension.code()) {
                return Err(self.wrong(&one.name, "name", "stands twice; leave one"));
            }
            let landmarks = match &one.landmarks {
                Some(text) => self.words(text, "landmarks")?,
                None => dimension.landmarks.to_owned(),
            };
            dimensions.push(Measurand { dimension, landmarks });
        }
        Ok(dimensions)
    }
}

/// "LH lateral".
fn claw(text: &str) -> Option<Claw> {
    let (foot, side) = text.trim().split_once(' ')?;
    let foot = Foot::ALL.into_iter().find(|one| one.letters() == foot)?;
    let side = Side::ALL.into_iter().find(|one| one.name() == side.trim())?;
    Some(Claw { foot, side })
}

impl Protocol {
    /// Readings to take on each cow.
    #[must_use]
    pub fn readings_each(&self) -> usize {
        self.claws_each
            * self.dimensions.len()
            * self.observers.len()
            * self.moments.len()
            * usize::from(self.repeats)
    }

    /// The observer of a handheld's reading; `None` if it has none.
    #[must_use]
    pub fn observer(&self, device: DeviceId) -> Option<&Observer> {
        self.observers.iter().find(|one| one.handheld.is_none_or(|of| of == device))
    }
}
