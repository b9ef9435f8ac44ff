//! Rows and columns of a page.

use serde::Serialize;

/// A table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Table {
    /// What it is called in a file name or by a script; not shown.
    pub name: &'static str,
    /// What it shows, for those who hear the page.
    pub about: String,
    /// What a section's title is, as the first column of a CSV; `None` where no section has a
    /// title.
    pub grouped_by: Option<String>,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, by section.
    pub sections: Vec<Section>,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Column {
    /// Its heading.
    pub title: String,
    /// Numbers, to be read from their end.
    pub number: bool,
    /// How much of the width it wants beside its sisters; 0 for as little as its text needs.
    pub wide: u8,
}

/// Rows under one title, that stay together where there is room.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Section {
    /// The title; `None` for rows without one.
    pub title: Option<String>,
    /// The rows, each as long as there are columns.
    pub rows: Vec<Vec<Cell>>,
}

/// A cell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", content = "is", rename_all = "snake_case")]
pub enum Cell {
    /// Text, or nothing.
    Text(String),
    /// Text that matters.
    Strong(String),
    /// An empty box, to be ticked with a pencil.
    Tick,
    /// A small drawing, as high as a line.
    Drawing {
        /// The drawing, as in a figure.
        svg: String,
        /// What it shows, for those who cannot see it and where nothing can be drawn.
        alt: String,
    },
}

impl Cell {
    /// What it says as plain text.
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::Text(text) | Self::Strong(text) => text,
            Self::Tick => "[ ]",
            Self::Drawing { alt, .. } => alt,
        }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl Column {
    /// Words that may be wrapped.
    #[must_use]
    pub fn text(title: impl Into<String>, wide: u8) -> Self {
        Self { title: title.into(), number: false, wide }
    }

    /// Numbers.
    #[must_use]
    pub fn number(title: impl Into<String>) -> Self {
        Self { title: title.into(), number: true, wide: 0 }
    }
}

impl Column {
    /// Words that want no more width than they need, and stay on one line where there is room.
    #[must_use]
    pub const fn is_slim(&self) -> bool {
        self.wide == 0 && !self.number
    }
}

impl Table {
    /// A table without rows.
    #[must_use]
    pub fn new(name: &'static str, about: impl Into<String>, columns: Vec<Column>) -> Self {
        Self { name, about: about.into(), grouped_by: None, columns, sections: Vec::new() }
    }

    /// The same, whose sections have titles.
    #[must_use]
    pub fn grouped_by(self, what: impl Into<String>) -> Self {
        Self { grouped_by: Some(what.into()), ..self }
    }

    /// Adds a row to the last section.
    pub fn row<C: Into<Cell>>(&mut self, cells: impl IntoIterator<Item = C>) {
        if self.sections.is_empty() {
            self.sections.push(Section { title: None, rows: Vec::new() });
        }
        if let Some(section) = self.sections.last_mut() {
            section.rows.push(cells.into_iter().map(Into::into).collect());
        }
    }

    /// Begins a section.
    pub fn section(&mut self, title: impl Into<String>) {
        self.sections.push(Section { title: Some(title.into()), rows: Vec::new() });
    }

    /// Begins a section without a title: its rows stay together where there is room.
    pub fn together(&mut self) {
        self.sections.push(Section { title: None, rows: Vec::new() });
    }

    /// How many rows it has.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.sections.iter().map(|section| section.rows.len()).sum()
    }
}
