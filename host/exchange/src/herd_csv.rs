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
//! All or nothing: every mistake is told with line and column, and then nothing is imported.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{AnimalNumber, HerdNumber, Iso11784};
use jiff::civil::Date;

use super::countries::is_tag_code;
use super::error::ImportError;
use super::herd_lines::Lines;
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
/// Letters of a cell that an error shows.
const MOST_SHOWN: usize = 60;

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
            core::str::from_utf8(bytes).map(str::to_owned).map_err(|error| ImportError::NotText {
                line: Lines::new(bytes).of(error.valid_up_to()),
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
    today: Option<Day>,
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
    let mut rows = Rows { today, ..Rows::default() };
    let mut lines = Lines::new(text.as_bytes());
    for record in reader.records() {
        let record = record.map_err(unreadable)?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        let start = record.position().map_or(0, csv::Position::byte);
        let line = lines.of(usize::try_from(start).unwrap_or(usize::MAX));
        if record.iter().skip(columns.len()).any(|cell| !cell.is_empty()) {
            rows.mistakes.push(ImportError::TooManyCells { line });
            continue;
        }
        rows.take(&Line { line, place: &place, cells: &record });
    }
    match ImportError::all(rows.mistakes) {
        Some(mistakes) => Err(mistakes),
        None => Ok(File { cows: rows.cows, has, ignored }),
    }
}

/// Rows as far as they are read.
#[derive(Default)]
struct Rows {
    today: Option<Day>,
    cows: Vec<ListedAnimal>,
    numbers: BTreeMap<AnimalId, u64>,
    tags: BTreeMap<Iso11784, u64>,
    officials: BTreeMap<String, u64>,
    mistakes: Vec<ImportError>,
}

type Places = BTreeMap<&'static str, usize>;

/// Where each of our columns stands: where the mapping says, else under our own name.
fn places(columns: &[String], headings: &Headings) -> Result<Places, ImportError> {
    let (mut place, mut mistakes) = (Places::new(), Vec::new());
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
                    mistakes.push(ImportError::MappedTwice { column, one: other, other: known });
                }
                place.insert(known, first);
            }
            (None, Some(heading)) => mistakes.push(ImportError::NoColumn {
                field: known,
                heading: heading.to_owned(),
                found: columns.join(", "),
            }),
            (None, None) if known == NUMBER => {
                mistakes.push(ImportError::NoNumber { found: columns.join(", ") });
            }
            (None, None) => {}
        }
        if at.next().is_some() {
            mistakes.push(ImportError::ColumnTwice { column: name.to_owned() });
        }
    }
    ImportError::all(mistakes).map_or(Ok(place), Err)
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

    fn wrong(&self, column: &'static str, why: &str) -> ImportError {
        // A lost quote puts the rest of the file into one cell.
        let text = self.cell(column);
        let mut value: String =
            text.chars().take(MOST_SHOWN).map(|c| if c.is_control() { ' ' } else { c }).collect();
        if text.chars().count() > MOST_SHOWN {
            value.push('…');
        }
        ImportError::Cell { line: self.line, column, value, why: why.to_owned() }
    }
}

impl Rows {
    /// The value, or nothing and one mistake more.
    fn keep<T: Default>(&mut self, read: Result<T, ImportError>) -> T {
        read.unwrap_or_else(|mistake| {
            self.mistakes.push(mistake);
            T::default()
        })
    }

    /// One row, with all that is wrong in it.
    fn take(&mut self, line: &Line<'_>) {
        let animal = self.keep(number(line).map(Some));
        let tag = self.keep(line.tag());
        let official = self.keep(line.official());
        let cow = ListedAnimal {
            tag,
            name: self.keep(line.text(Field::Name)),
            born: self.keep(line.day(Field::Born, self.today)),
            breed: self.keep(line.text(Field::Breed)),
            lactation: self.keep(line.lactation()),
            calved: self.keep(line.day(Field::Calved, self.today)),
            pen: self.keep(line.text(Field::Group)),
            ..ListedAnimal::numbered(animal.unwrap_or(AnimalId(0)))
        };
        if cow.born.zip(cow.calved).is_some_and(|(born, calved)| calved < born) {
            self.mistakes.push(line.wrong(Field::Calved.key(), "is before the birth"));
        }
        let at = line.line;
        if let Some(tag) = tag {
            let twice = once(&mut self.tags, tag, at, Field::Tag.key());
            self.keep(twice);
        }
        if let Some(official) = &official {
            let twice = once(&mut self.officials, official.clone(), at, Field::Official.key());
            self.keep(twice);
        }
        let Some(animal) = animal else { return };
        let twice = once(&mut self.numbers, animal, at, NUMBER);
        self.keep(twice);
        self.cows.push(ListedAnimal { official, ..cow });
    }
}

fn number(line: &Line<'_>) -> Result<AnimalId, ImportError> {
    let number = Some(line.cell(NUMBER)).filter(|text| digits(text));
    let number = number.and_then(|text| text.parse().ok()).and_then(HerdNumber::new);
    let animal = number.and_then(|number| AnimalId::from_number(AnimalNumber::Herd(number)));
    animal.ok_or_else(|| line.wrong(NUMBER, "is no herd number of 1 to 9 digits"))
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// The 15 digits of an electronic tag, blanks between them allowed.
///
/// # Errors
/// What is wrong with it.
pub(super) fn tag_of(text: &str) -> Result<Iso11784, &'static str> {
    let text: String = text.chars().filter(|c| *c != ' ').collect();
    let number: Option<u64> =
        (digits(&text) && text.len() == 15).then(|| text.parse().ok()).flatten();
    let number = number.ok_or("is no electronic tag number of 15 digits")?;
    let tag = Iso11784::from_decimal(number)
        .map_err(|_| "has more behind its country than 274877906943, which no tag holds")?;
    if is_tag_code(tag.country()) {
        Ok(tag)
    } else {
        Err("does not begin with the three digits of a country (ISO 3166-1) or of a maker of tags \
             (900 and more)")
    }
}

/// What is wrong with a name, a breed or a group; `None` where nothing is.
pub(super) fn wrong_text(text: &str) -> Option<&'static str> {
    if text.chars().count() > MOST_TEXT {
        Some("is longer than 100 letters")
    } else if text.contains(['\n', '\r']) {
        Some("goes over more than one line")
    } else if text.chars().any(is_unseen) {
        Some("holds a control character; remove it")
    } else {
        None
    }
}

/// What is wrong with a day of the past.
pub(super) const IN_THE_FUTURE: &str = "is in the future; look at the year, and at the clock of \
                                        this computer";

impl Line<'_> {
    fn text(&self, field: Field) -> Result<Option<String>, ImportError> {
        let text = self.cell(field.key());
        match wrong_text(text) {
            Some(why) => Err(self.wrong(field.key(), &format!("{why}; look for a lost quote"))),
            None => Ok(Some(text).filter(|text| !text.is_empty()).map(str::to_owned)),
        }
    }

    fn tag(&self) -> Result<Option<Iso11784>, ImportError> {
        let column = Field::Tag.key();
        match self.cell(column).trim() {
            "" => Ok(None),
            text => tag_of(text).map(Some).map_err(|why| self.wrong(column, why)),
        }
    }

    fn official(&self) -> Result<Option<String>, ImportError> {
        let column = Field::Official.key();
        match self.cell(column) {
            "" => Ok(None),
            text => official(text).map(Some).map_err(|why| self.wrong(column, why)),
        }
    }

    fn lactation(&self) -> Result<Option<u8>, ImportError> {
        let column = Field::Lactation.key();
        let text = self.cell(column);
        if text.is_empty() {
            return Ok(None);
        }
        let number = digits(text).then(|| text.parse().ok()).flatten();
        let number = number.filter(|number| *number <= 30);
        number.map(Some).ok_or_else(|| self.wrong(column, "is no lactation number from 0 to 30"))
    }

    /// 2021-04-17 or 17.04.2021. With slashes, the month is ambiguous.
    fn day(&self, field: Field, today: Option<Day>) -> Result<Option<Day>, ImportError> {
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
        let day = Day::from_date(date);
        if today.is_some_and(|today| day > today) {
            return Err(self.wrong(field.key(), IN_THE_FUTURE));
        }
        Ok(Some(day))
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
