//! The letter to the vet: which cows are referred, and what is known of each.

use serde_json::{Value, json};

use super::page::{Block, Page, Table};
use super::{terms, visit};
use crate::words::{Say, Words};
use hornrule_facts::{Language, Paper};
use hornrule_questions::visit::VisitReport;

/// The letter to the vet about the cows that this visit refers.
#[must_use]
pub fn page(report: &VisitReport, words: &Words, paper: Paper) -> Page {
    let title = words.say(Say::LetterTitle { farm: report.farm.as_str().into() });
    let mut page = Page::new(words, paper, title, report.day);
    page.subtitle = Some(words.long_date(report.day));
    if !report.settings.address.is_empty() {
        page.add(Block::Lines(report.settings.address.clone()));
    }
    if report.vet.is_empty() {
        page.para(words.say(Say::LetterNobody));
    } else {
        page.para(words.say(Say::LetterOpening));
    }
    terms::vet_notices(&report.vet, words, &mut page);
    referred(report, words, &mut page);
    page.heading(words.say(Say::HeadCautions));
    page.add(terms::cautions(words));
    page
}

fn referred(report: &VisitReport, words: &Words, page: &mut Page) {
    let cows = || report.cows.iter().filter(|cow| report.vet.iter().any(|v| v.name == cow.name));
    if cows().next().is_none() {
        return;
    }
    page.heading(words.say(Say::LetterFindings));
    let table = Table::new("referred", words.say(Say::AboutCows), visit::columns(words));
    let mut table = table.grouped_by(words.say(Say::ColumnCow));
    for cow in cows() {
        visit::titled(cow.name.to_string(), cow, words, &mut table);
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteCows));
    page.note(words.say(Say::LetterMedicines));
}

/// The letter for scripts.
#[must_use]
pub fn json(report: &VisitReport) -> Value {
    let words = Words::new(Language::English);
    let cows = report.cows.iter().filter(|cow| report.vet.iter().any(|v| v.name == cow.name));
    json!({
        "farm": report.farm,
        "day": report.day.date().to_string(),
        "vet": report.vet.iter().map(|one| visit::vet_json(one, &words)).collect::<Vec<_>>(),
        "cows": cows.map(|one| visit::cow_json(one, &words)).collect::<Vec<_>>(),
    })
}
