//! A visit's cows on its page: foot by foot.

use hornrule_protocol::{Nanometres, Place};

use super::page::{Block, Cell, Column, Page, Table};
use super::terms;
use super::visit::{ClawLine, CowLine, VisitReport};
use crate::words::{Say, Words};

pub(super) fn cows(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadCows));
    if report.cows.is_empty() {
        page.para(words.say(Say::CowsNone));
        return;
    }
    let columns = columns(words);
    let table = Table::new("cows", words.say(Say::AboutCows), columns);
    let mut table = table.grouped_by(words.say(Say::ColumnCow));
    let (mut trimmed, mut silent) = (Vec::new(), Vec::new());
    for cow in &report.cows {
        if !cow.claws.is_empty() || !cow.scores.is_empty() {
            one(cow, words, &mut table);
        } else if cow.only_trimmed.is_empty() {
            silent.push(cow.name.to_string());
        } else {
            trimmed.push(cow.name.to_string());
        }
    }
    if table.rows() > 0 {
        page.add(Block::Table(table));
        page.note(words.say(Say::NoteCows));
    }
    if !trimmed.is_empty() {
        page.para(words.say(Say::CowsOnlyTrimmed { cows: trimmed.join(", ").into() }));
    }
    if !silent.is_empty() {
        page.para(words.say(Say::CowsNothing { cows: silent.join(", ").into() }));
    }
}

/// What was found and done on a foot.
pub(super) fn columns(words: &Words) -> Vec<Column> {
    vec![
        Column::text(words.say(Say::ColumnWhere), 0),
        Column::text(words.say(Say::ColumnFound), 4),
        Column::text(words.say(Say::ColumnGrade), 0),
        Column::text(words.say(Say::ColumnZone), 0),
        Column::text(words.say(Say::ColumnDone), 5),
        Column::number(words.say(Say::ColumnWall { unit: words.unit_sign().into() })),
    ]
}

/// A row for each finding of each claw, and at least one a claw.
fn one(cow: &CowLine, words: &Words, table: &mut Table) {
    titled(cow.name.to_string(), cow, words, table);
}

/// The same under another title than her name.
pub(super) fn titled(mut title: String, cow: &CowLine, words: &Words, table: &mut Table) {
    for score in &cow.scores {
        title.push_str(", ");
        title.push_str(&terms::score(words, *score));
    }
    table.section(title);
    for claw in &cow.claws {
        for at in 0..claw.found.len().max(1) {
            let found = claw.found.get(at);
            let first = |text: String| if at == 0 { text } else { String::new() };
            let done: Vec<String> = claw.done.iter().map(|done| terms::done(words, done)).collect();
            let grade = found.and_then(|found| words.grade(found.lesion, found.digit));
            table.row([
                Cell::from(words.place(claw.place)),
                first_size(found.map(|found| terms::lesion(words, found.lesion)), at, claw, words)
                    .into(),
                grade.unwrap_or_default().into(),
                found.map(terms::zone).unwrap_or_default().into(),
                first(done.join("; ")).into(),
                first(walls(words, claw.wall_before, claw.wall_after)).into(),
            ]);
        }
    }
    if !cow.only_trimmed.is_empty() {
        let places: Vec<String> =
            cow.only_trimmed.iter().map(|claw| words.place(Place::Claw(*claw))).collect();
        let empty = || Cell::from("");
        table.row([
            empty(),
            places.join(", ").into(),
            empty(),
            empty(),
            words.say(Say::AlsoTrimmed).into(),
            empty(),
        ]);
    }
}

/// "84.1 → 76.9", or which of the two it is.
fn walls(words: &Words, before: Option<Nanometres>, after: Option<Nanometres>) -> String {
    match (before, after) {
        (None, None) => String::new(),
        (Some(before), None) => words.say(Say::WallBefore { length: words.length(before).into() }),
        (None, Some(after)) => words.say(Say::WallAfter { length: words.length(after).into() }),
        (Some(before), Some(after)) => {
            format!("{} → {}", words.length(before), words.length(after))
        }
    }
}

/// The lesion, and with the first of a claw how large it was measured.
fn first_size(lesion: Option<String>, at: usize, claw: &ClawLine, words: &Words) -> String {
    let lesion = lesion.unwrap_or_default();
    let size = match (claw.lesion_length, claw.lesion_width) {
        _ if at > 0 => return lesion,
        (None, None) => return lesion,
        (Some(one), None) | (None, Some(one)) => words.length_with_unit(one),
        (Some(long), Some(wide)) => {
            format!("{} × {}", words.length(long), words.length_with_unit(wide))
        }
    };
    if lesion.is_empty() { size } else { format!("{lesion}, {size}") }
}
