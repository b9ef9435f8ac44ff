//! Reports: rows to finished pages.
//!
//! ```text
//! herd tables --gather--> VisitReport (values) --page(Words)--> Page --render_*--> terminal, HTML, CSV, PDF
//!                                              --render_json--> one value, for scripts
//! ```
//!
//! What stands in a report is decided while gathering; a page gives it words, and its renderers only
//! lay it out.

pub mod bill_page;
mod card;
mod card_page;
pub mod compare;
pub mod cow;
mod cow_page;
pub mod due;
pub mod due_page;
pub mod farm;
pub mod gather;
mod json;
pub mod page;
pub mod plot;
pub mod svg;
mod terms;
mod vet_page;
pub mod visit;
mod visit_cows;
mod visit_page;
mod visit_trust;

#[cfg(test)]
mod card_tests;
#[cfg(all(test, feature = "pdf"))]
mod pdf_text;
#[cfg(test)]
mod tests;

pub use card::Card;
pub use cow::CowHistory;
pub use farm::FarmTrend;
pub use gather::list_visits;
pub use visit::VisitReport;
pub use visit_cows::EVERY_FOOT;
