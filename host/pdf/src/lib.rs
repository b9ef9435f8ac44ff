//! A page as JSON in, a PDF out; a drawing as SVG in, a PNG out.
//!
//! ```text
//! page.json ----+
//! page.typ -----+--> World in memory --typst--> document --checked as PDF/UA-1 and PDF/A-2a--> bytes
//! fonts/*.otf --+
//! ```
//!
//! The page goes in as a value and never as markup, so that nothing in it needs escaping. Letters that
//! our fonts lack become boxes: a name never costs the page. Nothing is
//! read from disk, network or clock: the same page gives the same bytes. This is a crate of its own
//! because the typesetter below it takes minutes to build; nothing else waits for it.

mod glyphs;
mod png;
mod world;

use std::fmt::Write;
use std::ops::RangeInclusive;

use typst::diag::SourceDiagnostic;
use typst::foundations::{Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

pub use png::{LEAST_DOTS, MOST_DOTS, PngError, png};
use world::World;

/// Why there is no PDF.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The typesetter or its check of the standards refused the page.
    #[error("the page could not be written as PDF: {0}\nThe other formats are not affected")]
    Refused(String),
}

/// Sets a page.
///
/// `json` is the page as `page.typ` reads it. `date` (year, month, day) is what the PDF says of when
/// it was made: the day of the report, so that its bytes do not depend on the clock. `ident` names the
/// document; the same name and page give the same bytes.
///
/// # Errors
/// [`PdfError::Refused`].
pub fn render(json: String, ident: &str, date: (i16, u8, u8)) -> Result<Vec<u8>, PdfError> {
    write(&set(json)?, ident, date)
}

/// Sets a page in the largest of some sizes in which it takes no more sides than in the least: one, or the
/// back of the sheet too, which then is filled rather than left half empty.
///
/// `form` is the page as JSON in one of `sizes`. The typesetter cannot be asked how large its type may be,
/// only what a size comes to: so sizes are halved, as if a larger one never took fewer sheets. Where
/// hyphens make that untrue, a size is missed, and what is set takes no more sides all the same. See
/// [`render`].
///
/// # Errors
/// [`PdfError::Refused`], and what `form` says.
pub fn render_on_one_sheet(
    form: impl Fn(u16) -> Result<String, PdfError>,
    sizes: RangeInclusive<u16>,
    ident: &str,
    date: (i16, u8, u8),
) -> Result<Vec<u8>, PdfError> {
    let (mut fits, mut low, mut high) = (set(form(*sizes.start())?)?, *sizes.start(), *sizes.end());
    let sides = fits.pages().len();
    // `low` is set; nothing above `high` is tried any more.
    while low < high {
        let size = low + (high - low).div_ceil(2);
        let document = set(form(size)?)?;
        if document.pages().len() <= sides {
            (fits, low) = (document, size);
        } else {
            high = size - 1;
        }
    }
    write(&fits, ident, date)
}

fn set(json: String) -> Result<PagedDocument, PdfError> {
    let world = World::new(glyphs::settable(&json));
    typst::compile::<PagedDocument>(&world).output.map_err(|errors| refused(&errors))
}

fn write(document: &PagedDocument, ident: &str, date: (i16, u8, u8)) -> Result<Vec<u8>, PdfError> {
    let standards = PdfStandards::new(&[PdfStandard::Ua_1, PdfStandard::A_2a])
        .map_err(|error| PdfError::Refused(error.message().to_string()))?;
    let noon = Datetime::from_ymd_hms(date.0.into(), date.1, date.2, 12, 0, 0);
    let options = PdfOptions {
        ident: Smart::Custom(ident.to_owned()),
        creator: Smart::Custom(Some("hornrule".to_owned())),
        timestamp: noon.map(Timestamp::new_utc),
        standards,
        ..PdfOptions::default()
    };
    let written = typst_pdf::pdf(document, &options).map_err(|errors| refused(&errors));
    // The typesetter keeps what it has set in case it sets it again; a page is written once.
    typst::comemo::evict(0);
    written
}

fn refused(errors: &[SourceDiagnostic]) -> PdfError {
    let mut text = String::new();
    for error in errors {
        // Writing to a string cannot fail.
        let _written = write!(text, "{}{}", if text.is_empty() { "" } else { "; " }, error.message);
        for hint in &error.hints {
            let _written = write!(text, " ({})", hint.v);
        }
    }
    PdfError::Refused(text)
}

#[cfg(test)]
mod tests;
