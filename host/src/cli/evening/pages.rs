//! What an evening puts on paper.

use std::path::{Path, PathBuf};

use jiff::Timestamp;

use super::super::bill::{PriceOptions, named};
use super::super::folder::{Folder, name_of};
use super::super::report::{Visit, gather};
use super::super::{Desk, Failure, due};
use hornrule_facts::bill::Bill;
use hornrule_facts::{Day, FarmSettings, Herd, Language, Practice, plain};
use hornrule_herd::Database;
use hornrule_papers as papers;
use hornrule_papers::words::Words;
use hornrule_questions::bill::{Ask, BillError, PriceList, draft};
use hornrule_questions::vet::VetLetter;

/// A draft that is left to be issued.
pub(super) struct Draft {
    farm: String,
    /// Entries of its visits that are held.
    pub(super) held: usize,
    /// The file that it is in, and that the bill is to replace.
    file: PathBuf,
    pdf: bool,
}

impl Draft {
    /// The command that issues it.
    pub(super) fn command(&self, day: Day) -> String {
        let Self { farm, file, pdf, .. } = self;
        let option = if *pdf { "--pdf" } else { "--html" };
        format!(
            "hornrule bill issue --herd \"{farm}\" --until {day} --who NAME {option} \"{}\"",
            file.display()
        )
    }
}

/// Where an evening's papers go.
pub(super) struct Papers<'a> {
    pub(super) herd: &'a Database,
    pub(super) herds: &'a [Herd],
    pub(super) out: &'a Path,
    pub(super) pdf: bool,
    /// Whose phone number is on the sheets.
    pub(super) practice: &'a Practice,
}

impl Papers<'_> {
    fn farm(&self, visit: &Visit) -> Result<&Herd, Failure> {
        let found = self.herds.iter().find(|farm| farm.herd == visit.herd);
        found.ok_or_else(|| Failure::Said(format!("{} is no longer a herd", visit.name)))
    }

    fn folder(&self, farm: &Herd) -> Result<Folder, Failure> {
        Folder::at(self.out.join(name_of(farm, self.herds)), self.pdf)
    }

    /// Visit and letter of a farm.
    pub(super) fn visit(&self, visit: &Visit) -> Result<(), Failure> {
        let farm = self.farm(visit)?;
        let mut folder = self.folder(farm)?;
        let report = gather(self.herd, visit)?;
        let words = Words::of(&farm.settings).with_trial_ways(self.herd.trial_ways()?);
        let sheet = farm.settings.paper;
        folder.page("visit", &papers::visit::page(&report, &words, sheet), true)?;
        let mut what = format!("visit, {}", plain::count(visit.cows as usize, "cow", "cows"));
        if !report.vet.is_empty()
            && let Some(letter) = VetLetter::gather(self.herd, visit.herd, visit.day)?
        {
            folder.page("vet", &papers::vet::page(&letter, self.practice, &words, sheet), true)?;
            what += &format!("; letter to the vet, {} referred", report.vet.len());
        }
        tell("page", &farm.name, &what, &folder);
        // Not among the farm's own papers: it is not for the farmer.
        let mut ours = Folder::at(self.out.to_owned(), self.pdf)?;
        let name = format!("office-{}", name_of(farm, self.herds));
        ours.page(&name, &papers::office::page(&report, self.practice, &words, sheet), true)?;
        let look = match report.notices.len() {
            0 => "nothing to look at again".to_owned(),
            n => plain::count(n, "thing to look at again", "things to look at again"),
        };
        tell("office", &farm.name, &look, &ours);
        if report.vet.is_empty() && folder.path().join("vet.html").exists() {
            println!(
                "          the letter to the vet there is of an earlier run: none is needed now"
            );
        }
        Ok(())
    }

    /// The due sheet of all farms, made at a time.
    pub(super) fn due(&self, day: Day, stamp: Timestamp) -> Result<(), Failure> {
        let mut folder = Folder::at(self.out.to_owned(), self.pdf)?;
        let (lines, until) = due::papers(self.herd, day, stamp, (&mut folder, self.practice))?;
        tell("due", "all farms", &format!("{lines} until {until}"), &folder);
        Ok(())
    }

    /// A draft for a farm, or the bill that the visit is on. Gives what is left to issue.
    pub(super) fn bill(&self, visit: &Visit, prices: &PriceList) -> Result<Option<Draft>, Failure> {
        let farm = self.farm(visit)?;
        let ask = Ask { from: None, ..Ask::visit(farm.herd, visit.day) };
        let drafted = match draft(self.herd, &ask, (prices, &named)) {
            Ok(drafted) => drafted,
            Err(BillError::Nothing { .. }) => {
                return self.issued(farm, visit).map(|()| None);
            }
            Err(error) => return Err(error.into()),
        };
        let bill = &drafted.bill;
        let gross = bill.gross().shown(bill.currency, Language::English);
        self.put_bill(farm, bill, &format!("draft, {gross} {}", bill.currency))?;
        let file = self.out.join(name_of(farm, self.herds)).join("bill");
        let file = file.with_extension(if self.pdf { "pdf" } else { "html" });
        Ok(Some(Draft { farm: farm.name.clone(), held: drafted.held, file, pdf: self.pdf }))
    }

    /// The last bill that the visit is on, in the draft's place.
    fn issued(&self, farm: &Herd, visit: &Visit) -> Result<(), Failure> {
        let bills = self.herd.bills(Some(visit.herd))?;
        let on = bills.iter().rfind(|bill| {
            bill.kind.of().is_none() && bill.lines.iter().any(|line| line.day == visit.day)
        });
        let Some((bill, number)) = on.and_then(|bill| bill.number.as_ref().map(|n| (bill, n)))
        else {
            println!("bill      {}: nothing done there has a price", farm.name);
            return Ok(());
        };
        self.put_bill(farm, bill, &format!("issued as {number}"))
    }

    /// In the language that it was issued in, or is to be.
    fn put_bill(&self, farm: &Herd, bill: &Bill, what: &str) -> Result<(), Failure> {
        let settings = FarmSettings { language: bill.language, ..farm.settings.clone() };
        let page = papers::bill::page(bill, &Words::of(&settings), settings.paper);
        let mut folder = self.folder(farm)?;
        folder.page("bill", &page, true)?;
        tell("bill", &farm.name, what, &folder);
        Ok(())
    }
}

/// The price list; `None` where there is none.
pub(super) fn prices(options: &PriceOptions, desk: &Desk) -> Result<Option<PriceList>, Failure> {
    if options.prices.is_none() && !options.file(desk).exists() {
        return Ok(None);
    }
    options.read(desk).map(Some)
}

/// Where papers go if nobody says: beside the database.
pub(super) fn usual(desk: &Desk, day: Day) -> PathBuf {
    desk.db().with_file_name(format!("evening-{day}"))
}

fn tell(word: &str, farm: &str, what: &str, folder: &Folder) {
    let count = |files: u32| plain::count(files as usize, "file", "files");
    let state = match (folder.written, folder.as_before) {
        (0, _) => "as before".to_owned(),
        (written, 0) => count(written),
        (written, same) => format!("{}, {same} as before", count(written)),
    };
    println!("{word:<9} {farm}: {what} ({}: {state})", folder.path().display());
}
