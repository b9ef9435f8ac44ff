//! A visit as a page.

mod cows;
mod day;
mod json;
mod lengths;
mod next;
mod signs;

pub use cows::EVERY_FOOT;
pub(crate) use cows::{columns, titled};
pub use json::json;
pub(crate) use json::{
    case as case_json, cow as cow_json, due as due_json, gauge as gauge_json, of_cow,
    place as place_json, vet as vet_json,
};

use crate::claw_figure;
use crate::page::{Block, Column, Figure, Notice, Page, Table, Weight, Width};
use crate::svg::{self, Bar};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_insight::{estimate::Level, proportion};
use hornrule_questions::notices::Noticed;
use hornrule_questions::visit::VisitReport;
use hornrule_questions::visit::due::Urgency;

/// As text for a terminal, as the farm wants its papers.
#[must_use]
pub fn render_terminal(report: &VisitReport) -> String {
    own_page(report).render_terminal()
}

/// As one HTML file, as the farm wants its papers.
#[must_use]
pub fn render_html(report: &VisitReport) -> String {
    own_page(report).render_html()
}

fn own_page(report: &VisitReport) -> Page {
    page(report, &Words::of(&report.settings), report.settings.paper)
}

/// The report as a page, in the language, unit and paper given.
#[must_use]
pub fn page(report: &VisitReport, words: &Words, paper: hornrule_facts::Paper) -> Page {
    let title = words.say(Say::VisitTitle { farm: report.farm.as_str().into() });
    let mut page = Page::new(words, paper, title, report.day);
    page.subtitle = Some(words.long_date(report.day));
    vet(report, words, &mut page);
    day::day(report, words, &mut page);
    next::next(report, words, &mut page);
    lesions(report, words, &mut page);
    signs::signs(report, words, &mut page);
    earlier(report, words, &mut page);
    cows::cows(report, words, &mut page);
    lengths::lengths(report, words, &mut page);
    page.heading(words.say(Say::HeadCautions));
    // Who is to call now has read when to call.
    let said = report.vet.iter().any(|vet| vet.urgency == Urgency::Now);
    page.add(if said { terms::cautions_but_the_vet(words) } else { terms::cautions(words) });
    page
}

fn vet(report: &VisitReport, words: &Words, page: &mut Page) {
    terms::vet_notices(&report.vet, words, page);
    if report.vet.is_empty() {
        page.para(words.say(Say::VisitVetNone));
    } else if report.vet.iter().any(|vet| vet.urgency == Urgency::Now) {
        page.para(format!("{} {}", words.say(Say::HeadCautionVet), words.say(Say::CautionVet)));
    }
    blocks_on_lesions(report, words, page);
}

/// A block that may press on the lesion: a caution for the animal, and the farmer sees her first.
fn blocks_on_lesions(report: &VisitReport, words: &Words, page: &mut Page) {
    let lines = report.notices.iter().filter_map(|one| match &one.what {
        Noticed::BlockOnLesion { case, .. } => Some(words.say(Say::BlockOnLesionLine {
            cow: one.name.to_string().into(),
            place: words.place(one.place).into(),
            lesion: terms::lesion(words, case.lesion).into(),
        })),
        _ => None,
    });
    let (weight, lines): (_, Vec<String>) = (Weight::Soon, lines.collect());
    if !lines.is_empty() {
        let heading = words.say(Say::BlockOnLesion);
        page.add(Block::Notice(Notice { weight, heading, lines }));
    }
}

fn lesions(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadLesions));
    if report.lesions.is_empty() {
        page.para(words.say(Say::LesionsNone));
        return;
    }
    let columns = vec![
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::number(words.say(Say::ColumnCows)),
        Column::number(words.say(Say::ColumnClawsOrFeet)),
        Column::number(words.say(Say::ColumnNew)),
        Column::number(words.say(Say::ColumnOpen)),
        Column::text(words.say(Say::ColumnHowBad), 4),
    ];
    let mut table = Table::new("lesions", words.say(Say::AboutLesions), columns);
    for line in &report.lesions {
        let grades: Vec<String> = line
            .grades
            .iter()
            .map(|(digit, count)| {
                format!("{count} {}", words.grade(line.lesion, *digit).unwrap_or_default())
            })
            .collect();
        table.row([
            terms::lesion(words, line.lesion),
            line.cows.to_string(),
            terms::places(words, line),
            line.new.to_string(),
            line.open.to_string(),
            grades.join(", "),
        ]);
    }
    page.add(Block::Table(table));
    let mut figures = vec![claw_figure::for_report(&report.spots, words)];
    figures.extend(shares(report, words));
    page.add(Block::Figures(figures));
}

/// This visit's share of cows with a lesion below those of earlier ones; `None` without any.
fn shares(report: &VisitReport, words: &Words) -> Option<Figure> {
    if report.earlier.is_empty() {
        return None;
    }
    let before = report.earlier.iter().rev().map(|one| (one.day, one.classes));
    let now = (report.day, report.summary.classes);
    let mut bars = Vec::new();
    let mut lines = Vec::new();
    for (day, classes) in before.chain([now]) {
        let (cases, of) = (classes.with_lesion(), classes.of());
        let Ok(count) = proportion::Count::new(cases as u64, of as u64) else { continue };
        let estimate = proportion::wilson(count, Level::P95);
        lines.push(words.say(Say::VisitShare {
            date: words.date(day).into(),
            share: words.percent(estimate.value).into(),
            counts: terms::counts(words, cases, of).into(),
        }));
        bars.push(Bar {
            label: words.date(day),
            share: estimate.value,
            range: (estimate.low, estimate.high),
            note: terms::counts(words, cases, of),
            strong: day == report.day,
        });
    }
    Some(Figure {
        svg: svg::bars(&bars, |share| words.percent(share)),
        caption: Some(words.say(Say::CaptionShares)),
        alt: words.say(Say::AltShares { visits: lines.join("; ").into() }),
        lines,
        width: Width::Half,
    })
}

fn earlier(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadEarlier));
    let Some(last) = report.earlier.first() else {
        page.para(words.say(Say::EarlierNone));
        return;
    };
    let columns = vec![
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::text(words.say(Say::ColumnThisVisit), 3),
        Column::text(words.say(Say::ColumnLastVisit { date: words.date(last.day).into() }), 3),
    ];
    let mut table = Table::new("earlier", words.say(Say::AboutEarlier), columns);
    let mut row = |what: String, now: usize, then: usize| {
        table.row([
            what,
            terms::share(words, now, report.summary.classes.of()),
            terms::share(words, then, last.classes.of()),
        ]);
    };
    let any = (report.summary.classes.with_lesion(), last.classes.with_lesion());
    row(words.say(Say::RowAnyLesion), any.0, any.1);
    for line in &report.lesions {
        let then = last.lesions.iter().find(|(lesion, _)| *lesion == line.lesion);
        row(terms::lesion(words, line.lesion), line.cows, then.map_or(0, |(_, cows)| *cows));
    }
    for (lesion, cows) in &last.lesions {
        if !report.lesions.iter().any(|line| line.lesion == *lesion) {
            row(terms::lesion(words, *lesion), 0, *cows);
        }
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteEarlier));
}
