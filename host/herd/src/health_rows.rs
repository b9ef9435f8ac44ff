//! Whether the database is well: what SQLite says of the file, and what the tables say of each
//! other.

use rusqlite::types::ValueRef;

use super::{Database, DatabaseError, Fault, Rows, queries};

/// A derived table: its name, all its rows, and how to empty it.
const DERIVED: [(&str, &str, &str); 9] = [
    ("visit", queries::ALL_VISIT, queries::CLEAR_VISIT),
    ("plan_load", queries::ALL_PLAN_LOAD, queries::CLEAR_PLAN_LOAD),
    ("wash", queries::ALL_WASH, queries::CLEAR_WASH),
    ("presence", queries::ALL_PRESENCE, queries::CLEAR_PRESENCE),
    ("reading", queries::ALL_READING, queries::CLEAR_READING),
    ("finding", queries::ALL_FINDING, queries::CLEAR_FINDING),
    ("action", queries::ALL_ACTION, queries::CLEAR_ACTION),
    ("score", queries::ALL_SCORE, queries::CLEAR_SCORE),
    ("remark", queries::ALL_REMARK, queries::CLEAR_REMARK),
];

const ORPHANS: [(&str, &str); 14] = [
    ("visit", queries::ORPHAN_VISIT),
    ("plan_load", queries::ORPHAN_PLAN_LOAD),
    ("wash", queries::ORPHAN_WASH),
    ("presence", queries::ORPHAN_PRESENCE),
    ("reading", queries::ORPHAN_READING),
    ("finding", queries::ORPHAN_FINDING),
    ("action", queries::ORPHAN_ACTION),
    ("score", queries::ORPHAN_SCORE),
    ("remark", queries::ORPHAN_REMARK),
    ("decision", queries::ORPHAN_DECISION),
    ("reading", queries::HOMELESS_READING),
    ("finding", queries::HOMELESS_FINDING),
    ("action", queries::HOMELESS_ACTION),
    ("score", queries::HOMELESS_SCORE),
];

/// The rows of the derived tables as text, table by table, in the order of their keys.
pub type DerivedRows = Vec<(&'static str, Vec<String>)>;

/// What became of a derived table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The table.
    pub table: &'static str,
    /// Rows that are there now.
    pub rows: usize,
    /// Rows that were not there before.
    pub new: usize,
    /// Rows that are there no more.
    pub gone: usize,
}

impl Change {
    /// What differs, table by table; also the tables in which nothing does.
    pub fn between(before: &DerivedRows, after: &DerivedRows) -> Vec<Self> {
        let pairs = before.iter().zip(after);
        let change =
            |((table, before), (_, after)): (&(&'static str, Vec<String>), &(_, Vec<String>))| {
                let old: std::collections::BTreeSet<&String> = before.iter().collect();
                let now: std::collections::BTreeSet<&String> = after.iter().collect();
                Self {
                    table,
                    rows: after.len(),
                    new: now.difference(&old).count(),
                    gone: old.difference(&now).count(),
                }
            };
        pairs.map(change).collect()
    }

    /// Whether nothing differs.
    #[must_use]
    pub const fn is_none(&self) -> bool {
        self.new == 0 && self.gone == 0
    }
}

/// What a look at the database found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Health {
    /// What SQLite says of the file; empty where it is whole.
    pub damage: Vec<String>,
    /// Tables with rows that refer to rows which are not there.
    pub foreign: Vec<String>,
    /// Tables with rows of records or stays that are not there, and how many.
    pub orphans: Vec<(&'static str, u32)>,
    /// Records of a newer version that wait for a newer program.
    pub newer: u32,
    /// Records that are damaged.
    pub damaged: u32,
    /// Boots whose anchors contradict each other or those of the boot before.
    pub doubted_boots: u32,
    /// Boots whose time is only estimated.
    pub estimated_boots: u32,
    /// Pulls that were cut off.
    pub cut_off: u32,
    /// Logs that are not derived through their last record.
    pub behind: u32,
}

impl Rows<'_> {
    /// Every derived row, as text.
    pub fn derived_rows(&self) -> Result<DerivedRows, Fault> {
        DERIVED.iter().map(|(table, all, _)| Ok((*table, self.as_text(all)?))).collect()
    }

    fn as_text(&self, query: &str) -> Result<Vec<String>, Fault> {
        let mut statement = self.conn.prepare_cached(query)?;
        let columns = statement.column_count();
        let mut rows = statement.query([])?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            let cells: Result<Vec<String>, rusqlite::Error> =
                (0..columns).map(|at| row.get_ref(at).map(shown)).collect();
            lines.push(cells?.join("\u{1f}"));
        }
        Ok(lines)
    }

    /// Takes out every derived row.
    pub fn clear_derived(&self) -> Result<(), Fault> {
        for (_, _, clear) in DERIVED {
            self.conn.prepare_cached(clear)?.execute([])?;
        }
        self.conn.prepare_cached(queries::CLEAR_DERIVED)?.execute([])?;
        Ok(())
    }

    fn number(&self, query: &str) -> Result<u32, Fault> {
        Ok(self.conn.prepare_cached(query)?.query_row([], |row| row.get(0))?)
    }

    fn remarks_of(&self, rule: &str) -> Result<u32, Fault> {
        let mut statement = self.conn.prepare_cached(queries::REMARKS_OF_RULE)?;
        Ok(statement.query_row([rule], |row| row.get(0))?)
    }

    fn texts(&self, pragma: &str, column: usize) -> Result<Vec<String>, Fault> {
        let mut statement = self.conn.prepare(pragma)?;
        let texts = statement.query_map([], |row| row.get::<_, String>(column))?;
        Ok(texts.collect::<Result<_, _>>()?)
    }

    /// What SQLite says of the file; empty where it is whole.
    pub(super) fn damage(&self) -> Result<Vec<String>, Fault> {
        let mut damage = self.texts("PRAGMA integrity_check", 0)?;
        damage.retain(|line| line != "ok");
        Ok(damage)
    }

    /// How many rows each table has.
    pub(super) fn row_counts(&self) -> Result<Vec<(String, u64)>, Fault> {
        let mut counts = Vec::new();
        for table in self.texts(queries::TABLES, 0)? {
            let count: i64 =
                self.conn.prepare(&queries::count_of(&table))?.query_row([], |row| row.get(0))?;
            counts.push((table, count.unsigned_abs()));
        }
        Ok(counts)
    }

    fn health(&self) -> Result<Health, Fault> {
        let mut foreign = self.texts("PRAGMA foreign_key_check", 0)?;
        foreign.dedup();
        let mut orphans = Vec::new();
        for (table, query) in ORPHANS {
            let count = self.number(query)?;
            if count > 0 {
                orphans.push((table, count));
            }
        }
        let mut behind = 0;
        for (device, log) in self.logs()? {
            behind += u32::from(self.derived(device, log)? < self.last_seq(device, log)?);
        }
        Ok(Health {
            damage: self.damage()?,
            foreign,
            orphans,
            newer: self.remarks_of("newer")?,
            damaged: self.remarks_of("damaged")?,
            doubted_boots: self.remarks_of("clock-contradicts")?
                + self.remarks_of("clock-backwards")?,
            estimated_boots: self.remarks_of("clock-bounded")?,
            cut_off: self.number(queries::PULLS_CUT_OFF)?,
            behind,
        })
    }
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

impl Database {
    /// Looks whether the database is well.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn health(&self) -> Result<Health, DatabaseError> {
        self.read(|rows| rows.health())
    }
}
