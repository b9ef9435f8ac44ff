//! Reports: rows to finished pages.
//!
//! ```text
//! herd tables --gather--> VisitReport (values) --render_terminal--> text, 80 columns
//!                                              --render_html-----> one page, complete in itself
//!                                              --render_json-----> one value, for scripts
//! ```
//!
//! What stands in a report is decided while gathering; the renderers only lay it out.

pub mod cautions;
pub mod due;
pub mod gather;
mod html;
mod json;
mod phrases;
mod terminal;
pub mod visit;

#[cfg(test)]
mod tests;

pub use gather::list_visits;
pub use visit::VisitReport;
