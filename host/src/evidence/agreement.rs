//! What readings and judgements are worth: one person twice, two people side by side, the calliper
//! itself.

use std::collections::BTreeMap;

use hornrule_protocol::{DeviceId, Dimension, LogId, Place, Seq};
use serde::Serialize;

use super::{Answer, Cow, cow};
use crate::herd::{Day, Said, What};
use crate::insight::agree::{BlandAltman, Repeat, bland_altman, concordance, repeat};
use crate::insight::chart::{Budget, Chart, Part, budget, chart};
use crate::insight::icc::{Icc, icc};
use crate::insight::kappa::{Weights, kappa};
use crate::insight::{Estimate, Level, Refusal};

/// Half of the calliper's step, mm.
const HALF_STEP: f64 = 0.005;
/// Permitted error of an ordinary digital calliper, mm (from memory of tolerance tables; the
/// maker's own figure goes first).
const PERMITTED: f64 = 0.03;

/// One dimension.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// Which.
    pub dimension: &'static str,
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

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Agreement {
    /// By dimension.
    pub lengths: Vec<Measured>,
    /// Two people's grades of the same claw on the same day, 0 sound to 3 severe: plain, linear and
    /// quadratic weights.
    pub grades: [Answer<Estimate>; 3],
    /// Gauge blocks over time, by handheld.
    pub gauges: Vec<(String, Answer<Chart>)>,
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
    pub fn of(said: &[Said], gauges: &[(DeviceId, f64)]) -> Self {
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
        let table = grades(said);
        let by = |weights| told(kappa(&table, weights, Level::P95));
        let cautions = vec![
            "Two handhelds are taken as two people; records do not say who wore them.",
            "Agreement is of these people, these cows and these days.",
        ];
        Self {
            lengths,
            grades: [by(Weights::Plain), by(Weights::Linear), by(Weights::Quadratic)],
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
    let budget = repeat.and_then(|repeat| {
        let df = (repeat.readings - repeat.tem.n) as f64;
        let parts = [
            Part::even("calliper's step", HALF_STEP),
            Part::even("calliper's permitted error", PERMITTED),
            Part::repeated("landmarks and hand, single reading", repeat.tem.value, df, 1),
        ];
        budget(&parts, Level::P95)
    });
    Some(Measured {
        dimension: dimension.name,
        repeat: repeat.into(),
        between: bland_altman(&one, &other, Level::P95).into(),
        concordance: concordance(&one, &other, Level::P95).into(),
        icc: icc(&both, Level::P95).into(),
        budget: budget.into(),
    })
}

/// First judgement of each person of the same claw on the same day, where both judged.
fn grades(said: &[Said]) -> Vec<Vec<u64>> {
    let mut judged: BTreeMap<(Cow, Day, Place), BTreeMap<DeviceId, u8>> = BTreeMap::new();
    for one in said.iter().filter(|one| !one.doubted && one.place.side().is_some()) {
        let What::Finding { grade, .. } = one.what else { continue };
        let claw = judged.entry((cow(one), one.day, one.place)).or_default();
        claw.entry(one.key.0).or_insert(grade);
    }
    let mut table = vec![vec![0; 4]; 4];
    for by in judged.values().filter(|by| by.len() == 2) {
        let grades: Vec<usize> = by.values().map(|grade| usize::from(*grade).min(3)).collect();
        table[grades[0]][grades[1]] += 1;
    }
    table
}

fn charts(gauges: &[(DeviceId, f64)]) -> Vec<(String, Answer<Chart>)> {
    let mut by: BTreeMap<DeviceId, Vec<f64>> = BTreeMap::new();
    for (device, mm) in gauges {
        by.entry(*device).or_default().push(*mm);
    }
    by.into_iter().map(|(device, all)| (format!("{:016x}", device.0), told(chart(&all)))).collect()
}
