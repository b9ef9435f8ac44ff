//! The due list as a page with boxes to tick, and as the lines of a calendar.

use hornrule_protocol::Place;

use super::page::{Block, Cell, Column, Page, Table};
use super::terms;
use crate::words::{Say, Words};
use hornrule_facts::Paper;
use hornrule_questions::due::{DueLine, DueList};
use hornrule_questions::visit::Name;
use hornrule_questions::visit::due::Due;

/// The table's name for scripts.
pub const TABLE: &str = "due";

fn cow(line: &DueLine) -> String {
    Name { animal: line.need.animal, name: line.name.clone() }.to_string()
}

fn due(line: &DueLine) -> Due {
    Due::of(Name { animal: line.need.animal, name: line.name.clone() }, &line.need)
}

/// The rule that fired; what is overdue says since when.
fn why(words: &Words, line: &DueLine) -> String {
    let why = terms::why(words, &due(line));
    if !line.overdue {
        return why;
    }
    let date = words.date(line.need.day);
    words.say(Say::DueWas { date: date.into(), why: why.into() })
}

fn place(words: &Words, line: &DueLine) -> String {
    match line.need.place {
        Place::Cow => String::new(),
        place => words.place(place),
    }
}

/// The list as a page: a box, the cow, where, what and why, by day and farm. `farm` where it is
/// of one farm only.
#[must_use]
pub fn page(list: &DueList, words: &Words, paper: Paper, farm: Option<&str>) -> Page {
    let title = match farm {
        Some(farm) => words.say(Say::DueTitleOf { farm: farm.into() }),
        None => words.say(Say::DueTitle),
    };
    let mut page = Page::new(words, paper, title, list.day);
    let (from, until) = (words.long_date(list.day), words.long_date(list.until));
    page.subtitle = Some(words.say(Say::DueSpan { from: from.into(), until: until.into() }));
    if list.lines.is_empty() {
        let until = words.date(list.until);
        page.para(words.say(Say::DueNone { until: until.into() }));
    } else {
        page.add(Block::Table(table(list, words)));
    }
    if list.later > 0 {
        let (n, until) = (list.later.into(), words.date(list.until).into());
        page.para(words.say(Say::DueLater { n, until }));
    }
    if list.lines.iter().any(|line| line.need.because.is_rule()) {
        page.note(words.say(Say::Starred));
    }
    page
}

fn table(list: &DueList, words: &Words) -> Table {
    let columns = vec![
        Column::text("", 0),
        Column::text(words.say(Say::ColumnCow), 3),
        Column::text(words.say(Say::ColumnWhere), 2),
        Column::text(words.say(Say::ColumnWhat), 4),
        Column::text(words.say(Say::ColumnWhy), 5),
    ];
    let table = Table::new(TABLE, words.say(Say::DueAbout), columns);
    let mut table = table.grouped_by(words.say(Say::DueGroup));
    for group in list.groups() {
        let Some(first) = group.first() else { continue };
        let farm = first.farm.as_str().into();
        table.section(if first.overdue {
            words.say(Say::DueOverdue { farm })
        } else {
            let date = words.long_date(first.need.day).into();
            words.say(Say::DueDay { date, farm })
        });
        for line in group {
            table.row([
                Cell::Tick,
                Cell::Strong(cow(line)),
                place(words, line).into(),
                terms::what(words, &due(line)).into(),
                why(words, line).into(),
            ]);
        }
    }
    table
}

/// A calendar entry's title: farm and how many cows.
#[must_use]
pub fn entry_title(words: &Words, lines: &[DueLine]) -> String {
    let Some(first) = lines.first() else { return String::new() };
    let mut animals: Vec<_> = lines.iter().map(|line| line.need.animal).collect();
    animals.dedup();
    let cows = words.say(Say::OneOrMoreCows { n: animals.len().into() }).into();
    let farm = first.farm.as_str().into();
    words.say(if first.overdue {
        Say::DueEntryOverdue { farm, cows }
    } else {
        Say::DueEntry { farm, cows }
    })
}

/// One line of a calendar entry: "27 Clover, RH: see again (keyed: in 14 days)".
#[must_use]
pub fn entry_line(words: &Words, line: &DueLine) -> String {
    let what = terms::what(words, &due(line)).into();
    let (cow, why) = (cow(line).into(), why(words, line).into());
    match line.need.place {
        Place::Cow => words.say(Say::DueEntryLineOfCow { cow, what, why }),
        _ => {
            let place = place(words, line).into();
            words.say(Say::DueEntryLine { cow, place, what, why })
        }
    }
}

/// What is due, and which rule says so.
#[must_use]
pub fn in_words(words: &Words, due: &Due) -> (String, String) {
    (terms::what(words, due), terms::why(words, due))
}
