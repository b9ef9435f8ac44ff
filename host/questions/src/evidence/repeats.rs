//! One person's readings of one claw and dimension in one stay and state of trim: what they say of the
//! hand.

use std::collections::BTreeMap;

use hornrule_protocol::{DeviceId, LogId, Place, Seq};

use hornrule_facts::{Fact, What};
use hornrule_insight::agree::repeat;
use hornrule_insight::derived::Hand;
use hornrule_insight::{Level, Refusal};

/// One person's stay at one claw: handheld, log, stay, claw, dimension, trimmed or not.
type Same = (DeviceId, LogId, Option<Seq>, Place, u8, bool);

/// Groups of two or more readings, mm, by dimension, gathered cow by cow.
#[derive(Clone, Debug, Default)]
pub struct Repeats {
    groups: BTreeMap<u8, Vec<Vec<f64>>>,
}

impl Repeats {
    /// Takes a cow's facts; what a rule doubts is left out.
    pub fn take(&mut self, facts: &[Fact]) {
        let mut twice: BTreeMap<Same, Vec<f64>> = BTreeMap::new();
        for fact in facts.iter().filter(|fact| !fact.doubted && fact.place != Place::Cow) {
            let What::Reading(clip) = fact.what else { continue };
            let (device, log, _) = fact.key;
            let same = (device, log, fact.stay, fact.place, clip.dimension.code(), clip.trimmed);
            twice.entry(same).or_default().push(clip.length.as_mm());
        }
        for ((.., code, _), group) in twice.into_iter().filter(|(_, group)| group.len() > 1) {
            self.groups.entry(code).or_default().push(group);
        }
    }

    /// Dimensions with a repeat.
    pub(super) fn dimensions(&self) -> impl Iterator<Item = u8> {
        self.groups.keys().copied()
    }

    /// The groups of a dimension.
    pub(super) fn groups(&self, dimension: u8) -> &[Vec<f64>] {
        self.groups.get(&dimension).map_or(&[], Vec::as_slice)
    }

    /// The error of a reading by the hand; `None` with fewer than five spare readings, or where all
    /// are alike.
    #[must_use]
    pub fn hand(&self, dimension: u8) -> Option<Hand> {
        hand_of(self.groups(dimension)).ok()
    }
}

/// The error of a reading by the hand, from groups of readings of one claw by one person, mm.
///
/// # Errors
/// [`Refusal`] with fewer than five spare readings, or readings all alike.
pub fn hand_of(groups: &[Vec<f64>]) -> Result<Hand, Refusal> {
    let told = repeat(groups, Level::P95)?;
    Ok(Hand { error: told.tem.value, df: (told.readings - told.tem.n) as f64 })
}
