//! Exchange: files of other programs, in and out. One file per format.

mod error;
pub mod herd_csv;
pub mod rules_toml;

pub use error::ImportError;
pub use herd_csv::{Imported, Target, import_herd};
pub use rules_toml::{RuleNumbers, RulesError, read_rules};
