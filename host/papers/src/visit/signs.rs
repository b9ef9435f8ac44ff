//! A visit's signs on its page, and whether washing was keyed before it.

use hornrule_protocol::codes::Seat;
use hornrule_questions::visit::{SignLine, VisitReport};

use crate::page::{Block, Column, Page, Table};
use crate::words::{Say, Words};

/// What was seen and felt beside lesions; nothing where nothing was.
pub(super) fn signs(report: &VisitReport, words: &Words, page: &mut Page) {
    if report.signs.is_empty() {
        return;
    }
    page.heading(words.say(Say::HeadSigns));
    let columns = vec![
        Column::text(words.say(Say::ColumnSign), 4),
        Column::number(words.say(Say::ColumnCows)),
        Column::number(words.say(Say::ColumnClawsOrFeet)),
    ];
    let mut table = Table::new("signs", words.say(Say::AboutSigns), columns);
    for line in &report.signs {
        table.row([words.lesion(line.sign), line.cows.to_string(), places(line, words)]);
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteSigns));
}

fn places(line: &SignLine, words: &Words) -> String {
    match line.sign.seat {
        Seat::Claw => words.say(Say::ClawsN { n: line.places.into() }),
        Seat::Foot => words.say(Say::FeetN { n: line.places.into() }),
    }
}

/// Whether washing was keyed; nothing where no handheld came from another farm.
pub(super) fn clean(report: &VisitReport, words: &Words, page: &mut Page) {
    let (of, n) =
        (report.clean.len(), report.clean.iter().filter(|one| one.washed_ms.is_some()).count());
    if of > 0 {
        page.para(words.say(match n {
            0 => Say::CleanNotKeyed,
            n if n == of => Say::CleanKeyed,
            n => Say::CleanPartlyKeyed { n: n.into(), of: of.into() },
        }));
    }
}
