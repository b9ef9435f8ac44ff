//! `hornrule bill paid`, `take-back`, `payments` and `reminders`: what came in and what is open.

use clap::Args;
use jiff::civil::Date;
use serde::Serialize;

use super::super::due::{first_farm, today};
use super::super::herd::chosen;
use super::super::paper::PaperOptions;
use super::super::{Desk, Failure, json};
use super::{SignOptions, number, said};
use hornrule_facts::bill::payment::standing;
use hornrule_facts::bill::{Bill, BillNumber, Currency, Money, NotedPayment};
use hornrule_facts::decimal::decimal;
use hornrule_facts::{Day, Language};
use hornrule_herd::Database;
use hornrule_papers::reminders::{self as page, TABLE};
use hornrule_questions::bill::account::reminders as overdue;
use hornrule_questions::bill::paid::{Paying, all_accounts, pay, take_back};
use hornrule_questions::bill::{Account, Paper};

/// Note that a bill was paid, or a part of it
///
/// Credit notes count against their bill. Nothing is erased: a slip is taken back with
/// `hornrule bill take-back`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill paid 2026-0001 --on 2026-04-02 --who Anna\n  \
                  hornrule bill paid 2026-0001 --amount 200.00 --who Anna")]
pub(super) struct PaidOptions {
    /// Number of the bill
    #[arg(value_name = "NUMBER", value_parser = number)]
    number: BillNumber,
    /// Day on which it came in [default: today]
    #[arg(long, value_name = "DATE")]
    on: Option<Date>,
    /// How much, like 200.00 [default: all that is open]
    #[arg(long, value_name = "AMOUNT")]
    amount: Option<String>,
    /// More than is open did come in
    #[arg(long, requires = "amount")]
    overpaid: bool,
    /// A remark
    #[arg(long, value_name = "TEXT", value_parser = said)]
    why: Option<String>,
    #[command(flatten)]
    sign: SignOptions,
}

/// Take a noted payment back; both stay on record
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule bill take-back 3 --who Anna --why \"was Birch Hill's\""
)]
pub(super) struct BackOptions {
    /// Number of the payment, from `hornrule bill payments`
    #[arg(value_name = "PAYMENT")]
    payment: i64,
    /// Reason
    #[arg(long, value_name = "TEXT", value_parser = said)]
    why: String,
    #[command(flatten)]
    sign: SignOptions,
}

/// List noted payments, those taken back among them
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill payments 2026-0001")]
pub(super) struct PaymentsOptions {
    /// Only of this bill
    #[arg(value_name = "NUMBER", value_parser = number)]
    number: Option<BillNumber>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// List overdue bills by farm, the oldest first
///
/// A bill is overdue from the day after its day to pay by, as long as anything is open on it.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill reminders\n  \
                  hornrule bill reminders --herd \"Alder Brook\" --pdf reminders.pdf")]
pub(super) struct RemindersOptions {
    /// Only this farm
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    #[command(flatten)]
    paper: PaperOptions,
}

pub(super) fn paid(options: &PaidOptions, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let bill = herd.bill(&options.number)?.map(|(bill, _)| bill);
    let bill = bill.ok_or_else(|| super::no_bill(&options.number))?;
    let today = day_at(&herd, &bill, desk)?;
    let amount = options.amount.as_deref();
    let paying = Paying {
        number: &options.number,
        amount: amount.map(|text| read(text, bill.currency)).transpose()?,
        on: options.on.map_or(today, Day::from_date),
        today,
        overpaid: options.overpaid,
    };
    let why = options.why.as_deref().unwrap_or_default();
    let by = (options.sign.who.as_str(), desk.clock().unix_ms(), why);
    let (noted, account) = pay(&mut herd, &paying, by)?;
    let amount = noted.payment.amount.shown(bill.currency, Language::English);
    let (payment, day) = (noted.number, noted.payment.day);
    println!(
        "payment   {payment}: {amount} {} for bill {} on {day}",
        bill.currency, options.number
    );
    tell(&account, bill.currency);
    Ok(())
}

pub(super) fn back(options: &BackOptions, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let by = (options.sign.who.as_str(), desk.clock().unix_ms(), options.why.as_str());
    let (noted, account) = take_back(&mut herd, options.payment, by)?;
    let bill = herd.bill(&noted.payment.bill)?.map(|(bill, _)| bill);
    let bill = bill.ok_or_else(|| super::no_bill(&noted.payment.bill))?;
    println!("payment   {} for bill {} is taken back", options.payment, noted.payment.bill);
    tell(&account, bill.currency);
    Ok(())
}

/// What is open on a bill with all that belongs to it.
fn tell(account: &Account, currency: Currency) {
    let shown = |money: Money| money.shown(currency, Language::English);
    let first = account.papers.first().and_then(|paper| paper.bill.number.as_ref());
    let number = first.map(ToString::to_string).unwrap_or_default();
    match account.open() {
        Money(0) => println!("open      nothing on bill {number}"),
        Money(open) if open < 0 => {
            println!("overpaid  {} {currency} on bill {number}", shown(Money(-open)));
        }
        open => println!("open      {} {currency} on bill {number}", shown(open)),
    }
}

/// "200.00".
fn read(text: &str, currency: Currency) -> Result<Money, Failure> {
    let amount = decimal(text.trim(), currency.digits()).filter(|amount| *amount > 0);
    amount.map(Money).ok_or_else(|| {
        let digits = currency.digits();
        Failure::Said(format!(
            "`{text}` is no amount in {currency}; write it like 200.00, with at most {digits} \
             decimals"
        ))
    })
}

fn day_at(herd: &Database, bill: &Bill, desk: &Desk) -> Result<Day, Failure> {
    let farm = herd.herds()?.into_iter().find(|farm| farm.herd == bill.herd);
    today(desk, farm.as_ref().map_or("UTC", |farm| farm.zone.as_str()))
}

#[derive(Serialize)]
struct PaymentRow {
    payment: i64,
    bill: String,
    day: String,
    amount: String,
    currency: String,
    who: String,
    why: String,
    takes_back: Option<i64>,
    stands: bool,
}

pub(super) fn payments(options: &PaymentsOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let (noted, bills) = (herd.payments()?, herd.bills(None)?);
    let stand: Vec<i64> = standing(&noted).map(|one| one.number).collect();
    let meant = |one: &&NotedPayment| {
        options.number.as_ref().is_none_or(|number| {
            let paid = bills.iter().find(|bill| bill.number.as_ref() == Some(&one.payment.bill));
            one.payment.bill == *number || paid.and_then(|bill| bill.kind.of()) == Some(number)
        })
    };
    let row = |one: &NotedPayment| {
        let payment = &one.payment;
        let bill = bills.iter().find(|bill| bill.number.as_ref() == Some(&payment.bill));
        let shown = |bill: &Bill| payment.amount.shown(bill.currency, Language::English);
        PaymentRow {
            payment: one.number,
            bill: payment.bill.to_string(),
            day: payment.day.to_string(),
            amount: bill.map(shown).unwrap_or_default(),
            currency: bill.map(|bill| bill.currency.to_string()).unwrap_or_default(),
            who: payment.who.clone(),
            why: payment.why.clone(),
            takes_back: one.takes_back,
            stands: stand.contains(&one.number),
        }
    };
    let rows: Vec<PaymentRow> = noted.iter().filter(meant).map(row).collect();
    if options.json {
        println!("{}", json(&rows)?);
        return Ok(());
    }
    if rows.is_empty() {
        println!("No payment is noted; `hornrule bill paid NUMBER --who NAME` notes one.");
    }
    for row in rows {
        let state = match row.takes_back {
            Some(other) => format!("  takes back {other}"),
            None if row.stands => String::new(),
            None => "  taken back".to_owned(),
        };
        let why = if row.why.is_empty() { String::new() } else { format!(": {}", row.why) };
        println!(
            "{:>4}  {:<12} {}  {:>12} {}  {}{why}{state}",
            row.payment, row.bill, row.day, row.amount, row.currency, row.who
        );
    }
    Ok(())
}

#[derive(Serialize)]
struct ReminderRow {
    farm: String,
    bill: String,
    issued: String,
    pay_by: Option<String>,
    overdue_days: u32,
    gross: String,
    paid_or_credited: String,
    open: String,
    currency: String,
}

#[derive(Serialize)]
struct Listed {
    day: String,
    overdue: Vec<ReminderRow>,
    /// Open, and no day to pay by is named on them.
    open_without_day: usize,
}

pub(super) fn reminders(options: &RemindersOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let of = options.herd.as_deref().map(|name| chosen(&herd, Some(name))).transpose()?;
    let first = match &of {
        Some(farm) => Some(farm.clone()),
        None => first_farm(&herd)?,
    };
    let day = today(desk, first.as_ref().map_or("UTC", |farm| farm.zone.as_str()))?;
    let meant = |paper: &Paper| of.as_ref().is_none_or(|farm| farm.herd == paper.bill.herd);
    let mut accounts = all_accounts(&herd)?;
    accounts.retain(|account| account.papers.first().is_some_and(meant));
    let listed = overdue(&accounts, day);
    let papers = accounts.iter().flat_map(|account| &account.papers);
    let without = papers.filter(|one| one.open > Money(0) && one.bill.due.is_none()).count();
    let settings = first.map(|farm| farm.settings).unwrap_or_default();
    let (words, sheet) = (options.paper.words(&settings), options.paper.paper(&settings));
    let made = page::page(&listed, without, day, &words, sheet);
    options.paper.deliver(&made, TABLE, || Listed {
        day: day.to_string(),
        overdue: listed.iter().map(|(paper, days)| reminder(paper, *days)).collect(),
        open_without_day: without,
    })
}

fn reminder(paper: &Paper, overdue_days: u32) -> ReminderRow {
    let bill = &paper.bill;
    let shown = |money: Money| money.shown(bill.currency, Language::English);
    ReminderRow {
        farm: bill.farm.clone(),
        bill: bill.number.as_ref().map(ToString::to_string).unwrap_or_default(),
        issued: bill.issued.to_string(),
        pay_by: bill.due.map(|day| day.to_string()),
        overdue_days,
        gross: shown(bill.gross()),
        paid_or_credited: shown(Money(bill.gross().0 - paper.open.0)),
        open: shown(paper.open),
        currency: bill.currency.to_string(),
    }
}
