//! What is known of the feet that a letter is about.

use crate::page::{Block, Column, Page, Table};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_casebook::{Block as Glued, Off, Wrap};
use hornrule_facts::Day;
use hornrule_protocol::Action;
use hornrule_questions::vet::{Past, Referred};

/// Lesions, blocks and wraps of days before, the newest first.
pub(super) fn history(cow: &Referred, day: Day, words: &Words, page: &mut Page) {
    let before: Vec<&Past> = cow.history.iter().filter(|past| past.since() < day).collect();
    if before.is_empty() {
        page.para(words.say(Say::LetterHistoryNone));
        return;
    }
    page.para(words.say(Say::LetterHistory));
    let columns = vec![
        Column::text(words.say(Say::ColumnOnSince), 0),
        Column::text(words.say(Say::ColumnWhere), 0),
        Column::text(words.say(Say::ColumnWhat), 5),
        Column::text(words.say(Say::ColumnNow), 4),
    ];
    let mut table = Table::new("before", words.say(Say::LetterHistory), columns);
    for past in before {
        let (what, now) = match past {
            Past::Case(case) => {
                let grade = words.grade(case.lesion, case.grade_on(day)).unwrap_or_default();
                let lesion = terms::lesion(words, case.lesion);
                let what = Say::PastLesion { lesion: lesion.into(), grade: grade.into() };
                (words.say(what), terms::case_now(words, case, day))
            }
            Past::Block(block) => (block_in_words(block, words), block_now(block, words)),
            Past::Wrap(wrap) => (words.say(Say::PastWrap), wrap_now(wrap, words)),
        };
        table.row([words.date(past.since()), words.place(past.place()), what, now]);
    }
    page.add(Block::Table(table));
}

fn block_in_words(block: &Glued, words: &Words) -> String {
    let way = block.way.and_then(Action::from_code);
    way.map_or_else(|| words.say(Say::PastBlockSeen), |way| words.action(way))
}

fn block_now(block: &Glued, words: &Words) -> String {
    let Some((day, how)) = block.off else { return words.say(Say::PastBlockOn) };
    let date = words.date(day).into();
    let why = block.reason.and_then(|reason| Action::from_code(reason.action()));
    if let Some(why) = why {
        return words.say(Say::PastBlockOffWhy { what: words.action(why).into(), date });
    }
    words.say(match how {
        Off::TakenOff | Off::Trimmed | Off::Told | Off::Amputated => Say::PastBlockOff { date },
        Off::Lost => Say::PastBlockLost { date },
        Off::Replaced => Say::PastBlockReplaced { date },
    })
}

fn wrap_now(wrap: &Wrap, words: &Words) -> String {
    match wrap.off {
        None => words.say(Say::PastBlockOn),
        Some((day, _)) => words.say(Say::PastWrapOff { date: words.date(day).into() }),
    }
}
