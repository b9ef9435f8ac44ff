//! Animals of ADE into the herd list, by the path of a list in CSV.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use serde_json::{Map, Value};

use super::NUMBER_SCHEME;
use crate::error::several;
use crate::herd_csv::{IN_THE_FUTURE, tag_of, wrong_text};
use crate::herd_merge::How;
use crate::table::{TableError, lines};
use crate::{HowToRead, ImportError, Imported, Target, import_herd_seen, preview_herd_as};
use hornrule_facts::Day;
use hornrule_herd::Database;

const ANIMAL: &str = "icarAnimalCoreResource";
/// The list's columns.
const HEAD: [&str; 4] = ["number", "tag", "name", "born"];
/// Schemes of 15-digit tags.
const TAGS: [&str; 2] = ["std.iso.11785", "std.iso.11784"];

/// Why a file of animals was not imported.
#[derive(Debug, thiserror::Error)]
pub enum AdeError {
    /// Not JSON.
    #[error("line {line}, column {column} is not JSON: {why}; ask the sender for a new file")]
    NotJson {
        /// The line.
        line: usize,
        /// The column.
        column: usize,
        /// What the reader says.
        why: String,
    },
    /// JSON, but no animals.
    #[error(
        "the file holds no animals; it must be an icarAnimalCoreCollection with `member`, an array \
         of icarAnimalCoreResource, or a single one"
    )]
    NoAnimals,
    /// An animal that cannot be taken.
    #[error("animal {at} in the file ({who}): {what}")]
    Animal {
        /// Which, from 1.
        at: usize,
        /// Her identifier, as far as there is one.
        who: String,
        /// What is wrong, and what to try.
        what: String,
    },
    /// Several of them, in the order of the file.
    #[error("{}", several(.0))]
    Several(Vec<AdeError>),
    /// The herd list.
    #[error(transparent)]
    Import(#[from] ImportError),
    /// Its list cannot be made: a fault of the program.
    #[error(transparent)]
    Table(#[from] TableError),
}

/// A file of animals, read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Animals {
    /// The list that it makes, as CSV.
    list: Vec<u8>,
    /// Why it is a part of the herd only; `None` for a whole list.
    pub part: Option<Part>,
    /// Animals that are dead or not on the farm any more.
    pub gone: u32,
    /// Animals that are no cattle.
    pub other_species: u32,
    today: Option<Day>,
}

/// Why a file is a part of the herd only, so that it removes nobody.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// A page of a collection: how many animals it holds, and how many there are if it says so.
    Page {
        /// On this page.
        held: u64,
        /// In the collection.
        total: Option<u64>,
    },
    /// A single animal.
    Single,
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Page { held, total: Some(total) } => {
                write!(f, "the file holds {held} of {total} animals")
            }
            Self::Page { held, total: None } => {
                write!(f, "the file is one page of several, with {held} animals")
            }
            Self::Single => f.write_str("the file is a single animal"),
        }
    }
}

impl Animals {
    /// Reads a file. `zone` is the farm's time zone, `today` the day it is there: no birth is after
    /// it.
    ///
    /// # Errors
    /// [`AdeError`], with all mistakes.
    pub fn read(text: &str, zone: &str, today: Option<Day>) -> Result<Self, AdeError> {
        let zone = TimeZone::get(zone).map_err(|_| ImportError::Zone { zone: zone.to_owned() })?;
        let file: Value =
            serde_json::from_str(text.trim_start_matches('\u{feff}')).map_err(|error| {
                let why = error.to_string();
                // serde_json ends its words with the place, which is said already.
                let why = why.split(" at line ").next().unwrap_or_default().to_owned();
                AdeError::NotJson { line: error.line(), column: error.column(), why }
            })?;
        let animals = animals(&file)?;
        let List { rows, gone, other_species } = list(animals, &zone, today)?;
        let part = part(&file, animals.len() as u64);
        Ok(Self { list: lines(rows.into_iter())?, part, gone, other_species, today })
    }

    fn reading(&self) -> HowToRead {
        let how = How { part: self.part.is_some(), ..How::default() };
        HowToRead { how, today: self.today, ..HowToRead::default() }
    }

    /// What an import would do; writes nothing.
    ///
    /// # Errors
    /// [`ImportError`], as the import itself.
    pub fn preview(&self, herd: &Database, target: &Target) -> Result<Imported, ImportError> {
        preview_herd_as(herd, target, &self.reading(), self.list.as_slice())
    }

    /// Imports it, if that still does what the preview said.
    ///
    /// # Errors
    /// [`ImportError`]; nothing is imported then.
    pub fn import(
        &self,
        herd: &mut Database,
        target: &Target,
        seen: &Imported,
    ) -> Result<Imported, ImportError> {
        import_herd_seen(herd, target, &self.reading(), seen, self.list.as_slice())
    }
}

/// Whether a file promises more than it holds.
fn part(file: &Value, held: u64) -> Option<Part> {
    let Value::Object(collection) = file else { return None };
    if !collection.contains_key("member") {
        return Some(Part::Single);
    }
    let view = collection.get("view")?;
    let number = |key| view.get(key).and_then(Value::as_u64);
    let total = number("totalItems").filter(|total| *total > held);
    let pages = ["totalPages", "currentPage"].into_iter().filter_map(number).any(|n| n > 1);
    let is_link = |value: &Value| !matches!(value, Value::Null) && value != "";
    let links = ["next", "prev"].into_iter().filter_map(|key| view.get(key)).any(is_link);
    (total.is_some() || pages || links).then_some(Part::Page { held, total })
}

/// The animals of a collection, of an array, or the only one.
fn animals(file: &Value) -> Result<&[Value], AdeError> {
    let array = match file {
        Value::Array(animals) => animals.as_slice(),
        Value::Object(one) => match one.get("member") {
            Some(Value::Array(animals)) => animals.as_slice(),
            Some(_) => return Err(AdeError::NoAnimals),
            None if one.contains_key("identifier") => std::slice::from_ref(file),
            None => return Err(AdeError::NoAnimals),
        },
        _ => return Err(AdeError::NoAnimals),
    };
    if array.is_empty() { Err(AdeError::NoAnimals) } else { Ok(array) }
}

/// The list's lines, and what is not in it.
struct List {
    rows: Vec<Vec<String>>,
    gone: u32,
    other_species: u32,
}

fn list(animals: &[Value], zone: &TimeZone, today: Option<Day>) -> Result<List, AdeError> {
    let mut list = List { rows: vec![HEAD.map(str::to_owned).to_vec()], gone: 0, other_species: 0 };
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut mistakes = Vec::new();
    for (at, animal) in (1..).zip(animals) {
        let who = who(animal);
        let wrong = |what: String| AdeError::Animal { at, who: who.clone(), what };
        let (number, tag, name, born) = match Cow::read(animal, zone, today) {
            Ok(Cow::Gone) => {
                list.gone += 1;
                continue;
            }
            Ok(Cow::OtherSpecies) => {
                list.other_species += 1;
                continue;
            }
            Ok(Cow::Here { number, tag, name, born }) => (number, tag, name, born),
            Err(all) => {
                mistakes.extend(all.into_iter().map(wrong));
                continue;
            }
        };
        let marks =
            [Some(format!("herd number {number}")), tag.clone().map(|t| format!("tag {t}"))];
        for one in marks.into_iter().flatten() {
            match seen.get(&one) {
                Some(first) => mistakes.push(wrong(format!(
                    "{one} is that of animal {first} too; correct one of them"
                ))),
                None => {
                    seen.insert(one, at);
                }
            }
        }
        let born = born.map_or(String::new(), |date| date.to_string());
        let cells = [number, tag.unwrap_or_default(), name.unwrap_or_default(), born];
        list.rows.push(cells.to_vec());
    }
    match mistakes.len() {
        0 => Ok(list),
        1 => Err(mistakes.remove(0)),
        _ => Err(AdeError::Several(mistakes)),
    }
}

/// An animal of the file, as far as the herd list goes.
enum Cow {
    Gone,
    OtherSpecies,
    Here { number: String, tag: Option<String>, name: Option<String>, born: Option<Date> },
}

impl Cow {
    /// # Errors
    /// All that is wrong with her.
    fn read(animal: &Value, zone: &TimeZone, today: Option<Day>) -> Result<Self, Vec<String>> {
        let alone = |why: String| vec![why];
        let Value::Object(animal) = animal else {
            return Err(alone("not a JSON object; ask the sender for a new file".to_owned()));
        };
        if let Some(skipped) = Self::skipped(animal).map_err(alone)? {
            return Ok(skipped);
        }
        let names = names(animal).map_err(alone)?;
        let mut wrong = Vec::new();
        let number = number(animal, &names).map_err(|why| wrong.push(why)).ok();
        let tag = names.iter().find(|(scheme, _)| TAGS.contains(scheme)).map(|(_, id)| *id);
        let tag = tag.and_then(|id| match tag_of(id) {
            Ok(tag) => Some(format!("{:015}", tag.decimal())),
            Err(why) => {
                wrong.push(format!("the tag `{id}` {why}"));
                None
            }
        });
        let name = text(animal, "name").map_err(|why| wrong.push(why)).ok().flatten();
        let name = name.map(str::trim).filter(|name| !name.is_empty());
        if let Some(why) = name.and_then(wrong_text) {
            wrong.push(format!("its `name` {why}"));
        }
        let born = born_of(animal, zone, today).map_err(|why| wrong.push(why)).ok().flatten();
        match number {
            Some(number) if wrong.is_empty() => {
                Ok(Self::Here { number, tag, name: name.map(str::to_owned), born })
            }
            _ => Err(wrong),
        }
    }

    /// Whether she is passed over.
    fn skipped(animal: &Map<String, Value>) -> Result<Option<Self>, String> {
        match text(animal, "resourceType")? {
            Some(ANIMAL) => {}
            Some(other) => {
                return Err(format!("it is a `{other}`; only `{ANIMAL}` makes a herd list"));
            }
            None => return Err(format!("its `resourceType` is missing; it should be `{ANIMAL}`")),
        }
        if text(animal, "specie")?.is_some_and(|species| species != "Cattle") {
            return Ok(Some(Self::OtherSpecies));
        }
        let gone = matches!(text(animal, "status")?, Some("Dead" | "OffFarm"));
        Ok(gone.then_some(Self::Gone))
    }
}

/// The farm's own number, without leading zeros.
fn number(animal: &Map<String, Value>, names: &[(&str, &str)]) -> Result<String, String> {
    let number = match text(animal, "managementTag")? {
        Some(number) => Some(number.trim()),
        None => names.iter().find(|(s, _)| s.ends_with(NUMBER_SCHEME)).map(|(_, id)| *id),
    };
    let number = number.filter(|number| is_number(number)).ok_or(
        "it has no herd number of 1 to 9 digits in `managementTag`; give the farm's own number \
         there",
    )?;
    Ok(number.trim_start_matches('0').to_owned())
}

fn born_of(
    animal: &Map<String, Value>,
    zone: &TimeZone,
    today: Option<Day>,
) -> Result<Option<Date>, String> {
    let Some(text) = text(animal, "birthDate")? else { return Ok(None) };
    let born = born_on(text, zone)?;
    if today.is_some_and(|today| Day::from_date(born) > today) {
        return Err(format!("`birthDate` `{text}` {IN_THE_FUTURE}"));
    }
    Ok(Some(born))
}

/// 1 to 9 digits, not only zeros; leading zeros are no part of the number.
fn is_number(text: &str) -> bool {
    let digits = text.bytes().all(|byte| byte.is_ascii_digit());
    digits && (1..=9).contains(&text.trim_start_matches('0').len())
}

/// A date, or the day a time falls on: its own where it is midnight UTC, else the farm's.
fn born_on(text: &str, zone: &TimeZone) -> Result<Date, String> {
    let wrong = || format!("`birthDate` is `{text}`; write it like 2021-04-17T00:00:00Z");
    if text.len() == 10 {
        return text.parse().map_err(|_| wrong());
    }
    let at: Timestamp = text.parse().map_err(|_| wrong())?;
    let utc = TimeZone::UTC.to_datetime(at);
    let there = if utc.time() == Time::midnight() { utc } else { zone.to_datetime(at) };
    Ok(there.date())
}

/// Scheme and id of every name of an animal, her own first.
fn names(animal: &Map<String, Value>) -> Result<Vec<(&str, &str)>, String> {
    let one = animal.get("identifier").ok_or("its `identifier` is missing")?;
    let more = match animal.get("alternativeIdentifiers") {
        None | Some(Value::Null) => &[],
        Some(Value::Array(more)) => more.as_slice(),
        Some(_) => return Err("its `alternativeIdentifiers` are no array".to_owned()),
    };
    std::iter::once(one).chain(more).map(named).collect()
}

/// Scheme and id of an identifier.
fn named(one: &Value) -> Result<(&str, &str), String> {
    let part = |key| one.get(key).and_then(Value::as_str);
    let both = part("scheme").zip(part("id"));
    both.ok_or_else(|| "an identifier lacks `scheme` or `id`; both are text".to_owned())
}

/// A field of text; `None` where it is missing or `null`.
fn text<'a>(animal: &'a Map<String, Value>, field: &str) -> Result<Option<&'a str>, String> {
    match animal.get(field) {
        None | Some(Value::Null) => Ok(None),
        Some(Value::String(text)) => Ok(Some(text)),
        Some(_) => Err(format!("its `{field}` is no text; put it in quotes")),
    }
}

/// What an error calls an animal.
fn who(animal: &Value) -> String {
    let identifier = animal.get("identifier");
    let id = identifier.and_then(|one| one.get("id")).and_then(Value::as_str);
    let tag = animal.get("managementTag").and_then(Value::as_str);
    let name = id.or(tag).unwrap_or("without an identifier");
    // Names come from elsewhere: no line ends and no whole page in an error.
    name.chars().filter(|c| !c.is_control()).take(40).collect()
}
