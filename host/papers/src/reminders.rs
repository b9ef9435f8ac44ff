//! The list of overdue bills as a page.

use std::collections::BTreeMap;

use super::page::{Block, Cell, Column, Page, Table};
use crate::words::{Say, Words};
use hornrule_facts::bill::{Bill, Money};
use hornrule_facts::{Day, Paper as Sheet};
use hornrule_questions::bill::Paper;

/// The table's name for scripts.
pub const TABLE: &str = "reminders";

/// Overdue papers with their days, in the order in which they are listed; and how many open ones
/// name no day to pay by.
#[must_use]
pub fn page(
    overdue: &[(&Paper, u32)],
    without_day: usize,
    day: Day,
    words: &Words,
    sheet: Sheet,
) -> Page {
    let mut page = Page::new(words, sheet, words.say(Say::RemindersTitle), day);
    page.subtitle = Some(words.say(Say::RemindersOn { date: words.long_date(day).into() }));
    if overdue.is_empty() {
        page.para(words.say(Say::RemindersNone));
    } else {
        page.add(Block::Table(table(overdue, words)));
        for farm in by_farm(overdue) {
            let Some((first, _)) = farm.first() else { continue };
            let (farm, open) = (first.bill.farm.as_str().into(), sums(farm, words).into());
            page.note(words.say(Say::RemindersFarm { farm, open }));
        }
    }
    if without_day > 0 {
        page.note(words.say(Say::RemindersNoDay { n: without_day.into() }));
    }
    page
}

fn by_farm<'a, 'b>(
    overdue: &'a [(&'b Paper, u32)],
) -> impl Iterator<Item = &'a [(&'b Paper, u32)]> {
    overdue.chunk_by(|(a, _), (b, _)| a.bill.herd == b.bill.herd)
}

fn table(overdue: &[(&Paper, u32)], words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::RemindersColumnBill), 3),
        Column::text(words.say(Say::RemindersColumnPayBy), 3),
        Column::number(words.say(Say::RemindersColumnDays)),
        Column::number(words.say(Say::RemindersColumnGross)),
        Column::number(words.say(Say::RemindersColumnTaken)),
        Column::number(words.say(Say::RemindersColumnOpen)),
    ];
    let table = Table::new(TABLE, words.say(Say::RemindersAbout), columns);
    let mut table = table.grouped_by(words.say(Say::RemindersGroup));
    for farm in by_farm(overdue) {
        let Some((first, _)) = farm.first() else { continue };
        table.section(first.bill.farm.clone());
        for (paper, days) in farm {
            let bill = &paper.bill;
            let number = bill.number.as_ref().map(ToString::to_string).unwrap_or_default();
            let due = bill.due.map(|due| words.date(due)).unwrap_or_default();
            let taken = Money(bill.gross().0 - paper.open.0);
            table.row([
                Cell::Strong(number),
                Cell::Text(due),
                Cell::Text(days.to_string()),
                Cell::Text(money(bill, bill.gross(), words)),
                Cell::Text(money(bill, taken, words)),
                Cell::Strong(money(bill, paper.open, words)),
            ]);
        }
    }
    table
}

/// With its currency: farms may differ.
fn money(bill: &Bill, money: Money, words: &Words) -> String {
    format!("{}\u{a0}{}", money.shown(bill.currency, words.language()), bill.currency)
}

/// What is open on all of them, once a currency.
fn sums(farm: &[(&Paper, u32)], words: &Words) -> String {
    let mut sums: BTreeMap<String, (&Bill, i64)> = BTreeMap::new();
    for (paper, _) in farm {
        let bill = &paper.bill;
        sums.entry(bill.currency.to_string()).or_insert((bill, 0)).1 += paper.open.0;
    }
    let shown = sums.into_values().map(|(bill, sum)| money(bill, Money(sum), words));
    shown.collect::<Vec<_>>().join(", ")
}
