//! A visit's page for the office: what to look at before the farm goes home, what is held or doubted,
//! how far lengths and times can be trusted, and which settings are missing. The farmer's page has
//! none of it.

mod json;
mod notices;
mod remarks;
mod trust;

pub use json::json;
pub(crate) use json::{notice as notice_json, remark as remark_json};

use crate::page::{Block, Column, Page, Table};
use crate::words::{Say, Words};
use hornrule_facts::{Paper, Practice};
use hornrule_questions::notices::MATURE_HOLSTEIN;
use hornrule_questions::visit::VisitReport;

/// The page, in the language, unit and paper given. `practice` is who trims, as far as it is known.
#[must_use]
pub fn page(report: &VisitReport, practice: &Practice, words: &Words, paper: Paper) -> Page {
    let title = words.say(Say::OfficeTitle { farm: report.farm.as_str().into() });
    let mut page = Page::new(words, paper, title, report.day);
    page.subtitle = Some(subtitle(report, words));
    notices::notices(report, words, &mut page);
    remarks::remarks(report, words, &mut page);
    trust::gauges(report, words, &mut page);
    trust::clock(report, words, &mut page);
    page.heading(words.say(Say::HeadMissing));
    let missing = missing(report, practice, words);
    if missing.is_empty() {
        page.para(words.say(Say::MissingNone));
    } else {
        page.add(Block::List(missing));
    }
    page.beside.push(lines(&page, words));
    page
}

/// The table of everything, for a spreadsheet.
pub const LINES: &str = "office";

/// Each line of a notice, under what it is.
fn lines(page: &Page, words: &Words) -> Table {
    let columns = vec![Column::text(words.say(Say::ColumnWhy), 1)];
    let about = words.say(Say::HeadBeforeHome);
    let mut table = Table::new(LINES, about, columns).grouped_by(words.say(Say::ColumnWhat));
    for block in &page.blocks {
        if let Block::Notice(notice) = block {
            table.section(notice.heading.clone());
            notice.lines.iter().for_each(|line| table.row([line.as_str()]));
        }
    }
    table
}

fn subtitle(report: &VisitReport, words: &Words) -> String {
    let date = words.long_date(report.day);
    if report.handhelds.is_empty() {
        return date;
    }
    let handhelds: Vec<String> =
        report.handhelds.iter().map(|device| format!("{:016x}", device.0)).collect();
    words.say(Say::VisitRecordedBy { date: date.into(), handhelds: handhelds.join(", ").into() })
}

/// What nobody has set yet, each with the command for it.
fn missing(report: &VisitReport, practice: &Practice, words: &Words) -> Vec<String> {
    let settings = &report.settings;
    let target = || words.length_with_unit(MATURE_HOLSTEIN).into();
    let all = [
        (practice.name.is_empty() || practice.phone.is_empty()).then_some(Say::MissingPractice),
        settings.address.is_empty().then_some(Say::MissingAddress),
        settings.vet.is_empty().then_some(Say::MissingVet),
        settings.target.is_none().then(|| Say::MissingTarget { target: target() }),
    ];
    all.into_iter().flatten().map(|say| words.say(say)).collect()
}
