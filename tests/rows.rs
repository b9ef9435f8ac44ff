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
    let mut tables = tables(&conn);
    tables.retain(|table| !OF_PULLS.contains(&table.as_str()));
    assert!(tables.len() > 8, "the tables have been renamed: {tables:?}");
    written(&conn, &tables, columns)
}

/// Every row of every table but those of pulls, limits of rules included, without what the
/// computer's clock says (columns whose names end in `_ms`) and which pull it was. SQLite writes the
/// lines: thousands of such dumps are compared.
#[must_use]
pub fn dump_for_verbs(path: &Path) -> String {
    let conn = Connection::open(path).unwrap();
    let mut text = String::new();
    for table in tables(&conn) {
        if ["pull", "anchor", "migration"].contains(&table.as_str()) {
            continue;
        }
        let columns: Vec<String> = listed(
            &conn,
            &format!(
                "SELECT 'quote(' || name || ')' FROM pragma_table_info('{table}') \
                 WHERE substr(name, -3) <> '_ms' AND name <> 'pull' ORDER BY cid"
            ),
        );
        writeln!(text, "== {table}").unwrap();
        let line = columns.join(" || ' ' || ");
        for row in listed(&conn, &format!("SELECT {line} FROM {table} ORDER BY 1")) {
            text += &row;
            text.push('\n');
        }
    }
    text
}

fn tables(conn: &Connection) -> Vec<String> {
    listed(conn, "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
}

fn listed(conn: &Connection, query: &str) -> Vec<String> {
    let mut query = conn.prepare(query).unwrap();
    query.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
}

fn written(conn: &Connection, tables: &[String], columns: &[&str]) -> String {
    let mut text = String::new();
    for table in tables {
        writeln!(text, "== {table}").unwrap();
        for row in rows(conn, table, columns) {
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
