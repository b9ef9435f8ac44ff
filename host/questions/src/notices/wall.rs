//! A dorsal wall that is shorter after trimming than the target of her breed and parity.

use hornrule_casebook::Casebook;
use hornrule_facts::ListedAnimal;
use hornrule_insight::sole_estimate::{HindClaw, SHORT_MM, sole_of};
use hornrule_protocol::{Foot, Nanometres, Place, Side};

use super::{Asked, Noticed};

/// The target for mature Holsteins.
pub const MATURE_HOLSTEIN: Nanometres = Nanometres::from_mm(75);
/// From this lactation on a cow is mature (common practice, no source).
const MATURE_FROM: u8 = 2;
/// What else a list may call the breed (from memory).
const HOLSTEIN: [&str; 4] = ["hol", "hf", "sbt", "rbt"];

/// What a wall is held against, and who said so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// The farm's own.
    Farm(Nanometres),
    /// Of mature Holsteins.
    Holstein(Nanometres),
}

impl Target {
    /// The length.
    #[must_use]
    pub const fn length(self) -> Nanometres {
        match self {
            Self::Farm(length) | Self::Holstein(length) => length,
        }
    }
}

/// The target of a cow; `None` for heifers, and where nothing says how long her claws should be.
#[must_use]
pub fn target_of(farm: Option<Nanometres>, listed: Option<&ListedAnimal>) -> Option<Target> {
    let lactation = listed.and_then(|one| one.lactation);
    if lactation == Some(0) {
        return None;
    }
    if let Some(own) = farm {
        return Some(Target::Farm(own));
    }
    let breed = listed.and_then(|one| one.breed.as_deref())?.trim().to_lowercase();
    let holstein = breed.contains("holstein") || HOLSTEIN.contains(&breed.as_str());
    let mature = lactation.is_some_and(|lactation| lactation >= MATURE_FROM);
    (holstein && mature).then_some(Target::Holstein(MATURE_HOLSTEIN))
}

pub(super) fn notices(asked: &Asked<'_>) -> Vec<(Place, Noticed)> {
    let Some(target) = target_of(asked.target, asked.listed) else { return Vec::new() };
    let claws = Casebook::of(asked.of_day, &[]).claws;
    let mut short: Vec<(Place, Noticed)> = claws
        .into_iter()
        .filter_map(|one| Some((one.claw, one.after?.last)))
        .filter(|(_, length)| *length < target.length())
        .map(|(claw, length)| (Place::Claw(claw), Noticed::ShortWall { length, target }))
        .collect();
    short.sort_by_key(|(place, _)| *place);
    short
}

/// How thick the sole at the toe is on average (`host/insight/DERIVED.md`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sole {
    /// Of claws with such a wall, mm.
    About(f64),
    /// Of all claws shorter than [`SHORT_MM`], mm.
    OfShort(f64),
}

impl Sole {
    /// The thickness, mm.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::About(mm) | Self::OfShort(mm) => mm,
        }
    }
}

/// What the literature says of the sole below a wall: of hind claws alone, and there within the walls
/// of its table, or below [`SHORT_MM`]. A single claw differs.
#[must_use]
pub fn sole(place: Place, wall: Nanometres) -> Option<Sole> {
    let (Some(Foot::LeftHind | Foot::RightHind), Place::Claw(at)) = (place.foot(), place) else {
        return None;
    };
    let claw = match at.side {
        Side::Lateral => HindClaw::Outer,
        Side::Medial => HindClaw::Inner,
    };
    if wall.as_mm() < SHORT_MM {
        return Some(Sole::OfShort(claw.mean_of_short()));
    }
    sole_of(claw, wall.as_mm()).map(|(mm, _)| Sole::About(mm))
}
