//! The workbook's sheet of what ways of gluing a block were on which days.

use hornrule_facts::WayFact;
use hornrule_facts::codes::BLOCK_USUAL;

use crate::table::{Cell, Column, Kind, Table};

const WAYS: &[Column] = &[
    Column::new("keyed", Kind::Whole, "the number keyed when a block is glued this way"),
    Column::new("from", Kind::Day, "the first day on which the rest holds"),
    Column::new("until", Kind::Day, "the last one; empty: until the next row of this way")
        .or_empty(),
    Column::new("material", Kind::Text, "what the block is made of").or_empty(),
    Column::new("glue", Kind::Text, "which glue, and its batch").or_empty(),
    Column::new("surface", Kind::Text, "how the sole was made ready").or_empty(),
    Column::new("height_mm", Kind::Mm, "height of the block").or_empty(),
    Column::new("who", Kind::Text, "who said so"),
];

/// All that was told of all ways.
#[must_use]
pub fn way_sheet(facts: &[WayFact]) -> Table {
    let text = |text: &str| if text.is_empty() { Cell::Empty } else { Cell::text(text) };
    let row = |fact: &WayFact| {
        vec![
            Cell::Whole((BLOCK_USUAL + fact.way).into()),
            Cell::Day(fact.since),
            Cell::maybe(fact.through, Cell::Day),
            text(&fact.material),
            text(&fact.glue),
            text(&fact.surface),
            Cell::maybe(fact.height, Cell::Mm),
            Cell::text(fact.who.as_str()),
        ]
    };
    Table { name: "ways", columns: WAYS, rows: facts.iter().map(row).collect() }
}
