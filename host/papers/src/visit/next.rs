//! What is due after a visit, on its page.

use hornrule_protocol::Place;

use crate::page::{Block, Cell, Column, Page, Table};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_facts::Day;
use hornrule_questions::visit::VisitReport;

/// Cows that are to be brought on the same day for the same lesion and reason.
struct Group {
    /// `None` where all of their days have gone by.
    day: Option<Day>,
    /// The first of their days.
    first: Day,
    what: String,
    /// Each rule once.
    why: Vec<String>,
    cows: Vec<String>,
}

pub(super) fn next(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadNext));
    if report.due.is_empty() {
        page.para(words.say(Say::NextNone));
        return;
    }
    let columns = vec![
        Column::text(words.say(Say::ColumnDay), 2),
        Column::text(words.say(Say::ColumnWhat), 5),
        Column::text(words.say(Say::ColumnCows), 6),
        Column::text(words.say(Say::ColumnWhy), 4),
    ];
    let mut table = Table::new("next", words.say(Say::AboutNext), columns);
    for Group { day, first, what, why, cows } in groups(report, words) {
        let date = words.date(first);
        let by =
            if day.is_some() { date } else { words.say(Say::NextOverdue { date: date.into() }) };
        let by = if day.is_none() { Cell::Strong(by) } else { by.into() };
        table.row([by, what.into(), cows.join(", ").into(), why.join("; ").into()]);
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::Starred));
}

/// Overdue ones first, whenever they were due: one row a reason, not one a day.
fn groups(report: &VisitReport, words: &Words) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for due in &report.due {
        let day = (due.day >= report.day).then_some(due.day);
        let what = terms::what_with_lesions(words, due);
        // A block or wrap left on does harm, each for so many days: a row of its own.
        let harms = due.harm(report.day).is_some();
        let why = match harms {
            true => terms::why_and_late(words, due, report.day),
            false => terms::why(words, due),
        };
        let cow = match due.place {
            Place::Cow => due.name.to_string(),
            place => format!("{} {}", due.name, words.place(place)),
        };
        // Of what is overdue it no longer matters which rule gave the day.
        let same = |it: &&mut Group| {
            (it.day, &it.what) == (day, &what)
                && ((day.is_none() && !harms) || it.why.contains(&why))
        };
        match groups.iter_mut().find(same) {
            Some(group) => {
                group.first = group.first.min(due.day);
                group.cows.push(cow);
                if !group.why.contains(&why) {
                    group.why.push(why);
                }
            }
            None => {
                groups.push(Group { day, first: due.day, what, why: vec![why], cows: vec![cow] })
            }
        }
    }
    groups.sort_by(|one, other| (one.day, &one.what).cmp(&(other.day, &other.what)));
    groups
}
