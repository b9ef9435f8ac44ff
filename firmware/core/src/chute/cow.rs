//! What the chute asks of the day's plan.

use hornrule_protocol::plan::{Gauge, Needs, Order};
use hornrule_protocol::{AnimalNumber, Dimension, Nanometres};

/// How a cow stands in the day's plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// No plan was loaded: nothing can be said.
    NoPlan,
    /// The day has several farms, and none of them was said; or one that it has not.
    FarmUnknown,
    /// A plan was loaded and does not list her.
    NotListed,
    /// She is listed, with what she needs.
    Listed(Needs),
}

/// The day's plan. What it says may have to be read from flash, so it is borrowed for writing.
pub trait DayPlan {
    /// How this cow of this farm stands; `None` where no farm was said.
    fn standing(&mut self, farm: Option<u8>, number: AnimalNumber) -> Standing;

    /// Whether work at this farm is what the day is for. Without a plan every farm is.
    fn has_farm(&self, farm: u8) -> bool;

    /// The order in which clips on a claw go to dimensions; after the last one it is repeated.
    /// `None` where no order is to be kept: every clip is a dorsal wall length.
    fn order(&self) -> Option<Order>;

    /// Shortest and longest length that pass without a limit cue; `None` where nothing is to be
    /// told.
    fn limits(&self, dimension: Dimension) -> Option<(Nanometres, Nanometres)>;

    /// The gauge block, where its size is known.
    fn gauge(&self) -> Option<Gauge>;
}

/// The day without a plan: every cow is taken as she comes, clips are dorsal wall lengths.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoPlan;

impl DayPlan for NoPlan {
    fn standing(&mut self, _farm: Option<u8>, _number: AnimalNumber) -> Standing {
        Standing::NoPlan
    }

    fn has_farm(&self, _farm: u8) -> bool {
        true
    }

    fn order(&self) -> Option<Order> {
        None
    }

    fn limits(&self, dimension: Dimension) -> Option<(Nanometres, Nanometres)> {
        let (low, high) = dimension.usual_mm;
        Some((Nanometres::from_mm(i32::from(low)), Nanometres::from_mm(i32::from(high))))
    }

    fn gauge(&self) -> Option<Gauge> {
        None
    }
}
