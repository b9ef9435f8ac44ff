//! A page as PDF: tagged (PDF/UA-1), archivable (PDF/A-2a), the same bytes from run to run.

use std::ops::RangeInclusive;

use serde::Serialize;

use super::{Layout, Page, PdfError};

/// How much larger than its least a card's type may be, in percent: no further than a reader at
/// arm's length has use for, and no less than can be read from there (8.6 pt). What does not fit one
/// side at that size takes the back of the sheet too.
const GROWN: RangeInclusive<u16> = 105..=150;

/// A card in one size of type.
#[derive(Serialize)]
struct Grown<'page> {
    #[serde(flatten)]
    page: &'page Page,
    /// Percent of the least size. Whole, because the typesetter's reader takes a fraction for a
    /// dictionary where any crate of the build asks `serde_json` for arbitrary precision.
    grown: u16,
}

impl Page {
    /// The page as PDF.
    ///
    /// # Errors
    /// [`PdfError`], where the typesetter or its check of the standards refuses it.
    pub fn render_pdf(&self) -> Result<Vec<u8>, PdfError> {
        let (year, month, day) = self.date;
        let ident = format!("{} {year}-{month}-{day}", self.title);
        let date = (year, month.unsigned_abs(), day.unsigned_abs());
        match self.layout {
            Layout::Report => hornrule_pdf::render(json(self)?, &ident, date),
            Layout::Card => {
                let form = |grown| json(&Grown { page: self, grown });
                hornrule_pdf::render_on_one_sheet(form, GROWN, &ident, date)
            }
        }
    }
}

fn json(page: &impl Serialize) -> Result<String, PdfError> {
    serde_json::to_string(page).map_err(|error| PdfError::Refused(error.to_string()))
}
