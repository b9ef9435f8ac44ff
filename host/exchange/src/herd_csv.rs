//! The herd list as a text table.
//!
//! ```text
//! number;tag;name;born              first line: column names, in any order
//! 312;276000312312345;Berta;2021-04-17
//! 313;;;                            all but the number may be empty
//! ```
//!
//! UTF-8 with or without a byte order mark, or Windows-1252 (Latin-1) where that is said; lines end
//! with LF or CR LF; cells are separated by comma, semicolon or tab (the one that the first line
//! has most of), quoted where needed. Columns: `number` (1 to 9 digits, required), `tag` (15 digits
//! of ISO 11784), `official` (see [`super::official`]), `name`, `born` and `calved` (2021-04-17 or
//! 17.04.2021), `breed`, `lactation` (0 to 30), `group`. Where a file calls them otherwise, a
//! mapping says how. Other columns are named in the answer and ignored. A column that the file does
//! not have stays as it was.
//!
//! All or nothing: an error names line and column, and then nothing is imported.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{AnimalNumber, HerdNumber, Iso11784};
use jiff::civil::Date;

use super::countries::is_tag_code;
use super::error::ImportError;
use super::herd_merge::Field;
use super::official::official;
use hornrule_facts::text::is_unseen;
use hornrule_facts::{AnimalId, Day, ListedAnimal};

/// What the file calls our columns, by our name; theirs in lower case.
pub type Headings = BTreeMap<String, String>;

/// How the file's bytes are letters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8.
    #[default]
    Utf8,
    /// Windows-1252, which holds all printed letters of Latin-1 (ISO 8859-1) at their places.
    Windows1252,
}

/// A herd list as read.
#[derive(Debug)]
pub(super) struct File {
    pub(super) cows: Vec<ListedAnimal>,
    pub(super) has: BTreeSet<Field>,
    pub(super) ignored: Vec<String>,
}

/// The required column.
pub const NUMBER: &str = "number";
/// Blanks that no name ends with: what a cell holds beyond this is a slip.
const MOST_TEXT: usize = hornrule_facts::text::NAME;

/// Whether we have a column of that name.
#[must_use]
pub fn is_column(name: &str) -> bool {
    name == NUMBER || Field::ALL.iter().any(|field| field.key() == name)
}

/// Windows-1252 from 0x80 to 0x9F; five places are empty.
const HIGH: &str = "€\u{81}‚ƒ„…†‡ˆ‰Š‹Œ\u{8D}Ž\u{8F}\u{90}‘’“”•–—˜™š›œ\u{9D}žŸ";

fn letters(bytes: &[u8], encoding: Encoding) -> Result<String, ImportError> {
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(ImportError::Wide);
    }
    match encoding {
        Encoding::Utf8 => {
            let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
            core::str::from_utf8(bytes).map(str::to_owned).map_err(|error| {
                let good = &bytes[..error.valid_up_to()];
                let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
                ImportError::NotText { line: line as u64 }
            })
        }
        Encoding::Windows1252 => Ok(bytes
            .iter()
            .map(|byte| match byte {
                0x80..=0x9F => HIGH.chars().nth(usize::from(byte - 0x80)).unwrap_or('?'),
                // The other places are those of Unicode.
                _ => char::from(*byte),
            })
            .collect()),
    }
}

fn delimiter(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    let count = |separator: char| first.chars().filter(|c| *c == separator).count();
    // The last of equals: a comma where there is none of them.
    let all = [('\t', b'\t'), (';', b';'), (',', b',')];
    all.into_iter().max_by_key(|(separator, _)| count(*separator)).map_or(b',', |(_, byte)| byte)
}

pub(super) fn parse(
    bytes: &[u8],
    encoding: Encoding,
    headings: &Headings,
) -> Result<File, ImportError> {
    let text = letters(bytes, encoding)?;
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter(&text))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let columns: Vec<String> =
        reader.headers().map_err(unreadable)?.iter().map(str::to_lowercase).collect();
    if columns.iter().all(String::is_empty) {
        return Err(ImportError::Empty);
    }
    let place = places(&columns, headings)?;
    let ignored = columns.iter().enumerate().filter(|(at, _)| !place.values().any(|one| one == at));
    let ignored: Vec<String> =
        ignored.map(|(_, name)| name.clone()).filter(|name| !name.is_empty()).collect();
    let has = Field::ALL.into_iter().filter(|field| place.contains_key(field.key())).collect();
    let mut file = File { cows: Vec::new(), has, ignored };
    let (mut numbers, mut tags, mut officials) =
        (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
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
            once(&mut tags, tag, line, Field::Tag.key())?;
        }
        if let Some(official) = &cow.official {
            once(&mut officials, official.clone(), line, Field::Official.key())?;
        }
        file.cows.push(cow);
    }
    Ok(file)
}

type Places = BTreeMap<&'static str, usize>;

/// Where each of our columns stands: where the mapping says, else under our own name.
fn places(columns: &[String], headings: &Headings) -> Result<Places, ImportError> {
    let mut place = Places::new();
    for known in [NUMBER].into_iter().chain(Field::ALL.map(Field::key)) {
        let mapped = headings.get(known).map(String::as_str);
        // Our name belongs to the column that it is mapped to, not to another that happens to have
        // it.
        let name = mapped.unwrap_or(known);
        let mut at = (0..columns.len()).filter(|i| columns[*i] == name);
        match (at.next(), mapped) {
            (Some(first), _) => {
                if let Some((other, _)) = place.iter().find(|(_, at)| **at == first) {
                    let (column, other) = (name.to_owned(), (*other).to_owned());
                    return Err(ImportError::MappedTwice { column, one: other, other: known });
                }
                place.insert(known, first);
            }
            (None, Some(heading)) => {
                return Err(ImportError::NoColumn {
                    field: known,
                    heading: heading.to_owned(),
                    found: columns.join(", "),
                });
            }
            (None, None) => {}
        }
        if at.next().is_some() {
            return Err(ImportError::ColumnTwice { column: name.to_owned() });
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
    /// The cell in a column; empty if the file or the line does not have it.
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
    let number = Some(cell(NUMBER)).filter(|text| digits(text));
    let number = number.and_then(|text| text.parse().ok()).and_then(HerdNumber::new);
    let number = number.ok_or_else(wrong(NUMBER, "is no herd number of 1 to 9 digits"))?;
    let animal = AnimalId::from_number(AnimalNumber::Herd(number))
        .ok_or_else(wrong(NUMBER, "is no herd number of 1 to 9 digits"))?;
    let official = match cell(Field::Official.key()) {
        "" => None,
        text => Some(official(text).map_err(|why| line.wrong(Field::Official.key(), why))?),
    };
    let lactation = match cell(Field::Lactation.key()) {
        "" => None,
        text => {
            let number = digits(text).then(|| text.parse().ok()).flatten();
            let number = number.filter(|number| *number <= 30);
            let why = "is no lactation number from 0 to 30";
            Some(number.ok_or_else(wrong(Field::Lactation.key(), why))?)
        }
    };
    Ok(ListedAnimal {
        tag: tag(line)?,
        name: line.text(Field::Name)?,
        born: line.day(Field::Born)?,
        official,
        breed: line.text(Field::Breed)?,
        lactation,
        calved: line.day(Field::Calved)?,
        pen: line.text(Field::Group)?,
        ..ListedAnimal::numbered(animal)
    })
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

fn tag(line: &Line<'_>) -> Result<Option<Iso11784>, ImportError> {
    let column = Field::Tag.key();
    let text: String = line.cell(column).chars().filter(|c| *c != ' ').collect();
    if text.is_empty() {
        return Ok(None);
    }
    let number: Option<u64> =
        (digits(&text) && text.len() == 15).then(|| text.parse().ok()).flatten();
    let number =
        number.ok_or_else(|| line.wrong(column, "is no electronic tag number of 15 digits"))?;
    let tag = Iso11784::from_decimal(number).map_err(|_| {
        line.wrong(column, "has more behind its country than 274877906943, which no tag holds")
    })?;
    if !is_tag_code(tag.country()) {
        let why = "does not begin with the three digits of a country (ISO 3166-1) or of a maker of \
                   tags (900 and more)";
        return Err(line.wrong(column, why));
    }
    Ok(Some(tag))
}

impl Line<'_> {
    fn text(&self, field: Field) -> Result<Option<String>, ImportError> {
        let text = self.cell(field.key());
        if text.chars().count() > MOST_TEXT {
            return Err(
                self.wrong(field.key(), "is longer than 100 letters; look for a lost quote")
            );
        }
        if text.contains(['\n', '\r']) {
            return Err(
                self.wrong(field.key(), "goes over more than one line; look for a lost quote")
            );
        }
        if text.chars().any(is_unseen) {
            return Err(self.wrong(field.key(), "holds a control character; remove it"));
        }
        Ok(Some(text).filter(|text| !text.is_empty()).map(str::to_owned))
    }

    /// 2021-04-17 or 17.04.2021. With slashes, the month is ambiguous.
    fn day(&self, field: Field) -> Result<Option<Day>, ImportError> {
        let text = self.cell(field.key());
        if text.is_empty() {
            return Ok(None);
        }
        let iso = |text: &str| (text.len() == 10).then(|| text.parse::<Date>().ok()).flatten();
        let dotted = || {
            let mut parts = text.split('.');
            let (day, month, year) = (parts.next()?, parts.next()?, parts.next()?);
            let fits =
                parts.next().is_none() && year.len() == 4 && month.len() <= 2 && day.len() <= 2;
            fits.then(|| iso(&format!("{year}-{month:0>2}-{day:0>2}"))).flatten()
        };
        let date = iso(text).or_else(dotted).ok_or_else(|| {
            self.wrong(field.key(), "is no date; write it like 2021-04-17 or 17.04.2021")
        })?;
        Ok(Some(Day::from_date(date)))
    }
}

/// Only two things can go wrong while reading from memory with cells of any number.
fn unreadable(error: csv::Error) -> ImportError {
    let line = error.position().map_or(1, csv::Position::line);
    match error.into_kind() {
        csv::ErrorKind::Io(error) => ImportError::Read(error),
        _ => ImportError::NotText { line },
    }
}
