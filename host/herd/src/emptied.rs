//! A file of no bytes, which SQLite takes for a database without tables.

use std::fs;
use std::path::Path;

use super::DatabaseError;

/// Refuses a file in which nothing stands. A database that is there has a header from its first
/// change on; an emptied one would answer that nothing is due.
///
/// # Errors
/// `Emptied`.
pub(super) fn refuse_emptied(path: &Path) -> Result<(), DatabaseError> {
    match fs::metadata(path) {
        Ok(found) if found.is_file() && found.len() == 0 => {
            Err(DatabaseError::Emptied { path: path.to_owned() })
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use crate::{Database, DatabaseError, restore};

    #[test]
    fn an_emptied_file_is_no_database() {
        let folder = tempfile::tempdir().unwrap();
        let (path, to) = (folder.path().join("herd.db"), folder.path().join("to.db"));
        std::fs::write(&path, "").unwrap();
        let refused = |error: DatabaseError| matches!(error, DatabaseError::Emptied { .. });
        assert!(refused(Database::open_existing(&path).unwrap_err()));
        let said = restore(&path, &to, false).unwrap_err().to_string();
        assert!(said.contains("herd.db is empty") && !to.exists(), "{said}");
        // A pull or a list may begin in it, as in no file at all.
        drop(Database::open(&path).unwrap());
        assert!(Database::open_existing(&path).is_ok());
    }
}
