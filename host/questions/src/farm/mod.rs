//! A farm over time: plain values, month by month.
//!
//! ```text
//! casebooks, cow by cow --> Tally of each month, and of all days --+--> FarmTrend
//!                       --> healing, blocks -----------------------+
//! ```
//!
//! Nothing here compares months by itself. A share stands with its denominator and interval, or with the
//! reason why there is none, and [`Mind`] says what makes a comparison unfair.

mod gather;
mod mind;
mod share;
mod tally;
#[cfg(test)]
mod tests;

use hornrule_protocol::Lesion;
use jiff::ToSpan;
use jiff::civil::Date;

use crate::derived::AverageLine;
use crate::evidence::{Blocks, Healing};
use crate::visit::due::Due;
use hornrule_facts::{Day, FarmSettings};
use hornrule_herd::Span;

pub use mind::{Mind, SMALL};
pub use share::{LEAST, Share};
pub use tally::{LesionTally, Part, Scored, Tally};

/// The twelve calendar months that end with this day's, up to this day.
#[must_use]
pub fn year_through(through: Day) -> Span {
    // Only the calendar's first year has no year before it.
    let from = through.date().first_of_month().checked_sub(11.months()).unwrap_or(Date::MIN);
    Span { from: Day::from_date(from), through }
}

/// One calendar month of the period.
#[derive(Clone, Debug, PartialEq)]
pub struct Month {
    /// Its first day.
    pub first: Day,
    /// What was seen in it.
    pub tally: Tally,
    /// Of the herd list: cows trimmed at least once from the period's first day to this month's
    /// last. `None` without a list.
    pub so_far: Option<Part>,
}

/// A farm over time.
#[derive(Clone, Debug, PartialEq)]
pub struct FarmTrend {
    /// The farm's name.
    pub farm: String,
    /// How it wants its papers.
    pub settings: FarmSettings,
    /// The days asked about.
    pub period: Span,
    /// The first visit ever recorded; what was before it nobody knows. `None` without any.
    pub first_visit: Option<Day>,
    /// All days of the period together.
    pub whole: Tally,
    /// Months from the first visit of the period to its last.
    pub months: Vec<Month>,
    /// Lesions of the period, the most cases first: the order of every tally's lesions.
    pub lesions: Vec<Lesion>,
    /// Lesions of claws found in the period, and how long they took.
    pub healing: Healing,
    /// Blocks glued in the period, and what became of them.
    pub blocks: Blocks,
    /// Means of what is derived from the lengths of the period.
    pub derived: Vec<AverageLine>,
    /// Blocks and wraps that are on past their window at the end of the period's last visit, the one
    /// longest past it first.
    pub left_on: Vec<Due>,
    /// That visit's day; `None` where the period has no visit.
    pub as_of: Option<Day>,
    /// What makes a comparison unfair.
    pub mind: Vec<Mind>,
}
