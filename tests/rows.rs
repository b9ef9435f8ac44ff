//! All rows of a database, for comparing two.

use std::fmt::Write as _;
use std::path::Path;

use rusqlite::Connection;
use rusqlite::types::ValueRef;

/// Tables about the pulls themselves or the program, not about what was pulled.
const OF_PULLS: [&str; 4] = ["pull", "anchor", "migration", "threshold"];
/// Columns about how accurately a pull placed something in time, or which pull it was.
const OF_TIME: [&str; 2] = ["uncertainty_ms", "pull"];

/// Every row of every table that depends only on what was pulled, sorted.
#[must_use]
pub fn dump(path: &Path) -> String {
    dump_without(path, &[])
}

/// The same without these columns.
#[must_use]
pub fn dump_without(path: &Path, columns: &[&str]) -> String {
    let conn = Connection::open(path).unwrap();
    let mut tables: Vec<String> = conn
        .prepare("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    tables.retain(|table| !OF_PULLS.contains(&table.as_str()));
    assert!(tables.len() > 8, "the tables have been renamed: {tables:?}");
    let mut text = String::new();
    for table in tables {
        writeln!(text, "== {table}").unwrap();
        for row in rows(&conn, &table, columns) {
            writeln!(text, "{row}").unwrap();
        }
    }
    text
}

/// How many rows a table has.
#[must_use]
pub fn count(path: &Path, table: &str) -> usize {
    rows(&Connection::open(path).unwrap(), table, &[]).len()
}

fn rows(conn: &Connection, table: &str, without: &[&str]) -> Vec<String> {
    let mut query = conn.prepare(&format!("SELECT * FROM {table}")).unwrap();
    let columns: Vec<String> = query.column_names().map(str::to_owned).collect();
    let mut rows: Vec<String> = query
        .query_map([], |row| {
            let mut text = String::new();
            for (place, column) in columns.iter().enumerate() {
                let left_out = OF_TIME.iter().chain(without).any(|one| one == column);
                if !left_out {
                    write!(text, "{column}={} ", shown(row.get_ref(place)?)).unwrap();
                }
            }
            Ok(text)
        })
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    rows.sort_unstable();
    rows
}

fn shown(value: ValueRef<'_>) -> String {
    match value {
        ValueRef::Null => "-".to_owned(),
        ValueRef::Integer(number) => number.to_string(),
        ValueRef::Real(number) => number.to_string(),
        ValueRef::Text(text) => String::from_utf8_lossy(text).into_owned(),
        ValueRef::Blob(bytes) => bytes.iter().map(|byte| format!("{byte:02x}")).collect(),
    }
}
