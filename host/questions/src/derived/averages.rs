//! Means of derived values, with cows as clusters.

use std::collections::BTreeMap;

use hornrule_insight::Level;
use hornrule_insight::cluster_mean::{ClusteredMean, cluster_mean};
use hornrule_insight::derived::Refused;
use serde::Serialize;

use super::{Line, Measure};
use crate::evidence::Answer;

/// The mean of one measure, of front or hind claws, before or after trimming.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AverageLine {
    /// What.
    #[serde(serialize_with = "word")]
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

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn word<S: serde::Serializer>(measure: &Measure, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(measure.word())
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
