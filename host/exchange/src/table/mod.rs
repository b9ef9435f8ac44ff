//! A table with typed columns, and its sister writers: one definition of the columns serves the
//! file, its schema and its dictionary.
//!
//! ```text
//! Table --csv------> UTF-8, comma, RFC 4180
//!       --parquet--> one row group, snappy
//!       --xlsx-----> one sheet of a workbook
//!       --schema---> Table Schema (JSON), and rows of a dictionary
//! ```

mod csv;
mod parquet;
mod schema;
mod xlsx;

#[cfg(test)]
mod tests;

pub(crate) use csv::lines;
pub use schema::{dictionary, schema};
pub use xlsx::workbook;

use hornrule_protocol::Nanometres;

use hornrule_facts::Day;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A length: whole nanometres, shown as millimetres without rounding.
    Mm,
    /// A span: whole milliseconds, shown as seconds.
    Seconds,
    /// A number of statistics.
    Real,
    /// A day.
    Day,
    /// A moment: UTC milliseconds since 1970-01-01.
    Time,
    /// Yes or no.
    Flag,
}

/// A column.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its name, for programs: lower case, words joined by `_`.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// The unit of its values; empty where they have none.
    pub unit: &'static str,
    /// Whether every row has a value.
    pub needed: bool,
    /// What it means.
    pub means: &'static str,
    /// The only values there are; none where any will do. A function, so that a code table can say
    /// them: a list of our own would fall behind it.
    pub values: fn() -> Vec<Cell>,
}

impl Column {
    /// A column whose every row has a value.
    #[must_use]
    pub const fn new(name: &'static str, kind: Kind, means: &'static str) -> Self {
        let unit = match kind {
            Kind::Mm => "mm",
            Kind::Seconds => "s",
            Kind::Text | Kind::Whole | Kind::Real | Kind::Day | Kind::Time | Kind::Flag => "",
        };
        Self { name, kind, unit, needed: true, means, values: Vec::new }
    }

    /// The same, where rows may lack a value.
    #[must_use]
    pub const fn or_empty(self) -> Self {
        Self { needed: false, ..self }
    }

    /// The same, in a unit.
    #[must_use]
    pub const fn unit(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    /// The same, with these values only.
    #[must_use]
    pub const fn of(self, values: fn() -> Vec<Cell>) -> Self {
        Self { values, ..self }
    }
}

/// A value. Its kind is its column's; [`Cell::Empty`] fits a column that may lack one.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// None.
    Empty,
    /// Text.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// A length.
    Mm(Nanometres),
    /// Milliseconds.
    Seconds(i64),
    /// A number of statistics.
    Real(f64),
    /// A day.
    Day(Day),
    /// UTC milliseconds.
    Time(i64),
    /// Yes or no.
    Flag(bool),
}

impl Cell {
    /// Text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A value where there is one.
    pub fn maybe<T>(value: Option<T>, cell: impl FnOnce(T) -> Self) -> Self {
        value.map_or(Self::Empty, cell)
    }
}

/// A table.
#[derive(Clone, Debug)]
pub struct Table {
    /// Its name: of the file without its end, or of the sheet.
    pub name: &'static str,
    /// Its columns.
    pub columns: &'static [Column],
    /// Its rows, each with a cell a column.
    pub rows: Vec<Vec<Cell>>,
}

/// Why a table was not written.
#[derive(Debug, thiserror::Error)]
pub enum TableError {
    /// More rows than a sheet holds.
    #[error(
        "sheet {sheet} would have {rows} rows, and a sheet holds {most}; choose fewer days with \
         --from and --to"
    )]
    TooLong {
        /// Which.
        sheet: &'static str,
        /// How many rows it would have.
        rows: usize,
        /// How many it may have.
        most: usize,
    },
    /// A cell that does not fit its column: a fault of the program.
    #[error(
        "column {column} of {table} holds the wrong type; this is a fault in the program, \
             please report it"
    )]
    Column {
        /// The table.
        table: &'static str,
        /// The column.
        column: &'static str,
    },
    /// A library refused: a fault of the program.
    #[error("the file cannot be written: {0}")]
    Made(String),
}

/// Whole units of 10^-`places`, exactly, without zeros at the end.
fn decimal(value: i64, places: u32) -> String {
    let one = 10u64.pow(places);
    let (whole, rest) = (value.unsigned_abs() / one, value.unsigned_abs() % one);
    let sign = if value < 0 { "-" } else { "" };
    let rest = format!("{rest:0width$}", width = places as usize);
    match rest.trim_end_matches('0') {
        "" => format!("{sign}{whole}"),
        rest => format!("{sign}{whole}.{rest}"),
    }
}
