//! What one observer's repeats say of each dimension, and so of each reading.

use std::collections::BTreeMap;

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::UnitMode;

use hornrule_insight::derived::Hand;
use hornrule_questions::evidence::hand_of;
use hornrule_questions::evidence::uncertainty::of_reading;

/// Readings in groups, by dimension; what makes a group is the caller's.
pub(crate) struct Repeated<G> {
    groups: BTreeMap<u8, BTreeMap<G, Vec<f64>>>,
}

impl<G: Ord> Repeated<G> {
    /// From group, dimension and length in millimetres.
    pub(crate) fn of(readings: impl Iterator<Item = (G, u8, f64)>) -> Self {
        let mut groups: BTreeMap<u8, BTreeMap<G, Vec<f64>>> = BTreeMap::new();
        for (group, dimension, mm) in readings {
            groups.entry(dimension).or_default().entry(group).or_default().push(mm);
        }
        Self { groups }
    }

    fn groups(&self, dimension: u8) -> Vec<Vec<f64>> {
        self.groups.get(&dimension).map(|own| own.values().cloned().collect()).unwrap_or_default()
    }

    /// Technical error of measurement, mm, and its degrees of freedom.
    pub(super) fn error(&self, dimension: u8) -> Option<(f64, i64)> {
        // A count that became a number.
        self.hand(dimension).map(|hand| (hand.error, hand.df as i64))
    }

    /// The error of a reading by the hand.
    pub(crate) fn hand(&self, dimension: u8) -> Option<Hand> {
        hand_of(&self.groups(dimension)).ok()
    }

    /// Expanded uncertainty of a reading shown in a unit, to the micrometre.
    pub(super) fn uncertainty(&self, dimension: u8, unit: UnitMode) -> Option<Nanometres> {
        let told = of_reading(&self.groups(dimension), unit).ok()?;
        let micrometres = (told.expanded * 1000.0).round();
        // A claw's uncertainty is millimetres: far below what a length can hold.
        (micrometres < 1e6).then(|| Nanometres(micrometres as i32 * 1000))
    }
}
