//! Rows of bills. What was issued stands as values; the schema refuses to change it.

use hornrule_facts::{Language, Signed};
use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, Row, params};

use super::{Database, DatabaseError, Day, Fault, HerdId, Rows, queries};
use hornrule_facts::bill::{
    Bill, BillKind, BillLine, BillNumber, Currency, Despite, FreeLine, Item, Money, Quantity, Rate,
    TaxLine,
};

impl Rows<'_> {
    /// Days of a herd that stand on a bill; a bill taken back whole leaves its days open again.
    pub fn billed_days(&self, herd: HerdId) -> Result<BTreeSet<Day>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::BILLED_DAYS)?;
        let days = statement.query_map([herd.0], |row| Ok(Day(row.get(0)?)))?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    /// The number after the last one of a series.
    pub fn next_number(&self, series: &str) -> Result<BillNumber, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LAST_BILL_NUMBER)?;
        let last: u32 = statement.query_row([series], |row| row.get(0))?;
        Ok(BillNumber { series: series.to_owned(), number: last + 1 })
    }

    /// Keeps an issued bill.
    pub fn insert_bill(&self, bill: &Bill, signed: &Signed) -> Result<(), Fault> {
        let Some(number) = &bill.number else {
            return Err(Fault::Stored("a bill without a number".to_owned()));
        };
        let of = bill.kind.of();
        let row = params![
            number.series,
            number.number,
            bill.herd.0,
            u8::from(matches!(bill.kind, BillKind::Credit { .. })),
            of.map(|of| &of.series),
            of.map(|of| of.number),
            bill.issued.0,
            signed.at_ms,
            bill.due.map(|day| day.0),
            signed.who,
            bill.why,
            bill.language.code(),
            bill.currency.code(),
            bill.currency.digits(),
            u8::from(bill.gross_prices),
            bill.seller.join("\n"),
            bill.buyer.join("\n"),
            bill.farm,
            bill.note,
            bill.net().0,
            bill.tax().0,
            bill.gross().0,
        ];
        self.conn.prepare_cached(queries::INSERT_BILL)?.execute(row)?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_BILL_LINE)?;
        for (at, line) in (1i64..).zip(&bill.lines) {
            statement.execute(params![
                number.series,
                number.number,
                at,
                line.day.0,
                line.item.key(),
                line.words,
                line.quantity,
                line.unit_price.0,
                line.amount().0,
                line.rate.0,
            ])?;
        }
        self.insert_free_lines(number, bill)?;
        if let Some(Despite { held, why }) = &signed.despite {
            let row = params![number.series, number.number, held, why];
            self.conn.prepare_cached(queries::INSERT_BILL_WITH_HELD)?.execute(row)?;
        }
        let mut statement = self.conn.prepare_cached(queries::INSERT_BILL_TAX)?;
        for tax in &bill.taxes {
            let key = (&number.series, number.number);
            statement.execute((key.0, key.1, tax.rate.0, tax.net.0, tax.tax.0))?;
        }
        Ok(())
    }

    fn insert_free_lines(&self, number: &BillNumber, bill: &Bill) -> Result<(), Fault> {
        let mut statement = self.conn.prepare_cached(queries::INSERT_BILL_FREE_LINE)?;
        for (at, line) in (1i64..).zip(&bill.free) {
            statement.execute(params![
                number.series,
                number.number,
                at,
                line.item,
                line.words,
                line.unit,
                line.quantity.0,
                line.unit_price.0,
                line.amount().0,
                line.rate.0,
            ])?;
        }
        Ok(())
    }

    /// Every issued bill, by series and number; of one herd only where one is named.
    pub fn bills(&self, herd: Option<HerdId>) -> Result<Vec<Bill>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::BILLS)?;
        let mut rows = statement.query([])?;
        let mut bills = Vec::new();
        while let Some(row) = rows.next()? {
            let bill = self.bill_of(row)?;
            if herd.is_none_or(|herd| herd == bill.herd) {
                bills.push(bill);
            }
        }
        Ok(bills)
    }

    /// An issued bill.
    pub fn bill(&self, number: &BillNumber) -> Result<Option<Bill>, Fault> {
        let all = self.bills(None)?;
        Ok(all.into_iter().find(|bill| bill.number.as_ref() == Some(number)))
    }

    fn bill_of(&self, row: &Row<'_>) -> Result<Bill, Fault> {
        let number = BillNumber { series: row.get(0)?, number: row.get(1)? };
        let of: Option<String> = row.get(4)?;
        let of = of.map(|series| Ok::<_, Fault>(BillNumber { series, number: row.get(5)? }));
        let kind = match (row.get::<_, u8>(3)?, of.transpose()?) {
            (0, adds_to) => BillKind::Bill { adds_to },
            (_, Some(of)) => BillKind::Credit { of },
            (_, None) => return Err(Fault::Stored(format!("{number} credits no bill"))),
        };
        let (language, currency): (String, String) = (row.get(8)?, row.get(9)?);
        let wrong = |what: &str| Fault::Stored(format!("bill {number} has no {what} known here"));
        let lines = |at: usize| -> Result<Vec<String>, Fault> {
            Ok(row.get::<_, String>(at)?.lines().map(str::to_owned).collect())
        };
        Ok(Bill {
            kind,
            herd: HerdId(row.get(2)?),
            issued: Day(row.get(6)?),
            due: row.get::<_, Option<i32>>(7)?.map(Day),
            language: Language::from_code(&language).ok_or_else(|| wrong("language"))?,
            currency: Currency::from_code(&currency).ok_or_else(|| wrong("currency"))?,
            gross_prices: row.get(10)?,
            seller: lines(11)?,
            buyer: lines(12)?,
            farm: row.get(13)?,
            note: row.get(14)?,
            why: row.get(15)?,
            lines: self.bill_lines(&number)?,
            free: self.free_lines(&number)?,
            taxes: self.bill_taxes(&number)?,
            number: Some(number),
        })
    }

    fn bill_lines(&self, number: &BillNumber) -> Result<Vec<BillLine>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::BILL_LINES)?;
        let mut rows = statement.query((&number.series, number.number))?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            let item: String = row.get(1)?;
            lines.push(BillLine {
                day: Day(row.get(0)?),
                item: Item::from_key(&item)
                    .ok_or_else(|| Fault::Stored(format!("bill {number} has an item `{item}`")))?,
                words: row.get(2)?,
                quantity: row.get(3)?,
                unit_price: Money(row.get(4)?),
                rate: Rate(row.get(5)?),
            });
        }
        Ok(lines)
    }

    fn free_lines(&self, number: &BillNumber) -> Result<Vec<FreeLine>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::BILL_FREE_LINES)?;
        let lines = statement.query_map((&number.series, number.number), |row| {
            Ok(FreeLine {
                item: row.get(0)?,
                words: row.get(1)?,
                unit: row.get(2)?,
                quantity: Quantity(row.get(3)?),
                unit_price: Money(row.get(4)?),
                rate: Rate(row.get(5)?),
            })
        })?;
        Ok(lines.collect::<Result<_, _>>()?)
    }

    fn bill_taxes(&self, number: &BillNumber) -> Result<Vec<TaxLine>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::BILL_TAXES)?;
        let taxes = statement.query_map((&number.series, number.number), |row| {
            let (rate, net, tax) = (Rate(row.get(0)?), Money(row.get(1)?), Money(row.get(2)?));
            Ok(TaxLine { rate, net, tax })
        })?;
        Ok(taxes.collect::<Result<_, _>>()?)
    }

    /// Who issued a bill, when, and why with entries held.
    pub fn signed(&self, number: &BillNumber) -> Result<Option<Signed>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::BILL_WITH_HELD)?;
        let key = (&number.series, number.number);
        let despite = statement
            .query_row(key, |row| Ok(Despite { held: row.get(0)?, why: row.get(1)? }))
            .optional()?;
        let mut statement = self.conn.prepare_cached(queries::BILL_SIGNED)?;
        let signed = statement
            .query_row(key, |row| Ok(Signed { who: row.get(0)?, at_ms: row.get(1)?, despite }))
            .optional()?;
        Ok(signed)
    }
}

impl Database {
    /// Every issued bill, by series and number; of one herd only where one is named.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn bills(&self, herd: Option<HerdId>) -> Result<Vec<Bill>, DatabaseError> {
        self.read(|rows| rows.bills(herd))
    }

    /// An issued bill with who issued it and when; `None` if no bill has that number.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn bill(&self, number: &BillNumber) -> Result<Option<(Bill, Signed)>, DatabaseError> {
        self.read(|rows| {
            let (bill, signed) = (rows.bill(number)?, rows.signed(number)?);
            Ok(bill.zip(signed))
        })
    }
}
