//! A fact: one thing that was keyed and is in the herd tables.

use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{DeviceId, LogId, Place, Scale, Seq};

use crate::ids::{AnimalId, Day, HerdId};
use crate::observation::{Clip, When};

/// A record's identity: handheld, log, number.
pub type Key = (DeviceId, LogId, Seq);

/// One thing said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fact {
    /// Its record.
    pub key: Key,
    /// The herd.
    pub herd: HerdId,
    /// Which cow; `None` for gauge blocks.
    pub animal: Option<AnimalId>,
    /// Which claw or foot; the cow where it is about all of her.
    pub place: Place,
    /// The day, in the farm's time zone.
    pub day: Day,
    /// When, on the wall clock.
    pub when: When,
    /// Her stay in the chute: the number of its record in the same log.
    pub stay: Option<Seq>,
    /// What.
    pub what: What,
    /// Said of the whole foot or cow, and read as its claws or feet (see [`crate::spread()`]).
    pub whole: bool,
    /// A rule doubts it: too far off to count, or said twice. It stands all the same.
    pub doubted: bool,
}

/// What was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// She came into the chute.
    Stay {
        /// The last thing known of her stay, UTC milliseconds.
        until_ms: i64,
    },
    /// A length.
    Reading(Clip),
    /// A judgement.
    Finding(Finding),
    /// Something done or to be done.
    Action(Done),
    /// A score.
    Score {
        /// The scale.
        scale: Scale,
        /// The value.
        value: u8,
    },
}

/// Rules whose doubt keeps a fact out of statistics: a length too far off to be that length, and a
/// sentence said twice. Other rules ask a question and leave the fact in.
pub const DOUBTING: [&str; 5] =
    ["unusual-length", "far-from-history", "far-from-feet", "toe-above-wall", "said-twice"];

impl Fact {
    /// The order in which facts are read: by cow, day, time and record. The day goes before the
    /// time, because a clock that was put right can run backwards over midnight.
    #[must_use]
    pub const fn order(&self) -> impl Ord + use<> {
        let (device, log, seq) = self.key;
        // The database sorts a handheld's number as it stores it, signed.
        let device = device.0.cast_signed();
        (self.animal, self.day, self.when.at_ms, device, log, seq)
    }
}
