//! Evidence: what a herd's records say of a question, and what may be concluded.
//!
//! ```text
//! casebooks, cow by cow --> intervals, gains, pairs --insight--> n, interval, method, sentences
//! ```
//!
//! Each question is a file: how long blocks stay on, how fast lesions heal, how fast horn grows,
//! what a reading is worth. Records that a rule doubts are left out and counted. Where there are
//! too few, the answer is the reason. Nothing here judges by itself: treated and untreated cows,
//! and blocks glued one way or another, differ for reasons that no record knows, unless the way was
//! drawn (`host/questions/src/lot/LOT.md`).

mod advice;
mod agreement;
mod blocks;
mod drawn;
mod ends;
mod gather;
mod growth;
mod healing;
mod repeats;
pub mod uncertainty;

use serde::Serialize;

pub use agreement::{Agreement, GaugeChart, GaugeRead, Measured, ReadingsSeen};
pub use blocks::{Against, Blocks, BlocksSeen, Way as BlockWay};
pub use drawn::{Adherence, Departure, DrawTold, DrawnBlocks};
pub use ends::{Ends, Period, TakenOff};
pub use gather::{agreement, blocks, growth, healing};
pub use growth::{CowGrowth, Horn, WallsSeen};
pub use healing::{CasesSeen, Group, Healing, Kind, Recurrence, Treated, follows};
pub use repeats::{Repeats, hand_of};

use hornrule_insight::band::{Band, band};
use hornrule_insight::interval::Between;
use hornrule_insight::{Estimate, Level, Refusal};

/// Seed of every shuffle: answers are the same from run to run, and the seed is shown.
pub const SEED: u64 = 1;

/// Curves drawn for a band: the 2.5 % points are then the 10th from either end.
const DRAWS: u32 = 399;

/// Whether bands are drawn about curves: that takes a second or so, and pages show none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bands {
    /// Drawn.
    Drawn,
    /// Left out.
    Left,
}

impl Bands {
    /// The band about the curve of cows.
    fn about(self, cows: &[Vec<Between>]) -> Answer<Band> {
        match self {
            Self::Drawn => band(cows, HORIZON_DAYS, (DRAWS, SEED), Level::P95).into(),
            Self::Left => Answer::Refused("no band was asked for".to_owned()),
        }
    }
}

/// How far curves are told, days: six weeks. Blocks are due off after four.
pub const HORIZON_DAYS: u32 = 42;

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

impl Answer<Band> {
    /// The nonparametric curve and its band after four weeks.
    fn after_28_days(&self) -> Answer<Estimate> {
        match self {
            Self::Told(band) => {
                let few = Refusal::TooFew { of: "days", have: band.edges.len() as u64, need: 29 };
                band.estimate(28).ok_or(few).into()
            }
            Self::Refused(why) => Answer::Refused(why.clone()),
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

/// How many were still being followed after so many days: it had not happened before, and somebody
/// looked then or later.
#[must_use]
pub fn followed(seen: &[Between], days: f64) -> u64 {
    let at = |one: &&Between| if one.happened() { one.by() > days } else { one.after() >= days };
    seen.iter().filter(at).count() as u64
}

/// p values times the number of comparisons still open (Holm 1979, Scand J Stat 6:65-70), in the
/// order given; those that are none stay none.
fn holm(p: &[Option<f64>]) -> Vec<Option<f64>> {
    let mut order: Vec<(usize, f64)> =
        p.iter().enumerate().filter_map(|(i, p)| Some((i, (*p)?))).collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (all, mut most, mut told) = (order.len(), 0.0f64, vec![None; p.len()]);
    for (rank, (i, p)) in order.into_iter().enumerate() {
        most = most.max((p * (all - rank) as f64).min(1.0));
        told[i] = Some(most);
    }
    told
}

/// A share in whole percent.
fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
