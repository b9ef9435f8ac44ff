//! One table of a page as CSV (RFC 4180 with LF line ends). Text that a spreadsheet would take for a
//! formula has an apostrophe in front.

use super::{Cell, Page, Table};
use hornrule_facts::text::guarded;

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
        // Flexible: no row is ever left out.
        let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
        let mut line = |cells: Vec<&str>| {
            // Writing into memory does not fail.
            let cells = cells.into_iter().map(guarded);
            let _written = writer.write_record(cells.map(|cell| cell.into_owned()));
        };
        let titles = self.columns.iter().map(|column| column.title.as_str());
        line(self.grouped_by.as_deref().into_iter().chain(titles).collect());
        for section in &self.sections {
            let title = self.grouped_by.as_ref().map(|_| section.title.as_deref().unwrap_or(""));
            for row in &section.rows {
                line(title.into_iter().chain(row.iter().map(plain)).collect());
            }
        }
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
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
