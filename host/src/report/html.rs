//! The report as one page: its own style, no script, nothing fetched.
//!
//! It prints on paper, fits a telephone (each row becomes a block there), follows the reader's dark
//! mode, and names tables and header cells for those who have it read to them.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::cautions::CAUTIONS;
use super::due::{Urgency, Vet};
use super::phrases::{
    self, COW_TABLE, by_foot, gauge_lines, grades, judged, lesion, long_date, mm, places, remark,
    shares, starred, unplaced, walls, zone,
};
use super::visit::{ClawLine, CowLine, Found, RemarkLine, VisitReport};
use crate::intake::words;

const STYLE: &str = include_str!("style.css");

impl VisitReport {
    /// The report as one self-contained HTML page.
    #[must_use]
    pub fn render_html(&self) -> String {
        let title = format!("{}: claw trimming on {}", self.farm, long_date(self));
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (title) }
                    style { (PreEscaped(STYLE)) }
                }
                body {
                    header {
                        h1 { "Claw trimming at " (self.farm) }
                        p.date { (long_date(self)) }
                    }
                    main {
                        section { h2 { "What next" } (next(self)) }
                        section { h2 { "The visit in numbers" } (in_numbers(self)) }
                        section { h2 { "Lesions found" } (lesion_table(self)) }
                        section { h2 { "Cow by cow" } (cow_table(self)) }
                        section { h2 { "Measurements" } (length_table(self)) }
                        section {
                            h2 { "Check of the calliper" }
                            @for line in gauge_lines(self) { p { (line) } }
                        }
                        section { h2 { "Please look at" } (remarks(self)) }
                        section {
                            h2 { "Cautions" }
                            ul {
                                @for caution in CAUTIONS {
                                    li { strong { (caution.heading) } " " (caution.text) }
                                }
                            }
                        }
                    }
                    footer {
                        "Counts what was keyed at the chute. Outer claw: lateral; inner claw: \
                         medial. Zones are those of the " (hornrule_protocol::Zone::MAP) "."
                    }
                }
            }
        };
        page.into_string()
    }
}

fn next(report: &VisitReport) -> Markup {
    html! {
        (vet_box(report, Urgency::Now, "now", "Vet now"))
        (vet_box(report, Urgency::ToSee, "soon", "Vet to see"))
        @if report.vet.is_empty() {
            p { "Nothing for the vet was keyed or follows from a rule." }
        }
        @if report.due.is_empty() {
            p { "No foot is to be seen again after this visit." }
        } @else {
            table {
                caption { "To be seen again, the next first" }
                thead { tr {
                    th scope="col" { "By" }
                    th scope="col" { "Cow" }
                    th scope="col" { "Where" }
                    th scope="col" { "What" }
                    th scope="col" { "Why" }
                } }
                tbody { @for due in &report.due { tr {
                    td.nowrap data-label="By" { (due.day.date().strftime("%a %-d %b %Y")) }
                    th scope="row" { (due.name) }
                    td data-label="Where" { (words::place(due.place)) }
                    td data-label="What" { (due.what) }
                    td.why data-label="Why" { (due.rule) }
                } } }
            }
        }
        @if let Some(text) = starred(report) { p.why { (text) } }
    }
}

fn vet_box(report: &VisitReport, urgency: Urgency, class: &str, heading: &str) -> Markup {
    let lines: Vec<&Vet> = report.vet.iter().filter(|vet| vet.urgency == urgency).collect();
    html! {
        @if !lines.is_empty() {
            div class={ "box " (class) } {
                h3 { (heading) }
                ul { @for vet in lines {
                    li {
                        strong { "Cow " (phrases::vet(vet)) } " "
                        span.why { "(" (vet.why) ")" }
                    }
                } }
            }
        }
    }
}

fn in_numbers(report: &VisitReport) -> Markup {
    let summary = &report.summary;
    html! {
        dl {
            div { dt { "Cows seen" } dd { (summary.cows) } }
            div { dt { "Claws trimmed" } dd { (summary.claws_trimmed) } }
            div { dt { "Cows with a lesion" } dd { (summary.cows_with_lesion) } }
            div { dt { "Blocks glued on" } dd { (summary.blocks) } }
        }
        @for line in shares(report) { p { (line) } }
    }
}

fn lesion_table(report: &VisitReport) -> Markup {
    html! {
        @if report.lesions.is_empty() {
            p { "None." }
        } @else {
            table.keep {
                caption { "Cows and claws are counted apart: one cow can have it on several." }
                thead { tr {
                    th scope="col" { "Lesion" }
                    th.n scope="col" { "Cows" }
                    th.n scope="col" { "Claws or feet" }
                    th scope="col" { "How bad" }
                } }
                tbody { @for line in &report.lesions { tr {
                    th scope="row" { (lesion(line.lesion)) }
                    td.n data-label="Cows" { (line.cows) }
                    td.n data-label="Claws or feet" { (places(line)) }
                    td data-label="How bad" { (grades(line)) }
                } } }
            }
        }
    }
}

fn cow_table(report: &VisitReport) -> Markup {
    html! {
        @if report.cows.is_empty() {
            p { "No cow was recorded on this day." }
        } @else {
            table {
                caption { (COW_TABLE) }
                thead { tr {
                    th scope="col" { "Foot and claw" }
                    th scope="col" { "Found" }
                    th scope="col" { "Grade" }
                    th scope="col" { "Zone" }
                    th scope="col" { "Done" }
                    th.n scope="col" { "Wall" }
                } }
                @for cow in &report.cows { (cow_rows(cow)) }
            }
        }
    }
}

fn length_table(report: &VisitReport) -> Markup {
    html! {
        @if report.lengths.is_empty() {
            p { "Nothing was measured." }
        } @else {
            table {
                caption { "Millimetres. Middle: half of the readings are below it." }
                thead { tr {
                    th scope="col" { "Dimension" }
                    th scope="col" { "When" }
                    th.n scope="col" { "Readings" }
                    th.n scope="col" { "Least" }
                    th.n scope="col" { "Middle" }
                    th.n scope="col" { "Most" }
                } }
                tbody { @for line in &report.lengths {
                    @for (when, spread) in [("before", line.before), ("after", line.after)] {
                        @if let Some(spread) = spread { tr {
                            th scope="row" { (line.dimension.name) }
                            td data-label="When" { (when) " trimming" }
                            td.n data-label="Readings" { (spread.readings) }
                            td.n data-label="Least" { (mm(spread.least)) }
                            td.n data-label="Middle" { (mm(spread.median)) }
                            td.n data-label="Most" { (mm(spread.most)) }
                        } }
                    }
                } }
            }
        }
    }
}

fn remarks(report: &VisitReport) -> Markup {
    let list = |heading: &str, lines: &[RemarkLine]| {
        html! {
            @if !lines.is_empty() {
                h3 { (heading) }
                ul { @for line in lines { li { (remark(line)) } } }
            }
        }
    };
    html! {
        @if let Some(line) = judged(report) {
            p { (line) }
        } @else if report.flagged.is_empty() && report.unplaced == 0 {
            p { "Nothing: every entry was complete and likely." }
        }
        (list("Held, not in this report", &report.held))
        (list("In this report, but please check", &report.flagged))
        (list("Decided in the office", &report.settled))
        @if let Some(line) = unplaced(report) { p { (line) } }
    }
}

/// A cow: a row with her name, then a row for each finding of each claw, and at least one a claw.
fn cow_rows(cow: &CowLine) -> Markup {
    html! {
        tbody {
            tr.cow {
                th scope="rowgroup" colspan="6" {
                    "Cow " (cow.name)
                    @for score in &cow.scores { span { ", " (score) } }
                }
            }
            @if cow.claws.is_empty() && cow.only_trimmed.is_empty() {
                tr { td colspan="6" { "Nothing recorded." } }
            }
            @for claw in &cow.claws { (claw_rows(claw)) }
            @if !cow.only_trimmed.is_empty() {
                tr {
                    th scope="row" colspan="4" { (by_foot(&cow.only_trimmed, words::foot).join("; ")) }
                    td data-label="Done" { "trimmed to form" }
                    td.n {}
                }
            }
        }
    }
}

fn claw_rows(claw: &ClawLine) -> Markup {
    let mut found: Vec<Option<&Found>> = claw.found.iter().map(Some).collect();
    if found.is_empty() {
        found.push(None);
    }
    html! {
        @for (i, found) in found.into_iter().enumerate() {
            tr {
                th scope="row" { (words::place(claw.place)) }
                td data-label="Found" {
                    @if let Some(found) = found {
                        (lesion(found.lesion))
                    }
                }
                td data-label="Grade" { (found.and_then(|found| found.grade).unwrap_or_default()) }
                td data-label="Zone" { @if let Some(found) = found { (zone(found)) } }
                td data-label="Done" { @if i == 0 { (claw.done.join("; ")) } }
                td.n data-label="Wall" {
                    @if i == 0 { (walls(claw.wall_before, claw.wall_after)) }
                }
            }
        }
    }
}
