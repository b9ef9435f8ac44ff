//! Answers as papers: pages in words, tables and figures.
//!
//! ```text
//! answer (values) --page(words, paper)--> Page --render_*--> terminal, HTML, CSV, PDF
//!                 --json-------------------------------------> one value, for scripts
//! ```
//!
//! A folder or file a paper. What a paper says was decided by the question that it answers; here it
//! gets its words, and the renderers only lay it out. No database and no rule.

pub mod bill;
pub mod card;
mod claw_figure;
pub mod cow;
mod derived;
pub mod due;
pub mod farm;
pub mod office;
pub mod page;
pub mod plan;
pub mod plot;
pub mod reminders;
pub mod svg;
mod terms;
pub mod vet;
pub mod visit;
pub mod words;

#[cfg(all(test, feature = "pdf"))]
mod pdf_text;
#[cfg(test)]
mod tests;

pub use card::Card;
