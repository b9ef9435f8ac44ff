//! What a table's columns are, for programs (Table Schema of Frictionless) and for people (rows of
//! a dictionary).

use serde_json::{Value, json};

use super::{Cell, Column, Kind, Table};

/// The dictionary's own columns.
const DICTIONARY: &[Column] = &[
    Column::new("table", Kind::Text, "the table the column is in"),
    Column::new("column", Kind::Text, "the column's name"),
    Column::new("type", Kind::Text, "string, integer, number, date, datetime or boolean"),
    Column::new("unit", Kind::Text, "the unit of its values").or_empty(),
    Column::new("needed", Kind::Flag, "whether every row has a value"),
    Column::new("meaning", Kind::Text, "what it means"),
    Column::new("values", Kind::Text, "the only values there are, joined by a bar").or_empty(),
];

const fn type_of(kind: Kind) -> &'static str {
    match kind {
        Kind::Text => "string",
        Kind::Whole => "integer",
        Kind::Mm | Kind::Seconds | Kind::Real => "number",
        Kind::Day => "date",
        Kind::Time => "datetime",
        Kind::Flag => "boolean",
    }
}

/// A value as the schema lists it: of its column's type.
fn listed(cell: &Cell) -> Value {
    match cell {
        Cell::Whole(number) => json!(number),
        other => json!(other.in_text()),
    }
}

/// A Table Schema.
#[must_use]
pub fn schema(table: &Table) -> Value {
    let field = |column: &Column| {
        let mut field = json!({
            "name": column.name,
            "type": type_of(column.kind),
            "description": column.means,
            "constraints": { "required": column.needed },
        });
        if !column.unit.is_empty() {
            field["unit"] = json!(column.unit);
        }
        let values = (column.values)();
        if !values.is_empty() {
            field["constraints"]["enum"] = values.iter().map(listed).collect();
        }
        field
    };
    json!({
        "fields": table.columns.iter().map(field).collect::<Vec<_>>(),
        "missingValues": [""],
    })
}

/// Every column of every table, and of the dictionary itself.
#[must_use]
pub fn dictionary(tables: &[&Table]) -> Table {
    let row = |name: &str, column: &Column| {
        let or_empty = |text: &str| Cell::maybe((!text.is_empty()).then_some(text), Cell::text);
        let values: Vec<String> = (column.values)().iter().map(Cell::in_text).collect();
        vec![
            Cell::text(name),
            Cell::text(column.name),
            Cell::text(type_of(column.kind)),
            or_empty(column.unit),
            Cell::Flag(column.needed),
            Cell::text(column.means),
            or_empty(&values.join("|")),
        ]
    };
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for table in tables {
        rows.extend(table.columns.iter().map(|column| row(table.name, column)));
    }
    rows.extend(DICTIONARY.iter().map(|column| row("dictionary", column)));
    Table { name: "dictionary", columns: DICTIONARY, rows }
}
