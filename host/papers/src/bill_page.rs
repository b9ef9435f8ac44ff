//! A bill or credit note as a page, in the language it was issued in.

use super::page::{Block, Cell, Column, Number, Page, Table};
use hornrule_facts::bill::{Bill, BillKind, Item, Money};
use hornrule_facts::Paper;
use crate::words::{Say, Words};

/// The table's name for scripts.
pub const TABLE: &str = "bill";

/// What an item is called where the price list does not say.
#[must_use]
pub fn item(words: &Words, item: Item) -> String {
    words.say(match item {
        Item::CallOut => Say::ItemCallOut,
        Item::Cow => Say::ItemCow,
        Item::CowSeen => Say::ItemCowSeen,
        Item::Block => Say::ItemBlock,
        Item::BlockOff => Say::ItemBlockOff,
        Item::Wrap => Say::ItemWrap,
    })
}

impl Bill {
    /// The bill as a page.
    #[must_use]
    pub fn page(&self, words: &Words, paper: Paper) -> Page {
        let mut page = Page::new(words, paper, self.title(words), self.issued);
        if let BillKind::Credit { of } = &self.kind {
            page.subtitle = Some(words.say(Say::BillOf { of: of.to_string().into() }));
        }
        if !self.seller.is_empty() {
            page.note(words.say(Say::BillFrom));
            page.add(Block::Lines(self.seller.clone()));
        }
        page.note(words.say(Say::BillTo));
        page.add(Block::Lines(self.buyer.clone()));
        page.add(Block::Numbers(self.numbers(words)));
        if !self.why.is_empty() {
            page.para(words.say(Say::BillWhy { why: self.why.as_str().into() }));
        }
        page.add(Block::Table(self.items(words)));
        page.add(Block::Table(self.sums(words)));
        let currency = self.currency.to_string().into();
        page.note(words.say(if self.gross_prices {
            Say::BillPricesGross { currency }
        } else {
            Say::BillPricesNet { currency }
        }));
        if !self.note.is_empty() {
            page.para(self.note.clone());
        }
        page
    }

    fn title(&self, words: &Words) -> String {
        let Some(number) = &self.number else { return words.say(Say::BillTitleDraft) };
        let number = number.to_string().into();
        words.say(match &self.kind {
            BillKind::Bill { adds_to: None } => Say::BillTitle { number },
            BillKind::Bill { adds_to: Some(of) } => {
                Say::BillTitleFurther { number, of: of.to_string().into() }
            }
            BillKind::Credit { .. } => Say::BillTitleCredit { number },
        })
    }

    fn money(&self, money: Money, words: &Words) -> String {
        money.shown(self.currency, words.language())
    }

    fn numbers(&self, words: &Words) -> Vec<Number> {
        let number = |say, value| Number { label: words.say(say), value, note: None };
        let credit = matches!(self.kind, BillKind::Credit { .. });
        let (total, gross) = if credit {
            (Say::BillTotalCredit, Money(-self.gross().0))
        } else {
            (Say::BillTotal, self.gross())
        };
        let paid = format!("{}\u{a0}{}", self.money(gross, words), self.currency);
        let mut numbers =
            vec![number(total, paid), number(Say::BillIssued, words.date(self.issued))];
        if let Some(due) = self.due {
            numbers.push(number(Say::BillPayBy, words.date(due)));
        }
        numbers
    }

    fn items(&self, words: &Words) -> Table {
        let columns = vec![
            Column::text(words.say(Say::BillColumnItem), 6),
            Column::number(words.say(Say::BillColumnQuantity)),
            Column::number(words.say(Say::BillColumnPrice)),
            Column::number(words.say(Say::BillColumnTax)),
            Column::number(words.say(Say::BillColumnAmount)),
        ];
        let table = Table::new(TABLE, words.say(Say::BillAbout), columns);
        let mut table = table.grouped_by(words.say(Say::BillGroup));
        for day in self.lines.chunk_by(|a, b| a.day == b.day) {
            let Some(first) = day.first() else { continue };
            let date = words.long_date(first.day).into();
            table.section(words.say(Say::BillVisit { date }));
            for line in day {
                table.row([
                    line.words.clone(),
                    line.quantity.to_string(),
                    self.money(line.unit_price, words),
                    format!("{}\u{a0}%", line.rate.shown(words.language())),
                    self.money(line.amount(), words),
                ]);
            }
        }
        table
    }

    fn sums(&self, words: &Words) -> Table {
        let columns = vec![
            Column::text(words.say(Say::BillColumnRate), 6),
            Column::number(words.say(Say::BillColumnNet)),
            Column::number(words.say(Say::BillColumnTax)),
            Column::number(words.say(Say::BillColumnGross)),
        ];
        let mut table = Table::new("sums", words.say(Say::BillAboutSums), columns);
        for tax in &self.taxes {
            table.row([
                format!("{}\u{a0}%", tax.rate.shown(words.language())),
                self.money(tax.net, words),
                self.money(tax.tax, words),
                self.money(Money(tax.net.0 + tax.tax.0), words),
            ]);
        }
        let sums = [self.net(), self.tax(), self.gross()].map(|sum| self.money(sum, words));
        table
            .row([Cell::Strong(words.say(Say::BillSum))].into_iter().chain(sums.map(Cell::Strong)));
        table
    }
}
