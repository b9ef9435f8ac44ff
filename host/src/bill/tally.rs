//! What a day's records say was done, counted.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::Place;
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::record::Done;

use crate::codes::{BLOCK_OFF, TRIMMED, WRAP_ON};
use crate::herd::{AnimalId, Day};

/// Something that can have a price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Item {
    /// The journey: once a day on which any cow was in the chute.
    CallOut,
    /// A cow with at least one claw trimmed to form on that day.
    Cow,
    /// A cow that was in the chute and was not trimmed.
    CowSeen,
    /// A block glued on.
    Block,
    /// A block taken off by us.
    BlockOff,
    /// A foot on which a wrap was put.
    Wrap,
}

impl Item {
    /// All of them, in the order of a bill.
    pub const ALL: [Self; 6] =
        [Self::CallOut, Self::Cow, Self::CowSeen, Self::Block, Self::BlockOff, Self::Wrap];

    /// Its name in the price list and in the database.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::CallOut => "call-out",
            Self::Cow => "cow",
            Self::CowSeen => "cow-seen",
            Self::Block => "block",
            Self::BlockOff => "block-off",
            Self::Wrap => "wrap",
        }
    }

    /// The item of a name.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key)
    }
}

/// How many of each, by day.
pub type Tally = BTreeMap<Day, BTreeMap<Item, i64>>;

/// Counts a day: who was in the chute, and what was done to whom.
#[must_use]
pub fn count(seen: &BTreeSet<AnimalId>, done: &[(AnimalId, Done)]) -> BTreeMap<Item, i64> {
    let places = |counts: &dyn Fn(&Done) -> bool| -> BTreeSet<(AnimalId, Place)> {
        let here = done.iter().filter(|(_, done)| counts(done));
        here.map(|(animal, done)| (*animal, done.place)).collect()
    };
    let trimmed: BTreeSet<AnimalId> =
        places(&|done| done.action.code() == TRIMMED).into_iter().map(|one| one.0).collect();
    let blocks = done.iter().filter(|(_, done)| done.action.kind == ActionKind::BlockOn).count();
    let counts = [
        (Item::CallOut, usize::from(!seen.is_empty())),
        (Item::Cow, trimmed.len()),
        (Item::CowSeen, seen.difference(&trimmed).count()),
        // A block that came off in the chute and was glued anew costs a block again.
        (Item::Block, blocks),
        (Item::BlockOff, places(&|done| done.action.code() == BLOCK_OFF).len()),
        (Item::Wrap, places(&|done| done.action.code() == WRAP_ON).len()),
    ];
    let counts = counts.into_iter().filter(|(_, n)| *n > 0);
    counts.map(|(item, n)| (item, i64::try_from(n).unwrap_or(i64::MAX))).collect()
}
