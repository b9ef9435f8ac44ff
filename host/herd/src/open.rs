//! Opening: what is looked at before a file is believed, and how it is read where it cannot be
//! written.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use hornrule_files::{Kind, output};
use rusqlite::{Connection, ErrorCode, OpenFlags};

use super::emptied::refuse_emptied;
use super::migrations::{self, MIGRATIONS, Unfit};
use super::proof;
use super::{Database, DatabaseError, Fault, PATIENCE};

/// How long to nap where SQLite does not wait by itself.
const NAP: Duration = Duration::from_millis(10);
/// Prepared statements kept: more than the queries there are.
const STATEMENTS: usize = 160;
/// One thread each: no locks of its own.
const USUAL: OpenFlags = OpenFlags::SQLITE_OPEN_NO_MUTEX;

impl Database {
    /// Opens the database at this path, and creates it if missing, for its owner alone.
    ///
    /// # Errors
    /// [`DatabaseError`]; a file that is not ours is never changed.
    pub fn open(path: &Path) -> Result<Self, DatabaseError> {
        is_file(path)?;
        // What is in the way is told when SQLite meets it.
        let _made = output::create_private(path);
        Self::open_with(path)
    }

    /// Opens the database at this path. One that cannot be written is opened to be read, where it
    /// is of the newest version.
    ///
    /// # Errors
    /// `Missing` if there is none, and all of [`Database::open`].
    pub fn open_existing(path: &Path) -> Result<Self, DatabaseError> {
        is_file(path)?;
        if !path.exists() {
            return Err(DatabaseError::Missing { path: path.to_owned() });
        }
        refuse_emptied(path)?;
        match Self::open_with(path) {
            Err(refused @ (DatabaseError::ReadOnly { .. } | DatabaseError::CannotOpen { .. })) => {
                let herd = match Self::open_to_read(path) {
                    Err(DatabaseError::ReadOnly { .. } | DatabaseError::CannotOpen { .. }) => {
                        return Err(refused);
                    }
                    other => other?,
                };
                let found = migrations::version(&herd.conn)
                    .map_err(|unfit| unfit_at(unfit, path.to_owned()))?;
                let known = migrations::newest(MIGRATIONS);
                if found < known {
                    return Err(DatabaseError::OldReadOnly { path: path.to_owned(), found, known });
                }
                Ok(herd)
            }
            other => other,
        }
    }

    /// Opens the database at this path only to read, and leaves its version as it is.
    pub(super) fn open_to_read(path: &Path) -> Result<Self, DatabaseError> {
        is_file(path)?;
        if !path.exists() {
            return Err(DatabaseError::Missing { path: path.to_owned() });
        }
        refuse_emptied(path)?;
        let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY | USUAL);
        let conn = conn.map_err(|error| Fault::Sql(error).at(path))?;
        match Self::looked_at(conn, path) {
            // On a disk that cannot be written or is full, SQLite cannot make the files that it wants
            // beside a database in WAL mode. Where no changes wait, it needs none.
            Err(
                DatabaseError::CannotOpen { .. }
                | DatabaseError::ReadOnly { .. }
                | DatabaseError::Full { .. },
            ) => {
                if waits(path) {
                    return Err(DatabaseError::Waiting { path: path.to_owned() });
                }
                let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI | USUAL;
                let conn = Connection::open_with_flags(unchanging(path), flags);
                Self::looked_at(conn.map_err(|error| Fault::Sql(error).at(path))?, path)
            }
            other => other,
        }
    }

    fn looked_at(conn: Connection, path: &Path) -> Result<Self, DatabaseError> {
        let look = || {
            conn.busy_timeout(PATIENCE)?;
            let view = conn.unchecked_transaction()?;
            migrations::check(&view, MIGRATIONS)?;
            proof::prove(&view)?;
            view.commit()?;
            guard(&conn)
        };
        match look() {
            Ok(()) => Ok(Self { conn, path: path.to_owned(), read_only: true }),
            Err(unfit) => Err(unfit_at(unfit, path.to_owned())),
        }
    }

    /// A database that is gone when it is dropped.
    ///
    /// # Errors
    /// `Ours` only.
    pub fn in_memory() -> Result<Self, DatabaseError> {
        let path = PathBuf::from("the database in memory");
        let conn = Connection::open_in_memory().map_err(|e| Fault::Sql(e).at(&path))?;
        Self::prepared(conn, path)
    }

    fn open_with(path: &Path) -> Result<Self, DatabaseError> {
        output::protect(path);
        let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE | USUAL);
        Self::prepared(conn.map_err(|e| Fault::Sql(e).at(path))?, path.to_owned())
    }

    fn prepared(mut conn: Connection, path: PathBuf) -> Result<Self, DatabaseError> {
        match Self::prepare(&mut conn) {
            Ok(()) => Ok(Self { conn, path, read_only: false }),
            Err(unfit) => Err(unfit_at(unfit, path)),
        }
    }

    fn prepare(conn: &mut Connection) -> Result<(), Unfit> {
        conn.busy_timeout(PATIENCE)?;
        // Looked at first: the settings below write to the file. In one view, or a file that another
        // program makes just now looks half ours.
        let view = conn.unchecked_transaction()?;
        migrations::check(&view, MIGRATIONS)?;
        proof::prove(&view)?;
        view.commit()?;
        use_wal(conn)?;
        guard(conn)?;
        migrations::run(conn, MIGRATIONS)
    }
}

/// Settings of every connection.
fn guard(conn: &Connection) -> Result<(), Unfit> {
    for (name, value) in [
        ("synchronous", "FULL"),
        ("foreign_keys", "ON"),
        // A database file from elsewhere must not run functions from its own schema.
        ("trusted_schema", "OFF"),
        ("cell_size_check", "ON"),
        // Sorted in memory: a full disk is then always the disk of the database.
        ("temp_store", "MEMORY"),
        // Only macOS listens to these two.
        ("fullfsync", "ON"),
        ("checkpoint_fullfsync", "ON"),
    ] {
        conn.pragma_update(None, name, value)?;
    }
    conn.set_prepared_statement_cache_capacity(STATEMENTS);
    Ok(())
}

fn unfit_at(unfit: Unfit, path: PathBuf) -> DatabaseError {
    match unfit {
        Unfit::Fault(fault) => fault.at(&path),
        Unfit::NotOurs => DatabaseError::NotOurs { path },
        Unfit::Newer { found, known } => DatabaseError::Newer { path, found, known },
        Unfit::Edited { version } => DatabaseError::Edited { path, version },
        Unfit::Schema { what } => DatabaseError::Schema { path, what },
    }
}

/// Refuses what keeps nothing and what is no file.
pub(super) fn is_file(path: &Path) -> Result<(), DatabaseError> {
    let text = path.to_string_lossy();
    if text.is_empty() || text.starts_with(":memory:") || text.starts_with("file:") {
        return Err(DatabaseError::NoFile { path: path.to_owned() });
    }
    // What cannot be looked at is told when it is opened.
    match fs::metadata(path).map(|there| Kind::of(there.file_type())) {
        Ok(Kind::File) | Err(_) => Ok(()),
        Ok(other) => Err(DatabaseError::NotAFile { path: path.to_owned(), what: other.words() }),
    }
}

/// Whether changes wait beside a database to be folded in.
fn waits(path: &Path) -> bool {
    ["-wal", "-journal"].iter().any(|end| {
        let mut name = OsString::from(path);
        name.push(end);
        fs::metadata(name).is_ok_and(|there| there.len() > 0)
    })
}

/// The path as SQLite reads one that nobody changes ("Uniform Resource Identifiers" of its manual,
/// 3.1 and 3.4).
fn unchanging(path: &Path) -> String {
    let mut uri = String::from("file:");
    if path.is_absolute() {
        uri.push_str(if cfg!(windows) { "///" } else { "//" });
    }
    for byte in path.as_os_str().as_encoded_bytes() {
        match byte {
            b'\\' if cfg!(windows) => uri.push('/'),
            b'0'..=b'9' | b'A'..=b'Z' | b'a'..=b'z' | b'/' | b'.' | b'-' | b'_' | b':' => {
                uri.push(char::from(*byte));
            }
            other => uri += &format!("%{other:02X}"),
        }
    }
    uri + "?immutable=1"
}

/// Two programs that make the same file at once both ask for it alone, and SQLite then says "busy" at
/// once, whatever its time-out is: waiting in there could last forever.
fn use_wal(conn: &Connection) -> Result<(), rusqlite::Error> {
    let until = Instant::now() + PATIENCE;
    loop {
        match conn.pragma_update(None, "journal_mode", "WAL") {
            Err(error)
                if error.sqlite_error_code() == Some(ErrorCode::DatabaseBusy)
                    && Instant::now() < until =>
            {
                thread::sleep(NAP);
            }
            done => return done,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_read_as_it_is() {
        assert_eq!(
            unchanging(Path::new("/a b/c?d#%.db")),
            "file:///a%20b/c%3Fd%23%25.db?immutable=1"
        );
        assert_eq!(unchanging(Path::new("h.db")), "file:h.db?immutable=1");
    }

    #[test]
    fn what_keeps_nothing_is_refused() {
        for name in ["", ":memory:", "file::memory:?cache=shared", "file:herd.db"] {
            for told in [Database::open(Path::new(name)), Database::open_existing(Path::new(name))]
            {
                assert!(matches!(told, Err(DatabaseError::NoFile { .. })), "{name}");
            }
        }
        let folder = tempfile::tempdir().unwrap();
        let told = Database::open(folder.path());
        assert!(matches!(told, Err(DatabaseError::NotAFile { what: "a folder", .. })));
    }
}
