//! Clips of the calliper: which dimension each is, where it belongs, and what is heard of it.

use hornrule_protocol::record::{CalliperKind, Reading, UnitMode};
use hornrule_protocol::{Dimension, Entry, Nanometres, Place};

use super::undo::Effect;
use super::{Chute, DayPlan};
use crate::cue::Cue;

/// One clip, as measured by the calliper module.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measured {
    /// What it showed.
    pub length: Nanometres,
    /// Its unit setting.
    pub unit: UnitMode,
    /// Which kind it is.
    pub kind: CalliperKind,
}

impl Chute {
    /// Takes a clip. It is always stored, even with no cow or claw chosen: the jaws are off the
    /// claw by now, and the office can still place it.
    pub fn clip(&mut self, measured: Measured, plan: &impl DayPlan) -> Entry {
        let dimension = self.dimension.unwrap_or_else(|| {
            let order = plan.order();
            let walked = self.claw.map_or(0, |claw| self.walk.of(claw));
            let next = order.and_then(|order| order.at(walked).or_else(|| order.last()));
            next.unwrap_or(Dimension::DORSAL_WALL)
        });
        let place = match self.claw {
            Some(claw) if !dimension.is_gauge() => Place::Claw(claw),
            _ => Place::Cow,
        };
        let Measured { length, unit, kind } = measured;
        Entry::Reading(Reading { length, dimension, place, unit, kind })
    }

    /// What the next clip on the claw in hand is; `None` if there is no claw in hand.
    #[must_use]
    pub fn next_clip(&self, plan: &impl DayPlan) -> Option<Cue> {
        let claw = self.claw?;
        let order = plan.order();
        let next = match (self.dimension, order) {
            (Some(dimension), _) if dimension.is_gauge() => return Some(Cue::NextGauge),
            (Some(dimension), _) => Some(dimension),
            (None, None) => Some(Dimension::DORSAL_WALL),
            (None, Some(order)) => order.at(self.walk.of(claw)),
        };
        Some(next.and_then(|next| Cue::next_dimension(next.code)).unwrap_or(Cue::OrderDone))
    }

    /// A clip on a claw, without SIZE, advances its order by one step.
    pub(super) fn walk_on(&mut self, reading: &Reading) -> Effect {
        match (reading.place, self.dimension) {
            (Place::Claw(claw), None) => {
                self.walk.on(claw);
                Effect::Walked(claw)
            }
            (Place::Claw(claw), Some(_)) => Effect::Sized(claw),
            (Place::Cow | Place::Foot(_), _) => Effect::Nothing,
        }
    }

    pub(super) fn length_cue(&self, reading: &Reading, plan: &impl DayPlan) -> Cue {
        if reading.dimension.is_gauge() {
            return match plan.gauge() {
                None => Cue::Committed,
                Some(gauge) if gauge.passes(reading.length) => Cue::GaugePassed,
                Some(_) => Cue::GaugeFailed,
            };
        }
        if self.cow.is_none() || reading.place == Place::Cow {
            return Cue::Unplaced;
        }
        match plan.limits(reading.dimension) {
            Some((low, _)) if reading.length < low => Cue::TooShort,
            Some((_, high)) if reading.length > high => Cue::TooLong,
            Some(_) | None => Cue::Committed,
        }
    }
}
