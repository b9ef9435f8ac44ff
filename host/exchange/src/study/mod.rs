//! A study: a protocol in a file, a seeded sample, a tidy data set. Formats in `STUDY.md`.
//!
//! ```text
//! study.toml --read--> Protocol --draw(herd lists)--> sample: what to measure, in which order
//!                         |
//!                         +--gather(herd tables)--> tables --package--> a folder of files
//! ```
//!
//! Nothing of it stands in the database; it knows no statistics beyond sums, which say whether
//! another program has read the same numbers.

mod columns;
mod derived;
mod draw;
mod drawn;
mod error;
mod gather;
mod package;
mod protocol;
mod repeated;
mod seeded;

#[cfg(test)]
mod tests;

pub use draw::{Draw, SAMPLE, draw, sample_table};
pub use drawn::read_sample;
pub use error::StudyError;
pub use gather::{Gathered, Progress, gather, progress, sample};
pub use package::{File, package};
pub(crate) use repeated::Repeated;

pub use protocol::{Measurand, Moment, Observer, Protocol, TEMPLATE, read_protocol};

pub use seeded::{GENERATOR, Seeded};
