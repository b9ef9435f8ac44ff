//! Where on the cow: foot, claw, zone.
//!
//! Lateral is the outer claw, medial the inner one. Zones are the numbers 0 to 12 of the
//! international lameness committee's foot map, version [`Zone::MAP`].

use serde::{Deserialize, Serialize};

/// One of the four feet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Foot {
    /// Left fore.
    LeftFore,
    /// Right fore.
    RightFore,
    /// Left hind.
    LeftHind,
    /// Right hind.
    RightHind,
}

impl Foot {
    /// All feet, in the order of their numbers on the wire and in the database (0 to 3).
    pub const ALL: [Self; 4] = [Self::LeftFore, Self::RightFore, Self::LeftHind, Self::RightHind];

    /// 0 to 3.
    #[must_use]
    pub const fn number(self) -> u8 {
        self as u8
    }

    /// The foot of a number; `None` above 3.
    #[must_use]
    pub const fn from_number(number: u8) -> Option<Self> {
        match number {
            0 => Some(Self::LeftFore),
            1 => Some(Self::RightFore),
            2 => Some(Self::LeftHind),
            3 => Some(Self::RightHind),
            _ => None,
        }
    }

    /// The trade's two letters: LF, RF, LH, RH.
    #[must_use]
    pub const fn letters(self) -> &'static str {
        match self {
            Self::LeftFore => "LF",
            Self::RightFore => "RF",
            Self::LeftHind => "LH",
            Self::RightHind => "RH",
        }
    }
}

/// Which of the two claws of a foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The outer claw.
    Lateral,
    /// The inner claw.
    Medial,
}

impl Side {
    /// Both, in the order of their numbers.
    pub const ALL: [Self; 2] = [Self::Lateral, Self::Medial];

    /// The partner claw's side.
    #[must_use]
    pub const fn partner(self) -> Self {
        match self {
            Self::Lateral => Self::Medial,
            Self::Medial => Self::Lateral,
        }
    }

    /// 1 lateral, 2 medial, as on the wire and in the database (where 0 means the whole foot).
    #[must_use]
    pub const fn number(self) -> u8 {
        match self {
            Self::Lateral => 1,
            Self::Medial => 2,
        }
    }

    /// "outer" or "inner", as the trade says.
    #[must_use]
    pub const fn common_name(self) -> &'static str {
        match self {
            Self::Lateral => "outer",
            Self::Medial => "inner",
        }
    }

    /// "lateral" or "medial".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lateral => "lateral",
            Self::Medial => "medial",
        }
    }
}

/// One of the eight claws.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Claw {
    /// Which foot.
    pub foot: Foot,
    /// Which claw of it.
    pub side: Side,
}

impl Claw {
    /// All eight: foot by foot, the outer claw first.
    pub fn all() -> impl Iterator<Item = Self> {
        Foot::ALL.into_iter().flat_map(|foot| Side::ALL.map(|side| Self { foot, side }))
    }
}

/// What an entry is about. One byte: side (0 none, 1 lateral, 2 medial) × 4 + foot; 0xFF the cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub enum Place {
    /// The whole cow, or nothing chosen.
    Cow,
    /// A foot, both claws and the skin between.
    Foot(Foot),
    /// One claw.
    Claw(Claw),
}

impl Place {
    const COW: u8 = 0xFF;

    /// The foot, if there is one.
    #[must_use]
    pub const fn foot(self) -> Option<Foot> {
        match self {
            Self::Cow => None,
            Self::Foot(foot) => Some(foot),
            Self::Claw(claw) => Some(claw.foot),
        }
    }

    /// Whether it is this claw, its foot or the cow.
    #[must_use]
    pub fn covers(self, claw: Claw) -> bool {
        match self {
            Self::Cow => true,
            Self::Foot(foot) => foot == claw.foot,
            Self::Claw(one) => one == claw,
        }
    }

    /// The claw's side, if there is one.
    #[must_use]
    pub const fn side(self) -> Option<Side> {
        match self {
            Self::Claw(claw) => Some(claw.side),
            Self::Cow | Self::Foot(_) => None,
        }
    }
}

/// A byte that is not a [`Place`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAPlace(pub u8);

impl core::fmt::Display for NotAPlace {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:#04x} names no cow, foot or claw", self.0)
    }
}

impl From<Place> for u8 {
    fn from(place: Place) -> u8 {
        match place {
            Place::Cow => Place::COW,
            Place::Foot(foot) => foot.number(),
            Place::Claw(claw) => claw.side.number() * 4 + claw.foot.number(),
        }
    }
}

impl TryFrom<u8> for Place {
    type Error = NotAPlace;
    fn try_from(byte: u8) -> Result<Self, NotAPlace> {
        if byte == Self::COW {
            return Ok(Self::Cow);
        }
        let Some(foot) = Foot::from_number(byte % 4) else {
            return Err(NotAPlace(byte));
        };
        match byte / 4 {
            0 => Ok(Self::Foot(foot)),
            1 => Ok(Self::Claw(Claw { foot, side: Side::Lateral })),
            2 => Ok(Self::Claw(Claw { foot, side: Side::Medial })),
            _ => Err(NotAPlace(byte)),
        }
    }
}

impl core::fmt::Display for Place {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Cow => f.write_str("cow"),
            Self::Foot(foot) => f.write_str(foot.letters()),
            Self::Claw(claw) => write!(f, "{} {}", claw.foot.letters(), claw.side.name()),
        }
    }
}

/// A zone of the foot map, 0 to 12.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub struct Zone(u8);

impl Zone {
    /// Name and version of the map, kept with every export: other maps number the zones
    /// differently.
    pub const MAP: &'static str = "international lameness committee, Kuopio 2008, zones 0-12";

    /// `None` above 12.
    #[must_use]
    pub const fn new(zone: u8) -> Option<Self> {
        if zone <= 12 { Some(Self(zone)) } else { None }
    }

    /// 0 to 12.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// The region in plain words. 0, 4, 10 and the outer wall (7, 8) were checked in sources; the
    /// wording of the others is from memory.
    #[must_use]
    pub const fn region(self) -> &'static str {
        match self.0 {
            0 => "skin between the claws",
            1 => "white line at the toe",
            2 => "outer white line",
            3 => "outer wall and bulb junction",
            4 => "sole and bulb junction",
            5 => "apex of the sole",
            6 => "bulb",
            7 => "front of the wall",
            8 => "outer side of the wall",
            9 => "skin above the horn",
            10 => "skin at the heel, back of the cleft",
            _ => "inner wall",
        }
    }
}

/// A number above 12 is not a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAZone(pub u8);

impl core::fmt::Display for NotAZone {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} is not a zone from 0 to 12", self.0)
    }
}

impl TryFrom<u8> for Zone {
    type Error = NotAZone;
    fn try_from(zone: u8) -> Result<Self, NotAZone> {
        Self::new(zone).ok_or(NotAZone(zone))
    }
}

impl From<Zone> for u8 {
    fn from(zone: Zone) -> u8 {
        zone.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_is_one_place_or_none() {
        let places = (0..=255u8).filter_map(|byte| Place::try_from(byte).ok().map(|p| (byte, p)));
        let mut count = 0;
        for (byte, place) in places {
            assert_eq!(u8::from(place), byte);
            count += 1;
        }
        // The cow, four feet, eight claws.
        assert_eq!(count, 13);
    }
}
