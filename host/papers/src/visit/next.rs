//! What is due after a visit, on its page.

use hornrule_protocol::Place;

use crate::page::{Block, Cell, Column, Page, Table};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_facts::Day;
use hornrule_questions::visit::VisitReport;
use hornrule_questions::visit::due::Due;

/// Cows that are to be brought on the same day for the same reason.
struct Group {
    /// `None` where all of their days have gone by.
    day: Option<Day>,
    what: String,
    why: String,
    cows: Vec<String>,
}

pub(super) fn next(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadNext));
    if report.due.is_empty() {
        page.para(words.say(Say::NextNone));
        return;
    }
    let columns = vec![
        Column::text(words.say(Say::ColumnDay), 0),
        Column::text(words.say(Say::ColumnWhat), 3),
        Column::text(words.say(Say::ColumnCows), 7),
        Column::text(words.say(Say::ColumnWhy), 3),
    ];
    let mut table = Table::new("next", words.say(Say::AboutNext), columns);
    for Group { day, what, why, cows } in groups(report, words) {
        let by = day.map_or_else(|| words.say(Say::NextOverdue), |day| words.date(day));
        let by = if day.is_none() { Cell::Strong(by) } else { by.into() };
        table.row([by, what.into(), cows.join("; ").into(), why.into()]);
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::Starred));
}

/// Overdue ones first, whenever they were due: one row a reason, not one a day.
fn groups(report: &VisitReport, words: &Words) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for due in &report.due {
        let day = (due.day >= report.day).then_some(due.day);
        let (what, why) = (terms::what(words, due), terms::why(words, due));
        let cow = cow(due, day.is_none(), words);
        let same = |it: &&mut Group| (it.day, &it.what, &it.why) == (day, &what, &why);
        match groups.iter_mut().find(same) {
            Some(group) => group.cows.push(cow),
            None => groups.push(Group { day, what, why, cows: vec![cow] }),
        }
    }
    groups
}

/// "2103 Iris LF: sole ulcer", and since when where that is over.
fn cow(due: &Due, overdue: bool, words: &Words) -> String {
    let mut text = due.name.to_string();
    if due.place != Place::Cow {
        text = format!("{text} {}", words.place(due.place));
    }
    let lesions = terms::lesions(words, due);
    if !lesions.is_empty() {
        text = format!("{text}: {lesions}");
    }
    if overdue {
        let date = words.date(due.day).into();
        text = format!("{text} ({})", words.say(Say::NextWasDue { date }));
    }
    text
}
