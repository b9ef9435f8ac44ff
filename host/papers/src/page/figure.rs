//! A drawing of a page.

use serde::Serialize;

/// How wide a figure stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Width {
    /// The whole line.
    Full,
    /// Half of it: two stand side by side.
    Half,
    /// A third of it.
    Third,
}

/// A drawing: SVG of our own, the same text in every renderer that can draw.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Figure {
    /// The drawing. Presentation attributes only, no style sheet, no script, no link.
    pub svg: String,
    /// What stands below it.
    pub caption: Option<String>,
    /// What it shows, for those who cannot see it. A PDF must have one.
    pub alt: String,
    /// What the terminal says instead, a line each; nothing where a table of the page says it all.
    pub lines: Vec<String>,
    /// How wide.
    pub width: Width,
}
