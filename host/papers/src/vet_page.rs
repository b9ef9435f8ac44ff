//! The letter to the vet: which cows are referred, and what is known of each.

use serde_json::{Value, json};

use super::due::{Urgency, Vet};
use super::page::{Block, Notice, Page, Table, Weight};
use super::visit::VisitReport;
use super::{json as values, terms, visit_cows};
use hornrule_facts::{Language, Paper};
use crate::words::{Say, Words};

impl VisitReport {
    /// The letter to the vet about the cows that this visit refers.
    #[must_use]
    pub fn vet_letter(&self, words: &Words, paper: Paper) -> Page {
        let title = words.say(Say::LetterTitle { farm: self.farm.as_str().into() });
        let mut page = Page::new(words, paper, title, self.day);
        page.subtitle = Some(words.long_date(self.day));
        if !self.settings.address.is_empty() {
            page.add(Block::Lines(self.settings.address.clone()));
        }
        if self.vet.is_empty() {
            page.para(words.say(Say::LetterNobody));
        } else {
            page.para(words.say(Say::LetterOpening));
        }
        for (urgency, weight, heading) in [
            (Urgency::Now, Weight::Now, Say::VisitVetNow),
            (Urgency::ToSee, Weight::Soon, Say::VisitVetToSee),
        ] {
            let hers: Vec<&Vet> = self.vet.iter().filter(|vet| vet.urgency == urgency).collect();
            if !hers.is_empty() {
                let lines = hers.into_iter().map(|vet| terms::vet_line(words, vet)).collect();
                page.add(Block::Notice(Notice { weight, heading: words.say(heading), lines }));
            }
        }
        self.referred(words, &mut page);
        page.heading(words.say(Say::HeadCautions));
        page.add(terms::cautions(words));
        page
    }

    fn referred(&self, words: &Words, page: &mut Page) {
        let cows = || self.cows.iter().filter(|cow| self.vet.iter().any(|v| v.name == cow.name));
        if cows().next().is_none() {
            return;
        }
        page.heading(words.say(Say::LetterFindings));
        let table = Table::new("referred", words.say(Say::AboutCows), visit_cows::columns(words));
        let mut table = table.grouped_by(words.say(Say::ColumnCow));
        for cow in cows() {
            visit_cows::titled(cow.name.to_string(), cow, words, &mut table);
        }
        page.add(Block::Table(table));
        page.note(words.say(Say::NoteCows));
        page.note(words.say(Say::LetterMedicines));
    }

    /// The letter for scripts.
    #[must_use]
    pub fn vet_letter_json(&self) -> Value {
        let words = Words::new(Language::English);
        let cows = self.cows.iter().filter(|cow| self.vet.iter().any(|v| v.name == cow.name));
        json!({
            "farm": self.farm,
            "day": self.day.date().to_string(),
            "vet": self.vet.iter().map(|one| values::vet(one, &words)).collect::<Vec<_>>(),
            "cows": cows.map(|one| values::cow(one, &words)).collect::<Vec<_>>(),
        })
    }
}
