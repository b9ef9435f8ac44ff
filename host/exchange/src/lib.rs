//! Exchange: files of other programs, in and out. One file per format.

pub mod ade;
pub mod bill_row;
pub mod countries;
pub mod due_ics;
pub mod due_row;
mod error;
pub mod extract;
pub mod herd_csv;
pub mod herd_import;
pub mod herd_merge;
pub mod official;
pub mod rules_toml;
pub mod sheets;
pub mod table;
pub(crate) mod words;

pub use error::ImportError;
pub use extract::{Days, Extract};
pub use herd_import::{
    Imported, Reading, Target, import_herd, import_herd_as, preview_herd, preview_herd_as,
};
pub use rules_toml::{RuleNumbers, RulesError, read_rules};
