//! Evidence: what a herd's records say of a question, and what may be concluded.
//!
//! ```text
//! herd tables --Said--> intervals, gains, pairs --insight--> n, interval, method, sentences
//! ```
//!
//! Each question is a file: how long blocks stay on, how fast lesions heal, how fast horn grows,
//! what a reading is worth. Records that a rule doubts are left out and counted. Where there are
//! too few, the answer is the reason. Nothing here judges by itself: treated and untreated cows,
//! and blocks glued one way or another, differ for reasons that no record knows, unless it was
//! drawn by lot.

mod agreement;
mod blocks;
mod growth;
mod healing;
#[cfg(test)]
mod tests;

use serde::Serialize;

pub use agreement::Agreement;
pub use blocks::{Blocks, Way as BlockWay};
pub use growth::Horn;
pub use healing::Healing;

use crate::herd::{AnimalId, HerdId, Said};
use crate::insight::Refusal;

/// Seed of every shuffle: answers are the same from run to run, and the seed is told.
pub const SEED: u64 = 1;

/// An answer, or the reason there is none.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer<T> {
    /// The answer.
    Told(T),
    /// Why there is none.
    Refused(String),
}

impl<T> Answer<T> {
    /// The answer, where there is one.
    pub const fn told(&self) -> Option<&T> {
        match self {
            Self::Told(told) => Some(told),
            Self::Refused(_) => None,
        }
    }
}

impl<T> From<Result<T, Refusal>> for Answer<T> {
    fn from(result: Result<T, Refusal>) -> Self {
        match result {
            Ok(told) => Self::Told(told),
            Err(refusal) => Self::Refused(refusal.to_string()),
        }
    }
}

/// A cow of a herd: numbers repeat from farm to farm.
type Cow = (HerdId, AnimalId);

const fn cow(said: &Said) -> Cow {
    (said.herd, said.animal)
}

/// A share in whole percent.
fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
