//! What a day's records say was done, counted.

use hornrule_facts::bill::Item;
use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::Place;
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::record::Done;

use hornrule_facts::codes::{TRIMMED, WRAP_ON};
use hornrule_facts::{AnimalId, Day};

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
        // A block that came off in the chute and was glued again is charged again.
        (Item::Block, blocks),
        (Item::BlockOff, places(&|done| done.action.takes_block_off()).len()),
        (Item::Wrap, places(&|done| done.action.code() == WRAP_ON).len()),
    ];
    let counts = counts.into_iter().filter(|(_, n)| *n > 0);
    counts.map(|(item, n)| (item, i64::try_from(n).unwrap_or(i64::MAX))).collect()
}
