//! A table as CSV: UTF-8, comma, a first line of names, quotes where needed, line feed. Text that a
//! spreadsheet would take for a formula has an apostrophe in front; numbers stay numbers.

use super::{Cell, Table, TableError, decimal};
use crate::extract::utc;
use hornrule_facts::text::guarded;

impl Table {
    /// The text.
    ///
    /// # Errors
    /// `Made`, which writing into memory does not do.
    pub fn csv(&self) -> Result<Vec<u8>, TableError> {
        let head = self.columns.iter().map(|column| column.name.to_owned()).collect();
        let rows = self.rows.iter().map(|row| row.iter().map(in_csv).collect());
        lines(std::iter::once(head).chain(rows))
    }
}

/// Lines of cells as CSV: the only writer of it in this room.
///
/// # Errors
/// As [`Table::csv`], and for lines that have not as many cells as the first.
pub(crate) fn lines(lines: impl Iterator<Item = Vec<String>>) -> Result<Vec<u8>, TableError> {
    let made = |error: csv::Error| TableError::Made(error.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    for line in lines {
        writer.write_record(line).map_err(made)?;
    }
    writer.into_inner().map_err(|error| TableError::Made(error.to_string()))
}

fn in_csv(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => guarded(text).into_owned(),
        other => other.in_text(),
    }
}

impl Cell {
    /// As text; empty for none.
    #[must_use]
    pub fn in_text(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.clone(),
            Self::Whole(number) => number.to_string(),
            Self::Mm(length) => decimal(length.0.into(), 6),
            Self::Seconds(ms) => decimal(*ms, 3),
            Self::Real(number) => number.to_string(),
            Self::Day(day) => day.to_string(),
            Self::Time(at) => utc(*at),
            Self::Flag(flag) => flag.to_string(),
        }
    }
}
