//! `hornrule bill list`.

use clap::Args;
use serde::Serialize;

use super::super::due::today;
use super::super::herd::chosen;
use super::super::{Desk, Failure};
use hornrule_exchange::bill_row::kind;
use hornrule_facts::bill::Money;
use hornrule_facts::{Language, plain};
use hornrule_questions::bill::changed_since;
use hornrule_questions::bill::paid::all_accounts;

/// List issued bills: what is paid and open, and whether records have since changed
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill list --herd \"Alder Brook\"")]
pub(super) struct Options {
    /// Only this farm
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct ListRow {
    number: String,
    kind: &'static str,
    of: Option<String>,
    farm: String,
    issued: String,
    gross: String,
    currency: String,
    /// What is left to pay of this bill or supplement; none of a credit note, which counts against
    /// its bill.
    open: Option<String>,
    overdue_days: Option<u32>,
    #[serde(skip)]
    is_open: bool,
    /// Lines that are others now than what was issued; `bill credit` issues the difference.
    changed: usize,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let of = options.herd.as_deref().map(|name| chosen(&herd, Some(name))).transpose()?;
    let herds = herd.herds()?;
    let accounts = all_accounts(&herd)?;
    let mut rows = Vec::new();
    for bill in herd.bills(of.map(|farm| farm.herd))? {
        let Some(number) = &bill.number else { continue };
        let changed = if bill.kind.of().is_none() { changed_since(&herd, number)? } else { 0 };
        let papers = accounts.iter().flat_map(|account| &account.papers);
        let paper = papers.into_iter().find(|paper| paper.bill.number.as_ref() == Some(number));
        let zone = herds.iter().find(|farm| farm.herd == bill.herd);
        let today = today(desk, zone.map_or("UTC", |farm| farm.zone.as_str()))?;
        rows.push(ListRow {
            number: number.to_string(),
            kind: kind(&bill),
            of: bill.kind.of().map(ToString::to_string),
            farm: bill.farm.clone(),
            issued: bill.issued.to_string(),
            gross: bill.gross().shown(bill.currency, Language::English),
            currency: bill.currency.to_string(),
            open: paper.map(|paper| paper.open.shown(bill.currency, Language::English)),
            is_open: paper.is_some_and(|paper| paper.open > Money(0)),
            overdue_days: paper.and_then(|paper| paper.overdue(today)),
            changed,
        });
    }
    if options.json {
        println!("{}", super::super::json(&rows)?);
        return Ok(());
    }
    if rows.is_empty() {
        println!("No bill has been issued yet; `hornrule bill draft` shows a draft.");
    }
    for row in rows {
        let of = row.of.map_or_else(String::new, |of| format!("  to {of}"));
        let changed = match row.changed {
            0 => String::new(),
            _ => format!("  records have changed since: hornrule bill credit {}", row.number),
        };
        let open = match (&row.open, row.overdue_days) {
            (None, _) => String::new(),
            (Some(_), None) if !row.is_open => "  paid".to_owned(),
            (Some(open), None) => format!("  open {open}"),
            (Some(open), Some(days)) => {
                format!("  open {open}, {} overdue", plain::count(days as usize, "day", "days"))
            }
        };
        println!(
            "{:<12} {:<7} {}  {:<24} {:>12} {}{open}{of}{changed}",
            row.number, row.kind, row.issued, row.farm, row.gross, row.currency
        );
    }
    Ok(())
}
