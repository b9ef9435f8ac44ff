//! What a trimmer would take along: each farm's papers in a folder of its own, and the due list of
//! all farms beside them.
//!
//! ```text
//! due.{html,pdf,csv,ics}
//! larch-meadow/visit.{html,pdf}   the latest visit         farm.html      twelve months
//!              bill.{html,pdf}    a draft of that visit    vet.html       latest visit with referrals
//!              cow-N.html         the cow with most findings on the latest visit
//! ```

use std::fs;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::Failure;
use crate::cli::{due, paper};
use hornrule_facts::Practice;
use hornrule_facts::{AnimalId, Day, Herd};
use hornrule_herd::Database;
use hornrule_papers as papers;
use hornrule_papers::due::TABLE;
use hornrule_papers::page::Page;
use hornrule_papers::words::Words;
use hornrule_questions::bill::{Ask, BillError, PriceList, draft};
use hornrule_questions::cow::CowHistory;
use hornrule_questions::due::{Asking, DueList};
use hornrule_questions::farm::FarmTrend;
use hornrule_questions::farm::year_through;
use hornrule_questions::visit::CowLine;
use hornrule_questions::visit::{VisitReport, list_visits};

/// Days of the due list.
const AHEAD: u16 = 14;
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
        fs::write(&prices, PRICES).map_err(Failure::file(&prices))?;
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
        let folder = self.folder.join(farm.name.to_lowercase().replace(' ', "-"));
        fs::create_dir_all(&folder).map_err(Failure::file(&folder))?;
        let words = Words::of(&farm.settings).with_trial_ways(herd.trial_ways()?);
        let paper = farm.settings.paper;
        let mut written = Vec::new();
        if let Some(visit) = VisitReport::gather(herd, farm.herd, latest)? {
            self.put(&folder.join("visit"), &papers::visit::page(&visit, &words, paper), self.pdf)?;
            written.push(format!("visit of {latest} ({} cows)", visit.cows.len()));
            if let Some(cow) = most_found(&visit)
                && let Some(history) = CowHistory::gather(herd, farm.herd, cow)?
            {
                self.put(
                    &folder.join(format!("cow-{}", cow.0)),
                    &papers::cow::page(&history, &words, paper, latest),
                    false,
                )?;
                written.push(format!("cow {}", cow.0));
            }
        }
        if let Some(trend) = FarmTrend::gather(herd, farm.herd, year_through(latest))? {
            self.put(&folder.join("farm"), &papers::farm::page(&trend, &words, paper), false)?;
            written.push("farm".to_owned());
        }
        for day in days {
            let Some(visit) = VisitReport::gather(herd, farm.herd, *day)? else { continue };
            if !visit.vet.is_empty() {
                self.put(&folder.join("vet"), &papers::vet::page(&visit, &words, paper), false)?;
                written.push(format!("vet letter of {day}"));
                break;
            }
        }
        let prices = PriceList::read(PRICES).map_err(|error| Failure::Said(error.to_string()))?;
        let ask = Ask { herd: farm.herd, from: Some(latest), until: latest, issued: latest };
        match draft(herd, &ask, (&prices, &crate::cli::bill::named)) {
            Ok(drafted) => {
                self.put(
                    &folder.join("bill"),
                    &papers::bill::page(&drafted.bill, &words, paper),
                    self.pdf,
                )?;
                written.push("bill (draft)".to_owned());
            }
            Err(BillError::Nothing { .. }) => {}
            Err(error) => return Err(error.into()),
        }
        println!("papers    {}: {}", folder.display(), written.join(", "));
        Ok(())
    }

    /// What is due in the next two weeks, from the evening of the latest visit on.
    fn due(&self, herd: &Database, day: Day) -> Result<(), Failure> {
        let until = day.plus(AHEAD);
        let list = DueList::gather(herd, Asking { day, until, herd: None })?;
        let first = due::first_farm(herd)?.map(|farm| farm.settings).unwrap_or_default();
        let words = Words::of(&first).with_trial_ways(herd.trial_ways()?);
        let page = papers::due::page(&list, &words, first.paper, (None, &Practice::default()));
        let file = self.folder.join("due");
        self.put(&file, &page, self.pdf)?;
        let table = file.with_extension("csv");
        // A list without lines has no table, and an empty file says so.
        let rows = page.render_csv(TABLE).unwrap_or_default();
        fs::write(&table, rows).map_err(Failure::file(&table))?;
        let calendar = file.with_extension("ics");
        let entries = due::calendar(&list, &words, evening(day)?);
        fs::write(&calendar, entries).map_err(Failure::file(&calendar))?;
        let lines = list.lines.len();
        println!("due       {}, .csv, .ics: {lines} until {until}", html(&file).display());
        Ok(())
    }

    fn put(&self, file: &Path, page: &Page, pdf: bool) -> Result<(), Failure> {
        let html = html(file);
        fs::write(&html, page.render_html()).map_err(Failure::file(&html))?;
        if pdf {
            let sheet = file.with_extension("pdf");
            fs::write(&sheet, paper::pdf(page)?).map_err(Failure::file(&sheet))?;
        }
        Ok(())
    }
}

fn html(file: &Path) -> PathBuf {
    file.with_extension("html")
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
