//! A table as Parquet, by the low-level column writer: no Arrow, and none of its types in our API.

use std::sync::Arc;

use parquet::basic::Compression;
use parquet::data_type::{
    BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int32Type, Int64Type,
};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::parser::parse_message_type;

use super::{Cell, Column, Kind, Table, TableError};
use crate::extract::SOFTWARE;

impl From<ParquetError> for TableError {
    fn from(error: ParquetError) -> Self {
        Self::Made(error.to_string())
    }
}

impl Table {
    /// The file's bytes.
    ///
    /// # Errors
    /// `Column` and `Made`, both faults of the program.
    pub fn parquet(&self) -> Result<Vec<u8>, TableError> {
        let schema = Arc::new(parse_message_type(&self.message())?);
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_created_by(SOFTWARE.to_owned())
            .build();
        let mut writer = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties))?;
        let mut group = writer.next_row_group()?;
        for (at, column) in self.columns.iter().enumerate() {
            let missing = || TableError::Made(format!("no column {}", column.name));
            let mut to = group.next_column()?.ok_or_else(missing)?;
            self.column(at, column, &mut to)?;
            to.close()?;
        }
        group.close()?;
        Ok(writer.into_inner()?)
    }

    /// The schema in Parquet's own words.
    fn message(&self) -> String {
        let field = |column: &Column| {
            let needed = if column.needed { "REQUIRED" } else { "OPTIONAL" };
            let (physical, logical) = match column.kind {
                Kind::Text => ("BYTE_ARRAY", " (STRING)"),
                Kind::Whole => ("INT64", ""),
                Kind::Mm | Kind::Seconds | Kind::Real => ("DOUBLE", ""),
                Kind::Day => ("INT32", " (DATE)"),
                Kind::Time => ("INT64", " (TIMESTAMP(MILLIS,true))"),
                Kind::Flag => ("BOOLEAN", ""),
            };
            format!("{needed} {physical} {}{logical};", column.name)
        };
        let fields: Vec<String> = self.columns.iter().map(field).collect();
        format!("message {} {{ {} }}", self.name.replace('-', "_"), fields.join(" "))
    }

    fn column(
        &self,
        at: usize,
        column: &Column,
        to: &mut SerializedColumnWriter<'_>,
    ) -> Result<(), TableError> {
        let wrong = || TableError::Column { table: self.name, column: column.name };
        let cells = || self.rows.iter().map(|row| &row[at]);
        let empty = cells().any(|cell| *cell == Cell::Empty);
        if column.needed && empty {
            return Err(wrong());
        }
        // Level 1: a value; 0: none. A needed column has no levels.
        let levels: Option<Vec<i16>> =
            (!column.needed).then(|| cells().map(|cell| i16::from(*cell != Cell::Empty)).collect());
        let levels = levels.as_deref();
        let there = || cells().filter(|cell| **cell != Cell::Empty);
        match column.kind {
            Kind::Text => write::<ByteArrayType>(to, levels, there(), wrong, |cell| match cell {
                Cell::Text(text) => Some(ByteArray::from(text.as_str())),
                _ => None,
            }),
            Kind::Whole => write::<Int64Type>(to, levels, there(), wrong, |cell| match cell {
                Cell::Whole(number) => Some(*number),
                _ => None,
            }),
            Kind::Mm | Kind::Seconds | Kind::Real => {
                write::<DoubleType>(to, levels, there(), wrong, Cell::real)
            }
            Kind::Day => write::<Int32Type>(to, levels, there(), wrong, |cell| match cell {
                Cell::Day(day) => Some(day.0),
                _ => None,
            }),
            Kind::Time => write::<Int64Type>(to, levels, there(), wrong, |cell| match cell {
                Cell::Time(at) => Some(*at),
                _ => None,
            }),
            Kind::Flag => write::<BoolType>(to, levels, there(), wrong, |cell| match cell {
                Cell::Flag(flag) => Some(*flag),
                _ => None,
            }),
        }
    }
}

impl Cell {
    /// As a number with a point; `None` for what is none.
    #[expect(clippy::cast_precision_loss, reason = "285,000 years of milliseconds are exact")]
    pub(super) fn real(&self) -> Option<f64> {
        match self {
            Self::Mm(length) => Some(length.as_mm()),
            Self::Seconds(ms) => Some(*ms as f64 / 1000.0),
            Self::Real(number) => Some(*number),
            _ => None,
        }
    }
}

fn write<'a, T: DataType>(
    to: &mut SerializedColumnWriter<'_>,
    levels: Option<&[i16]>,
    cells: impl Iterator<Item = &'a Cell>,
    wrong: impl Fn() -> TableError,
    value: impl Fn(&Cell) -> Option<T::T>,
) -> Result<(), TableError> {
    let values: Vec<T::T> =
        cells.map(|cell| value(cell).ok_or_else(&wrong)).collect::<Result<_, _>>()?;
    to.typed::<T>().write_batch(&values, levels, None)?;
    Ok(())
}
