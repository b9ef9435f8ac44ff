//! A page as JSON in, a PDF out; a drawing as SVG in, a PNG out.
//!
//! ```text
//! page.json ----+
//! page.typ -----+--> World in memory --typst--> document --checked as PDF/UA-1 and PDF/A-2a--> bytes
//! fonts/*.otf --+
//! ```
//!
//! The page goes in as a value and never as markup, so that nothing in it needs escaping. Nothing is
//! read from disk, network or clock: the same page gives the same bytes. This is a crate of its own
//! because the typesetter below it takes minutes to build; nothing else waits for it.

mod png;
mod world;

use std::fmt::Write;

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
    #[error(
        "the page could not be set as a PDF: {0}\nThe other forms of the page are not concerned"
    )]
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
    let world = World::new(json);
    let document = typst::compile::<PagedDocument>(&world).output.map_err(|e| refused(&e))?;
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
    let bytes = typst_pdf::pdf(&document, &options).map_err(|errors| refused(&errors))?;
    // The typesetter keeps what it has set in case it sets it again; a page is set once.
    typst::comemo::evict(0);
    Ok(bytes)
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
