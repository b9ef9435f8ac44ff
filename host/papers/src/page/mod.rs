//! A page: what any report shows, as values, and its sister renderers.
//!
//! ```text
//! VisitReport, DueList, Bill, .. --(Words)--> Page --render_terminal--> text, 80 columns
//!                                              |-----render_html------> one page, complete in itself
//!                                              |-----render_csv-------> one of its tables
//!                                              +-----render_pdf-------> tagged, archivable (feature `pdf`)
//! ```
//!
//! All text in a page is finished: in its language, with its units. A renderer lays out and decides
//! nothing. JSON is not among them, because scripts want the report's values and not its layout:
//! each report writes its own.

mod csv;
mod figure;
mod html;
#[cfg(feature = "pdf")]
mod pdf;
mod table;
mod terminal;

#[cfg(test)]
mod tests;

use serde::Serialize;

use crate::words::{Say, Words};
use hornrule_facts::{Day, Language, Paper};

pub use figure::{Figure, Width};
#[cfg(feature = "pdf")]
pub use hornrule_pdf::PdfError;
pub use table::{Cell, Column, Section, Table};

/// One report, ready to be laid out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Page {
    /// Its title, the largest line.
    pub title: String,
    /// A line below it.
    pub subtitle: Option<String>,
    /// What stands at the foot of every sheet, beside the number of the sheet.
    pub footer: String,
    /// ISO 639-1.
    pub language: &'static str,
    /// "a4" or "letter".
    pub paper: &'static str,
    /// The day it speaks of, as year, month and day: the only date its bytes depend on.
    pub date: (i16, i8, i8),
    /// "Page {page} of {pages}" in the page's language.
    pub sheet: [String; 3],
    /// How it is laid out.
    pub layout: Layout,
    /// What it says, from top to bottom.
    pub blocks: Vec<Block>,
    /// Tables that only a CSV has: too long for people, right for a spreadsheet.
    #[serde(skip)]
    pub beside: Vec<Table>,
}

/// How a page is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Layout {
    /// One column, as many sheets as it takes.
    Report,
    /// Three narrow columns on one sheet, to be hung up at the chute.
    Card,
}

/// One part of a page.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", content = "is", rename_all = "snake_case")]
pub enum Block {
    /// Opens a chapter.
    Heading(String),
    /// A sentence or more.
    Para(String),
    /// What explains the thing above it, in quieter type.
    Note(String),
    /// Lines of an address or letterhead, kept as they are.
    Lines(Vec<String>),
    /// One thing a line, with a mark before it.
    List(Vec<String>),
    /// A few numbers that matter, large.
    Numbers(Vec<Number>),
    /// What somebody must act on.
    Notice(Notice),
    /// Rows and columns.
    Table(Table),
    /// What the drawings above it show, in rows, for those who cannot see them: HTML folds it, the
    /// terminal prints it, and on paper the drawings' own texts say it.
    Folded(Table),
    /// Figures that stand side by side where there is room.
    Figures(Vec<Figure>),
    /// What every page says beside its numbers.
    Cautions(Vec<Caution>),
    /// Empty lines for a pencil, under what is to be written on them.
    Room(Room),
    /// What follows begins on a new sheet.
    Break,
}

/// A number that matters.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Number {
    /// What it counts.
    pub label: String,
    /// The number.
    pub value: String,
    /// Of how many, or what share.
    pub note: Option<String>,
}

/// How loud a notice is. Told by its border and words, not by colour alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// Now.
    Now,
    /// Soon.
    Soon,
    /// To be kept in mind.
    Mind,
}

/// What somebody must act on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Notice {
    /// How loud.
    pub weight: Weight,
    /// What it is about.
    pub heading: String,
    /// What it says, a line each.
    pub lines: Vec<String>,
}

/// Empty lines for a pencil.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Room {
    /// What is to be written.
    pub label: String,
    /// How many lines.
    pub lines: u8,
}

/// A caution: a heading and what it says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// What it is about.
    pub heading: String,
    /// What it says.
    pub text: String,
}

impl Page {
    /// A page without blocks, that speaks of a day.
    #[must_use]
    pub fn new(words: &Words, paper: Paper, title: String, day: Day) -> Self {
        let date = day.date();
        let sheet = words.say(Say::PageOf { page: "\u{1}".into(), pages: "\u{1}".into() });
        let mut parts = sheet.split('\u{1}').map(str::to_owned);
        let mut part = || parts.next().unwrap_or_default();
        Self {
            title,
            subtitle: None,
            footer: words.say(Say::MadeBy { version: env!("CARGO_PKG_VERSION").into() }),
            language: words.language().code(),
            paper: paper.code(),
            date: (date.year(), date.month(), date.day()),
            sheet: [part(), part(), part()],
            layout: Layout::Report,
            blocks: Vec::new(),
            beside: Vec::new(),
        }
    }

    /// Adds a block.
    pub fn add(&mut self, block: Block) {
        self.blocks.push(block);
    }

    /// Adds a heading.
    pub fn heading(&mut self, text: impl Into<String>) {
        self.add(Block::Heading(text.into()));
    }

    /// Adds a paragraph.
    pub fn para(&mut self, text: impl Into<String>) {
        self.add(Block::Para(text.into()));
    }

    /// Adds a note.
    pub fn note(&mut self, text: impl Into<String>) {
        self.add(Block::Note(text.into()));
    }

    /// The language it is written in.
    #[must_use]
    pub fn spoken(&self) -> Language {
        Language::from_code(self.language).unwrap_or_default()
    }

    /// The table of a name.
    #[must_use]
    pub fn table(&self, name: &str) -> Option<&Table> {
        let shown = self.blocks.iter().find_map(|block| match block {
            Block::Table(table) | Block::Folded(table) if table.name == name => Some(table),
            _ => None,
        });
        shown.or_else(|| self.beside.iter().find(|table| table.name == name))
    }
}
