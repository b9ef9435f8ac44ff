//! Tables through their writers, and back where a reader is at hand. `host/exchange-check` reads
//! them with other people's programs.

use hornrule_protocol::Nanometres;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use proptest::prelude::*;

use super::{Cell, Column, Kind, Table, TableError, decimal, dictionary, schema, workbook};
use hornrule_facts::Day;

const COLUMNS: &[Column] = &[
    Column::new("text", Kind::Text, "words").or_empty(),
    Column::new("whole", Kind::Whole, "a number").or_empty(),
    Column::new("length_mm", Kind::Mm, "a length"),
    Column::new("within_s", Kind::Seconds, "a span").or_empty(),
    Column::new("mean", Kind::Real, "a mean").unit("mm").or_empty(),
    Column::new("day", Kind::Day, "a day").or_empty(),
    Column::new("time_utc", Kind::Time, "a moment").or_empty(),
    Column::new("flag", Kind::Flag, "yes or no").or_empty(),
    Column::new("side", Kind::Text, "a side")
        .of(|| vec![Cell::text("lateral"), Cell::text("medial")]),
];

fn table() -> Table {
    let full = vec![
        Cell::text("a \"b\", c\nd"),
        Cell::Whole(-7),
        Cell::Mm(Nanometres(75_012_700)),
        Cell::Seconds(1_481),
        Cell::Real(0.1 + 0.2),
        Cell::Day(Day(-1)),
        Cell::Time(-1),
        Cell::Flag(true),
        Cell::text("medial"),
    ];
    let mut bare = vec![Cell::Empty; COLUMNS.len()];
    bare[2] = Cell::Mm(Nanometres(-1));
    bare[8] = Cell::text("lateral");
    Table { name: "two-rows", columns: COLUMNS, rows: vec![full, bare] }
}

#[test]
fn csv_quotes_what_must_be_and_rounds_nothing() {
    let text = String::from_utf8(table().csv().unwrap()).unwrap();
    let expected = "text,whole,length_mm,within_s,mean,day,time_utc,flag,side\n\
        \"a \"\"b\"\", c\nd\",-7,75.0127,1.481,0.30000000000000004,1969-12-31,\
        1969-12-31T23:59:59.999Z,true,medial\n\
        ,,-0.000001,,,,,,lateral\n";
    assert_eq!(text, expected);
}

/// By the Parquet crate's own record reader, which shares nothing with our column writer but the
/// format.
#[test]
fn parquet_comes_back_as_it_was() {
    let bytes = table().parquet().unwrap();
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
    let rows: Vec<_> = reader.get_row_iter(None).unwrap().map(Result::unwrap).collect();
    let fields = |at: usize| -> Vec<Field> {
        rows[at].get_column_iter().map(|(_, field)| field.clone()).collect()
    };
    let full = vec![
        Field::Str("a \"b\", c\nd".to_owned()),
        Field::Long(-7),
        Field::Double(75.0127),
        Field::Double(1.481),
        Field::Double(0.1 + 0.2),
        Field::Date(-1),
        Field::TimestampMillis(-1),
        Field::Bool(true),
        Field::Str("medial".to_owned()),
    ];
    assert_eq!(fields(0), full);
    let mut bare = vec![Field::Null; COLUMNS.len()];
    bare[2] = Field::Double(-0.000_001);
    bare[8] = Field::Str("lateral".to_owned());
    assert_eq!(fields(1), bare);
    assert_eq!(table().parquet().unwrap(), table().parquet().unwrap());
}

#[test]
fn a_table_without_rows_is_a_table() {
    let empty = Table { rows: Vec::new(), ..table() };
    let reader = SerializedFileReader::new(bytes::Bytes::from(empty.parquet().unwrap())).unwrap();
    assert_eq!(reader.metadata().file_metadata().num_rows(), 0);
    assert_eq!(empty.csv().unwrap().iter().filter(|byte| **byte == b'\n').count(), 1);
    assert!(!workbook(&[empty], 0).unwrap().is_empty());
}

#[test]
fn a_cell_of_another_kind_is_refused() {
    for (at, column) in COLUMNS.iter().enumerate() {
        let mut wrong = table();
        wrong.rows[0][at] =
            if column.kind == Kind::Whole { Cell::Flag(true) } else { Cell::Whole(1) };
        let refused =
            |error| matches!(error, TableError::Column { column: told, .. } if told == column.name);
        assert!(refused(wrong.parquet().unwrap_err()), "{}", column.name);
        assert!(refused(workbook(&[wrong], 0).unwrap_err()), "{}", column.name);
    }
    let mut lacking = table();
    lacking.rows[0][2] = Cell::Empty;
    assert!(lacking.parquet().is_err() && workbook(&[lacking], 0).is_err());
}

#[test]
fn a_sheet_that_is_too_long_is_refused() {
    let long = Table { name: "long", columns: &[], rows: vec![Vec::new(); 1_048_576] };
    let told = workbook(&[long], 0).unwrap_err().to_string();
    assert!(told.contains("long would have 1048576 rows") && told.contains("--from"), "{told}");
}

#[test]
fn a_workbook_says_the_same_bytes_and_any_time() {
    for made in [i64::MIN, -1, 0, 1_772_532_167_000, i64::MAX] {
        assert_eq!(workbook(&[table()], made).unwrap(), workbook(&[table()], made).unwrap());
    }
    // Days no sheet's calendar has.
    let mut far = table();
    far.rows[0][5] = Cell::Day(Day(i32::MAX));
    far.rows[0][6] = Cell::Time(i64::MIN);
    assert!(workbook(&[far], 0).is_ok());
}

#[test]
fn schema_and_dictionary_say_what_the_columns_are() {
    let table = table();
    let schema = schema(&table);
    assert_eq!(schema["fields"].as_array().unwrap().len(), COLUMNS.len());
    assert_eq!(schema["fields"][2]["unit"], "mm");
    assert_eq!(schema["fields"][2]["constraints"]["required"], true);
    assert_eq!(schema["fields"][8]["constraints"]["enum"][1], "medial");
    let dictionary = dictionary(&[&table]);
    assert!(dictionary.rows.iter().all(|row| row.len() == dictionary.columns.len()));
    assert_eq!(dictionary.rows.len(), COLUMNS.len() + dictionary.columns.len());
    assert!(dictionary.parquet().is_ok());
}

/// A number is listed as a number: a program that reads the schema looks for its column's type.
#[test]
fn numbers_are_listed_as_numbers() {
    const WAY: &[Column] =
        &[Column::new("way", Kind::Whole, "a way").of(|| vec![Cell::Whole(1), Cell::Whole(12)])];
    let table = Table { name: "ways", columns: WAY, rows: Vec::new() };
    assert_eq!(schema(&table)["fields"][0]["constraints"]["enum"], serde_json::json!([1, 12]));
    assert_eq!(dictionary(&[&table]).rows[0][6], Cell::text("1|12"));
}

proptest! {
    /// The digits are the number's own, the point moved.
    #[test]
    fn decimals_are_exact(value in any::<i64>(), places in 1u32..=9) {
        let text = decimal(value, places);
        let (whole, rest) = text.split_once('.').unwrap_or((&text, ""));
        prop_assert!(!rest.ends_with('0'));
        let digits = format!("{whole}{rest:0<width$}", width = places as usize);
        prop_assert_eq!(digits.parse::<i128>().unwrap(), i128::from(value));
    }
}
