//! What readings and judgements are worth: one person twice, two people side by side, the calliper
//! itself.

use std::collections::BTreeMap;

use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{DeviceId, Dimension, LogId, Place, Seq};
use serde::Serialize;

use super::uncertainty::of_repeat;
use super::{Answer, Cow, cow};
use hornrule_facts::Day;
use hornrule_herd::{GaugeSaid, Said, What};
use hornrule_insight::agree::{BlandAltman, Repeat, bland_altman, concordance, repeat};
use hornrule_insight::chart::{Budget, Chart, chart};
use hornrule_insight::icc::{Icc, icc};
use hornrule_insight::kappa::{Weights, fleiss, kappa};
use hornrule_insight::{Estimate, Level, Refusal};

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

/// The readings of a gauge block by one handheld.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gauge {
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
    pub gauges: Vec<Gauge>,
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

/// One person's stay at one claw: handheld, log, stay, claw, dimension, trimmed or not.
type Same = (DeviceId, LogId, Seq, Place, u8, bool);
/// One claw on one day in one state.
type Shared = (Cow, Day, Place, u8);

fn told<T>(result: Result<T, Refusal>) -> Answer<T> {
    result.into()
}

impl Agreement {
    /// From everything said and every gauge reading, in the order of time.
    #[must_use]
    pub fn of(said: &[Said], gauges: &[GaugeSaid]) -> Self {
        let mut twice: BTreeMap<Same, Vec<f64>> = BTreeMap::new();
        let mut shared: BTreeMap<Shared, BTreeMap<DeviceId, Vec<f64>>> = BTreeMap::new();
        for one in said.iter().filter(|one| !one.doubted) {
            let What::Length { dimension, mm, trimmed } = one.what else { continue };
            let (device, log, _) = one.key;
            let same = (device, log, one.presence, one.place, dimension, trimmed);
            twice.entry(same).or_default().push(mm);
            if !trimmed {
                let claw = (cow(one), one.day, one.place, dimension);
                shared.entry(claw).or_default().entry(device).or_default().push(mm);
            }
        }
        let lengths = Dimension::all()
            .filter(|dimension| !dimension.is_gauge())
            .filter_map(|dimension| measured(dimension, &twice, &shared))
            .collect();
        let judged = judged(said);
        let (table, (judges, many)) = (grades(&judged), grades_of_many(&judged));
        let by = |weights| told(kappa(&table, weights, Level::P95));
        let cautions = vec![
            "Two handhelds are taken as two people; records do not say who wore them.",
            "Agreement is of these people, these cows and these days.",
        ];
        Self {
            lengths,
            grades: [by(Weights::Plain), by(Weights::Linear), by(Weights::Quadratic)],
            grades_of_many: told(fleiss(&many, Level::P95)),
            judges,
            gauges: charts(gauges),
            cautions,
        }
    }
}

fn measured(
    dimension: Dimension,
    twice: &BTreeMap<Same, Vec<f64>>,
    shared: &BTreeMap<Shared, BTreeMap<DeviceId, Vec<f64>>>,
) -> Option<Measured> {
    let code = dimension.code();
    let groups: Vec<Vec<f64>> = twice
        .iter()
        .filter(|(same, group)| same.4 == code && group.len() > 1)
        .map(|(_, group)| group.clone())
        .collect();
    let both: Vec<Vec<f64>> = shared
        .iter()
        .filter(|(claw, by)| claw.3 == code && by.len() == 2)
        .map(|(_, by)| by.values().map(|all| all.iter().sum::<f64>() / all.len() as f64).collect())
        .collect();
    if groups.is_empty() && both.is_empty() {
        return None;
    }
    let column = |i: usize| -> Vec<f64> { both.iter().map(|row| row[i]).collect() };
    let (one, other) = (column(0), column(1));
    let repeat = repeat(&groups, Level::P95);
    let budget = repeat.and_then(|repeat| of_repeat(&repeat, UnitMode::Millimetre));
    Some(Measured {
        code,
        dimension: dimension.name,
        pairs: one.iter().copied().zip(other.iter().copied()).collect(),
        repeat: repeat.into(),
        between: bland_altman(&one, &other, Level::P95).into(),
        concordance: concordance(&one, &other, Level::P95).into(),
        icc: icc(&both, Level::P95).into(),
        budget: budget.into(),
    })
}

/// What each person said first of a claw on a day.
type Judged = BTreeMap<(Cow, Day, Place), BTreeMap<DeviceId, u8>>;

fn judged(said: &[Said]) -> Judged {
    let mut judged = Judged::new();
    for one in said.iter().filter(|one| !one.doubted && one.place.side().is_some()) {
        let What::Finding { grade, .. } = one.what else { continue };
        let claw = judged.entry((cow(one), one.day, one.place)).or_default();
        claw.entry(one.key.0).or_insert(grade.min(3));
    }
    judged
}

/// Two people's grades of the same claw on the same day, the lower handheld's down.
fn grades(judged: &Judged) -> Vec<Vec<u64>> {
    let mut table = vec![vec![0; 4]; 4];
    for by in judged.values().filter(|by| by.len() == 2) {
        let grades: Vec<usize> = by.values().map(|grade| usize::from(*grade)).collect();
        table[grades[0]][grades[1]] += 1;
    }
    table
}

/// Claws that the largest number of people judged on a day: how many those are, and how many of them
/// said each grade.
fn grades_of_many(judged: &Judged) -> (u64, Vec<Vec<u64>>) {
    let most = judged.values().map(BTreeMap::len).max().unwrap_or(0);
    let claws = judged.values().filter(|by| by.len() == most).map(|by| {
        let mut counts = vec![0; 4];
        by.values().for_each(|grade| counts[usize::from(*grade)] += 1);
        counts
    });
    (most as u64, claws.collect())
}

/// The readings of gauge blocks by handheld, in the order given.
pub(super) fn charts(said: &[GaugeSaid]) -> Vec<Gauge> {
    let mut by: BTreeMap<DeviceId, Vec<GaugeSaid>> = BTreeMap::new();
    for one in said {
        by.entry(one.device).or_default().push(*one);
    }
    by.into_iter()
        .map(|(device, all)| {
            let readings: Vec<(i32, f64)> = all.iter().map(|one| (one.day.0, one.mm)).collect();
            let mm: Vec<f64> = all.iter().map(|one| one.mm).collect();
            let block = all.last().and_then(|one| one.block);
            let handheld = format!("{:016x}", device.0);
            Gauge { handheld, readings, block, chart: told(chart(&mm)) }
        })
        .collect()
}
