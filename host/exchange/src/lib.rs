//! Exchange: files of other programs, in and out. One file per format.
//!
//! ```text
//! herd list, ADE animals, hornrule.toml --> database
//! database --Extract--> ADE, workbook, study      due list, bills --> rows, calendar
//! ```

pub mod ade;
pub mod bill_row;
pub mod countries;
mod derived_row;
pub mod due_ics;
pub mod due_row;
mod error;
#[cfg(test)]
mod every_value;
pub mod extract;
pub mod herd_csv;
pub mod herd_import;
mod herd_lines;
pub mod herd_merge;
pub mod official;
pub mod practice_toml;
pub mod rules_toml;
pub mod sheets;
pub mod study;
pub mod table;
pub(crate) mod values;
mod way_sheet;
pub(crate) mod words;

pub use error::ImportError;
pub use extract::{Dated, Extract};
pub use herd_import::{
    HowToRead, Imported, Target, import_herd, import_herd_as, import_herd_seen, preview_herd,
    preview_herd_as,
};
pub use rules_toml::{RuleNumbers, RulesError, read_rules};
pub use way_sheet::way_sheet;
