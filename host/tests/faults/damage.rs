//! What can become of a database file: bytes, pages, header, schema, and the files beside it.

use std::fs;
use std::path::{Path, PathBuf};

use hornrule_insight::luck::Luck;
use rusqlite::Connection;

type Change = Box<dyn Fn(&Path, &mut Luck)>;

/// One way to damage a database.
pub(crate) struct Damage {
    pub(crate) name: String,
    /// Whether SQLite and the schema can know: where bytes of a text are others, nobody can.
    pub(crate) can_be_known: bool,
    apply: Change,
}

impl Damage {
    pub(crate) fn apply(&self, db: &Path, luck: &mut Luck) {
        (self.apply)(db, luck);
    }
}

const PAGE: usize = 4096;
/// Of a database of some other program.
const FOREIGN: &str = "CREATE TABLE herd (name TEXT); CREATE TABLE cow (number INTEGER); \
                       INSERT INTO herd VALUES ('theirs');";

fn damage(
    name: impl Into<String>,
    can_be_known: bool,
    apply: impl Fn(&Path, &mut Luck) + 'static,
) -> Damage {
    Damage { name: name.into(), can_be_known, apply: Box::new(apply) }
}

/// In the file's bytes.
fn bytes(name: &str, known: bool, change: impl Fn(&mut Vec<u8>, &mut Luck) + 'static) -> Damage {
    damage(name, known, move |db, luck| {
        let mut bytes = fs::read(db).unwrap();
        change(&mut bytes, luck);
        fs::write(db, bytes).unwrap();
    })
}

/// By statements, as another program would.
fn schema(name: impl Into<String>, statements: impl Into<String>) -> Damage {
    let statements = statements.into();
    damage(name, true, move |db, _| {
        let conn = Connection::open(db).unwrap();
        conn.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA legacy_alter_table = ON;").unwrap();
        conn.execute_batch(&statements).unwrap();
    })
}

fn beside(db: &Path, end: &str) -> PathBuf {
    PathBuf::from(format!("{}{end}", db.display()))
}

fn page(bytes: &[u8], luck: &mut Luck) -> usize {
    // Never the first, which has a header of its own.
    PAGE * (1 + luck.below(bytes.len() / PAGE - 1))
}

/// Every damage: those by chance so many times, and each that has a name once.
pub(crate) fn all(db: &Path, times: usize) -> Vec<Damage> {
    let mut all = Vec::new();
    for _ in 0..times {
        all.extend(by_chance());
    }
    all.extend(headers());
    all.extend(objects(db));
    all.extend(other_files());
    all.extend(files_beside());
    all
}

fn by_chance() -> Vec<Damage> {
    vec![
        bytes("bits flipped", false, |bytes, luck| {
            for _ in 0..=luck.below(16) {
                let at = luck.below(bytes.len());
                bytes[at] ^= 1 << luck.below(8);
            }
        }),
        bytes("bytes of one page replaced", false, |bytes, luck| {
            let at = page(bytes, luck) + luck.below(PAGE - 64);
            for byte in &mut bytes[at..at + 64] {
                *byte = luck.bits() as u8;
            }
        }),
        bytes("a page of noise", false, |bytes, luck| {
            let at = page(bytes, luck);
            bytes[at..at + PAGE].iter_mut().for_each(|byte| *byte = luck.bits() as u8);
        }),
        bytes("a page of zeros", false, |bytes, luck| {
            let at = page(bytes, luck);
            bytes[at..at + PAGE].fill(0);
        }),
        bytes("two pages exchanged", false, |bytes, luck| {
            let (one, other) = (page(bytes, luck), page(bytes, luck));
            for byte in 0..PAGE {
                bytes.swap(one + byte, other + byte);
            }
        }),
        bytes("cut off", false, |bytes, luck| bytes.truncate(1 + luck.below(bytes.len() - 1))),
    ]
}

fn headers() -> Vec<Damage> {
    // Offsets of the database header: <https://www.sqlite.org/fileformat2.html>, from memory.
    let wrong = [
        ("another magic", 0, &b"SQLite format 4\0"[..]),
        ("a page size of 0", 16, &[0, 0]),
        ("a page size of 512", 16, &[2, 0]),
        ("a write version of 9", 18, &[9]),
        ("a read version of 9", 19, &[9]),
        ("reserved bytes", 20, &[200]),
        ("a payload fraction", 21, &[1]),
        ("a schema format of 99", 44, &[0, 0, 0, 99]),
        ("UTF-16 text", 56, &[0, 0, 0, 2]),
        ("no user version", 60, &[0, 0, 0, 0]),
        ("a user version to come", 60, &[0, 0, 1, 0]),
        ("a negative user version", 60, &[0xFF, 0xFF, 0xFF, 0xFF]),
        ("no application id", 68, &[0, 0, 0, 0]),
        ("another application id", 68, &[0, 1, 2, 3]),
    ];
    let one = |(name, at, new): (&str, usize, &'static [u8])| {
        bytes(name, true, move |bytes, _| bytes[at..at + new.len()].copy_from_slice(new))
    };
    wrong.into_iter().map(one).collect()
}

/// Names of objects of a kind that statements made.
fn named(db: &Path, kind: &str) -> Vec<String> {
    let conn = Connection::open(db).unwrap();
    let mut query = conn
        .prepare("SELECT name FROM sqlite_master WHERE type = ?1 AND sql IS NOT NULL ORDER BY name")
        .unwrap();
    query.query_map([kind], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

fn objects(db: &Path) -> Vec<Damage> {
    let mut all = Vec::new();
    for kind in ["table", "index", "trigger"] {
        for name in named(db, kind) {
            all.push(schema(format!("without {kind} {name}"), format!("DROP {kind} {name}")));
        }
    }
    for table in ["animal", "sealed", "decision", "herd", "bill"] {
        all.push(schema(
            format!("{table} is called otherwise"),
            format!("ALTER TABLE {table} RENAME TO {table}_old"),
        ));
        all.push(schema(
            format!("{table} has one more column"),
            format!("ALTER TABLE {table} ADD COLUMN more TEXT"),
        ));
        all.push(schema(
            format!("{table} is a view"),
            format!(
                "ALTER TABLE {table} RENAME TO {table}_old; \
                 CREATE VIEW {table} AS SELECT * FROM {table}_old WHERE 0"
            ),
        ));
    }
    all.push(schema(
        "a trigger that deletes",
        "CREATE TRIGGER evil AFTER INSERT ON do_not_trim BEGIN DELETE FROM decision; END",
    ));
    all.push(schema("a migration is another", "UPDATE migration SET checksum = 1"));
    all.push(schema("no migration is on record", "DELETE FROM migration"));
    all
}

fn other_files() -> Vec<Damage> {
    vec![
        damage("an empty file", true, |db, _| fs::write(db, "").unwrap()),
        damage("a text", true, |db, _| fs::write(db, "number,tag\n12,\n".repeat(900)).unwrap()),
        damage("noise", true, |db, luck| {
            let noise: Vec<u8> = (0..50_000).map(|_| luck.bits() as u8).collect();
            fs::write(db, noise).unwrap();
        }),
        damage("the header alone", true, |db, _| fs::write(db, "SQLite format 3\0").unwrap()),
        damage("a folder", true, |db, _| {
            fs::remove_file(db).unwrap();
            fs::create_dir(db).unwrap();
        }),
        damage("a link to nowhere", true, |db, _| {
            fs::remove_file(db).unwrap();
            std::os::unix::fs::symlink("nowhere.db", db).unwrap();
        }),
        damage("the database of another program", true, |db, _| {
            fs::remove_file(db).unwrap();
            Connection::open(db).unwrap().execute_batch(FOREIGN).unwrap();
        }),
        damage("another program's, with our mark and version", true, |db, _| {
            fs::remove_file(db).unwrap();
            let conn = Connection::open(db).unwrap();
            conn.execute_batch(FOREIGN).unwrap();
            // "Horn" in ASCII.
            conn.pragma_update(None, "application_id", 0x486F_726E).unwrap();
            conn.pragma_update(None, "user_version", 5).unwrap();
        }),
    ]
}

fn files_beside() -> Vec<Damage> {
    let mut all = Vec::new();
    for end in ["-wal", "-shm", "-journal"] {
        let write = move |name: &str, bytes: Vec<u8>| {
            damage(format!("{name} as {end}"), true, move |db: &Path, _: &mut Luck| {
                fs::write(beside(db, end), &bytes).unwrap();
            })
        };
        all.push(write("nothing", Vec::new()));
        all.push(write("zeros", vec![0; 50_000]));
        all.push(write("a text", b"what is this?\n".repeat(4_000)));
        all.push(damage(format!("a folder as {end}"), true, move |db, _| {
            fs::create_dir(beside(db, end)).unwrap();
        }));
        all.push(damage(format!("another program's {end}"), true, move |db, _| {
            fs::write(beside(db, end), foreign_side_file(end)).unwrap();
        }));
    }
    all
}

/// The side file of a database that another program has open, or has left hot.
fn foreign_side_file(end: &str) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let db = folder.path().join("theirs.db");
    let conn = Connection::open(&db).unwrap();
    if end == "-journal" {
        conn.execute_batch(FOREIGN).unwrap();
        conn.execute_batch("PRAGMA cache_size = 1; BEGIN; UPDATE herd SET name = 'changed'")
            .unwrap();
    } else {
        conn.pragma_update(None, "journal_mode", "WAL").unwrap();
        conn.execute_batch(FOREIGN).unwrap();
    }
    fs::read(beside(&db, end)).unwrap_or_default()
}
