//! A visit's cows on its page: foot by foot.

use hornrule_protocol::record::Done;
use hornrule_protocol::{Nanometres, Place, Scale};

use crate::page::{Block, Cell, Column, Page, Table};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_facts::codes::{NOT_TRIMMED, SEE_AGAIN, TRIMMED};
use hornrule_questions::visit::{ClawLine, CowLine, Found, VisitReport};

/// The table of everything, for a spreadsheet.
pub const EVERY_FOOT: &str = "every_foot";

/// Cows with something to tell, foot by foot; all others by number. A tired reader finds what
/// matters, and the CSV has the rest.
pub(crate) fn cows(report: &VisitReport, words: &Words, page: &mut Page) {
    page.beside.push(every_foot(report, words));
    page.heading(words.say(Say::HeadCows));
    if report.cows.is_empty() {
        page.para(words.say(Say::CowsNone));
        return;
    }
    let mut table = Table::new("cows", words.say(Say::AboutCows), brief_columns(words));
    let (mut trimmed, mut looked, mut lame, mut silent) = (vec![], vec![], vec![], vec![]);
    for cow in &report.cows {
        let name = cow.name.to_string();
        if cow.claws.iter().any(|claw| tells(claw) || is_of_cow_and_tells(claw)) {
            brief(cow, words, &mut table);
        } else if is_lame(cow) {
            lame.push(name);
        } else if is_trimmed(cow) {
            trimmed.push(name);
        } else if cow.claws.is_empty() {
            silent.push(name);
        } else {
            looked.push(name);
        }
    }
    if table.rows() > 0 {
        page.add(Block::Table(table));
        page.note(words.say(Say::NoteCowsBrief));
    }
    for (cows, say) in [
        (lame, Named::Lame),
        (trimmed, Named::Trimmed),
        (looked, Named::Looked),
        (silent, Named::Silent),
    ] {
        if !cows.is_empty() {
            let cows = cows.join(", ").into();
            page.para(words.say(match say {
                Named::Lame => Say::CowsLame { cows },
                Named::Trimmed => Say::CowsOnlyTrimmed { cows },
                Named::Looked => Say::CowsOnlyLooked { cows },
                Named::Silent => Say::CowsNothing { cows },
            }));
        }
    }
}

/// Why a cow is only named.
enum Named {
    Lame,
    Trimmed,
    Looked,
    Silent,
}

/// Every cow and foot with all that was keyed.
fn every_foot(report: &VisitReport, words: &Words) -> Table {
    let table = Table::new(EVERY_FOOT, words.say(Say::AboutCows), columns(words));
    let mut table = table.grouped_by(words.say(Say::ColumnCow));
    for cow in &report.cows {
        titled(cow.name.to_string(), cow, words, &mut table);
    }
    table
}

fn is_lame(cow: &CowLine) -> bool {
    cow.scores.iter().any(is_lame_score)
}

fn is_lame_score((scale, value): &(Scale, u8)) -> bool {
    scale.lame_from.is_some_and(|from| *value >= from)
}

/// What is no news of a claw: trimmed, looked at, or to be seen again, which stands in a list of
/// its own.
const NO_NEWS: [u8; 3] = [TRIMMED, NOT_TRIMMED, SEE_AGAIN];

fn is_news(done: &Done) -> bool {
    !NO_NEWS.contains(&done.action.code())
}

/// Whether something was found, done or measured there beyond trimming.
fn tells(claw: &ClawLine) -> bool {
    let sized = claw.lesion_length.is_some() || claw.lesion_width.is_some();
    let found = claw.found.iter().any(|found| found.lesion.code() != 0);
    claw.place != Place::Cow && (sized || found || claw.done.iter().any(is_news))
}

fn is_of_cow_and_tells(claw: &ClawLine) -> bool {
    claw.place == Place::Cow && claw.done.iter().any(is_news)
}

fn is_trimmed(cow: &CowLine) -> bool {
    let trimmed = |claw: &ClawLine| claw.done.iter().any(|done| done.action.code() == TRIMMED);
    !cow.only_trimmed.is_empty() || cow.claws.iter().any(trimmed)
}

/// The page's own columns: a cow's name stands in her first row.
fn brief_columns(words: &Words) -> Vec<Column> {
    vec![
        Column::text(words.say(Say::ColumnCow), 4),
        Column::text(words.say(Say::ColumnWhere), 0),
        Column::text(words.say(Say::ColumnFound), 6),
        Column::text(words.say(Say::ColumnDone), 7),
    ]
}

/// Her feet that have something to tell, each in a row, and what was done to the cow.
fn brief(cow: &CowLine, words: &Words, table: &mut Table) {
    let mut name = cow.name.to_string();
    for score in cow.scores.iter().filter(|one| is_lame_score(one)) {
        name.push_str(", ");
        name.push_str(&terms::score(words, *score));
    }
    table.together();
    let told = |claw: &&ClawLine| tells(claw) || is_of_cow_and_tells(claw);
    let claws: Vec<&ClawLine> = cow.claws.iter().filter(told).collect();
    for foot in claws.chunk_by(|one, other| one.place.foot() == other.place.foot()) {
        let Some(first) = foot.first() else { continue };
        let alone = foot.len() == 1;
        let place = match first.place.foot() {
            Some(foot) if !alone => words.foot_letters(foot),
            _ => words.place(first.place),
        };
        table.row([
            Cell::Strong(std::mem::take(&mut name)),
            place.into(),
            of_each(foot, words, |claw| found_on(claw, words)).into(),
            of_each(foot, words, |claw| done_on(claw, words)).into(),
        ]);
    }
}

/// What is said of each claw of a foot, with its side where there are several.
fn of_each(foot: &[&ClawLine], words: &Words, say: impl Fn(&ClawLine) -> String) -> String {
    let mut parts = Vec::new();
    for claw in foot {
        let said = say(claw);
        match claw.place.side() {
            _ if said.is_empty() => {}
            Some(side) if foot.len() > 1 => parts.push(format!("{}: {said}", words.side(side))),
            _ => parts.push(said),
        }
    }
    parts.join("; ")
}

fn found_on(claw: &ClawLine, words: &Words) -> String {
    let found = claw.found.iter().filter(|found| found.lesion.code() != 0);
    let mut found: Vec<String> = found.map(|found| found_in_words(found, words)).collect();
    found.extend(size(claw, words));
    found.join(", ")
}

fn done_on(claw: &ClawLine, words: &Words) -> String {
    let news = claw.done.iter().filter(|done| is_news(done));
    news.map(|done| terms::done(words, done)).collect::<Vec<_>>().join(", ")
}

/// "sole ulcer (SU) moderate zone 4".
fn found_in_words(found: &Found, words: &Words) -> String {
    let mut text = terms::lesion(words, found.lesion);
    if let Some(grade) = words.grade(found.lesion, found.digit) {
        text.push(' ');
        text.push_str(&grade);
    }
    let zone = terms::zone(found);
    if !zone.is_empty() {
        text.push(' ');
        text.push_str(&words.say(Say::InZone { zone: zone.into() }));
    }
    text
}

/// What was found and done on a foot.
pub(crate) fn columns(words: &Words) -> Vec<Column> {
    vec![
        Column::text(words.say(Say::ColumnWhere), 0),
        Column::text(words.say(Say::ColumnFound), 4),
        Column::text(words.say(Say::ColumnGrade), 0),
        Column::text(words.say(Say::ColumnZone), 0),
        Column::text(words.say(Say::ColumnDone), 5),
        Column::number(words.say(Say::ColumnWall { unit: words.unit_sign().into() })),
    ]
}

/// Her name or a day, with her scores.
fn scored(mut title: String, cow: &CowLine, words: &Words) -> String {
    for score in &cow.scores {
        title.push_str(", ");
        title.push_str(&terms::score(words, *score));
    }
    title
}

/// All that was keyed of a cow, under her name or a day.
pub(crate) fn titled(title: String, cow: &CowLine, words: &Words, table: &mut Table) {
    table.section(scored(title, cow, words));
    cow.claws.iter().for_each(|claw| rows(claw, words, table));
    if !cow.only_trimmed.is_empty() {
        let places: Vec<String> =
            cow.only_trimmed.iter().map(|claw| words.place(Place::Claw(*claw))).collect();
        let empty = || Cell::from("");
        let places = words.say(Say::AlsoTrimmed { places: places.join(", ").into() });
        table.row([empty(), empty(), empty(), empty(), places.into(), empty()]);
    }
}

/// A row for each finding of a claw, and at least one.
fn rows(claw: &ClawLine, words: &Words, table: &mut Table) {
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
    match size(claw, words) {
        Some(size) if at == 0 && lesion.is_empty() => size,
        Some(size) if at == 0 => format!("{lesion}, {size}"),
        _ => lesion,
    }
}

/// How large the lesion was measured: "20.0 × 9.8 mm".
fn size(claw: &ClawLine, words: &Words) -> Option<String> {
    match (claw.lesion_length, claw.lesion_width) {
        (None, None) => None,
        (Some(one), None) | (None, Some(one)) => Some(words.length_with_unit(one)),
        (Some(long), Some(wide)) => {
            Some(format!("{} × {}", words.length(long), words.length_with_unit(wide)))
        }
    }
}
