//! Exchange: files of other programs, in and out. One file per format.

pub mod ade;
pub mod due_csv;
pub mod due_ics;
mod error;
pub mod extract;
pub mod herd_csv;
pub mod rules_toml;
pub mod sheets;
pub mod table;
pub(crate) mod words;

pub use error::ImportError;
pub use extract::{Days, Extract};
pub use herd_csv::{Imported, Target, import_herd, preview_herd};
pub use rules_toml::{RuleNumbers, RulesError, read_rules};
