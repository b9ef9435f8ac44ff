//! A page as PDF: tagged (PDF/UA-1), archivable (PDF/A-2a), the same bytes from run to run.

use super::{Page, PdfError};

impl Page {
    /// The page as PDF.
    ///
    /// # Errors
    /// [`PdfError`], where the typesetter or its check of the standards refuses it.
    pub fn render_pdf(&self) -> Result<Vec<u8>, PdfError> {
        let json = serde_json::to_string(self).map_err(|e| PdfError::Refused(e.to_string()))?;
        let (year, month, day) = self.date;
        let ident = format!("{} {year}-{month}-{day}", self.title);
        hornrule_pdf::render(json, &ident, (year, month.unsigned_abs(), day.unsigned_abs()))
    }
}
