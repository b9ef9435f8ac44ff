//! A dorsal wall that is shorter after trimming than the target of her breed and parity.

use hornrule_casebook::Casebook;
use hornrule_facts::ListedAnimal;
use hornrule_protocol::{Nanometres, Place};

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

/// Dorsal wall and sole at the toe of hind claws, mm: means of inner and outer claw (`NOTICES.md`).
pub const WALLS: [(f64, f64); 4] = [(70.0, 3.9), (72.4, 5.0), (75.0, 6.25), (79.1, 7.0)];

/// How thick the sole at the toe may be, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sole {
    /// No thicker than so.
    AtMost(f64),
    /// About so thick.
    About(f64),
    /// Thicker than so.
    Above(f64),
}

/// How thick the sole at the toe of a hind claw may be, by the length of its dorsal wall: straight
/// lines between [`WALLS`]. A single claw differs.
#[must_use]
pub fn sole(wall: Nanometres) -> Sole {
    let mm = wall.as_mm();
    let [first, .., last] = WALLS;
    if mm < first.0 {
        return Sole::AtMost(first.1);
    }
    for pair in WALLS.windows(2) {
        let [(from, thin), (to, thick)] = *pair else { continue };
        if mm <= to {
            return Sole::About(thin + (thick - thin) * (mm - from) / (to - from));
        }
    }
    Sole::Above(last.1)
}
