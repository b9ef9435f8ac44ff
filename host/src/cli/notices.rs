//! What is to be looked at before the farm goes home, where the office first hears of it.

use serde::Serialize;

use super::Failure;
use super::herd::chosen;
use super::review::Filter;
use crate::office::PulledDay;
use hornrule_facts::{Day, plain};
use hornrule_herd::Database;
use hornrule_questions::notices::after_pull;
use hornrule_questions::visit::{VisitReport, list_visits};

/// A visit with something to look at.
#[derive(Serialize)]
pub(super) struct LookAgain {
    herd: String,
    day: String,
    notices: usize,
}

impl LookAgain {
    pub(super) fn of(herd: &str, day: Day, notices: usize) -> Self {
        Self { herd: herd.to_owned(), day: day.to_string(), notices }
    }

    /// How many, and where to read them. The second line is the command.
    pub(super) fn told(&self) -> String {
        let Self { herd, day, notices } = self;
        let things = plain::count(*notices, "thing", "things");
        format!(
            "look      {herd}, {day}: {things} to look at before the farm goes home:\n          \
             hornrule report office --herd \"{herd}\" --day {day}\n"
        )
    }
}

/// Of the latest day in the chute, or of the farm and day that a filter names.
pub(super) fn of_latest(herd: &Database, filter: &Filter) -> Result<Vec<LookAgain>, Failure> {
    let named = filter.herd.as_deref().map(|name| chosen(herd, Some(name))).transpose()?;
    let mut visits = list_visits(herd)?;
    visits.retain(|(of, day, _)| {
        named.as_ref().is_none_or(|named| named.herd == *of)
            && filter.day.is_none_or(|asked| day.date() == asked)
    });
    let latest = visits.first().map(|(_, day, _)| *day);
    let mut seen = Vec::new();
    for (of, day, _) in visits.into_iter().filter(|(_, day, _)| Some(*day) == latest) {
        let Some(report) = VisitReport::gather(herd, of, day)? else { continue };
        if !report.notices.is_empty() {
            seen.push(LookAgain::of(&report.farm, day, report.notices.len()));
        }
    }
    Ok(seen)
}

/// Of the visits that a pull brought.
pub(super) fn of_pull(herd: &Database, day: &PulledDay) -> Result<Vec<LookAgain>, Failure> {
    if day.stored.new == 0 {
        return Ok(Vec::new());
    }
    let hello = &day.pulled.hello;
    let seen = after_pull(herd, (hello.device, hello.log), day.intake.from)?;
    Ok(seen.iter().map(|(farm, day, all)| LookAgain::of(farm, *day, all.len())).collect())
}
