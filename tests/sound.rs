//! What must hold for every database, whatever was pulled into it.

use std::collections::BTreeSet;
use std::path::Path;

use hornrule_protocol::{DeviceId, LogId, Sealed, Seq, open};
use rusqlite::Connection;

/// Tables whose rows say something about a cow.
const SAID: [&str; 5] = ["presence", "reading", "finding", "action", "score"];

type Key = (i64, u32, u32);

fn keys(conn: &Connection, query: &str) -> BTreeSet<Key> {
    let mut statement = conn.prepare(query).unwrap();
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)));
    rows.unwrap().collect::<Result<_, _>>().unwrap()
}

/// Checks a database: a record that does not open under its own handheld and log has a remark and
/// is in no table about cows, nor is one that is kept aside; every row about cows comes from a record
/// that opens, and the file is intact. Returns how many records do not open.
#[must_use]
pub fn check(path: &Path) -> usize {
    let conn = Connection::open(path).unwrap();
    let whole: String = conn.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(whole, "ok");
    let mut statement = conn
        .prepare(
            "SELECT sealed.device, sealed.log, seq, bytes, of_log FROM sealed LEFT JOIN aside \
             ON aside.device = sealed.device AND aside.log = sealed.log",
        )
        .unwrap();
    let rows = statement.query_map([], |row| {
        let key: Key = (row.get(0)?, row.get(1)?, row.get(2)?);
        Ok((key, row.get::<_, Vec<u8>>(3)?, row.get::<_, Option<u32>>(4)?))
    });
    let (mut opened, mut closed) = (BTreeSet::new(), BTreeSet::new());
    for row in rows.unwrap() {
        let (key, bytes, of) = row.unwrap();
        let sealed = Sealed::from_bytes(&bytes).unwrap();
        assert_eq!(sealed.seq(), Seq(key.2), "a record stands under its own number");
        if of.is_some() {
            // Kept aside, and nobody has said anything of it: in no table.
            continue;
        }
        let (device, log) = (DeviceId(key.0.cast_unsigned()), LogId(key.1));
        match open(device, log, &sealed) {
            Ok(_) => opened.insert(key),
            Err(_) => closed.insert(key),
        };
    }
    for table in SAID {
        let said = keys(&conn, &format!("SELECT device, log, seq FROM {table}"));
        assert!(said.is_subset(&opened), "{table} has rows of records that do not open");
    }
    let remarked = keys(
        &conn,
        "SELECT device, log, seq FROM remark WHERE rule IN ('damaged', 'newer', 'malformed')",
    );
    assert_eq!(remarked, closed, "remarks on records that do not open");
    closed.len()
}
