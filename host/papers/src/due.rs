//! The due list as a page with boxes to tick, and as the lines of a calendar.
//!
//! ```text
//! DueList --> visits, a row a cow --> table "visits" (shown), table "due" (CSV)
//!         --> cows told once      --> table "not-brought"
//! ```

use hornrule_facts::Paper;
use hornrule_facts::practice::Practice;
use hornrule_facts::{Day, Gone, Told, Who};
use hornrule_protocol::Place;

use super::page::{Block, Cell, Column, Page, Table};
use super::terms;
use crate::words::{Say, Words};
use hornrule_questions::due::list::NEVER_BROUGHT;
use hornrule_questions::due::{Back, Case, DueLine, DueList, cow_by_cow};
use hornrule_questions::visit::Name;
use hornrule_questions::visit::due::Due;

/// The name for scripts of the table that a CSV holds.
pub const TABLE: &str = "due";

fn cow(line: &DueLine) -> String {
    Name { animal: line.need.animal, name: line.name.clone() }.to_string()
}

fn due(line: &DueLine) -> Due {
    Due::of(Name { animal: line.need.animal, name: line.name.clone() }, &line.need)
}

/// The rule that fired, and how late it is.
fn why(words: &Words, line: &DueLine, on: Day) -> String {
    terms::why_and_late(words, &due(line), on)
}

/// "LH outer: take the block off".
fn what(words: &Words, line: &DueLine) -> String {
    let what = terms::what(words, &due(line));
    match line.need.place {
        Place::Cow => what,
        place => words.say(Say::DueAt { place: words.place(place).into(), what: what.into() }),
    }
}

/// Who does a duty.
fn who(words: &Words, who: Who) -> String {
    words.say(match who {
        Who::Trimmer => Say::WhoTrimmer,
        Who::Farmer => Say::WhoFarmer,
        Who::Vet => Say::WhoVet,
        Who::Office => Say::WhoOffice,
    })
}

/// What a cow's lines say together: each text once, in the order of the lines.
fn each_once(texts: impl Iterator<Item = String>) -> String {
    let mut all: Vec<String> = Vec::new();
    for text in texts {
        if !all.contains(&text) {
            all.push(text);
        }
    }
    all.join("; ")
}

/// Her lesions that the lines are about.
fn lesions(words: &Words, lines: &[&DueLine]) -> String {
    lesions_in_words(words, lines.iter().flat_map(|line| &line.need.cases))
}

/// "LH outer: sole ulcer (SU), severe; LH: digital dermatitis (DD), M2".
#[must_use]
pub fn lesions_in_words<'a>(words: &Words, cases: impl IntoIterator<Item = &'a Case>) -> String {
    each_once(cases.into_iter().map(|case| terms::case(words, case)))
}

fn all_who(words: &Words, lines: &[&DueLine]) -> String {
    each_once(lines.iter().map(|line| who(words, line.need.duty.who())))
}

/// The list as a page: by day and farm, a row a cow. `farm` where it is of one farm only.
#[must_use]
pub fn page(
    list: &DueList,
    words: &Words,
    paper: Paper,
    (farm, practice): (Option<&str>, &Practice),
) -> Page {
    let title = match farm {
        Some(farm) => words.say(Say::DueTitleOf { farm: farm.into() }),
        None => words.say(Say::DueTitle),
    };
    let mut page = Page::new(words, paper, title, list.day);
    let (from, until) = (words.long_date(list.day), words.long_date(list.until));
    page.subtitle = Some(words.say(Say::DueSpan { from: from.into(), until: until.into() }));
    of_practice(words, practice, &mut page);
    if list.lines.is_empty() {
        let until = words.date(list.until);
        page.para(words.say(Say::DueNone { until: until.into() }));
    }
    if !list.groups().is_empty() {
        page.add(Block::Table(table(list, words)));
    }
    if list.later > 0 {
        let (n, until) = (list.later.into(), words.date(list.until).into());
        page.para(words.say(Say::DueLater { n, until }));
    }
    if list.lines.iter().any(|line| line.need.because.is_rule()) {
        page.note(words.say(Say::Starred));
    }
    never_brought(list, words, &mut page);
    back(list, words, &mut page);
    page.beside.push(rows(list, words));
    page
}

/// Who sends the sheet, and where to ring.
fn of_practice(words: &Words, practice: &Practice, page: &mut Page) {
    let (name, phone) = (practice.name.as_str(), practice.phone.as_str());
    let line = match (name.is_empty(), phone.is_empty()) {
        (true, true) => return,
        (false, false) => Say::DuePractice { name: name.into(), phone: phone.into() },
        (false, true) => Say::DuePracticeName { name: name.into() },
        (true, false) => Say::DuePracticePhone { phone: phone.into() },
    };
    page.add(Block::Lines(vec![words.say(line), words.say(Say::DueAsk)]));
}

/// The visits, each with its cows. A group has a column only where a cow has one.
fn table(list: &DueList, words: &Words) -> Table {
    let grouped = list.lines.iter().any(|line| line.pen.is_some());
    let group = grouped.then(|| Column::text(words.say(Say::ColumnGroup), 0));
    let mut columns = vec![Column::text("", 0), Column::text(words.say(Say::ColumnCow), 3)];
    columns.extend(group);
    columns.extend([
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::text(words.say(Say::ColumnWhat), 4),
        Column::text(words.say(Say::ColumnWho), 0),
        Column::text(words.say(Say::ColumnWhy), 5),
    ]);
    let table = Table::new("visits", words.say(Say::DueAbout), columns);
    let mut table = table.grouped_by(words.say(Say::DueGroup));
    for of_visit in list.groups() {
        let cows = cow_by_cow(&of_visit);
        table.section(heading(words, &cows));
        for lines in cows {
            let Some(first) = lines.first() else { continue };
            let mut row = vec![Cell::Tick, Cell::Strong(cow(first))];
            row.extend(grouped.then(|| first.pen.clone().unwrap_or_default().into()));
            row.extend([
                lesions(words, &lines).into(),
                Cell::from(each_once(lines.iter().map(|line| what(words, line)))),
                all_who(words, &lines).into(),
                each_once(lines.iter().map(|line| why(words, line, list.day))).into(),
            ]);
            table.row(row);
        }
    }
    table
}

/// "Monday, 16 March 2026, Alder Brook: 3 cows overdue".
fn heading(words: &Words, cows: &[Vec<&DueLine>]) -> String {
    let Some(first) = cows.first().and_then(|lines| lines.first()) else { return String::new() };
    let (date, farm) = (words.long_date(first.visit).into(), first.farm.as_str().into());
    let late = |lines: &&Vec<&DueLine>| lines.iter().any(|line| line.overdue > 0);
    match cows.iter().filter(late).count() {
        0 => words.say(Say::DueDay { date, farm }),
        n => words.say(Say::DuePast { date, farm, n: n.into() }),
    }
}

/// Cows that were not brought time after time, each once.
fn never_brought(list: &DueList, words: &Words, page: &mut Page) {
    let cows = list.told_once();
    if cows.is_empty() {
        return;
    }
    page.heading(words.say(Say::HeadNeverBrought));
    page.note(words.say(Say::DueNeverNote { n: NEVER_BROUGHT.into() }));
    let columns = vec![
        Column::text(words.say(Say::ColumnCow), 3),
        Column::text(words.say(Say::ColumnFarm), 2),
        Column::text(words.say(Say::ColumnSince), 0),
        Column::number(words.say(Say::ColumnNotBrought)),
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::text(words.say(Say::ColumnWhat), 5),
    ];
    let mut table = Table::new("not-brought", words.say(Say::AboutNeverBrought), columns);
    for lines in cows {
        let Some(first) = lines.iter().min_by_key(|line| line.need.day) else { continue };
        let harm = |line: &&DueLine| match due(line).harm(list.day) {
            Some(_) => format!("{} ({})", what(words, line), why(words, line, list.day)),
            None => what(words, line),
        };
        table.row([
            Cell::Strong(cow(first)),
            first.farm.as_str().into(),
            words.date(first.need.day).into(),
            first.missed.to_string().into(),
            lesions(words, &lines).into(),
            each_once(lines.iter().map(harm)).into(),
        ]);
    }
    page.add(Block::Table(table));
}

fn back(list: &DueList, words: &Words, page: &mut Page) {
    if list.back.is_empty() {
        return;
    }
    page.heading(words.say(Say::HeadBack));
    let line = |one: &Back| {
        let name = Name { animal: one.note.animal, name: one.name.clone() };
        let how = words.say(match one.note.what {
            Told::Gone(Gone::Dead) => Say::GoneDead,
            _ => Say::GoneSold,
        });
        words.say(Say::DueBack {
            cow: name.to_string().into(),
            farm: one.farm.as_str().into(),
            how: how.into(),
            date: words.date(one.note.day).into(),
            who: one.note.who.as_str().into(),
            why: one.note.why.as_str().into(),
            seen: words.date(one.seen).into(),
        })
    };
    page.add(Block::List(list.back.iter().map(line).collect()));
}

/// The same in columns of their own: a row a cow and day, days as ISO 8601.
fn rows(list: &DueList, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnFarm), 2),
        Column::text(words.say(Say::ColumnDate), 0),
        Column::text(words.say(Say::ColumnDueDay), 0),
        Column::number(words.say(Say::ColumnOverdue)),
        Column::text(words.say(Say::ColumnCow), 0),
        Column::text(words.say(Say::ColumnName), 1),
        Column::text(words.say(Say::ColumnGroup), 0),
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::text(words.say(Say::ColumnWhat), 4),
        Column::text(words.say(Say::ColumnWho), 0),
        Column::text(words.say(Say::ColumnRule), 4),
        Column::number(words.say(Say::ColumnNotBrought)),
    ];
    let mut table = Table::new(TABLE, words.say(Say::DueAbout), columns);
    let visits = list.groups();
    let planned = visits.iter().flat_map(|of_visit| cow_by_cow(of_visit));
    for lines in planned.chain(list.told_once()) {
        let Some(first) = lines.iter().min_by_key(|line| line.need.day) else { continue };
        let overdue = lines.iter().map(|line| line.overdue).max().unwrap_or_default();
        table.row([
            first.farm.clone(),
            first.visit.to_string(),
            first.need.day.to_string(),
            overdue.to_string(),
            first.need.animal.to_string(),
            first.name.clone().unwrap_or_default(),
            first.pen.clone().unwrap_or_default(),
            lesions(words, &lines),
            each_once(lines.iter().map(|line| what(words, line))),
            all_who(words, &lines),
            each_once(lines.iter().map(|line| why(words, line, list.day))),
            first.missed.to_string(),
        ]);
    }
    table
}

/// A calendar entry's title: farm and how many cows.
#[must_use]
pub fn entry_title(words: &Words, lines: &[&DueLine]) -> String {
    let Some(first) = lines.first() else { return String::new() };
    let cows = words.say(Say::OneOrMoreCows { n: cow_by_cow(lines).len().into() }).into();
    let farm = first.farm.as_str().into();
    words.say(if lines.iter().any(|line| line.overdue > 0) {
        Say::DueEntryOverdue { farm, cows }
    } else {
        Say::DueEntry { farm, cows }
    })
}

/// One line of a calendar entry: "27 Clover, RH: see again (keyed: in 14 days)". `on` is the day
/// that the list is of.
#[must_use]
pub fn entry_line(words: &Words, line: &DueLine, on: Day) -> String {
    let what = terms::what(words, &due(line)).into();
    let (cow, why) = (cow(line).into(), why(words, line, on).into());
    match line.need.place {
        Place::Cow => words.say(Say::DueEntryLineOfCow { cow, what, why }),
        place => {
            let place = words.place(place).into();
            words.say(Say::DueEntryLine { cow, place, what, why })
        }
    }
}

/// What is due, and which rule says so.
#[must_use]
pub fn in_words(words: &Words, due: &Due) -> (String, String) {
    (terms::what(words, due), terms::why(words, due))
}
