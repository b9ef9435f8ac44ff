//! Records: what the trimmer entered, with the handheld's own time.
//!
//! Version 1, frozen by `tests/frozen/v01.rs`. Variants keep their place for ever, new ones go at
//! the end, an unused one stays as reserved. Postcard has no defaults and skips nothing: a new
//! field is a new variant.

use serde::{Deserialize, Serialize};

use crate::{
    Action, AnimalNumber, Boot, Dimension, Lesion, Nanometres, Place, Scale, Seq, Uptime, Zone,
};

/// One entry, and when the handheld received it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Record {
    /// Which start of the handheld.
    pub boot: Boot,
    /// Milliseconds since that start.
    pub uptime: Uptime,
    /// What was entered.
    pub entry: Entry,
}

/// What a record says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Entry {
    /// First record of every boot that leaves any.
    Started(Started),
    /// The office told the handheld the time.
    Clock {
        /// Milliseconds since 1970-01-01T00:00:00Z.
        unix_ms: i64,
    },
    /// The log was full and refused records.
    Gap {
        /// How many.
        refused: u32,
    },
    /// An earlier record of this log is taken back.
    Void {
        /// Which.
        seq: Seq,
    },
    /// A calliper clip gave no value.
    CalliperFault(CalliperFault),
    /// The office loaded a plan.
    PlanLoaded {
        /// Checksum of the plan, its name.
        plan: u32,
        /// How many cows it lists.
        animals: u16,
    },
    /// Work starts at this farm of the plan, 1 to 9.
    Visit {
        /// Its number in the plan.
        farm: u8,
    },
    /// This cow is in the chute.
    Animal(AnimalNumber),
    /// The cow left.
    AnimalLeft,
    /// The calliper was clipped.
    Reading(Reading),
    /// A claw or foot was assessed.
    Finding(Finding),
    /// Something was done, or is due.
    Action(Done),
    /// The cow was scored.
    Score {
        /// On which scale.
        scale: Scale,
        /// Which value.
        value: u8,
    },
    /// A bundle of the plan was keyed: the records that follow are its parts, as if keyed one by one.
    /// Taking it back takes them back.
    Bundle {
        /// Its number in the plan, 1 to 9.
        bundle: u8,
        /// How many parts follow it.
        parts: u8,
    },
}

/// Why the handheld started.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum StartCause {
    /// Switched on, or battery changed.
    PowerOn,
    /// Supply voltage fell.
    BrownOut,
    /// The watchdog fired.
    Watchdog,
    /// The firmware stopped itself.
    Panic,
    /// Reset line or office command.
    Reset,
    /// The chip does not say.
    Unknown,
}

/// First record of a boot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Started {
    /// Why.
    pub cause: StartCause,
    /// Firmware version: major, minor, patch.
    pub firmware: [u8; 3],
    /// After a panic, a number that tells the firmware's developers where it happened; otherwise
    /// zero.
    pub fault: u32,
}

/// What was wrong with a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum CalliperFault {
    /// No edge came in time: plug, battery, or no calliper.
    Silent,
    /// A packet with too few or too many bits: a loose plug.
    WrongBits,
    /// All bits received, but they are not a number: a digit above nine, or an unknown unit.
    Nonsense,
    /// Packets never agreed: the jaws moved.
    Unsteady,
}

/// The unit a calliper was set to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum UnitMode {
    /// Millimetres.
    Millimetre,
    /// Inches.
    Inch,
}

impl UnitMode {
    /// Both, in the order of their numbers on the wire.
    pub const ALL: [Self; 2] = [Self::Millimetre, Self::Inch];
}

/// Which output a calliper has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum CalliperKind {
    /// 24-bit synchronous packets.
    Sync24,
    /// 13 BCD digits, 52 bits, with a request line.
    Bcd52,
    /// Two 24-bit words.
    Words48,
    /// Seven nibbles: six BCD digits and flags.
    Nibbles28,
}

impl CalliperKind {
    /// Every kind, in the order of their numbers on the wire.
    pub const ALL: [Self; 4] = [Self::Sync24, Self::Bcd52, Self::Words48, Self::Nibbles28];
}

/// A clip of the calliper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// What the calliper showed.
    pub length: Nanometres,
    /// What was measured.
    pub dimension: Dimension,
    /// Where. `Cow` if no claw was chosen, and for gauge blocks.
    pub place: Place,
    /// How the calliper was set.
    pub unit: UnitMode,
    /// Which calliper it was.
    pub kind: CalliperKind,
}

/// A finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Finding {
    /// What was found.
    pub lesion: Lesion,
    /// Where: a claw, or for skin lesions a foot.
    pub place: Place,
    /// The digit keyed: see the lesion's `grades`. Not checked here, so that a digit off the scale
    /// is stored and held rather than lost.
    pub grade: u8,
    /// The zone, if one was keyed; `None` means the lesion's usual one.
    pub zone: Option<Zone>,
}

/// Something done or due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Done {
    /// What.
    pub action: Action,
    /// Where.
    pub place: Place,
    /// Days, for actions that take them; otherwise zero.
    pub days: u8,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every value that one byte on the wire can be.
    fn carried<T: serde::de::DeserializeOwned>() -> impl Iterator<Item = T> {
        (0..=u8::MAX).filter_map(|byte| postcard::from_bytes(&[byte]).ok())
    }

    /// What the wire can carry is what the lists have: a new variant cannot be missing from them.
    #[test]
    fn lists_have_every_variant() {
        assert!(carried::<CalliperKind>().eq(CalliperKind::ALL));
        assert!(carried::<UnitMode>().eq(UnitMode::ALL));
    }
}
