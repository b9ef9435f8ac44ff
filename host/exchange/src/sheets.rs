//! The office's workbook: a sheet of visits, one for each kind of entry, one of what is due.
//!
//! ```text
//! Extract of each herd --sheets--> tables --table::xlsx--> workbook
//! ```

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::Place;

use super::extract::Extract;
use super::table::{Cell, Column, Kind, Table};
use super::values;
use super::words::{calliper_word, clock_word, gauge_word, moment_word, unit_word};
use crate::extract::Dated;
use hornrule_facts::codes::TRIMMED;
use hornrule_facts::{AnimalId, Day};

/// Something due, as the workbook shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueRow {
    /// The farm's name.
    pub herd: String,
    /// Her number.
    pub cow: i64,
    /// Her name.
    pub name: Option<String>,
    /// On which day.
    pub day: Day,
    /// Where.
    pub place: Place,
    /// What.
    pub what: String,
    /// The rule that says so.
    pub rule: String,
    /// Days overdue on the day of the visit.
    pub overdue: i64,
    /// trimmer, farmer, vet or office.
    pub who: &'static str,
    /// The lesions that it is about, in words.
    pub lesions: String,
}

const VISITS: &[Column] = &[
    Column::new("herd", Kind::Text, "the farm"),
    Column::new("day", Kind::Day, "the day, at the farm"),
    Column::new("cows", Kind::Whole, "different cows in the chute"),
    Column::new("claws_trimmed", Kind::Whole, "different claws trimmed to form"),
    Column::new("findings", Kind::Whole, "findings keyed, sound ones too"),
    Column::new("actions", Kind::Whole, "actions keyed"),
    Column::new("readings", Kind::Whole, "lengths clipped"),
    Column::new("scores", Kind::Whole, "scores keyed"),
];

const DUE: &[Column] = &[
    Column::new("herd", Kind::Text, "the farm"),
    Column::new("day", Kind::Day, "when it is due"),
    Column::new("cow", Kind::Whole, "her number"),
    Column::new("name", Kind::Text, "her name").or_empty(),
    Column::new("foot", Kind::Text, "which foot").or_empty().of(values::feet),
    Column::new("claw", Kind::Text, "which claw").or_empty().of(values::claws),
    Column::new("what", Kind::Text, "what is due"),
    Column::new("rule", Kind::Text, "the rule that says so"),
    Column::new("overdue_days", Kind::Whole, "days overdue on the day of the visit"),
    Column::new("who", Kind::Text, "who does it: trimmer, farmer, vet or office"),
    Column::new("lesions", Kind::Text, "the lesions that it is about").or_empty(),
];

/// The columns of every entry, and then its own.
macro_rules! entry {
    ($($own:expr),* $(,)?) => {
        &[
            Column::new("record", Kind::Text, "the record: handheld, log, number"),
            Column::new("herd", Kind::Text, "the farm"),
            Column::new("cow", Kind::Whole, "her number; her tag where she was keyed by it"),
            Column::new("tag", Kind::Text, "her electronic tag").or_empty(),
            Column::new("name", Kind::Text, "her name").or_empty(),
            Column::new("day", Kind::Day, "the day, at the farm"),
            Column::new("time_utc", Kind::Time, "when"),
            Column::new("time_within_s", Kind::Seconds, "how far off it may be").or_empty(),
            Column::new("clock", Kind::Text, "how the time is known").of(values::clocks),
            Column::new("foot", Kind::Text, "which foot").or_empty().of(values::feet),
            Column::new("claw", Kind::Text, "which claw").or_empty().of(values::claws),
            $($own),*
        ]
    };
}

const FINDINGS: &[Column] = entry!(
    Column::new("lesion", Kind::Whole, "the number keyed").of(values::lesions),
    Column::new("letters", Kind::Text, "its letters").of(values::lesion_letters),
    Column::new("lesion_name", Kind::Text, "in words").of(values::lesion_names),
    Column::new("grade", Kind::Whole, "the digit keyed"),
    Column::new("grade_name", Kind::Text, "grade or stage in words").or_empty(),
    Column::new("zone", Kind::Whole, "the zone, where one was keyed").or_empty(),
    Column::new(
        "atlas",
        Kind::Text,
        "letters of the ICAR Claw Health Atlas; WL is all of white line disease"
    )
    .or_empty()
    .of(values::atlas_letters),
    Column::new(
        "atlas_published",
        Kind::Flag,
        "whether those were read in a publication or open source; if not, they are from memory",
    )
    .or_empty(),
);

const ACTIONS: &[Column] = entry!(
    Column::new("action", Kind::Whole, "the number keyed").of(values::actions),
    Column::new("action_name", Kind::Text, "in words").of(values::action_names),
    Column::new("days", Kind::Whole, "days keyed with it").or_empty(),
);

const READINGS: &[Column] = entry!(
    Column::new("dimension", Kind::Whole, "the digit keyed").of(values::dimensions),
    Column::new("dimension_name", Kind::Text, "in words").of(values::dimension_names),
    Column::new("length_mm", Kind::Mm, "the length"),
    Column::new("shown_in", Kind::Text, "what the calliper showed").of(values::units),
    Column::new("calliper", Kind::Text, "which output it has").of(values::callipers),
    Column::new("moment", Kind::Text, "of the trim to form").of(values::moments),
    Column::new("gauge_check", Kind::Text, "the last one of that day and start")
        .of(values::gauge_checks),
);

const SCORES: &[Column] = entry!(
    Column::new("scale", Kind::Text, "which scale").of(values::scale_names),
    Column::new("value", Kind::Whole, "the score"),
    Column::new("lame", Kind::Flag, "whether that scale calls it lame").or_empty(),
);

/// Foot and claw as cells.
pub(crate) fn place_cells(place: Place) -> [Cell; 2] {
    let side = match place {
        Place::Claw(claw) => Some(claw.side.name()),
        Place::Foot(_) | Place::Cow => None,
    };
    [Cell::maybe(place.foot(), |foot| Cell::text(foot.letters())), Cell::maybe(side, Cell::text)]
}

/// The tables of the workbook, and the newest row's time in UTC milliseconds.
#[must_use]
pub fn sheets(herds: &[Extract], due: &[DueRow]) -> (Vec<Table>, i64) {
    let visits =
        Table { name: "visits", columns: VISITS, rows: herds.iter().flat_map(visits).collect() };
    let findings = herds.iter().flat_map(|herd| {
        entries(herd, &herd.findings, |one| {
            let lesion = one.lesion;
            vec![
                Cell::Whole(lesion.code().into()),
                Cell::text(lesion.letters),
                Cell::text(lesion.name),
                Cell::Whole(one.grade.into()),
                Cell::maybe(lesion.grades.word(one.grade), Cell::text),
                Cell::maybe(one.zone, |zone| Cell::Whole(zone.number().into())),
                Cell::maybe(lesion.atlas(), |atlas| Cell::text(atlas.letters)),
                Cell::maybe(lesion.atlas(), |atlas| Cell::Flag(atlas.is_published())),
            ]
        })
    });
    let actions = herds.iter().flat_map(|herd| {
        entries(herd, &herd.actions, |one| {
            let days = one.action.takes_days.then_some(one.days);
            vec![
                Cell::Whole(one.action.code().into()),
                Cell::text(one.action.name),
                Cell::maybe(days, |days| Cell::Whole(days.into())),
            ]
        })
    });
    let readings = herds.iter().flat_map(|herd| {
        entries(herd, &herd.readings, |one| {
            vec![
                Cell::Whole(one.dimension.code().into()),
                Cell::text(one.dimension.name),
                Cell::Mm(one.length),
                Cell::text(unit_word(one.unit)),
                Cell::text(calliper_word(one.kind)),
                Cell::text(moment_word(one.trimmed)),
                Cell::text(gauge_word(one.gauge_ok)),
            ]
        })
    });
    let scores = herds.iter().flat_map(|herd| {
        entries(herd, &herd.scores, |(scale, value)| {
            let lame = scale.lame_from.map(|from| *value >= from);
            vec![
                Cell::text(scale.name),
                Cell::Whole((*value).into()),
                Cell::maybe(lame, Cell::Flag),
            ]
        })
    });
    let tables = vec![
        visits,
        Table { name: "findings", columns: FINDINGS, rows: findings.collect() },
        Table { name: "actions", columns: ACTIONS, rows: actions.collect() },
        Table { name: "readings", columns: READINGS, rows: readings.collect() },
        crate::derived_row::sheet(herds),
        Table { name: "scores", columns: SCORES, rows: scores.collect() },
        Table { name: "due", columns: DUE, rows: due.iter().map(due_row).collect() },
    ];
    let newest = herds.iter().flat_map(|herd| herd.stays.iter().map(|stay| stay.what)).max();
    (tables, newest.unwrap_or(0))
}

fn entries<T>(herd: &Extract, from: &[Dated<T>], own: fn(&T) -> Vec<Cell>) -> Vec<Vec<Cell>> {
    let row = |one: &Dated<T>| {
        let cow = one.animal?;
        let mut cells = vec![
            Cell::text(one.name()),
            Cell::text(herd.herd.name.as_str()),
            Cell::Whole(cow.number()),
            Cell::maybe(herd.tag(cow), Cell::text),
            Cell::maybe(herd.list.get(&cow).and_then(|cow| cow.name.clone()), Cell::text),
            Cell::Day(one.day),
            Cell::Time(one.when.at_ms),
            Cell::maybe(one.when.uncertainty_ms, Cell::Seconds),
            Cell::text(clock_word(one.when.certainty)),
        ];
        cells.extend(place_cells(one.place));
        cells.extend(own(&one.what));
        Some(cells)
    };
    from.iter().filter_map(row).collect()
}

/// What a day counts.
#[derive(Default)]
struct Counts {
    cows: BTreeSet<AnimalId>,
    trimmed: BTreeSet<(Option<AnimalId>, Place)>,
    findings: i64,
    actions: i64,
    readings: i64,
    scores: i64,
}

fn visits(herd: &Extract) -> Vec<Vec<Cell>> {
    let mut days: BTreeMap<Day, Counts> = BTreeMap::new();
    for one in &herd.stays {
        days.entry(one.day).or_default().cows.extend(one.animal);
    }
    for one in &herd.findings {
        days.entry(one.day).or_default().findings += 1;
    }
    for one in &herd.actions {
        let counts = days.entry(one.day).or_default();
        counts.actions += 1;
        if one.what.action.code() == TRIMMED {
            counts.trimmed.insert((one.animal, one.place));
        }
    }
    for one in &herd.readings {
        days.entry(one.day).or_default().readings += 1;
    }
    for one in &herd.scores {
        days.entry(one.day).or_default().scores += 1;
    }
    let whole = |count: usize| Cell::Whole(i64::try_from(count).unwrap_or(i64::MAX));
    let row = |(day, counts): (Day, Counts)| {
        vec![
            Cell::text(herd.herd.name.as_str()),
            Cell::Day(day),
            whole(counts.cows.len()),
            whole(counts.trimmed.len()),
            Cell::Whole(counts.findings),
            Cell::Whole(counts.actions),
            Cell::Whole(counts.readings),
            Cell::Whole(counts.scores),
        ]
    };
    days.into_iter().map(row).collect()
}

fn due_row(one: &DueRow) -> Vec<Cell> {
    let [foot, claw] = place_cells(one.place);
    vec![
        Cell::text(one.herd.as_str()),
        Cell::Day(one.day),
        Cell::Whole(one.cow),
        Cell::maybe(one.name.as_deref(), Cell::text),
        foot,
        claw,
        Cell::text(one.what.as_str()),
        Cell::text(one.rule.as_str()),
        Cell::Whole(one.overdue),
        Cell::text(one.who),
        Cell::maybe(Some(one.lesions.as_str()).filter(|text| !text.is_empty()), Cell::text),
    ]
}
