//! Measures derived from lengths: toe angle, heel difference, sole from wall. Rules:
//! `host/insight/DERIVED.md`.
//!
//! ```text
//! readings of a cow --pair--> inputs of one day, person, claw, state of trim --insight--> Line
//! lines, cow by cow --averages--> means with cows as clusters
//! ```

mod averages;
mod pair;

#[cfg(test)]
mod tests;

use hornrule_insight::derived::{Derived, Hand, Refused};
use hornrule_protocol::{DeviceId, Foot, Place};

use crate::evidence::Repeats;
use crate::visit::Name;
use hornrule_facts::{Day, Fact, HerdId, Key, What};
use hornrule_herd::{Fault, Kinds, Rows, Span};

pub use averages::{AverageLine, Averages};
pub use pair::{Lengthed, lines};

/// What is derived.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// asin(toe height / dorsal wall), degrees.
    ToeAngle,
    /// Heel height, outer less inner, mm.
    HeelDifference,
    /// Mean thickness of the sole at the toe of claws with such a wall, mm.
    SoleFromWall,
}

impl Measure {
    /// All of them, in the order of the rules.
    pub const ALL: [Self; 3] = [Self::ToeAngle, Self::HeelDifference, Self::SoleFromWall];

    /// In words of data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::ToeAngle => "toe angle",
            Self::HeelDifference => "heel difference",
            Self::SoleFromWall => "sole from wall",
        }
    }

    /// The unit in data files.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::ToeAngle => "deg",
            Self::HeelDifference | Self::SoleFromWall => "mm",
        }
    }

    /// Formula and source, for data files.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::ToeAngle => {
                "asin(toe height / dorsal wall): geometry of a flat sole and a straight wall"
            }
            Self::HeelDifference => "heel height, outer less inner: definition",
            Self::SoleFromWall => {
                "lines between means of 800 untrimmed hind claws, computed tomography (abstract; \
                 Tsuka and others 2014)"
            }
        }
    }
}

/// One derived value, or why there is none.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub measure: Measure,
    /// Of which day.
    pub day: Day,
    /// By which handheld.
    pub device: DeviceId,
    /// Which claw; the foot, of a heel difference.
    pub place: Place,
    /// After the trim to form, of every claw that it is from.
    pub trimmed: bool,
    /// The value.
    pub answer: Result<Derived, Refused>,
    /// The records that it is from, in the order of their numbers; where there is no value, all of
    /// the inputs.
    pub inputs: Vec<Key>,
}

impl Line {
    /// Whether files say it: of a wall outside the literature's range they say nothing.
    #[must_use]
    pub fn is_said(&self) -> bool {
        self.measure != Measure::SoleFromWall || self.answer != Err(Refused::OutsideRange)
    }

    /// Whether it is of a hind foot.
    #[must_use]
    pub fn hind(&self) -> bool {
        is_hind(self.place)
    }
}

fn is_hind(place: Place) -> bool {
    matches!(place.foot(), Some(Foot::LeftHind | Foot::RightHind))
}

/// A visit's derived values.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OfVisit {
    /// Each, cow by cow.
    pub lines: Vec<(Name, Line)>,
    /// Their means.
    pub averages: Vec<AverageLine>,
}

/// What is derived from a cow's facts, which are in the order of time; `repeats` tells how far a hand
/// can be trusted.
#[must_use]
pub fn of_facts(facts: &[Fact], repeats: &Repeats) -> Vec<Line> {
    of_facts_by(facts, |dimension| repeats.hand(dimension))
}

/// The same without a hand: for means, to which single uncertainties are of no account.
pub(crate) fn values_of(facts: &[Fact]) -> Vec<Line> {
    of_facts_by(facts, |_| None)
}

fn of_facts_by(facts: &[Fact], hand: impl Fn(u8) -> Option<Hand>) -> Vec<Line> {
    let lengths = facts.iter().filter_map(|fact| {
        let (What::Reading(clip), Place::Claw(claw)) = (fact.what, fact.place) else { return None };
        Some(Lengthed { key: fact.key, day: fact.day, claw, clip, doubted: fact.doubted })
    });
    lines(lengths, hand)
}

/// Readings of a herd that one person took twice, up to and with a day: for facts that something is
/// derived from, else none, which saves the way through the herd.
pub(crate) fn repeats_for(
    facts: &[Fact],
    rows: &Rows<'_>,
    (herd, day): (HerdId, Day),
) -> Result<Repeats, Fault> {
    let mut repeats = Repeats::default();
    if !values_of(facts).is_empty() {
        let through = Span::through(day);
        rows.each_cow(herd, through, Kinds::READINGS, |_, facts| repeats.take(facts))?;
    }
    Ok(repeats)
}
