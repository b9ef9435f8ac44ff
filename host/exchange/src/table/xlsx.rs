//! Tables as the sheets of a workbook: frozen heading, filter, typed cells, units in the heading.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

use super::{Cell, Column, Kind, Table, TableError};

/// Rows that a sheet holds below its heading.
const MOST_ROWS: usize = 1_048_575;
/// Widths of columns, in characters.
const WIDTH: std::ops::RangeInclusive<usize> = 6..=48;
/// Rows that are looked at for a column's width.
const LOOKED_AT: usize = 200;
/// 1900-03-01 and 10000-01-01 in milliseconds: what a sheet's calendar has without its false leap
/// day.
const CALENDAR: std::ops::Range<i64> = -2_203_891_200_000..253_402_300_800_000;
const DAY_MS: i64 = 86_400_000;

impl From<XlsxError> for TableError {
    fn from(error: XlsxError) -> Self {
        Self::Made(error.to_string())
    }
}

/// The formats of a workbook's cells.
struct Looks {
    head: Format,
    day: Format,
    time: Format,
    mm: Format,
    whole: Format,
}

impl Looks {
    fn new() -> Self {
        Self {
            head: Format::new().set_bold().set_text_wrap(),
            day: Format::new().set_num_format("yyyy-mm-dd"),
            time: Format::new().set_num_format("yyyy-mm-dd hh:mm:ss"),
            mm: Format::new().set_num_format("0.00####"),
            // Without it a tag of 15 digits shows as 9.99E+14.
            whole: Format::new().set_num_format("0"),
        }
    }
}

/// The workbook's bytes. `made_ms` is what it says of when it was made, UTC milliseconds: the
/// newest row's time, so that the same database gives the same bytes.
///
/// # Errors
/// [`TableError`].
pub fn workbook(tables: &[Table], made_ms: i64) -> Result<Vec<u8>, TableError> {
    let mut workbook = Workbook::new();
    let made_s = made_ms.clamp(0, CALENDAR.end - 1) / 1000;
    let made = ExcelDateTime::from_timestamp(made_s)?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&made));
    let looks = Looks::new();
    for table in tables {
        let too_long =
            TableError::TooLong { sheet: table.name, rows: table.rows.len(), most: MOST_ROWS };
        if table.rows.len() > MOST_ROWS {
            return Err(too_long);
        }
        fill(workbook.add_worksheet(), table, &looks)?;
    }
    Ok(workbook.save_to_buffer()?)
}

fn fill(sheet: &mut Worksheet, table: &Table, looks: &Looks) -> Result<(), TableError> {
    sheet.set_name(table.name)?;
    sheet.set_freeze_panes(1, 0)?;
    for (at, column) in (0u16..).zip(table.columns) {
        let head = heading(column);
        let cells = table.rows.iter().take(LOOKED_AT).map(|row| &row[usize::from(at)]);
        let longest = cells.map(shown_width).max().unwrap_or(0).max(head.chars().count() + 2);
        let width = longest.clamp(*WIDTH.start(), *WIDTH.end());
        // At most 48.
        sheet.set_column_width(at, u8::try_from(width).unwrap_or(u8::MAX))?;
        sheet.write_string_with_format(0, at, head, &looks.head)?;
    }
    for (row, cells) in (1u32..).zip(&table.rows) {
        for ((at, cell), column) in (0u16..).zip(cells).zip(table.columns) {
            if !fits(cell, column) {
                return Err(TableError::Column { table: table.name, column: column.name });
            }
            put(sheet, (row, at), cell, looks)?;
        }
    }
    if let (Ok(rows), Ok(columns)) =
        (u32::try_from(table.rows.len()), u16::try_from(table.columns.len()))
    {
        sheet.autofilter(0, 0, rows, columns.saturating_sub(1))?;
    }
    Ok(())
}

/// Name and unit: "length [mm]".
fn heading(column: &Column) -> String {
    // A name says its unit for programs; the heading says it in brackets.
    let name = column.name.strip_suffix("_mm").unwrap_or(column.name);
    let name = name.strip_suffix("_s").filter(|_| column.unit == "s").unwrap_or(name);
    let name = name.strip_suffix("_utc").unwrap_or(name).replace('_', " ");
    match (column.kind, column.unit) {
        (Kind::Time, "") => format!("{name} [UTC]"),
        (_, "") => name,
        (_, unit) => format!("{name} [{unit}]"),
    }
}

fn shown_width(cell: &Cell) -> usize {
    match cell {
        Cell::Time(_) => 20,
        other => other.in_text().chars().count() + 1,
    }
}

const fn fits(cell: &Cell, column: &Column) -> bool {
    match (cell, column.kind) {
        (Cell::Empty, _) => !column.needed,
        (Cell::Text(_), Kind::Text)
        | (Cell::Whole(_), Kind::Whole)
        | (Cell::Mm(_), Kind::Mm)
        | (Cell::Seconds(_), Kind::Seconds)
        | (Cell::Real(_), Kind::Real)
        | (Cell::Day(_), Kind::Day)
        | (Cell::Time(_), Kind::Time)
        | (Cell::Flag(_), Kind::Flag) => true,
        _ => false,
    }
}

fn put(
    sheet: &mut Worksheet,
    (row, at): (u32, u16),
    cell: &Cell,
    looks: &Looks,
) -> Result<(), XlsxError> {
    match cell {
        Cell::Empty => {}
        Cell::Text(text) => {
            sheet.write_string(row, at, text)?;
        }
        // A sheet's numbers are floats: whole to 2^53, and no number of ours is larger.
        Cell::Whole(number) => {
            #[expect(clippy::cast_precision_loss, reason = "as above")]
            sheet.write_number_with_format(row, at, *number as f64, &looks.whole)?;
        }
        Cell::Mm(length) => {
            sheet.write_number_with_format(row, at, length.as_mm(), &looks.mm)?;
        }
        Cell::Seconds(_) | Cell::Real(_) => {
            sheet.write_number(row, at, cell.real().unwrap_or_default())?;
        }
        Cell::Day(day) => date(sheet, (row, at), cell, i64::from(day.0) * DAY_MS, &looks.day)?,
        Cell::Time(at_ms) => date(sheet, (row, at), cell, *at_ms, &looks.time)?,
        Cell::Flag(flag) => {
            sheet.write_boolean(row, at, *flag)?;
        }
    }
    Ok(())
}

/// A date where the sheet's calendar has it, else its text.
fn date(
    sheet: &mut Worksheet,
    (row, at): (u32, u16),
    cell: &Cell,
    ms: i64,
    look: &Format,
) -> Result<(), XlsxError> {
    if CALENDAR.contains(&ms) {
        // Days since 1899-12-30, as sheets count from March 1900 on; 25,569 is 1970-01-01. To
        // milliseconds this is exact to a tenth of a microsecond.
        #[expect(clippy::cast_precision_loss, reason = "a calendar's milliseconds are exact")]
        let serial = 25_569.0 + ms as f64 / DAY_MS as f64;
        sheet.write_number_with_format(row, at, serial, look)?;
    } else {
        sheet.write_string(row, at, cell.in_text())?;
    }
    Ok(())
}
