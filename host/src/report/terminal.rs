//! The report as text for a terminal of 80 columns.

use comfy_table::{ContentArrangement, LineStyle, Table, TableStyle};
use hornrule_protocol::{Foot, Place};

use super::cautions::CAUTIONS;
use super::due::{Due, Urgency, Vet};
use super::phrases::{
    self, COW_TABLE, by_foot, counts, gauge_lines, grades, judged, lesion, long_date, mm, places,
    remark, shares, starred, unplaced, walls, zone,
};
use super::visit::{CowLine, Spread, VisitReport};
use crate::intake::words;

const WIDTH: u16 = 80;
/// A line under the column names and none between rows, so that a day fits few screens.
const STYLE: TableStyle = TableStyle::new().header_separator(LineStyle::new('─', '─', '─', '─'));

impl VisitReport {
    /// The report as text, at most 80 columns wide, each line ended.
    #[must_use]
    pub fn render_terminal(&self) -> String {
        let mut page = Page::default();
        page.line(&format!("{}: claw trimming on {}", self.farm, long_date(self)));
        page.heading("What next");
        next(self, &mut page);
        page.heading("The visit in numbers");
        page.line(&counts(self));
        for line in shares(self) {
            page.line(&line);
        }
        page.heading("Lesions found");
        lesion_table(self, &mut page);
        page.heading("Cow by cow");
        cow_table(self, &mut page);
        page.heading("Measurements");
        lengths(self, &mut page);
        page.heading("Check of the calliper");
        for line in gauge_lines(self) {
            page.line(&line);
        }
        page.heading("Please look at");
        remarks(&mut page, self);
        page.heading("Cautions");
        for caution in CAUTIONS {
            page.line(&format!("{} {}", caution.heading, caution.text));
        }
        page.0
    }
}

fn next(report: &VisitReport, page: &mut Page) {
    for (urgency, heading) in [(Urgency::Now, "VET NOW"), (Urgency::ToSee, "Vet to see")] {
        let lines: Vec<&Vet> = report.vet.iter().filter(|vet| vet.urgency == urgency).collect();
        if lines.is_empty() {
            continue;
        }
        page.line(&format!("{heading}:"));
        for vet in lines {
            page.line(&format!("  Cow {}: {}", phrases::vet(vet), vet.why));
        }
    }
    if report.vet.is_empty() {
        page.line("Nothing for the vet was keyed or follows from a rule.");
    }
    if report.due.is_empty() {
        page.line("No foot is to be seen again after this visit.");
    } else {
        page.line("See again:");
        let mut table = table(["By", "Cow", "Where", "What", "Why"]);
        for Due { day, name, place, what, rule } in &report.due {
            let (day, name) = (day.to_string(), name.to_string());
            table.add_row([day, name, words::place(*place), what.clone(), rule.clone()]);
        }
        page.table(&table);
    }
    if let Some(text) = starred(report) {
        page.line(text);
    }
}

fn lesion_table(report: &VisitReport, page: &mut Page) {
    if report.lesions.is_empty() {
        page.line("None.");
        return;
    }
    let mut table = table(["Lesion", "Cows", "Claws or feet", "How bad"]);
    for line in &report.lesions {
        table.add_row([lesion(line.lesion), line.cows.to_string(), places(line), grades(line)]);
    }
    page.table(&table);
}

fn cow_table(report: &VisitReport, page: &mut Page) {
    if report.cows.is_empty() {
        page.line("No cow was recorded on this day.");
        return;
    }
    let mut table = table(["Cow", "Where", "Found", "Grade", "Zone", "Done", "Wall"]);
    for cow in &report.cows {
        for row in cow_rows(cow) {
            table.add_row(row);
        }
    }
    page.table(&table);
    page.line(COW_TABLE);
}

fn lengths(report: &VisitReport, page: &mut Page) {
    if report.lengths.is_empty() {
        page.line("Nothing was measured.");
        return;
    }
    let mut table = table(["Dimension", "When", "Readings", "Least", "Middle", "Most"]);
    for line in &report.lengths {
        for (when, spread) in [("before", line.before), ("after", line.after)] {
            let Some(Spread { readings, least, median, most }) = spread else { continue };
            table.add_row([
                line.dimension.name.to_owned(),
                format!("{when} trimming"),
                readings.to_string(),
                mm(least),
                mm(median),
                mm(most),
            ]);
        }
    }
    page.table(&table);
    page.line("Millimetres. Middle: half of the readings are below it.");
}

/// Text that grows.
#[derive(Default)]
struct Page(String);

impl Page {
    fn heading(&mut self, text: &str) {
        self.0.push('\n');
        self.line(text);
        self.line(&"-".repeat(text.len()));
    }

    /// A paragraph, wrapped; what goes on is indented like its first line, and two more.
    fn line(&mut self, text: &str) {
        let indent = text.len() - text.trim_start().len();
        let mut column = 0;
        for word in text.split_whitespace() {
            let width = word.chars().count();
            if column == 0 {
                self.0.push_str(&" ".repeat(indent));
                column = indent;
            } else if column + 1 + width > usize::from(WIDTH) {
                self.0.push('\n');
                self.0.push_str(&" ".repeat(indent + 2));
                column = indent + 2;
            } else {
                self.0.push(' ');
                column += 1;
            }
            self.0.push_str(word);
            column += width;
        }
        self.0.push('\n');
    }

    fn table(&mut self, table: &Table) {
        for line in table.lines() {
            self.0.push_str(line.trim_end());
            self.0.push('\n');
        }
    }
}

fn table<const N: usize>(header: [&str; N]) -> Table {
    let mut table = Table::new();
    table
        .load_style(STYLE)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH)
        .set_header(header);
    table
}

/// A row for each finding of each claw, and at least one a claw.
fn cow_rows(cow: &CowLine) -> Vec<[String; 7]> {
    let mut head = cow.name.to_string();
    for score in &cow.scores {
        head.push('\n');
        head.push_str(score);
    }
    let empty = String::new;
    if cow.claws.is_empty() && cow.only_trimmed.is_empty() {
        let nothing = "nothing recorded".to_owned();
        return vec![[head, empty(), nothing, empty(), empty(), empty(), empty()]];
    }
    let mut rows = Vec::new();
    for claw in &cow.claws {
        for i in 0..claw.found.len().max(1) {
            let found = claw.found.get(i);
            let first = |text: String| if i == 0 { text } else { empty() };
            rows.push([
                std::mem::take(&mut head),
                first(place(claw.place)),
                found.map(|found| lesion(found.lesion)).unwrap_or_default(),
                found.and_then(|found| found.grade).unwrap_or_default().to_owned(),
                found.map(zone).unwrap_or_default(),
                first(claw.done.join("; ")),
                first(walls(claw.wall_before, claw.wall_after)),
            ]);
        }
    }
    if !cow.only_trimmed.is_empty() {
        let feet = by_foot(&cow.only_trimmed, Foot::letters);
        let feet = feet
            .iter()
            .map(|foot| foot.replace(',', "").replace(" claws", "").replace(" claw", ""));
        rows.push([
            std::mem::take(&mut head),
            feet.collect::<Vec<_>>().join("\n"),
            empty(),
            empty(),
            empty(),
            "trimmed to form".to_owned(),
            empty(),
        ]);
    }
    rows
}

/// "LH outer": short, for tables.
fn place(place: Place) -> String {
    match (place.foot(), place.side()) {
        (None, _) => "cow".to_owned(),
        (Some(foot), None) => format!("{} foot", foot.letters()),
        (Some(foot), Some(side)) => {
            let side = words::side(side).trim_end_matches(" claw");
            format!("{} {side}", foot.letters())
        }
    }
}

fn remarks(page: &mut Page, report: &VisitReport) {
    if let Some(line) = judged(report) {
        page.line(&line);
    } else if report.flagged.is_empty() && report.unplaced == 0 {
        page.line("Nothing: every entry was complete and likely.");
    }
    for (lines, heading) in [
        (&report.held, "Held, not in this report:"),
        (&report.flagged, "In this report, but please check:"),
        (&report.settled, "Decided in the office:"),
    ] {
        if !lines.is_empty() {
            page.line(heading);
            for line in lines {
                page.line(&format!("  {}", remark(line)));
            }
        }
    }
    if let Some(line) = unplaced(report) {
        page.line(&line);
    }
}
