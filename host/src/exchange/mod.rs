//! Exchange: files of other programs, in and out. One file per format.

mod error;
pub mod herd_csv;

pub use error::ImportError;
pub use herd_csv::{Imported, Target, import_herd};
