//! What is derived from a study's readings (`host/insight/DERIVED.md`), one value a row.

use std::collections::BTreeMap;

use hornrule_facts::Key;
use hornrule_insight::derived::Hand;
use hornrule_questions::derived::{Lengthed, lines};

use super::columns::DERIVED;
use super::gather::Taken;
use crate::derived_row::{Whose, row};
use crate::table::{Cell, Table};

/// The readings are in the order of time; `hand` tells the error of a dimension's readings, `drawn`
/// whether a reading was.
pub(super) fn derived(
    taken: &[Taken<'_>],
    hand: impl Fn(u8) -> Option<Hand>,
    drawn: impl Fn(&Taken<'_>) -> bool,
) -> Table {
    let mut cows: BTreeMap<(&str, i64), Vec<&Taken<'_>>> = BTreeMap::new();
    for one in taken {
        cows.entry((one.herd, one.cow.number())).or_default().push(one);
    }
    let mut rows = Vec::new();
    for own in cows.into_values() {
        let by_key: BTreeMap<Key, &Taken<'_>> =
            own.iter().map(|one| (one.reading.key, *one)).collect();
        let all = lines(own.iter().map(|one| lengthed(one)), &hand);
        for line in all.iter().filter(|line| line.is_said()) {
            let inputs = || line.inputs.iter().filter_map(|key| by_key.get(key).copied());
            let Some(first) = inputs().next() else { continue };
            let (cow, tag) = (first.cow.number(), first.tag.as_deref());
            let whose = Whose { herd: first.herd, cow, tag };
            let mut cells = row(line, &whose, Some(Cell::text(first.observer)));
            cells.push(Cell::Flag(inputs().all(&drawn)));
            rows.push(cells);
        }
    }
    Table { name: "derived", columns: DERIVED, rows }
}

fn lengthed(one: &Taken<'_>) -> Lengthed {
    let reading = one.reading;
    let (claw, doubted) = (one.claw, one.doubted);
    Lengthed { key: reading.key, day: reading.day, claw, clip: reading.what, doubted }
}
