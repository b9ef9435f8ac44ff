//! `hornrule bill`: what a farm pays, from the records and the price list.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use jiff::civil::Date;
use serde::Serialize;

use super::due::today;
use super::herd::chosen;
use super::paper::PaperOptions;
use super::text::note;
use super::{Desk, Failure};
use hornrule_exchange::bill_row::{BillRow, kind};
use hornrule_facts::bill::{Bill, BillNumber, Item};
use hornrule_facts::{Day, FarmSettings, Language, Signed};
use hornrule_files::input;
use hornrule_herd::Database;
use hornrule_papers::bill::{self as papers, TABLE};
use hornrule_papers::words::Words;
use hornrule_questions::bill::office::{Drafted, Extent, changed_since};
use hornrule_questions::bill::{Ask, PriceList, credit, draft, issue};

/// For the end of `--help`.
const PRICE_LIST: &str = "A price list, prices.toml beside the database:
  currency = \"EUR\"
  pay-within = 14                      # days
  seller = [\"Hoof & Horn\", \"Mill Lane 4\"]
  [tax]
  standard = 19                        # per cent
  [item.cow]                           # also: call-out, cow-seen, block, block-off, wrap
  price = \"12.50\"
  tax = \"standard\"
  [farm.\"Alder Brook\".item.cow]      # a farm's own price
  price = \"11.00\"
What has no price is not billed. Also: prices = \"gross\" where tax is in them, series, note, and a
text for an item.";
/// The price list that is looked for beside the database.
const BESIDE: &str = "prices.toml";

/// Make and list bills: work from the records, times the price list
///
/// A draft follows the records; an issued bill never changes. If records are corrected later,
/// `credit` issues the difference.
#[derive(Debug, Args)]
#[command(after_help = PRICE_LIST)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    Draft(DraftOptions),
    Issue(IssueOptions),
    Credit(CreditOptions),
    List(ListOptions),
    Show(ShowOptions),
}

/// Where the price list is.
#[derive(Debug, Args)]
struct PriceOptions {
    /// Price list [default: `prices.toml` beside the database]
    #[arg(long, value_name = "FILE")]
    prices: Option<PathBuf>,
}

/// What is to be billed.
#[derive(Debug, Args)]
struct AskOptions {
    /// Farm's name; needed if there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// First day to bill
    #[arg(long, value_name = "DATE")]
    from: Option<Date>,
    /// Last day to bill [default: today]
    #[arg(long, value_name = "DATE")]
    until: Option<Date>,
    #[command(flatten)]
    prices: PriceOptions,
}

/// Who signs.
#[derive(Debug, Args)]
struct SignOptions {
    /// Name of the person who issues it
    #[arg(long, value_name = "NAME", value_parser = said)]
    who: String,
}

/// Show what a bill would say now, without issuing it
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill draft --herd \"Alder Brook\" --until 2026-03-31")]
struct DraftOptions {
    #[command(flatten)]
    ask: AskOptions,
    #[command(flatten)]
    paper: PaperOptions,
}

/// Issue a bill under the next number; it never changes afterwards
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill issue --herd \"Alder Brook\" --who Anna")]
struct IssueOptions {
    #[command(flatten)]
    ask: AskOptions,
    #[command(flatten)]
    sign: SignOptions,
    #[command(flatten)]
    paper: PaperOptions,
}

/// Issue the difference between a bill and the records as they are now
///
/// This is a credit note, or a further bill if more is due. `--whole` takes the whole bill back;
/// its visits can then be billed again.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule bill credit 2026-0001 --who Anna --why \"cow 291 was 219\""
)]
struct CreditOptions {
    /// Number of the bill
    #[arg(value_name = "NUMBER", value_parser = number)]
    number: BillNumber,
    /// Take the whole bill back
    #[arg(long)]
    whole: bool,
    /// Reason, printed on the credit note
    #[arg(long, value_name = "TEXT", value_parser = said)]
    why: String,
    #[command(flatten)]
    prices: PriceOptions,
    #[command(flatten)]
    sign: SignOptions,
    #[command(flatten)]
    paper: PaperOptions,
}

/// List issued bills, and mark those whose records have since changed
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill list --herd \"Alder Brook\"")]
struct ListOptions {
    /// Only this farm
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// Show an issued bill as it was issued
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill show 2026-0001 --pdf bill.pdf")]
struct ShowOptions {
    /// Number of the bill
    #[arg(value_name = "NUMBER", value_parser = number)]
    number: BillNumber,
    #[command(flatten)]
    paper: PaperOptions,
}

fn number(text: &str) -> Result<BillNumber, String> {
    BillNumber::read(text).ok_or_else(|| format!("`{text}` is no bill's number like 2026-0001"))
}

fn said(text: &str) -> Result<String, String> {
    let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let text = note(&text)?;
    if text.is_empty() { Err("say it in a word or more".to_owned()) } else { Ok(text) }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Verb::Draft(options) => {
            let herd = desk.existing_database()?;
            let (ask, prices) = options.ask.read(&herd, desk)?;
            show_drafted(&herd, &draft(&herd, &ask, (&prices, &named))?, None, &options.paper)
        }
        Verb::Issue(options) => {
            let mut herd = desk.existing_database()?;
            let (ask, prices) = options.ask.read(&herd, desk)?;
            let signed = options.sign.signed(desk);
            let issued = issue(&mut herd, &ask, (&prices, &named), &signed)?;
            show_drafted(&herd, &issued, Some(&options.sign.who), &options.paper)
        }
        Verb::Credit(options) => credited(options, desk),
        Verb::List(options) => list(options, desk),
        Verb::Show(options) => {
            let herd = desk.existing_database()?;
            let found = herd.bill(&options.number)?;
            let (bill, signed) = found.ok_or_else(|| no_bill(&options.number))?;
            show(&herd, &bill, Some(&signed.who), &options.paper)
        }
    }
}

/// What an item is called where the price list does not say.
pub(super) fn named(language: Language, item: Item) -> String {
    papers::item(&Words::new(language), item)
}

fn no_bill(number: &BillNumber) -> Failure {
    hornrule_questions::bill::BillError::NoBill { number: number.clone() }.into()
}

impl PriceOptions {
    fn read(&self, desk: &Desk) -> Result<PriceList, Failure> {
        let beside = desk.db().with_file_name(BESIDE);
        let file = self.prices.as_ref().unwrap_or(&beside);
        let wrong = |why: String| Failure::Config { file: file.clone(), why };
        let text = input::text(file, input::BY_HAND).map_err(|error| match error {
            error if error.is_missing() => wrong(
                "there is no price list; write one (`hornrule bill --help` shows it), or name it \
                 with --prices"
                    .to_owned(),
            ),
            error => error.into(),
        })?;
        PriceList::read(&text).map_err(|error| wrong(error.to_string()))
    }
}

impl SignOptions {
    fn signed(&self, desk: &Desk) -> Signed {
        Signed { who: self.who.clone(), at_ms: desk.clock().unix_ms() }
    }
}

impl AskOptions {
    fn read(&self, herd: &Database, desk: &Desk) -> Result<(Ask, PriceList), Failure> {
        let farm = chosen(herd, self.herd.as_deref())?;
        let issued = today(desk, &farm.zone)?;
        let from = self.from.map(Day::from_date);
        let until = self.until.map_or(issued, Day::from_date);
        if from.is_some_and(|from| from > until) {
            return Err(Failure::Said(format!("--until {until} is before --from; swap them")));
        }
        let prices = self.prices.read(desk)?;
        Ok((Ask { herd: farm.herd, from, until, issued }, prices))
    }
}

fn credited(options: &CreditOptions, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let (first, _) = herd.bill(&options.number)?.ok_or_else(|| no_bill(&options.number))?;
    let zone = herd.herds()?.into_iter().find(|one| one.herd == first.herd);
    let issued = today(desk, zone.as_ref().map_or("UTC", |one| one.zone.as_str()))?;
    let extent = if options.whole { Extent::Whole } else { Extent::Difference };
    let prices = options.prices.read(desk)?;
    let how = (extent, issued, options.why.as_str());
    let bill =
        credit(&mut herd, &options.number, how, (&prices, &named), &options.sign.signed(desk))?;
    show(&herd, &bill, Some(&options.sign.who), &options.paper)
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
    /// Lines that are others now than what was issued; `bill credit` issues the difference.
    changed: usize,
}

fn list(options: &ListOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let of = options.herd.as_deref().map(|name| chosen(&herd, Some(name))).transpose()?;
    let mut rows = Vec::new();
    for bill in herd.bills(of.map(|farm| farm.herd))? {
        let Some(number) = &bill.number else { continue };
        let changed = if bill.kind.of().is_none() { changed_since(&herd, number)? } else { 0 };
        rows.push(ListRow {
            number: number.to_string(),
            kind: kind(&bill),
            of: bill.kind.of().map(ToString::to_string),
            farm: bill.farm.clone(),
            issued: bill.issued.to_string(),
            gross: bill.gross().shown(bill.currency, Language::English),
            currency: bill.currency.to_string(),
            changed,
        });
    }
    if options.json {
        println!("{}", super::json(&rows)?);
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
        println!(
            "{:<12} {:<7} {}  {:<24} {:>12} {}{of}{changed}",
            row.number, row.kind, row.issued, row.farm, row.gross, row.currency
        );
    }
    Ok(())
}

fn show_drafted(
    herd: &Database,
    drafted: &Drafted,
    by: Option<&str>,
    paper: &PaperOptions,
) -> Result<(), Failure> {
    if drafted.held > 0 {
        eprintln!(
            "hornrule: entries of these days are held and not counted: {}; decide first \
             (`hornrule review list`)",
            drafted.held
        );
    }
    show(herd, &drafted.bill, by, paper)
}

/// In the language that it was issued in, unless another is asked for.
fn show(
    herd: &Database,
    bill: &Bill,
    by: Option<&str>,
    paper: &PaperOptions,
) -> Result<(), Failure> {
    let settings = FarmSettings { language: bill.language, ..herd.farm_settings(bill.herd)? };
    let page = papers::page(bill, &paper.words(&settings), paper.paper(&settings));
    paper.deliver(&page, TABLE, || BillRow::of(bill).by(by))
}
