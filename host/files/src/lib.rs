//! Files of the office: one writer and one reader, for every room that has a path.
//!
//! ```text
//! bytes --> output --> check --> .hornrule-RANDOM.part, exclusive --> synced --> renamed --> FILE
//!                        |
//!                        no database, no side file of one, no folder, device, pipe or socket
//! FILE --> input --> a file? --> at most so many bytes --> bytes, text
//! ```
//!
//! What is refused is in the table of `DESIGN.md`, "Files". This room knows no record, no SQL
//! and no terminal: of a database it knows the first sixteen bytes and the names beside it.

pub mod input;
mod kind;
pub mod output;

pub use kind::{Kind, SIDES, is_sqlite};
