//! What makes a comparison of months unfair.

use super::share::{LEAST, Share};
use super::tally::{Part, Scored};
use super::{Month, Tally};
use hornrule_facts::Day;
use hornrule_insight::{Count, Level, proportion};

/// With fewer cows, the 95 % interval of a half is wider than forty points.
pub const SMALL: u64 = 20;

/// One thing to keep in mind.
#[derive(Clone, Debug, PartialEq)]
pub enum Mind {
    /// More than half of the cows scored were lame.
    MostlyLame(Vec<Day>),
    /// Findings came from more handhelds than in other months.
    MoreEyes(Vec<Day>),
    /// Cows were trimmed, and none was scored for gait.
    NotScored(Vec<Day>),
    /// The share of lame cows brought differs between two months by more than chance explains.
    Chosen {
        /// The month with the lowest share.
        low: (Day, Share),
        /// The month with the highest.
        high: (Day, Share),
    },
    /// Fewer than [`SMALL`] cows trimmed.
    Few(Vec<Day>),
    /// Less than half of the herd list was trimmed.
    HalfUnseen(Part),
    /// Nobody told the office which cows there are.
    NoList,
}

pub(super) fn mind(whole: &Tally, months: &[Month]) -> Vec<Mind> {
    let trimmed = |month: &&Month| month.tally.with_lesion.of > 0;
    let of = |wanted: &dyn Fn(&Tally) -> bool| -> Vec<Day> {
        let months = months.iter().filter(trimmed).filter(|month| wanted(&month.tally));
        months.map(|month| month.first).collect()
    };
    let lame = of(&|tally| main(tally).is_some_and(|it| it.lame.cases * 2 > it.lame.of));
    let silent = of(&|tally| tally.gait.is_empty());
    let few = of(&|tally| tally.with_lesion.of < SMALL);
    let mut mind = Vec::new();
    if !lame.is_empty() {
        mind.push(Mind::MostlyLame(lame));
    }
    mind.extend(chosen(months));
    let fewest = months.iter().filter(trimmed).map(|month| month.tally.finders).min();
    let eyes = of(&|tally| fewest.is_some_and(|fewest| tally.finders > fewest.max(1)));
    if !eyes.is_empty() {
        mind.push(Mind::MoreEyes(eyes));
    }
    if !silent.is_empty() {
        mind.push(Mind::NotScored(silent));
    }
    if !few.is_empty() {
        mind.push(Mind::Few(few));
    }
    match whole.herd {
        None => mind.push(Mind::NoList),
        Some(part) if part.cases * 2 < part.of => mind.push(Mind::HalfUnseen(part)),
        Some(_) => {}
    }
    mind
}

/// The scale on which most cows were scored, where there are enough to tell.
fn main(tally: &Tally) -> Option<&Scored> {
    let enough = tally.gait.iter().filter(|one| one.lame.of >= LEAST);
    enough.max_by_key(|one| one.lame.of)
}

/// The months with the lowest and the highest share of lame cows, where the interval of their
/// difference leaves out zero. They were picked from all pairs, so the level is that of one pair of as
/// many (Bonferroni).
fn chosen(months: &[Month]) -> Option<Mind> {
    let shares: Vec<(Day, u8, Share)> = months
        .iter()
        .filter_map(|month| main(&month.tally).map(|it| (month.first, it.scale.code(), it.lame)))
        .collect();
    // Scales do not convert into each other.
    let scale = shares.first()?.1;
    if shares.iter().any(|(_, of, _)| *of != scale) {
        return None;
    }
    let value = |share: &Share| share.estimate.map_or(0.0, |it| it.value);
    let low = shares.iter().min_by(|a, b| value(&a.2).total_cmp(&value(&b.2)))?;
    let high = shares.iter().max_by(|a, b| value(&a.2).total_cmp(&value(&b.2)))?;
    let pairs = (shares.len() * (shares.len() - 1) / 2).max(1);
    let level = Level::new((1.0 - 0.05 / pairs as f64).min(0.9999))?;
    let count = |share: &Share| Count::new(share.cases, share.of).ok();
    let apart = proportion::difference(count(&high.2)?, count(&low.2)?, level);
    (apart.low > 0.0).then_some(Mind::Chosen { low: (low.0, low.2), high: (high.0, high.2) })
}
