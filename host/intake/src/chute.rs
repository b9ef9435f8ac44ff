//! The chute as the office understands it: farm, cow, claws trimmed, calliper checked.

use std::collections::BTreeSet;

use hornrule_protocol::record::{Entry, Reading};
use hornrule_protocol::{Claw, Place, Seq, Uptime};

use super::office::At;
use hornrule_facts::observation::{Clip, Observation, Presence};
use hornrule_facts::{AnimalId, Day};

/// Who is in the chute.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cow {
    /// Nobody was named.
    #[default]
    Nobody,
    /// Records are missing: another cow may have been named in them.
    Uncertain,
    /// A number was keyed that no animal carries.
    NoAnimal,
    /// This one, named in that record.
    Known(AnimalId, Seq),
}

impl Cow {
    /// The cow, where she is known.
    #[must_use]
    pub const fn animal(self) -> Option<AnimalId> {
        match self {
            Self::Known(animal, _) => Some(animal),
            Self::Nobody | Self::Uncertain | Self::NoAnimal => None,
        }
    }
}

/// What stands while records go by.
#[derive(Clone, Debug, Default)]
pub struct Chute {
    /// Where the work is.
    pub at: At,
    /// Who is in it.
    pub cow: Cow,
    /// Her stay, if it is in the herd tables.
    pub stay: Option<Presence>,
    /// What was keyed about her in this stay and is valid.
    pub said: Vec<(Uptime, Observation)>,
    trimmed: BTreeSet<Claw>,
    gauge: Option<(Day, bool)>,
}

impl Chute {
    /// A chute at a farm, with nobody in it.
    #[must_use]
    pub fn at(at: At) -> Self {
        Self { at, ..Self::default() }
    }

    /// The next cow, or none. Gives the stay that ends.
    pub fn enter(&mut self, cow: Cow) -> Option<Presence> {
        self.cow = cow;
        self.said.clear();
        self.trimmed.clear();
        self.stay.take()
    }

    /// The handheld started: nobody is in the chute, the calliper is unchecked (its battery may be
    /// another), the farm is the same. Gives the stay that ends.
    pub fn restart(&mut self) -> Option<Presence> {
        self.gauge = None;
        self.enter(Cow::Nobody)
    }

    /// The stay goes on at least until then.
    pub fn stays_until(&mut self, at_ms: i64) {
        if let Some(stay) = &mut self.stay {
            stay.until_ms = stay.until_ms.max(at_ms);
        }
    }

    /// A gauge block was read: passed, failed, or nobody knows its size.
    pub fn gauge(&mut self, day: Option<Day>, passed: Option<bool>) {
        self.gauge = day.zip(passed);
    }

    /// A claw was trimmed to form.
    pub fn trim(&mut self, claw: Claw) {
        self.trimmed.insert(claw);
    }

    /// A reading with what is known about its trust.
    #[must_use]
    pub fn clip(&self, reading: &Reading, day: Option<Day>) -> Clip {
        let trimmed = match reading.place {
            Place::Claw(claw) => self.trimmed.contains(&claw),
            Place::Foot(_) | Place::Cow => false,
        };
        let checked = self.gauge.filter(|(checked, _)| Some(*checked) == day);
        Clip {
            length: reading.length,
            dimension: reading.dimension,
            unit: reading.unit,
            kind: reading.kind,
            trimmed,
            gauge_ok: checked.map(|(_, passed)| passed),
        }
    }
}

/// Whether an entry is a reading of a gauge block.
#[must_use]
pub fn is_gauge(entry: &Entry) -> bool {
    matches!(entry, Entry::Reading(reading) if reading.dimension.is_gauge())
}
