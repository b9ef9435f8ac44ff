//! Means of derived values, with cows as clusters.

use std::collections::BTreeMap;

use hornrule_insight::Level;
use hornrule_insight::cluster_mean::{ClusteredMean, cluster_mean};
use hornrule_insight::derived::Refused;
use serde::Serialize;

use super::{Line, Measure};
use crate::evidence::Answer;

/// The mean of one measure, of front or hind claws, before or after trimming.
#[derive(Clone, Debug, PartialEq)]
pub struct AverageLine {
    /// What.
    pub measure: Measure,
    /// Of hind claws; else of front claws.
    pub hind: bool,
    /// After the trim to form.
    pub trimmed: bool,
    /// How many values.
    pub values: u64,
    /// Of how many cows.
    pub cows: u64,
    /// The lowest and the highest value, in the measure's unit; `None` without values.
    pub ends: Option<(f64, f64)>,
    /// Their mean.
    pub mean: Answer<ClusteredMean>,
    /// Values that were refused, in the order of the rules: why and how many.
    pub refused: Vec<(Refused, u64)>,
}

/// A mean as scripts read it.
#[derive(Serialize)]
struct ForScripts<'a> {
    measure: &'static str,
    unit: &'static str,
    claws: &'static str,
    trimmed: bool,
    values: u64,
    cows: u64,
    least: Option<f64>,
    most: Option<f64>,
    mean: Option<f64>,
    standard_error: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    /// Why there is no mean.
    refused: Option<&'a str>,
    /// Why there is no value, and how often.
    not_derived: BTreeMap<&'static str, u64>,
    source: &'static str,
}

impl Serialize for AverageLine {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let told = self.mean.told();
        let refused = match &self.mean {
            Answer::Told(_) => None,
            Answer::Refused(why) => Some(why.as_str()),
        };
        ForScripts {
            measure: self.measure.word(),
            unit: self.measure.unit(),
            claws: if self.hind { "hind" } else { "front" },
            trimmed: self.trimmed,
            values: self.values,
            cows: self.cows,
            least: self.ends.map(|ends| ends.0),
            most: self.ends.map(|ends| ends.1),
            mean: told.map(|told| told.mean.value),
            standard_error: told.map(|told| told.standard_error),
            low: told.map(|told| told.mean.low),
            high: told.map(|told| told.mean.high),
            refused,
            not_derived: self.refused.iter().map(|(why, n)| (why.word(), *n)).collect(),
            source: self.measure.source(),
        }
        .serialize(to)
    }
}

/// Values of one row.
#[derive(Clone, Debug, Default)]
struct Row {
    /// By cow.
    cows: Vec<Vec<f64>>,
    refused: BTreeMap<Refused, u64>,
}

/// Means, gathered cow by cow.
#[derive(Clone, Debug, Default)]
pub struct Averages {
    rows: BTreeMap<(Measure, bool, bool), Row>,
}

impl Averages {
    /// Takes a cow's lines.
    pub fn take<'a>(&mut self, lines: impl IntoIterator<Item = &'a Line>) {
        let mut hers: BTreeMap<(Measure, bool, bool), Vec<f64>> = BTreeMap::new();
        for line in lines {
            let row = (line.measure, line.hind(), line.trimmed);
            match line.answer {
                Ok(told) => hers.entry(row).or_default().push(told.value),
                Err(why) => *self.rows.entry(row).or_default().refused.entry(why).or_default() += 1,
            }
        }
        for (row, values) in hers {
            self.rows.entry(row).or_default().cows.push(values);
        }
    }

    /// What they say: by measure, front before hind, before before after trimming.
    #[must_use]
    pub fn answer(self) -> Vec<AverageLine> {
        let line = |((measure, hind, trimmed), row): ((Measure, bool, bool), Row)| {
            let all = || row.cows.iter().flatten().copied();
            let low = all().fold(f64::INFINITY, f64::min);
            let high = all().fold(f64::NEG_INFINITY, f64::max);
            AverageLine {
                measure,
                hind,
                trimmed,
                values: all().count() as u64,
                cows: row.cows.len() as u64,
                ends: (low <= high).then_some((low, high)),
                mean: cluster_mean(&row.cows, Level::P95).into(),
                refused: row.refused.into_iter().collect(),
            }
        };
        self.rows.into_iter().map(line).collect()
    }
}
