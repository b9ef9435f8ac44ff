//! Derived measures as rows (`host/insight/DERIVED.md`): of a study, and of the workbook.

use std::collections::BTreeMap;

use hornrule_facts::AnimalId;
use hornrule_insight::derived::Refused;
use hornrule_questions::derived::{Lengthed, Line, Measure, lines};

use crate::extract::{Extract, record_name};
use crate::sheets::place_cells;
use crate::study::Repeated;
use crate::table::{Cell, Column, Kind, Table};
use crate::values;
use crate::words::moment_word;
use hornrule_protocol::Place;

/// Columns of a derived value, with a table's own between day and handheld, and at the end.
macro_rules! columns {
    ($($own:expr),*; $($last:expr),*) => {
        &[
            Column::new("measure", Kind::Text, "what was worked out; measured it was not")
                .of(crate::derived_row::measures),
            Column::new("herd", Kind::Text, "the farm"),
            Column::new("cow", Kind::Whole, "herd number; the tag where the list has none"),
            Column::new("tag", Kind::Text, "electronic tag, 15 digits").or_empty(),
            Column::new("day", Kind::Day, "the day, in the farm's time zone"),
            $($own,)*
            Column::new("handheld", Kind::Text, "of the readings, 16 hexadecimal digits"),
            Column::new("foot", Kind::Text, "left or right, fore or hind").of(values::feet),
            Column::new("claw", Kind::Text, "outer or inner claw; empty for a difference of both")
                .or_empty()
                .of(values::claws),
            Column::new("moment", Kind::Text, "of the trim to form, in the same stay, of each claw")
                .of(values::moments),
            Column::new("value", Kind::Real, "the value, in the unit of its row; empty where not derived")
                .or_empty(),
            Column::new("unit", Kind::Text, "deg: degrees; mm").of(crate::derived_row::units),
            Column::new(
                "standard_uncertainty",
                Kind::Real,
                "by propagation to the first order (JCGM 100:2008), in the same unit; of a sole from a wall, \
                 that of the wall's reading alone",
            )
            .or_empty(),
            Column::new(
                "df",
                Kind::Real,
                "effective degrees of freedom; empty where every known part counts as known exactly",
            )
            .or_empty(),
            Column::new("uncertainty", Kind::Real, "expanded, 95 %, in the same unit").or_empty(),
            Column::new(
                "uncertainty_at_least",
                Kind::Flag,
                "true where not all is in it: a dimension with fewer than five repeats has no landmarks and \
                 hand, a sole from a wall not the difference of single claws",
            )
            .or_empty(),
            Column::new("inputs", Kind::Text, "the records that it is from, with a blank between"),
            Column::new("not_derived", Kind::Text, "why there is no value")
                .or_empty()
                .of(crate::derived_row::reasons),
            Column::new("source", Kind::Text, "formula and source"),
            $($last,)*
        ]
    };
}
pub(crate) use columns;

/// Of the workbook.
const SHEET: &[Column] = columns!(;);

/// What is derived.
pub(crate) fn measures() -> Vec<Cell> {
    Measure::ALL.map(|one| Cell::text(one.word())).into()
}

/// In which units.
pub(crate) fn units() -> Vec<Cell> {
    vec![Cell::text("deg"), Cell::text("mm")]
}

/// Why nothing is.
pub(crate) fn reasons() -> Vec<Cell> {
    Refused::ALL.map(|one| Cell::text(one.word())).into()
}

/// Whose a value is.
pub(crate) struct Whose<'a> {
    pub(crate) herd: &'a str,
    pub(crate) cow: i64,
    pub(crate) tag: Option<&'a str>,
}

/// A row; `own` stands between day and handheld.
pub(crate) fn row(line: &Line, whose: &Whose<'_>, own: Option<Cell>) -> Vec<Cell> {
    let told = line.answer.ok();
    let inputs: Vec<String> = line.inputs.iter().map(|key| record_name(*key)).collect();
    let mut cells = vec![
        Cell::text(line.measure.word()),
        Cell::text(whose.herd),
        Cell::Whole(whose.cow),
        Cell::maybe(whose.tag, Cell::text),
        Cell::Day(line.day),
    ];
    cells.extend(own);
    cells.push(Cell::text(format!("{:016x}", line.device.0)));
    cells.extend(place_cells(line.place));
    cells.extend([
        Cell::text(moment_word(line.trimmed)),
        Cell::maybe(told.map(|told| told.value), Cell::Real),
        Cell::text(line.measure.unit()),
        Cell::maybe(told.map(|told| told.standard), Cell::Real),
        Cell::maybe(told.and_then(|told| told.df), Cell::Real),
        Cell::maybe(told.map(|told| told.expanded), Cell::Real),
        Cell::maybe(told.map(|told| told.at_least), Cell::Flag),
        Cell::text(inputs.join(" ")),
        Cell::maybe(line.answer.err(), |why| Cell::text(why.word())),
        Cell::text(line.measure.source()),
    ]);
    cells
}

/// The workbook's sheet. The hand is known from readings of one claw that one handheld took twice on
/// one of the days, in one state of trim.
pub(crate) fn sheet(herds: &[Extract]) -> Table {
    let mut rows = Vec::new();
    for herd in herds {
        let sound = herd.readings.iter().filter(|one| !herd.doubted.contains(&one.key));
        let repeated = Repeated::of(sound.filter_map(|one| {
            let (cow, what) = (one.animal?, one.what);
            let same = (one.key.0, cow, one.day, u8::from(one.place), what.trimmed);
            Some((same, what.dimension.code(), what.length.as_mm()))
        }));
        let mut cows: BTreeMap<AnimalId, Vec<Lengthed>> = BTreeMap::new();
        for one in &herd.readings {
            let (Some(cow), Place::Claw(claw)) = (one.animal, one.place) else { continue };
            let doubted = herd.doubted.contains(&one.key);
            let lengthed = Lengthed { key: one.key, day: one.day, claw, clip: one.what, doubted };
            cows.entry(cow).or_default().push(lengthed);
        }
        for (cow, own) in cows {
            let tag = herd.tag(cow);
            let whose = Whose { herd: &herd.herd.name, cow: cow.number(), tag: tag.as_deref() };
            let all = lines(own.into_iter(), |code| repeated.hand(code));
            rows.extend(
                all.iter().filter(|line| line.is_said()).map(|line| row(line, &whose, None)),
            );
        }
    }
    Table { name: "derived", columns: SHEET, rows }
}
