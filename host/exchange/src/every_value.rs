//! Exports agree with their own schema: all that can be said is said once, and every cell that is
//! written is one of its column's values. A column with a code table holds all of it and no more.

use hornrule_kit::{Story, import, take_in};
use hornrule_protocol::codes::About;
use hornrule_protocol::record::{CalliperKind, Done, Finding, Reading, UnitMode};
use hornrule_protocol::{
    Action, Claw, Dimension, Entry, Foot, Lesion, Nanometres, Place, Scale, Side,
};

use crate::sheets::{DueRow, sheets};
use crate::study::{gather, read_protocol};
use crate::table::{Cell, Table};
use crate::values;
use crate::{Extract, way_sheet};
use hornrule_facts::codes::TRIMMED;
use hornrule_facts::{Day, WayFact};
use hornrule_herd::{Database, Span};

/// Every claw and dimension of this invented farm's only study.
const STUDY: &str = r#"format = 1
name = "All there is"
from = 2026-03-01
to = 2026-03-31
seed = 1
repeats = 1
moment = "both"
blinding = "none"
[sample]
claws = ["LF lateral", "LF medial", "RF lateral", "RF medial",
         "LH lateral", "LH medial", "RH lateral", "RH medial"]
[[herd]]
name = "Lindenhof"
[[observer]]
code = "A"
"#;

fn claws() -> Vec<Claw> {
    let both = |foot| Side::ALL.map(|side| Claw { foot, side });
    Foot::ALL.into_iter().flat_map(both).collect()
}

/// A cow for each dimension, calliper and unit, measured before and after the trim; then one for
/// each finding, action and score. Lengths are halfway through what is usual.
fn told() -> Database {
    let mut story = Story::at_work();
    let mut cow = 0;
    let mut places = claws().into_iter().cycle().map(Place::Claw);
    for kind in CalliperKind::ALL {
        for unit in UnitMode::ALL {
            for dimension in Dimension::all() {
                let (least, most) = dimension.usual_mm;
                let length = Nanometres::from_mm(i32::from(least.midpoint(most)));
                let reading = Reading { length, dimension, place: Place::Cow, unit, kind };
                if dimension.is_gauge() {
                    story.say(Entry::Reading(reading));
                    continue;
                }
                let place = places.next().unwrap();
                let clip = Entry::Reading(Reading { place, ..reading });
                cow += 1;
                story.cow(cow).say(clip).act(TRIMMED, place).say(clip);
            }
        }
    }
    for lesion in Lesion::all() {
        for grade in (0..10).filter(|digit| lesion.grades.has(*digit)) {
            cow += 1;
            let finding = Finding { lesion, place: places.next().unwrap(), grade, zone: None };
            story.cow(cow).say(Entry::Finding(finding));
        }
    }
    for action in Action::all().filter(|one| one.about != About::Tools) {
        cow += 1;
        let days = if action.takes_days { 10 } else { 0 };
        let done = Done { action, place: places.next().unwrap(), days };
        story.cow(cow).say(Entry::Action(done));
    }
    for scale in Scale::all() {
        for value in scale.range.0..=scale.range.1 {
            cow += 1;
            story.cow(cow).score(scale.code, value);
        }
    }
    story.left();
    let mut herd = Database::in_memory().unwrap();
    let list: Vec<String> = (1..=cow).map(|number| number.to_string()).collect();
    import(&mut herd, "Lindenhof", 1, &format!("number\n{}\n", list.join("\n")));
    let intake = take_in(&mut herd, &story);
    assert_eq!(intake.held, 0, "{:?}", intake.remarks);
    herd
}

/// The workbook's tables and the data set's.
fn tables(herd: &Database) -> Vec<Table> {
    let farm = herd.herds().unwrap()[0].herd;
    let extract = Extract::gather(herd, farm, Span::EVER).unwrap().unwrap();
    let due = |claw| DueRow {
        herd: extract.herd.name.clone(),
        cow: 1,
        name: None,
        day: Day(20_515),
        place: Place::Claw(claw),
        what: "recheck".to_owned(),
        rule: "keyed".to_owned(),
        overdue: 3,
        who: "trimmer",
        lesions: String::new(),
    };
    let due: Vec<DueRow> = claws().into_iter().map(due).collect();
    let (mut tables, _) = sheets(&[extract], &due);
    tables.push(way_sheet(&[WayFact {
        way: 1,
        since: Day(20_515),
        through: None,
        material: "birch ply".to_owned(),
        glue: String::new(),
        surface: String::new(),
        height: Some(Nanometres::from_mm(22)),
        who: "Anna".to_owned(),
        at_ms: 0,
    }]));
    let mut study = STUDY.to_owned();
    for dimension in Dimension::all().filter(|one| !one.is_gauge()) {
        study += &format!("[[dimension]]\nname = \"{}\"\n", dimension.name);
    }
    let set = gather(herd, &read_protocol(&study).unwrap(), None).unwrap();
    tables.extend([set.readings, set.gauges, set.dimensions, set.sample]);
    tables
}

/// Columns that hold a whole code table, and how long it is.
fn whole_tables() -> Vec<(&'static str, usize)> {
    let dimensions = Dimension::all().filter(|one| !one.is_gauge()).count();
    vec![
        ("foot", Foot::ALL.len()),
        ("claw", Side::ALL.len()),
        ("shown_in", UnitMode::ALL.len()),
        ("moment", 2),
        ("calliper", CalliperKind::ALL.len()),
        ("dimension", dimensions),
        ("dimension_name", dimensions),
        ("lesion", Lesion::all().count()),
        ("letters", Lesion::all().count()),
        ("atlas", Lesion::all().filter(|one| one.atlas().is_some()).count()),
        ("lesion_name", Lesion::all().count()),
        ("action", values::actions().len()),
        ("action_name", values::action_names().len()),
        ("scale", Scale::all().count()),
    ]
}

#[test]
fn what_is_written_is_what_the_schema_lists() {
    let whole = whole_tables();
    for table in tables(&told()) {
        assert!(!table.rows.is_empty(), "{}", table.name);
        for (at, column) in table.columns.iter().enumerate() {
            let told = |what: &str| format!("{} {}: {what}", table.name, column.name);
            let listed = (column.values)();
            let cells = || table.rows.iter().map(|row| &row[at]);
            for cell in cells().filter(|cell| **cell != Cell::Empty && !listed.is_empty()) {
                assert!(listed.contains(cell), "{}", told(&format!("{cell:?} is not listed")));
            }
            // Nobody scores a claw: the columns are there and empty.
            let used = cells().any(|cell| *cell != Cell::Empty);
            if let Some((_, length)) = whole.iter().find(|(name, _)| *name == column.name) {
                assert_eq!(listed.len(), *length, "{}", told("listed"));
                let idle = listed.iter().find(|value| used && !cells().any(|cell| cell == *value));
                assert_eq!(idle, None, "{}", told("is listed and was not said"));
            }
        }
    }
}
