//! One table of a page as CSV (RFC 4180 with LF line ends).

use super::{Cell, Page, Table};

impl Page {
    /// The table of that name as CSV; `None` where the page has no such table.
    #[must_use]
    pub fn render_csv(&self, name: &str) -> Option<String> {
        self.table(name).map(Table::render_csv)
    }
}

impl Table {
    /// Headings, then the rows, each with its section's title in front where sections have titles.
    #[must_use]
    pub fn render_csv(&self) -> String {
        let mut text = String::new();
        let titles = self.columns.iter().map(|column| column.title.as_str());
        line(&mut text, self.grouped_by.as_deref().into_iter().chain(titles));
        for section in &self.sections {
            let title = self.grouped_by.as_ref().map(|_| section.title.as_deref().unwrap_or(""));
            for row in &section.rows {
                line(&mut text, title.into_iter().chain(row.iter().map(plain)));
            }
        }
        text
    }
}

/// A box to be ticked is empty here.
fn plain(cell: &Cell) -> &str {
    match cell {
        Cell::Text(text) | Cell::Strong(text) => text,
        Cell::Tick => "",
        Cell::Drawing { alt, .. } => alt,
    }
}

fn line<'a>(text: &mut String, cells: impl Iterator<Item = &'a str>) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            text.push(',');
        }
        if cell.contains([',', '"', '\n', '\r']) || at == 0 && cell.is_empty() {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(cell);
        }
    }
    text.push('\n');
}
