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

#[cfg(test)]
mod tests {
    use hornrule_protocol::{Action, Claw, Foot, Side};

    use super::*;

    /// With or without the reason, and once a place; one found lost nobody took off.
    #[test]
    fn a_block_that_came_off_is_billed_whatever_the_reason() {
        let claw = |foot, side| Place::Claw(Claw { foot, side });
        let said = [
            (41, claw(Foot::LeftHind, Side::Medial)),
            (44, claw(Foot::RightHind, Side::Medial)),
            (47, claw(Foot::LeftFore, Side::Lateral)),
            (47, claw(Foot::LeftFore, Side::Lateral)),
            (42, claw(Foot::RightFore, Side::Lateral)),
        ];
        let done: Vec<(AnimalId, Done)> = said
            .into_iter()
            .filter_map(|(code, place)| {
                Some((AnimalId(7), Done { action: Action::from_code(code)?, place, days: 0 }))
            })
            .collect();
        let counts = count(&BTreeSet::from([AnimalId(7)]), &done);
        assert_eq!(counts.get(&Item::BlockOff), Some(&3));
    }
}
