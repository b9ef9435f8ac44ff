//! What the chute asks of the day's plan.

use hornrule_protocol::plan::{Floor, Gauge, Needs, Order, Particulars};
use hornrule_protocol::{AnimalNumber, Bundle, Dimension, Foot, Nanometres, Side};

/// What the day's plan says about a cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// No plan was loaded: nothing can be said.
    NoPlan,
    /// The day has several farms and none was named; or the one named is not in the plan.
    FarmUnknown,
    /// A plan was loaded and does not list her.
    NotListed,
    /// She is listed, with what she needs.
    Listed(Needs),
}

/// Where a cow stands in the plan, and what it knows of her beyond her needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Listing {
    /// Her place among the rows. Found by another number of hers, she has another place.
    pub place: u16,
    /// Without lengths if the day is blind.
    pub particulars: Particulars,
}

/// The day's plan. Answering may need a flash read, so it is borrowed mutably.
pub trait DayPlan {
    /// What the plan says about this cow of this farm; the farm is `None` if none was named.
    fn standing(&mut self, farm: Option<u8>, number: AnimalNumber) -> Standing;

    /// Where she stands, and what the plan knows of her; `None` if she is not listed.
    fn listing(&mut self, farm: Option<u8>, number: AnimalNumber) -> Option<Listing>;

    /// Whether this farm is part of the day. Without a plan every farm is.
    fn has_farm(&self, farm: u8) -> bool;

    /// The order in which clips on a claw go to dimensions; further clips go to the last one.
    /// `None` if there is no order to keep: every clip is a dorsal wall length.
    fn order(&self) -> Option<Order>;

    /// Shortest and longest length that pass without a limit cue; `None` if limits are not to be
    /// signalled.
    fn limits(&self, dimension: Dimension) -> Option<(Nanometres, Nanometres)>;

    /// The shortest dorsal wall that trimming may leave on a cow with this floor of her own; `None`
    /// if there is none, or if limits are not to be signalled.
    fn floor(&self, own: Floor) -> Option<Nanometres>;

    /// The largest usual difference in heel height between the claws of a foot; `None` if there is
    /// none, or if limits are not to be signalled.
    fn heel_difference(&self) -> Option<Nanometres>;

    /// The gauge block, if its size is known.
    fn gauge(&self) -> Option<Gauge>;

    /// The claw at which work on this foot starts: the first press of its key chooses it.
    fn first_claw(&self, foot: Foot) -> Side;

    /// What a bundle does; `None` if the plan has none of this number.
    fn bundle(&mut self, number: u8) -> Option<Bundle>;
}

/// A day without a plan: every cow is taken as she comes, clips are dorsal wall lengths.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoPlan;

impl DayPlan for NoPlan {
    fn standing(&mut self, _farm: Option<u8>, _number: AnimalNumber) -> Standing {
        Standing::NoPlan
    }

    fn listing(&mut self, _farm: Option<u8>, _number: AnimalNumber) -> Option<Listing> {
        None
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

    fn floor(&self, _own: Floor) -> Option<Nanometres> {
        None
    }

    fn heel_difference(&self) -> Option<Nanometres> {
        None
    }

    fn gauge(&self) -> Option<Gauge> {
        None
    }

    fn first_claw(&self, _foot: Foot) -> Side {
        Side::Lateral
    }

    fn bundle(&mut self, _number: u8) -> Option<Bundle> {
        None
    }
}
