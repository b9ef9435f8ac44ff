//! How long blocks stay on, by the way they were glued.
//!
//! ```text
//! DO 1x on day 0     DO 40 on day 13    DO 42 on day 27     --> (13, 27]
//!                                       DO 44, 45           --> (13, 27]: the glue had let go
//!                                       DO 41, 43, 46, 47   --> later than 27
//! ```

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::Action;
use serde::Serialize;

use super::advice::{Trust, sentence};
use super::drawn::{Drawn, DrawnBlocks};
use super::ends::{Ends, Period, periods};
use super::{Answer, Bands, DRAWS, SEED, followed, holm};
use crate::lot::Lots;
use hornrule_casebook::{Block, Casebook, Cow};
use hornrule_facts::codes::{BLOCK_USUAL, trial_name};
use hornrule_facts::{Day, WayFact};
use hornrule_herd::Span;
use hornrule_insight::band::Band;
use hornrule_insight::bunched::{Bunch, compare_bunches};
use hornrule_insight::compare::{Compared, needed_per_group, power};
use hornrule_insight::interval::Between;
use hornrule_insight::turnbull::{Turnbull, turnbull};
use hornrule_insight::weibull::weibull;
use hornrule_insight::{
    Count, Estimate, Fourfold, Level, Refusal, Split, cluster_difference, cluster_share, fisher,
};

/// The day a block is due to come off, from gluing (common practice, no source).
const OFF_DAYS: f64 = 28.0;
const SHUFFLES: u32 = 4000;
/// Power asked for when blocks are planned.
const POWER: f64 = 0.8;

/// Blocks that were glued one way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// The action keyed, 10 to 19.
    pub action: u8,
    /// In words.
    pub name: &'static str,
    /// What the office calls this trial way.
    pub called: Option<String>,
    /// Blocks seen again at least once.
    pub blocks: u64,
    /// Of them, found lost, or so loose or twisted that they were taken off.
    pub lost: u64,
    /// Blocks never seen again: they say nothing.
    pub unseen: u64,
    /// How all of them were glued and ended, also those never seen again.
    pub ends: Ends,
    /// What this way was, as the office was told, with the blocks glued on those days; `None` where
    /// that was not asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub facts: Option<Vec<Period>>,
    /// Blocks glued on days of which the office was told nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_facts: Option<u64>,
    /// When each was glued.
    #[serde(skip)]
    glued: Vec<Day>,
    /// What is known of each of them, days from gluing; no `by` where it was not found lost.
    pub intervals: Vec<Between>,
    /// Share still on after 28 days, smooth curve.
    pub after_28_days: Answer<Estimate>,
    /// The same after each week to the sixth; empty where there is no curve.
    pub weeks: Vec<Estimate>,
    /// The nonparametric curve.
    pub curve: Answer<Turnbull>,
    /// The band about it, by cow, day by day for six weeks.
    pub band: Answer<Band>,
    /// The nonparametric curve and its band after 28 days.
    pub without_form_after_28_days: Answer<Estimate>,
    /// Number at risk: blocks still being followed after 0, 7, 14, 21 and 28 days.
    pub at_risk: [u64; 5],
    /// Share still on at the first recheck (10 to 20 days), allowing for blocks of one cow being alike.
    pub at_recheck: Answer<Estimate>,
}

/// A way against the usual one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Against {
    /// The trial way.
    pub action: u8,
    /// Interval-censored log-rank, shuffled by cow.
    pub test: Answer<Compared>,
    /// Its p by shuffling, after Holm.
    pub p_holm: Option<f64>,
    /// At the first recheck: this way's share less the usual way's, allowing for blocks of one cow being alike.
    pub at_recheck: Answer<Estimate>,
    /// Fisher's exact test of that, which takes every block for another cow's.
    pub fisher_p: Answer<f64>,
    /// Blocks needed of each way to show the difference seen, with a power of 80 %.
    pub needed: Answer<f64>,
    /// Blocks needed of each way to show the difference asked about, with a power of 80 %.
    pub needed_for_difference: Answer<f64>,
    /// Power that the blocks there are have to show it.
    pub power: Answer<f64>,
    /// In words.
    pub sentence: String,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Blocks {
    /// By way, where it was chosen; where no draw was asked for, all of them.
    pub ways: Vec<Way>,
    /// Trial ways against the usual one.
    pub against: Vec<Against>,
    /// Those whose way was drawn, by the ways that were drawn from.
    pub drawn: Vec<DrawnBlocks>,
    /// The difference asked about, as a share.
    pub difference: f64,
    /// Seed of the shuffles.
    pub seed: u64,
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

/// A block from gluing to the last look.
#[derive(Clone)]
pub(super) struct Followed {
    cow: Cow,
    /// The draw that it belongs to; 0 for none.
    stratum: u32,
    pub(super) way: u8,
    block: Block,
    seen: Option<Between>,
    /// Whether it was on at a look in the time of the first recheck; `None` where there was none.
    at_recheck: Option<bool>,
}

/// Blocks by the action that glued them, or that was drawn for them.
pub(super) type ByWay = BTreeMap<u8, Vec<Followed>>;

impl Followed {
    /// `None` where nobody recorded how it was glued.
    pub(super) fn of(block: &Block, stratum: u32) -> Option<Self> {
        let on = f64::from(block.known_on().0 - block.on.0);
        let lost = block.failed().map(|day| f64::from(day.0 - block.on.0));
        let seen = match lost {
            Some(lost) => Between::new(on, lost).ok(),
            None if on > 0.0 => Between::later_than(on).ok(),
            None => None,
        };
        let cow = (block.herd, block.animal);
        let at_recheck = block.at_recheck;
        block.way.map(|way| Self { cow, stratum, way, block: block.clone(), seen, at_recheck })
    }

    /// The same block under another way.
    pub(super) fn under(self, way: u8) -> Self {
        Self { way, ..self }
    }

    const fn between(&self) -> Option<Between> {
        self.seen
    }
}

/// Blocks gathered cow by cow.
#[derive(Default)]
pub struct BlocksSeen {
    by_way: ByWay,
    drawn: Drawn,
}

impl BlocksSeen {
    /// Takes a cow's blocks that were glued in a span, whether their ways were drawn or chosen.
    pub fn take(&mut self, book: &Casebook, span: Span) {
        for block in book.blocks.iter().filter(|block| span.has(block.on)) {
            self.put(block);
        }
    }

    /// Takes a cow's blocks, those whose way was drawn apart from those whose way was chosen.
    pub(super) fn take_apart(&mut self, book: &Casebook, lots: &Lots) {
        for block in &book.blocks {
            match lots.way(block.animal, block.place, block.on) {
                Some((kept, way)) => self.drawn.put(block, kept, way),
                None => self.put(block),
            }
        }
    }

    /// Names a draw that there is, also where none of its cows has a block.
    pub(super) fn know(&mut self, lots: &Lots) {
        lots.all().for_each(|kept| self.drawn.know(kept));
    }

    fn put(&mut self, block: &Block) {
        if let Some(followed) = Followed::of(block, 0) {
            self.by_way.entry(followed.way).or_default().push(followed);
        }
    }

    /// What they say; `difference` is the one between the shares of two ways that would matter, 0
    /// to 1.
    #[must_use]
    pub fn answer(self, difference: f64, bands: Bands) -> Blocks {
        Blocks::of(&self, difference, bands)
    }
}

/// Each way, and each against the one named.
pub(super) fn compared(
    by_way: &ByWay,
    usual: u8,
    difference: f64,
    bands: Bands,
    trust: Trust,
) -> (Vec<Way>, Vec<Against>) {
    let ways = by_ways(by_way, bands);
    let mut against = Vec::new();
    if let Some(held) = by_way.get(&usual) {
        let trials = by_way.iter().filter(|(action, _)| **action != usual);
        against.extend(trials.map(|(action, blocks)| contrast(*action, blocks, held, difference)));
    }
    let p: Vec<Option<f64>> =
        against.iter().map(|one| one.test.told().map(|test| test.shuffled.p)).collect();
    for (one, p) in against.iter_mut().zip(holm(&p)) {
        one.p_holm = p;
        one.sentence = sentence(one, &ways, usual, difference, trust);
    }
    (ways, against)
}

/// Each way.
pub(super) fn by_ways(by_way: &ByWay, bands: Bands) -> Vec<Way> {
    by_way.iter().map(|(action, blocks)| way(*action, blocks, bands)).collect()
}

impl Blocks {
    /// The difference in shares asked about by default.
    pub const DIFFERENCE: f64 = 0.15;
    /// Curves drawn for a band: the fewest of any.
    #[must_use]
    pub fn draws(&self) -> u32 {
        let as_drawn = self.drawn.iter().flat_map(|one| &one.as_drawn);
        let bands = self.ways.iter().chain(as_drawn).filter_map(|one| one.band.told());
        bands.map(|band| band.resamples).min().unwrap_or(DRAWS)
    }

    fn of(seen: &BlocksSeen, difference: f64, bands: Bands) -> Self {
        let (ways, against) = compared(&seen.by_way, BLOCK_USUAL, difference, bands, Trust::Chosen);
        let drawn = seen.drawn.answer(difference, bands);
        let chosen = if drawn.is_empty() { CHOSEN } else { CHOSEN_APART };
        let unseen = "A cow that was not brought again tells nothing about her block.";
        Self { ways, against, drawn, difference, seed: SEED, cautions: vec![chosen, unseen] }
    }

    /// The same with what the office was told of each way.
    #[must_use]
    pub fn with_facts(mut self, facts: &[WayFact]) -> Self {
        let used = self.drawn.iter_mut().flat_map(|one| &mut one.as_used);
        for way in self.ways.iter_mut().chain(used) {
            let (held, without) = periods(facts, way.action, &way.glued);
            (way.facts, way.without_facts) = (Some(held), Some(without));
        }
        self
    }

    /// The same with what the office calls trial ways 1 to 9.
    #[must_use]
    pub fn called(mut self, trial_ways: &[(u8, String)]) -> Self {
        let drawn = self.drawn.iter_mut();
        let drawn = drawn.flat_map(|one| one.as_drawn.iter_mut().chain(&mut one.as_used));
        for way in self.ways.iter_mut().chain(drawn) {
            way.called = trial_name(trial_ways, way.action).map(str::to_owned);
        }
        self
    }
}

const CHOSEN: &str = "The way of gluing was chosen, not randomised: cows treated one way may differ \
                      from cows treated another.";
const CHOSEN_APART: &str = "Where the way of gluing was chosen, and where another one was glued than \
                            drawn, cows treated one way may differ from cows treated another.";

fn intervals(blocks: &[Followed]) -> Vec<Between> {
    blocks.iter().filter_map(Followed::between).collect()
}

fn way(action: u8, blocks: &[Followed], bands: Bands) -> Way {
    let seen = intervals(blocks);
    let mut ends = Ends::default();
    blocks.iter().for_each(|one| ends.add(&one.block));
    let band = bands.about(&bunches(blocks));
    let lost = seen.iter().filter(|one| one.happened()).count() as u64;
    let followed = |days: f64| followed(&seen, days);
    let smooth = weibull(&seen);
    let seen_again: Vec<Count> = by_cow(blocks).into_values().collect();
    let week = |week: u8| smooth.ok().map(|fit| fit.still(f64::from(week) * 7.0, Level::P95));
    Way {
        action,
        name: Action::from_code(action).map_or("", |action| action.name),
        called: None,
        ends,
        facts: None,
        without_facts: None,
        glued: blocks.iter().map(|one| one.block.on).collect(),
        blocks: seen.len() as u64,
        lost,
        unseen: (blocks.len() - seen.len()) as u64,
        after_28_days: smooth.map(|curve| curve.still(OFF_DAYS, Level::P95)).into(),
        weeks: (1..=6).filter_map(week).collect(),
        curve: turnbull(&seen).into(),
        without_form_after_28_days: band.after_28_days(),
        band,
        at_risk: [0.0, 7.0, 14.0, 21.0, 28.0].map(followed),
        intervals: seen.clone(),
        at_recheck: cluster_share(&seen_again, Level::P95).map(|share| share.share).into(),
    }
}

/// What is known of each cow's blocks of two ways; the second group is the trial way's.
fn both(usual: &[Followed], trial: &[Followed]) -> Vec<Bunch> {
    let mut cows: BTreeMap<(u32, Cow), Vec<(Between, bool)>> = BTreeMap::new();
    for (blocks, second) in [(usual, false), (trial, true)] {
        for block in blocks {
            let seen = block.between().map(|between| (between, second));
            cows.entry((block.stratum, block.cow)).or_default().extend(seen);
        }
    }
    cows.into_iter().map(|((stratum, _), seen)| Bunch { stratum, seen }).collect()
}

/// What is known of the blocks of each cow.
fn bunches(blocks: &[Followed]) -> Vec<Vec<Between>> {
    let mut cows: BTreeMap<Cow, Vec<Between>> = BTreeMap::new();
    for block in blocks {
        cows.entry(block.cow).or_default().extend(block.between());
    }
    cows.into_values().collect()
}

/// Blocks on at the first recheck, by cow.
fn by_cow(blocks: &[Followed]) -> BTreeMap<Cow, Count> {
    let mut cows: BTreeMap<Cow, (u64, u64)> = BTreeMap::new();
    for block in blocks {
        if let Some(on) = block.at_recheck {
            let count = cows.entry(block.cow).or_default();
            *count = (count.0 + u64::from(on), count.1 + 1);
        }
    }
    let counted = |(cow, (on, of))| Count::new(on, of).ok().map(|count| (cow, count));
    cows.into_iter().filter_map(counted).collect()
}

/// The same of two ways: a cow may have blocks of both.
fn splits(one: &[Followed], other: &[Followed]) -> Vec<Split> {
    let (one, other) = (by_cow(one), by_cow(other));
    let cows: BTreeSet<Cow> = one.keys().chain(other.keys()).copied().collect();
    cows.into_iter().map(|cow| (one.get(&cow).copied(), other.get(&cow).copied())).collect()
}

fn at_recheck(blocks: &[Followed]) -> Result<Count, Refusal> {
    let looked: Vec<bool> = blocks.iter().filter_map(|block| block.at_recheck).collect();
    Count::new(looked.iter().filter(|on| **on).count() as u64, looked.len() as u64)
}

fn contrast(action: u8, blocks: &[Followed], usual: &[Followed], worth: f64) -> Against {
    let (ours, theirs) = (intervals(blocks), intervals(usual));
    let counts = at_recheck(blocks).and_then(|one| Ok((one, at_recheck(usual)?)));
    let shares = || {
        let still = |seen: &[Between]| Ok(weibull(seen)?.still(OFF_DAYS, Level::P95).value);
        Ok::<_, Refusal>((still(&ours)?, still(&theirs)?))
    };
    let least = ours.len().min(theirs.len()) as u64;
    Against {
        action,
        test: compare_bunches(&both(usual, blocks), SHUFFLES, SEED).into(),
        p_holm: None,
        at_recheck: cluster_difference(&splits(blocks, usual), Level::P95)
            .map(|apart| apart.difference)
            .into(),
        fisher_p: counts
            .and_then(|(one, other)| fisher(Fourfold::of(one, other), Level::P95))
            .map(|test| test.both.p)
            .into(),
        needed: shares()
            .and_then(|(one, other)| needed_per_group(one, other, POWER, Level::P95))
            .into(),
        needed_for_difference: shares()
            .and_then(|(_, usual)| needed_per_group(usual, other(usual, worth), POWER, Level::P95))
            .into(),
        power: shares()
            .and_then(|(_, usual)| power(usual, other(usual, worth), least, Level::P95))
            .into(),
        sentence: String::new(),
    }
}

/// A share that differs from the usual one by so much: better where there is room, else worse.
fn other(usual: f64, by: f64) -> f64 {
    if usual + by <= 1.0 { usual + by } else { usual - by }
}
