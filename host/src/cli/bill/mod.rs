//! `hornrule bill`: what a farm pays, from the records and the price list.

mod list;
mod paid;

use std::path::PathBuf;

use clap::{Args, Subcommand};
use jiff::civil::Date;

use super::due::today;
use super::herd::chosen;
use super::paper::PaperOptions;
use super::text::note;
use super::{Desk, Failure};
use hornrule_exchange::bill_row::BillRow;
use hornrule_facts::bill::{Bill, BillNumber, Item, Quantity};
use hornrule_facts::{Day, FarmSettings, Language, Signed, plain};
use hornrule_files::input;
use hornrule_herd::Database;
use hornrule_papers::bill::{self as papers, TABLE};
use hornrule_papers::words::Words;
use hornrule_questions::bill::{Ask, Drafted, Extent, PriceList, Signer, credit, draft, issue};

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
  text = { en = \"Cow trimmed\", de = \"Kuh geschnitten\" }
  [line.travel]                        # any name, for --line travel 34
  price = \"0.55\"
  unit = \"km\"
  tax = \"standard\"
  [farm.\"Alder Brook\".item.cow]      # a farm's own price
  price = \"11.00\"
What has no price is not billed. Also: prices = \"gross\" where tax is in them, series, note. Texts,
units and the note may be given by language; the farm's language decides.";
/// The price list that is looked for beside the database.
const BESIDE: &str = "prices.toml";

/// Make and list bills: work from the records, times the price list
///
/// A draft follows the records; an issued bill never changes. If records are corrected later,
/// `credit` issues the difference. `paid` notes what came in; `reminders` lists what is overdue.
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
    List(list::Options),
    Show(ShowOptions),
    Paid(paid::PaidOptions),
    TakeBack(paid::BackOptions),
    Payments(paid::PaymentsOptions),
    Reminders(paid::RemindersOptions),
}

/// Where the price list is.
#[derive(Debug, Args)]
pub(super) struct PriceOptions {
    /// Price list [default: `prices.toml` beside the database]
    #[arg(long, value_name = "FILE")]
    pub(super) prices: Option<PathBuf>,
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
    /// A further line: a name from the price list and how much, such as `--line travel 34`; may be
    /// repeated
    #[arg(long, num_args = 2, value_names = ["NAME", "QUANTITY"])]
    line: Vec<String>,
    /// Bill the further lines alone, and no visit
    #[arg(long, requires = "line")]
    lines_only: bool,
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

/// Whether held entries keep it from being issued.
#[derive(Debug, Args)]
struct HeldOptions {
    /// Issue although entries of these visits are held, for this reason
    #[arg(long, value_name = "WHY", value_parser = said)]
    with_held: Option<String>,
}

/// Show what a bill would say now, without issuing it
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule bill draft --herd \"Alder Brook\" --until 2026-03-31\n  \
                  hornrule bill draft --line travel 34 --line hours 1.5"
)]
struct DraftOptions {
    #[command(flatten)]
    ask: AskOptions,
    #[command(flatten)]
    paper: PaperOptions,
}

/// Issue a bill under the next number; it never changes afterwards
///
/// Nothing is issued while entries of its visits are held: decide first (`hornrule review`), or give
/// a reason with --with-held.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule bill issue --herd \"Alder Brook\" --who Anna")]
struct IssueOptions {
    #[command(flatten)]
    ask: AskOptions,
    #[command(flatten)]
    sign: SignOptions,
    #[command(flatten)]
    held: HeldOptions,
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
    held: HeldOptions,
    #[command(flatten)]
    paper: PaperOptions,
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
            let drafted = draft(&herd, &ask, (&prices, &named))?;
            if drafted.held > 0 {
                eprintln!("hornrule: {}", of_held(drafted.held));
            }
            show(&herd, &drafted.bill, None, &options.paper)
        }
        Verb::Issue(options) => {
            let mut herd = desk.existing_database()?;
            let (ask, prices) = options.ask.read(&herd, desk)?;
            let signer = options.sign.signer(&options.held, desk);
            let Drafted { bill, .. } = issue(&mut herd, &ask, (&prices, &named), &signer)?;
            show_issued(&herd, &bill, &options.paper)
        }
        Verb::Credit(options) => credited(options, desk),
        Verb::List(options) => list::run(options, desk),
        Verb::Paid(options) => paid::paid(options, desk),
        Verb::TakeBack(options) => paid::back(options, desk),
        Verb::Payments(options) => paid::payments(options, desk),
        Verb::Reminders(options) => paid::reminders(options, desk),
        Verb::Show(options) => {
            let herd = desk.existing_database()?;
            let found = herd.bill(&options.number)?;
            let (bill, signed) = found.ok_or_else(|| no_bill(&options.number))?;
            show(&herd, &bill, Some(&signed), &options.paper)
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
    /// The file that is meant.
    pub(super) fn file(&self, desk: &Desk) -> PathBuf {
        self.prices.clone().unwrap_or_else(|| desk.db().with_file_name(BESIDE))
    }

    pub(super) fn read(&self, desk: &Desk) -> Result<PriceList, Failure> {
        let file = &self.file(desk);
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
    fn signer(&self, held: &HeldOptions, desk: &Desk) -> Signer {
        let with_held = held.with_held.clone();
        Signer { who: self.who.clone(), at_ms: desk.clock().unix_ms(), with_held }
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
        let free = self.line.chunks_exact(2).map(free).collect::<Result<_, _>>()?;
        let prices = self.prices.read(desk)?;
        let lines_only = self.lines_only;
        Ok((Ask { herd: farm.herd, from, until, issued, free, lines_only }, prices))
    }
}

/// "travel", "34".
fn free(words: &[String]) -> Result<(String, Quantity), Failure> {
    let [name, quantity] = words else {
        return Err(Failure::Said("a line is a name and a quantity: --line travel 34".to_owned()));
    };
    let read = Quantity::read(quantity).ok_or_else(|| {
        Failure::Said(format!(
            "`{quantity}` is no quantity for --line {name}; write it like 34 or 1.5, with at most \
             three decimals"
        ))
    })?;
    Ok((name.trim().to_owned(), read))
}

fn credited(options: &CreditOptions, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let (first, _) = herd.bill(&options.number)?.ok_or_else(|| no_bill(&options.number))?;
    let zone = herd.herds()?.into_iter().find(|one| one.herd == first.herd);
    let issued = today(desk, zone.as_ref().map_or("UTC", |one| one.zone.as_str()))?;
    let extent = if options.whole { Extent::Whole } else { Extent::Difference };
    let prices = options.prices.read(desk)?;
    let how = (extent, issued, options.why.as_str());
    let signer = options.sign.signer(&options.held, desk);
    let bill = credit(&mut herd, &options.number, how, (&prices, &named), &signer)?;
    show_issued(&herd, &bill, &options.paper)
}

/// "2 entries of these days are held ..."
fn of_held(held: usize) -> String {
    format!(
        "held and not counted on these days: {}; decide first (`hornrule review list --held`)",
        plain::count(held, "entry", "entries")
    )
}

/// Says the number before anything can go wrong with files, and again if it does.
fn show_issued(herd: &Database, bill: &Bill, paper: &PaperOptions) -> Result<(), Failure> {
    let Some(number) = &bill.number else { return show(herd, bill, None, paper) };
    if !paper.json {
        println!("issued    {number}");
    }
    let signed = herd.bill(number).map(|found| found.map(|(_, signed)| signed));
    let shown = signed.map_err(Failure::from);
    let shown = shown.and_then(|signed| show(herd, bill, signed.as_ref(), paper));
    shown.map_err(|source| Failure::issued(number, source))
}

/// In the language that it was issued in, unless another is asked for.
fn show(
    herd: &Database,
    bill: &Bill,
    signed: Option<&Signed>,
    paper: &PaperOptions,
) -> Result<(), Failure> {
    let settings = FarmSettings { language: bill.language, ..herd.farm_settings(bill.herd)? };
    let page = papers::page(bill, &paper.words(&settings), paper.paper(&settings));
    paper.deliver(&page, TABLE, || BillRow::of(bill).signed(signed))
}
