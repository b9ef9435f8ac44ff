//! The herd list as a text table.
//!
//! ```text
//! number;tag;name;born              first line: column names, in any order
//! 312;276000312312345;Berta;2021-04-17
//! 313;;;                            all but the number may be empty
//! ```
//!
//! UTF-8, with or without a byte order mark; cells separated by comma or semicolon (the one that
//! the first line has more of), quoted where needed. `number`: 1 to 9 digits, required. `tag`: 15
//! digits of ISO 11784. `born`: YYYY-MM-DD. Other columns are named in the answer and ignored. A
//! column that the file does not have stays as it was.
//!
//! All or nothing: an error names line and column, and then nothing is imported. Cows that are not
//! in the file any more are kept with `in_herd` 0, because their records are.

use std::collections::BTreeMap;
use std::io::Read;

use hornrule_protocol::{AnimalNumber, HerdNumber, Iso11784};
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::error::ImportError;
use crate::herd::{AnimalId, Day, Fault, Herd, HerdError, HerdId, ListedAnimal, ListedHerd, Rows};
use crate::intake::{rebuild_rows, recheck_rows};

/// Which herd a list is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    /// The farm's name; a new one makes a new herd.
    pub name: String,
    /// The digit keyed to start a visit there, 1 to 9; `None` leaves it as it is.
    pub farm: Option<u8>,
    /// IANA time zone, for example `Europe/Berlin`.
    pub zone: String,
}

/// What an import did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imported {
    /// The herd.
    pub herd: HerdId,
    /// Cows that were not in the list.
    pub added: u32,
    /// Cows whose tag, name, birth or presence is another now.
    pub changed: u32,
    /// Cows that are as they were.
    pub same: u32,
    /// Cows that were in the herd and are not in the file.
    pub left: u32,
    /// Columns that were ignored.
    pub ignored: Vec<String>,
}

/// Imports a herd list, and brings the herd tables in line with it.
///
/// # Errors
/// [`ImportError`]; nothing is imported then.
pub fn import_herd(
    herd: &mut Herd,
    target: &Target,
    list: impl Read,
) -> Result<Imported, ImportError> {
    let file = read(target, list)?;
    herd.write::<_, HerdError>(|rows| write(rows, target, &file))?
}

/// What an import would do; writes nothing. A herd that is not there yet has number 0.
///
/// # Errors
/// [`ImportError`], as the import itself.
pub fn preview_herd(
    herd: &Herd,
    target: &Target,
    list: impl Read,
) -> Result<Imported, ImportError> {
    let file = read(target, list)?;
    let herds = herd.herds()?;
    check_farm(&herds, target)?;
    let there = herds.iter().find(|herd| herd.name == target.name.trim());
    let of = there.map_or(HerdId(0), |there| there.herd);
    let before = if there.is_some() { herd.animals(of)? } else { Vec::new() };
    Ok(merge(of, &before, &file).1)
}

/// Holds the target to what can be, and reads the list.
fn read(target: &Target, mut list: impl Read) -> Result<File, ImportError> {
    if target.name.trim().is_empty() {
        return Err(ImportError::NoName);
    }
    if TimeZone::get(&target.zone).is_err() {
        return Err(ImportError::Zone { zone: target.zone.clone() });
    }
    if let Some(farm) = target.farm.filter(|farm| !(1..=9).contains(farm)) {
        return Err(ImportError::FarmDigit { farm });
    }
    let mut text = Vec::new();
    list.read_to_end(&mut text)?;
    parse(&text)
}

/// A digit is one herd's.
fn check_farm(herds: &[ListedHerd], target: &Target) -> Result<(), ImportError> {
    let taken = |herd: &&ListedHerd| herd.farm == target.farm && herd.name != target.name.trim();
    match (target.farm, herds.iter().find(taken)) {
        (Some(farm), Some(other)) => Err(ImportError::FarmTaken { farm, name: other.name.clone() }),
        (Some(_), None) | (None, _) => Ok(()),
    }
}

fn write(
    rows: &Rows<'_>,
    target: &Target,
    file: &File,
) -> Result<Result<Imported, ImportError>, Fault> {
    let herds = rows.herds()?;
    let name = target.name.trim();
    let there = herds.iter().find(|herd| herd.name == name);
    // Looked at before anything is written: what is written in this transaction stays.
    if let Err(taken) = check_farm(&herds, target) {
        return Ok(Err(taken));
    }
    let (herd, placed_anew) = match there {
        Some(there) => {
            let farm = target.farm.or(there.farm);
            rows.update_herd(there.herd, farm, &target.zone)?;
            (there.herd, farm != there.farm || target.zone != there.zone)
        }
        None => (rows.insert_herd(name, target.farm, &target.zone)?, true),
    };
    let before = rows.animals(herd)?;
    let (after, imported) = merge(herd, &before, file);
    rows.write_animals(herd, &after)?;
    // Numbers and tags say who is meant, digit and zone say which farm and day: all that is derived
    // anew. Anything else only matters to what is asked of the herd's history.
    let cows = |list: &[ListedAnimal]| -> Vec<_> {
        list.iter().map(|one| (one.animal, one.tag)).collect()
    };
    if placed_anew || cows(&before) != cows(&after) {
        rebuild_rows(rows)?;
    }
    recheck_rows(rows, herd)?;
    Ok(Ok(imported))
}

/// The list as it stands after the import, and what that changes.
fn merge(herd: HerdId, before: &[ListedAnimal], file: &File) -> (Vec<ListedAnimal>, Imported) {
    let mut imported =
        Imported { herd, added: 0, changed: 0, same: 0, left: 0, ignored: file.ignored.clone() };
    let old: BTreeMap<AnimalId, &ListedAnimal> =
        before.iter().map(|one| (one.animal, one)).collect();
    let mut after = Vec::new();
    for cow in &file.cows {
        let mut new = cow.clone();
        match old.get(&cow.animal) {
            None => imported.added += 1,
            Some(old) => {
                // A column that the file lacks stays as it was.
                new.tag = if file.has.tag { new.tag } else { old.tag };
                new.name = if file.has.name { new.name } else { old.name.clone() };
                new.born = if file.has.born { new.born } else { old.born };
                if new == **old {
                    imported.same += 1;
                } else {
                    imported.changed += 1;
                }
            }
        }
        after.push(new);
    }
    let in_file: BTreeMap<AnimalId, ()> = file.cows.iter().map(|cow| (cow.animal, ())).collect();
    let taken: Vec<Iso11784> = after.iter().filter_map(|one| one.tag).collect();
    for gone in before.iter().filter(|one| !in_file.contains_key(&one.animal)) {
        if gone.in_herd {
            imported.left += 1;
        }
        // A cow that was given another number took her tag with her.
        let tag = gone.tag.filter(|tag| !taken.contains(tag));
        after.push(ListedAnimal { in_herd: false, tag, ..gone.clone() });
    }
    after.sort_by_key(|one| one.animal);
    (after, imported)
}

/// Which optional columns a file has.
#[derive(Clone, Copy, Debug, Default)]
struct Has {
    tag: bool,
    name: bool,
    born: bool,
}

/// A herd list as read.
#[derive(Debug)]
struct File {
    cows: Vec<ListedAnimal>,
    has: Has,
    ignored: Vec<String>,
}

const NUMBER: &str = "number";
const TAG: &str = "tag";
const NAME: &str = "name";
const BORN: &str = "born";
const KNOWN: [&str; 4] = [NUMBER, TAG, NAME, BORN];

fn parse(text: &[u8]) -> Result<File, ImportError> {
    let text = text.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(text);
    let first = text.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let count = |separator| first.iter().filter(|byte| **byte == separator).count();
    let delimiter = if count(b';') > count(b',') { b';' } else { b',' };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text);
    let columns: Vec<String> =
        reader.headers().map_err(unreadable)?.iter().map(str::to_lowercase).collect();
    if columns.iter().all(String::is_empty) {
        return Err(ImportError::Empty);
    }
    let place = places(&columns)?;
    let ignored = columns.iter().filter(|name| !KNOWN.contains(&name.as_str()));
    let has = Has {
        tag: place.contains_key(TAG),
        name: place.contains_key(NAME),
        born: place.contains_key(BORN),
    };
    let ignored = ignored.filter(|name| !name.is_empty()).cloned().collect();
    let mut file = File { cows: Vec::new(), has, ignored };
    let mut numbers = BTreeMap::new();
    let mut tags = BTreeMap::new();
    for record in reader.records() {
        let record = record.map_err(unreadable)?;
        let line = record.position().map_or(0, csv::Position::line);
        if record.iter().all(str::is_empty) {
            continue;
        }
        if record.iter().skip(columns.len()).any(|cell| !cell.is_empty()) {
            return Err(ImportError::TooManyCells { line });
        }
        let cow = cow(&Line { line, place: &place, cells: &record })?;
        once(&mut numbers, cow.animal, line, NUMBER)?;
        if let Some(tag) = cow.tag {
            once(&mut tags, tag, line, TAG)?;
        }
        file.cows.push(cow);
    }
    Ok(file)
}

/// Where each known column stands.
fn places(columns: &[String]) -> Result<BTreeMap<&'static str, usize>, ImportError> {
    let mut place = BTreeMap::new();
    for known in KNOWN {
        let mut at = (0..columns.len()).filter(|i| columns[*i] == known);
        if let Some(first) = at.next() {
            place.insert(known, first);
        }
        if at.next().is_some() {
            return Err(ImportError::ColumnTwice { column: known.to_owned() });
        }
    }
    if place.contains_key(NUMBER) {
        Ok(place)
    } else {
        Err(ImportError::NoNumber { found: columns.join(", ") })
    }
}

fn once<T: Ord + ToString>(
    seen: &mut BTreeMap<T, u64>,
    value: T,
    line: u64,
    column: &'static str,
) -> Result<(), ImportError> {
    if let Some(first) = seen.get(&value) {
        return Err(ImportError::Twice { line, column, value: value.to_string(), first: *first });
    }
    seen.insert(value, line);
    Ok(())
}

/// One line of the file.
struct Line<'a> {
    line: u64,
    place: &'a BTreeMap<&'static str, usize>,
    cells: &'a csv::StringRecord,
}

impl<'a> Line<'a> {
    /// What stands in a column; empty where the file or the line does not have it.
    fn cell(&self, column: &str) -> &'a str {
        self.place.get(column).and_then(|at| self.cells.get(*at)).unwrap_or_default()
    }

    fn wrong(&self, column: &'static str, why: &'static str) -> ImportError {
        let value = self.cell(column).to_owned();
        ImportError::Cell { line: self.line, column, value, why }
    }
}

fn cow(line: &Line<'_>) -> Result<ListedAnimal, ImportError> {
    let cell = |column| line.cell(column);
    let wrong = |column, why| move || line.wrong(column, why);
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let number = Some(cell(NUMBER)).filter(|text| digits(text));
    let number = number.and_then(|text| text.parse().ok()).and_then(HerdNumber::new);
    let number = number.ok_or_else(wrong(NUMBER, "is no herd number of 1 to 9 digits"))?;
    let animal = AnimalId::from_number(AnimalNumber::Herd(number))
        .ok_or_else(wrong(NUMBER, "is no herd number of 1 to 9 digits"))?;
    let tag: String = cell(TAG).chars().filter(|c| *c != ' ').collect();
    let tag = if tag.is_empty() {
        None
    } else {
        let number = (digits(&tag) && tag.len() == 15).then(|| tag.parse().ok()).flatten();
        let tag = number.and_then(|number| Iso11784::from_decimal(number).ok());
        let tag = tag.filter(|tag| tag.country() != 0);
        Some(tag.ok_or_else(wrong(TAG, "is no electronic tag number of 15 digits"))?)
    };
    let born = match cell(BORN) {
        "" => None,
        text => {
            let date = (text.len() == 10).then(|| text.parse::<Date>().ok()).flatten();
            let date = date.ok_or_else(wrong(BORN, "is no date; write it like 2021-04-17"))?;
            Some(Day::from_date(date))
        }
    };
    let name = Some(cell(NAME)).filter(|name| !name.is_empty()).map(str::to_owned);
    Ok(ListedAnimal { animal, tag, name, born, in_herd: true })
}

/// Only two things can go wrong while reading from memory with cells of any number.
fn unreadable(error: csv::Error) -> ImportError {
    let line = error.position().map_or(1, csv::Position::line);
    match error.into_kind() {
        csv::ErrorKind::Io(error) => ImportError::Read(error),
        _ => ImportError::NotText { line },
    }
}

#[cfg(test)]
mod tests;
