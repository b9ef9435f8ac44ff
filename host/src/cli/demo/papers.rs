//! What a trimmer would take along: each farm's papers in a folder of its own, and the due list of
//! all farms beside them.
//!
//! ```text
//! due.{html,pdf,csv,ics}
//! larch-meadow/visit.{html,pdf}   the latest visit         farm.html      twelve months
//!              bill.{html,pdf}    a draft of that visit    vet.html       latest visit with referrals
//!              cow-N.html         the cow with most findings on the latest visit
//! ```

use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::Failure;
use crate::cli::due;
use crate::cli::folder::{Folder, name_of};
use hornrule_facts::{AnimalId, Day, Herd, Practice};
use hornrule_files::output;
use hornrule_herd::Database;
use hornrule_papers as papers;
use hornrule_papers::words::Words;
use hornrule_questions::bill::{Ask, BillError, PriceList, draft};
use hornrule_questions::cow::CowHistory;
use hornrule_questions::farm::FarmTrend;
use hornrule_questions::farm::year_through;
use hornrule_questions::vet::VetLetter;
use hornrule_questions::visit::CowLine;
use hornrule_questions::visit::{VisitReport, list_visits};

/// The price list of the bills.
const PRICES: &str = include_str!("../../../demo/prices.toml");

/// Where papers go.
pub(super) struct Papers<'a> {
    pub(super) folder: &'a Path,
    /// Whether what is for paper is written as PDF too.
    pub(super) pdf: bool,
}

impl Papers<'_> {
    /// Writes all of them, and says so.
    pub(super) fn write(&self, herd: &Database) -> Result<(), Failure> {
        let prices = self.folder.join("prices.toml");
        output::write(&prices, PRICES.as_bytes())?;
        let visits = list_visits(herd)?;
        for farm in herd.herds()? {
            // The newest stand first.
            let hers = visits.iter().filter(|(of, ..)| *of == farm.herd);
            let days: Vec<Day> = hers.map(|(_, day, _)| *day).collect();
            if let Some(latest) = days.first() {
                self.farm(herd, &farm, *latest, &days)?;
            }
        }
        match visits.first() {
            Some((_, latest, _)) => self.due(herd, *latest),
            None => Ok(()),
        }
    }

    fn farm(&self, herd: &Database, farm: &Herd, latest: Day, days: &[Day]) -> Result<(), Failure> {
        let path = self.folder.join(name_of(farm, &herd.herds()?));
        let mut folder = Folder::at(path, self.pdf)?;
        let words = Words::of(&farm.settings).with_trial_ways(herd.trial_ways()?);
        let paper = farm.settings.paper;
        let mut written = Vec::new();
        if let Some(visit) = VisitReport::gather(herd, farm.herd, latest)? {
            folder.page("visit", &papers::visit::page(&visit, &words, paper), true)?;
            written.push(format!("visit of {latest} ({} cows)", visit.cows.len()));
            if let Some(cow) = most_found(&visit)
                && let Some(history) = CowHistory::gather(herd, farm.herd, cow)?
            {
                let page = papers::cow::page(&history, &words, paper, latest);
                folder.page(&format!("cow-{}", cow.0), &page, false)?;
                written.push(format!("cow {}", cow.0));
            }
        }
        if let Some(trend) = FarmTrend::gather(herd, farm.herd, year_through(latest))? {
            folder.page("farm", &papers::farm::page(&trend, &words, paper), false)?;
            written.push("farm".to_owned());
        }
        for day in days {
            let Some(letter) = VetLetter::gather(herd, farm.herd, *day)? else { continue };
            if !letter.cows.is_empty() {
                // The demo's trimmer has no letterhead; `[practice]` in hornrule.toml is one.
                let page = papers::vet::page(&letter, &Practice::default(), &words, paper);
                folder.page("vet", &page, false)?;
                written.push(format!("vet letter of {day}"));
                break;
            }
        }
        let prices = PriceList::read(PRICES).map_err(|error| Failure::Said(error.to_string()))?;
        let ask = Ask::visit(farm.herd, latest);
        match draft(herd, &ask, (&prices, &crate::cli::bill::named)) {
            Ok(drafted) => {
                folder.page("bill", &papers::bill::page(&drafted.bill, &words, paper), true)?;
                written.push("bill (draft)".to_owned());
            }
            Err(BillError::Nothing { .. }) => {}
            Err(error) => return Err(error.into()),
        }
        println!("papers    {}: {}", folder.path().display(), written.join(", "));
        Ok(())
    }

    /// What is due in the next two weeks, from the evening of the latest visit on.
    fn due(&self, herd: &Database, day: Day) -> Result<(), Failure> {
        let mut folder = Folder::at(self.folder.to_owned(), self.pdf)?;
        let (lines, until) =
            due::papers(herd, day, evening(day)?, (&mut folder, &Practice::default()))?;
        let file = self.folder.join("due.html");
        println!("due       {}, .csv, .ics: {lines} until {until}", file.display());
        Ok(())
    }
}

/// The cow with most findings.
fn most_found(visit: &VisitReport) -> Option<AnimalId> {
    let found = |cow: &CowLine| cow.claws.iter().map(|one| one.found.len()).sum();
    // The last of equals; turned round, so that it is the first.
    visit.cows.iter().rev().max_by_key(|cow| -> usize { found(cow) }).map(|cow| cow.name.animal)
}

/// Six in the evening of a day.
fn evening(day: Day) -> Result<Timestamp, Failure> {
    let at = TimeZone::UTC.to_timestamp(day.date().at(18, 0, 0, 0));
    at.map_err(|error| Failure::Said(error.to_string()))
}
