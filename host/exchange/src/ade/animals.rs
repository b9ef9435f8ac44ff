//! Animals of ADE into the herd list, by the path of a list in CSV.

use std::collections::BTreeMap;

use hornrule_protocol::Iso11784;
use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use serde_json::{Map, Value};

use super::NUMBER_SCHEME;
use crate::table::{TableError, lines};
use crate::{ImportError, Imported, Target, import_herd, preview_herd};
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
    /// The herd list.
    #[error(transparent)]
    Import(#[from] ImportError),
    /// Its list cannot be made: a fault of the program.
    #[error(transparent)]
    Table(#[from] TableError),
}

/// What became of a file of animals.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// What the herd list says.
    pub imported: Imported,
    /// Animals that are dead or not on the farm any more.
    pub gone: u32,
    /// Animals that are no cattle.
    pub other_species: u32,
}

/// Imports the animals of a file, or with `dry_run` only says what that would do.
///
/// # Errors
/// [`AdeError`]; nothing is imported then.
pub fn import_animals(
    herd: &mut Database,
    target: &Target,
    text: &str,
    dry_run: bool,
) -> Result<Taken, AdeError> {
    let zone =
        TimeZone::get(&target.zone).map_err(|_| ImportError::Zone { zone: target.zone.clone() })?;
    let file: Value =
        serde_json::from_str(text.trim_start_matches('\u{feff}')).map_err(|error| {
            let why = error.to_string();
            // serde_json ends its words with the place, which is said already.
            let why = why.split(" at line ").next().unwrap_or_default().to_owned();
            AdeError::NotJson { line: error.line(), column: error.column(), why }
        })?;
    let List { rows, gone, other_species } = list(animals(&file)?, &zone)?;
    let csv = lines(rows.into_iter())?;
    let imported = if dry_run {
        preview_herd(herd, target, csv.as_slice())?
    } else {
        import_herd(herd, target, csv.as_slice())?
    };
    Ok(Taken { imported, gone, other_species })
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

fn list(animals: &[Value], zone: &TimeZone) -> Result<List, AdeError> {
    let mut list = List { rows: vec![HEAD.map(str::to_owned).to_vec()], gone: 0, other_species: 0 };
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for (at, animal) in (1..).zip(animals) {
        let who = who(animal);
        let wrong = |what: String| AdeError::Animal { at, who: who.clone(), what };
        let cow = Cow::read(animal, zone).map_err(wrong)?;
        match cow {
            Cow::Gone => list.gone += 1,
            Cow::OtherSpecies => list.other_species += 1,
            Cow::Here { number, tag, name, born } => {
                for one in
                    [Some(format!("herd number {number}")), tag.clone().map(|t| format!("tag {t}"))]
                        .into_iter()
                        .flatten()
                {
                    if let Some(first) = seen.get(&one) {
                        let what =
                            format!("{one} is that of animal {first} too; correct one of them");
                        return Err(wrong(what));
                    }
                    seen.insert(one, at);
                }
                let born = born.map_or(String::new(), |date| date.to_string());
                let cells = [number, tag.unwrap_or_default(), name.unwrap_or_default(), born];
                list.rows.push(cells.to_vec());
            }
        }
    }
    Ok(list)
}

/// An animal of the file, as far as the herd list goes.
enum Cow {
    Gone,
    OtherSpecies,
    Here { number: String, tag: Option<String>, name: Option<String>, born: Option<Date> },
}

impl Cow {
    fn read(animal: &Value, zone: &TimeZone) -> Result<Self, String> {
        let Value::Object(animal) = animal else {
            return Err("not a JSON object; ask the sender for a new file".to_owned());
        };
        match text(animal, "resourceType")? {
            Some(ANIMAL) => {}
            Some(other) => {
                return Err(format!("it is a `{other}`; only `{ANIMAL}` makes a herd list"));
            }
            None => return Err(format!("its `resourceType` is missing; it should be `{ANIMAL}`")),
        }
        if text(animal, "specie")?.is_some_and(|species| species != "Cattle") {
            return Ok(Self::OtherSpecies);
        }
        if matches!(text(animal, "status")?, Some("Dead" | "OffFarm")) {
            return Ok(Self::Gone);
        }
        let names = names(animal)?;
        let number = match text(animal, "managementTag")? {
            Some(number) => Some(number.trim()),
            None => names.iter().find(|(s, _)| s.ends_with(NUMBER_SCHEME)).map(|(_, id)| *id),
        };
        let number = number.filter(|number| is_number(number)).ok_or(
            "it has no herd number of 1 to 9 digits in `managementTag`; give the farm's own \
             number there",
        )?;
        let tag = names.iter().find(|(scheme, _)| TAGS.contains(scheme)).map(|(_, id)| *id);
        let tag = tag.map(tag_of).transpose()?;
        let name = text(animal, "name")?.map(str::trim).filter(|name| !name.is_empty());
        if name.is_some_and(|name| name.contains(['\n', '\r'])) {
            return Err("its `name` has several lines; leave one".to_owned());
        }
        let born = text(animal, "birthDate")?.map(|born| born_on(born, zone)).transpose()?;
        let number = number.trim_start_matches('0').to_owned();
        Ok(Self::Here { number, tag, name: name.map(str::to_owned), born })
    }
}

/// 1 to 9 digits, not only zeros; leading zeros are no part of the number.
fn is_number(text: &str) -> bool {
    let digits = text.bytes().all(|byte| byte.is_ascii_digit());
    digits && (1..=9).contains(&text.trim_start_matches('0').len())
}

fn tag_of(id: &str) -> Result<String, String> {
    let digits: String = id.chars().filter(|c| *c != ' ').collect();
    let number = (digits.len() == 15).then(|| digits.parse().ok()).flatten();
    let tag = number.and_then(|number| Iso11784::from_decimal(number).ok());
    match tag.filter(|tag| tag.country() != 0) {
        Some(tag) => Ok(tag.to_string()),
        None => Err(format!("`{id}` is no electronic tag number of 15 digits")),
    }
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
