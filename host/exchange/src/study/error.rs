//! Why a study cannot be used, each with what to try.

use crate::table::TableError;
use hornrule_herd::DatabaseError;

/// Why a protocol, a sample or a data set was not made.
#[derive(Debug, thiserror::Error)]
pub enum StudyError {
    /// The database.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// Not TOML, a name that is not known, or one that is missing.
    #[error("line {line}: {why}; `hornrule study new` writes a protocol to start from")]
    Text {
        /// The line.
        line: usize,
        /// What the reader says.
        why: String,
    },
    /// A version of the file that this program does not know.
    #[error("line {line}: this program knows format 1, not {found}; update the program")]
    Format {
        /// The line.
        line: usize,
        /// What the file says.
        found: i64,
    },
    /// A value that cannot be.
    #[error("line {line}: `{name}` {what}")]
    Value {
        /// The line.
        line: usize,
        /// Which.
        name: String,
        /// What is wrong, and what to try.
        what: String,
    },
    /// A herd that the database does not have.
    #[error("no herd is named {herd}; `hornrule herd list` shows all herds")]
    NoHerd {
        /// Its name.
        herd: String,
    },
    /// Fewer cows on the list than the sample wants.
    #[error(
        "{herd} has {listed} cows on its list, and the sample needs {wanted}; import a fuller list \
         or lower `cows`"
    )]
    FewCows {
        /// The herd.
        herd: String,
        /// On the list now.
        listed: usize,
        /// Wanted.
        wanted: usize,
    },
    /// A sample's file that is not this protocol's.
    #[error(
        "line {line} of the sample: {what}; give the file that `hornrule study sample` wrote for this \
         protocol"
    )]
    Sample {
        /// The line.
        line: u64,
        /// What is wrong.
        what: String,
    },
    /// A table that cannot be made.
    #[error(transparent)]
    Table(#[from] TableError),
}
