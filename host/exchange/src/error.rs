//! Why a file was not imported, each with what to try.

use hornrule_herd::DatabaseError;

/// A heading, and a line a mistake.
pub(crate) fn several<T: std::fmt::Display>(all: &[T]) -> String {
    let lines = all.iter().map(|one| format!("\n  {one}"));
    format!("{} mistakes, and nothing was imported:{}", all.len(), lines.collect::<String>())
}

impl ImportError {
    /// All mistakes as one; `None` where there is none.
    pub(super) fn all(mut mistakes: Vec<Self>) -> Option<Self> {
        if mistakes.len() > 1 { Some(Self::Several(mistakes)) } else { mistakes.pop() }
    }
}

/// Why nothing was imported.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// The database did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// The file cannot be read.
    #[error("the herd list cannot be read; check the file and the disk")]
    Read(#[from] std::io::Error),
    /// A farm's name that cannot be kept.
    #[error("the farm's name cannot be used: {why}")]
    Name {
        /// What is wrong with it.
        why: String,
    },
    /// Several mistakes of one file, in its order.
    #[error("{}", several(.0))]
    Several(Vec<ImportError>),
    /// The list has changed between preview and import.
    #[error(
        "nothing was imported: another program changed the herd list after it was shown; import \
         again"
    )]
    Changed,
    /// No first line with column names.
    #[error("the herd list is empty; its first line must name the columns, one of them `number`")]
    Empty,
    /// Bytes that are no UTF-8.
    #[error(
        "line {line} of the herd list is not UTF-8 text; save the list as CSV UTF-8, or use \
         --encoding latin-1"
    )]
    NotText {
        /// The line.
        line: u64,
    },
    /// Two bytes a letter.
    #[error("the herd list is UTF-16 text; save it as CSV UTF-8")]
    Wide,
    /// A mapping to a column that the file does not have.
    #[error(
        "the herd list has no column `{heading}` for `{field}` (found: {found}); use --map \
         {field}=HEADING, or --map {field}= to clear the mapping"
    )]
    NoColumn {
        /// Our name.
        field: &'static str,
        /// Theirs.
        heading: String,
        /// The columns found.
        found: String,
    },
    /// A mapping of a column that we do not have.
    #[error(
        "a herd list has no column `{field}`; known columns are number, tag, official, name, born, \
         breed, lactation, calved, group"
    )]
    NoField {
        /// What was asked for.
        field: String,
    },
    /// One of their columns for two of ours.
    #[error(
        "the column `{column}` cannot be both `{one}` and `{other}`; map one of them to another \
         column"
    )]
    MappedTwice {
        /// Their column.
        column: String,
        /// One of ours.
        one: String,
        /// The other.
        other: &'static str,
    },
    /// Renumbered before the last time.
    #[error(
        "cows of this herd were renumbered on {last}, so new numbers cannot apply from {since}; \
         give a later day with --since"
    )]
    TooEarly {
        /// The day asked for.
        since: hornrule_facts::Day,
        /// The last one.
        last: hornrule_facts::Day,
    },
    /// No `number` column.
    #[error(
        "the herd list has no column `number` (found: {found}); rename the column with the herd \
         numbers to `number`, or use --map number=HEADING"
    )]
    NoNumber {
        /// The columns found.
        found: String,
    },
    /// A column named twice.
    #[error("the herd list has the column `{column}` twice; remove one of them")]
    ColumnTwice {
        /// Its name.
        column: String,
    },
    /// A line with more cells than the first one.
    #[error(
        "line {line} of the herd list has more cells than the first line; look for a separator \
         inside a cell and put that cell in quotes"
    )]
    TooManyCells {
        /// The line.
        line: u64,
    },
    /// A cell that is not what its column holds.
    #[error("line {line}, column `{column}` of the herd list: `{value}` {why}")]
    Cell {
        /// The line.
        line: u64,
        /// The column.
        column: &'static str,
        /// What the cell says.
        value: String,
        /// What it should be.
        why: String,
    },
    /// Two lines with one number or tag.
    #[error(
        "line {line}, column `{column}` of the herd list: {value} is in line {first} too; remove \
         one of them"
    )]
    Twice {
        /// The later line.
        line: u64,
        /// The column.
        column: &'static str,
        /// The number or tag.
        value: String,
        /// The earlier line.
        first: u64,
    },
    /// A herd without a name.
    #[error("the herd has no name; use the farm's name")]
    NoName,
    /// A time zone that does not exist here.
    #[error(
        "this computer has no time zone `{zone}`; give an IANA name such as Europe/Berlin or \
         America/Chicago"
    )]
    Zone {
        /// What was asked for.
        zone: String,
    },
    /// Not one of the keys 1 to 9.
    #[error("{farm} is not a farm key; use 1 to 9, the key that starts a visit there")]
    FarmDigit {
        /// What was asked for.
        farm: u8,
    },
    /// The key stands for another farm.
    #[error(
        "farm key {farm} stands for {name}; choose another, or none at all: `hornrule plan --farm \
         NAME` gives the keys of the day. To give it to another farm from a day on, use `hornrule \
         herd set --key {farm}`"
    )]
    FarmTaken {
        /// The key.
        farm: u8,
        /// Whose it is.
        name: String,
    },
    /// The farm has another key.
    #[error(
        "{name} has farm key {has}, not {farm}; a list does not change it. Use `hornrule herd set \
         --herd \"{name}\" --key {farm}`, which shows first what that would change"
    )]
    OtherKey {
        /// The key asked for.
        farm: u8,
        /// The one it has.
        has: u8,
        /// The farm.
        name: String,
    },
}
