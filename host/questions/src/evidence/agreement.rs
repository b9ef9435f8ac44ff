//! What readings and judgements are worth: one person twice, two people side by side, the calliper
//! itself.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::codes::Says;
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{DeviceId, Dimension, Place};
use serde::Serialize;

use super::Answer;
use super::repeats::Repeats;
use super::uncertainty::of_repeat;
use hornrule_facts::{Day, Fact, What};
use hornrule_insight::agree::{BlandAltman, Repeat, bland_altman, concordance, repeat};
use hornrule_insight::chart::{Budget, Chart, chart};
use hornrule_insight::icc::{Icc, icc};
use hornrule_insight::kappa::{Weights, fleiss, kappa};
use hornrule_insight::{Estimate, Level};

/// One dimension.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// Its number in the code table.
    pub code: u8,
    /// Which.
    pub dimension: &'static str,
    /// Two people's means of each claw, mm: what the comparison rests on.
    pub pairs: Vec<(f64, f64)>,
    /// One person twice.
    pub repeat: Answer<Repeat>,
    /// Two people: mean of each one's readings of the same claw on the same day.
    pub between: Answer<BlandAltman>,
    /// Their concordance.
    pub concordance: Answer<Estimate>,
    /// The six coefficients.
    pub icc: Answer<Icc>,
    /// What a single reading is uncertain by.
    pub budget: Answer<Budget>,
}

/// A reading of a gauge block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeRead {
    /// With which handheld.
    pub device: DeviceId,
    /// The day.
    pub day: Day,
    /// What the calliper showed.
    pub mm: f64,
    /// The block's size and how far off a reading may be, mm, where the office was told.
    pub block: Option<(f64, f64)>,
}

/// The readings of a gauge block by one handheld.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GaugeChart {
    /// The handheld's number.
    pub handheld: String,
    /// The day of each and what the calliper showed, mm, in the order of time.
    pub readings: Vec<(i32, f64)>,
    /// The block's size and how far off a reading may be, mm, where the office was told.
    pub block: Option<(f64, f64)>,
    /// The chart.
    pub chart: Answer<Chart>,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Agreement {
    /// By dimension.
    pub lengths: Vec<Measured>,
    /// Two people's grades of the same claw on the same day, 0 sound to 3 severe: plain, linear and
    /// quadratic weights.
    pub grades: [Answer<Estimate>; 3],
    /// Of three people or more: Fleiss' kappa of the claws that most of them judged together.
    pub grades_of_many: Answer<Estimate>,
    /// How many people those are.
    pub judges: u64,
    /// Gauge blocks over time, by handheld.
    pub gauges: Vec<GaugeChart>,
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

/// What each person said first of a claw on a day: by handheld, the grade, 0 sound to 3 severe.
type Judged = BTreeMap<DeviceId, u8>;

/// Readings and judgements gathered cow by cow.
#[derive(Default)]
pub struct ReadingsSeen {
    repeats: Repeats,
    /// By dimension, two people's means of one claw on one day, mm; the lower handheld first.
    pairs: BTreeMap<u8, Vec<[f64; 2]>>,
    /// Claws that several people judged on one day.
    judged: Vec<Judged>,
    /// The most people who judged one claw on one day, also where that is one.
    most: usize,
    /// Claws that one person alone judged, by grade.
    alone: Vec<u8>,
}

impl ReadingsSeen {
    /// Takes a cow's facts, in the order of time.
    pub fn take(&mut self, facts: &[Fact]) {
        self.repeats.take(facts);
        let mut shared: BTreeMap<(Day, Place, u8), BTreeMap<DeviceId, Vec<f64>>> = BTreeMap::new();
        let mut judged: BTreeMap<(Day, Place), Judged> = BTreeMap::new();
        for fact in facts.iter().filter(|fact| !fact.doubted && fact.place != Place::Cow) {
            let (device, ..) = fact.key;
            match fact.what {
                What::Reading(clip) => {
                    let (code, mm) = (clip.dimension.code(), clip.length.as_mm());
                    if !clip.trimmed {
                        let claw = shared.entry((fact.day, fact.place, code)).or_default();
                        claw.entry(device).or_default().push(mm);
                    }
                }
                // A sign is no judgement of how bad a claw is.
                What::Finding(finding)
                    if fact.place.side().is_some() && finding.lesion.says != Says::Sign =>
                {
                    let claw = judged.entry((fact.day, fact.place)).or_default();
                    claw.entry(device).or_insert(finding.grade.min(3));
                }
                _ => {}
            }
        }
        for ((.., code), by) in shared.into_iter().filter(|(_, by)| by.len() == 2) {
            let mut means = by.values().map(|all| all.iter().sum::<f64>() / all.len() as f64);
            if let (Some(one), Some(other)) = (means.next(), means.next()) {
                self.pairs.entry(code).or_default().push([one, other]);
            }
        }
        for by in judged.into_values() {
            self.most = self.most.max(by.len());
            if by.len() > 1 {
                self.judged.push(by);
            } else {
                self.alone.extend(by.into_values());
            }
        }
    }

    /// What they say, with every gauge reading, in the order of time.
    #[must_use]
    pub fn answer(self, gauges: &[GaugeRead]) -> Agreement {
        Agreement::of(self, gauges)
    }
}

impl Agreement {
    fn of(seen: ReadingsSeen, gauges: &[GaugeRead]) -> Self {
        let (table, (judges, many)) = (grades(&seen), grades_of_many(&seen));
        let by = |weights| kappa(&table, weights, Level::P95).into();
        let cautions = vec![
            "Each handheld is taken as one person; the records do not say who used it.",
            "The agreement holds for these people, these cows and these days.",
        ];
        let codes: BTreeSet<u8> =
            seen.repeats.dimensions().chain(seen.pairs.keys().copied()).collect();
        let lengths = codes.into_iter().filter_map(|code| {
            let dimension = Dimension::from_code(code).filter(|one| !one.is_gauge())?;
            let pairs = seen.pairs.get(&code).map_or(&[][..], Vec::as_slice);
            Some(measured(dimension, seen.repeats.groups(code), pairs))
        });
        Self {
            lengths: lengths.collect(),
            grades: [by(Weights::Plain), by(Weights::Linear), by(Weights::Quadratic)],
            grades_of_many: fleiss(&many, Level::P95).into(),
            judges,
            gauges: charts(gauges),
            cautions,
        }
    }
}

fn measured(dimension: Dimension, repeats: &[Vec<f64>], pairs: &[[f64; 2]]) -> Measured {
    let column = |i: usize| -> Vec<f64> { pairs.iter().map(|row| row[i]).collect() };
    let (one, other) = (column(0), column(1));
    let both: Vec<Vec<f64>> = pairs.iter().map(|row| row.to_vec()).collect();
    let repeat = repeat(repeats, Level::P95);
    let budget = repeat.and_then(|repeat| of_repeat(&repeat, UnitMode::Millimetre));
    Measured {
        code: dimension.code(),
        dimension: dimension.name,
        pairs: one.iter().copied().zip(other.iter().copied()).collect(),
        repeat: repeat.into(),
        between: bland_altman(&one, &other, Level::P95).into(),
        concordance: concordance(&one, &other, Level::P95).into(),
        icc: icc(&both, Level::P95).into(),
        budget: budget.into(),
    }
}

/// Two people's grades of the same claw on the same day, the lower handheld's down.
fn grades(seen: &ReadingsSeen) -> Vec<Vec<u64>> {
    let mut table = vec![vec![0; 4]; 4];
    for by in seen.judged.iter().filter(|by| by.len() == 2) {
        let grades: Vec<usize> = by.values().map(|grade| usize::from(*grade)).collect();
        table[grades[0]][grades[1]] += 1;
    }
    table
}

/// Claws that the largest number of people judged on a day: how many those are, and how many of them
/// said each grade.
fn grades_of_many(seen: &ReadingsSeen) -> (u64, Vec<Vec<u64>>) {
    let row = |grades: &mut dyn Iterator<Item = u8>| {
        let mut counts = vec![0; 4];
        grades.for_each(|grade| counts[usize::from(grade)] += 1);
        counts
    };
    let claws = if seen.most > 1 {
        let most = seen.judged.iter().filter(|by| by.len() == seen.most);
        most.map(|by| row(&mut by.values().copied())).collect()
    } else {
        seen.alone.iter().map(|grade| row(&mut std::iter::once(*grade))).collect()
    };
    (seen.most as u64, claws)
}

/// The readings of gauge blocks by handheld, in the order given.
pub(super) fn charts(read: &[GaugeRead]) -> Vec<GaugeChart> {
    let mut by: BTreeMap<DeviceId, Vec<GaugeRead>> = BTreeMap::new();
    for one in read {
        by.entry(one.device).or_default().push(*one);
    }
    by.into_iter()
        .map(|(device, all)| {
            let readings: Vec<(i32, f64)> = all.iter().map(|one| (one.day.0, one.mm)).collect();
            let mm: Vec<f64> = all.iter().map(|one| one.mm).collect();
            let block = all.last().and_then(|one| one.block);
            let handheld = format!("{:016x}", device.0);
            GaugeChart { handheld, readings, block, chart: chart(&mm).into() }
        })
        .collect()
}
