//! What the day's plan says of a cow, and the order in which to measure.

use hornrule_protocol::{AnimalNumber, Dimension, Foot};

/// A set of feet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Feet(u8);

impl Feet {
    /// No foot.
    pub const NONE: Self = Self(0);

    /// With this foot too.
    #[must_use]
    pub const fn with(self, foot: Foot) -> Self {
        Self(self.0 | 1 << foot.number())
    }

    /// Whether the foot is among them.
    #[must_use]
    pub const fn has(self, foot: Foot) -> bool {
        self.0 & 1 << foot.number() != 0
    }
}

/// How a cow stands in the day's plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// No plan was loaded: nothing can be said.
    NoPlan,
    /// A plan was loaded and does not list her.
    NotListed,
    /// She is listed; these feet are due.
    Listed(Feet),
}

/// What the chute asks of the day's plan.
pub trait DayPlan {
    /// How this cow stands.
    fn standing(&self, number: AnimalNumber) -> Standing;
    /// Dimensions in the order in which clips go to them; after the last one it is repeated.
    fn order(&self) -> &[Dimension];
    /// Shortest and longest length (mm) that pass without a limit cue.
    fn limits_mm(&self, dimension: Dimension) -> (u16, u16) {
        dimension.usual_mm
    }
}

/// The day without a plan: every cow is taken as she comes, clips are dorsal wall lengths.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoPlan;

impl DayPlan for NoPlan {
    fn standing(&self, _number: AnimalNumber) -> Standing {
        Standing::NoPlan
    }

    fn order(&self) -> &[Dimension] {
        &[Dimension::DORSAL_WALL]
    }
}
