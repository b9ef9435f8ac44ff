//! What every verb that gives a page has in common: on the terminal, or into files.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::Failure;
use hornrule_facts::{FarmSettings, Language, LengthUnit, Paper};
use hornrule_files::output;
use hornrule_papers::page::Page;
use hornrule_papers::words::Words;

/// Where a page goes, and how it is written.
#[derive(Debug, Args)]
pub(super) struct PaperOptions {
    /// Write a PDF to this file
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Write an HTML page to this file
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write the main table to this file, as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// As JSON, for scripts
    #[arg(long, conflicts_with_all = ["pdf", "html", "csv"])]
    pub(super) json: bool,
    /// Language [default: the farm's]
    #[arg(long, value_name = "en|de", value_parser = language)]
    language: Option<Language>,
    /// Unit of lengths [default: the farm's]
    #[arg(long, value_name = "mm|inch", value_parser = unit)]
    unit: Option<LengthUnit>,
    /// Paper size [default: the farm's]
    #[arg(long, value_name = "a4|letter", value_parser = paper)]
    paper: Option<Paper>,
}

pub(super) fn language(text: &str) -> Result<Language, String> {
    Language::from_code(text).ok_or_else(|| "languages are en and de".to_owned())
}

pub(super) fn unit(text: &str) -> Result<LengthUnit, String> {
    LengthUnit::from_code(text).ok_or_else(|| "units are mm and inch".to_owned())
}

fn paper(text: &str) -> Result<Paper, String> {
    Paper::from_code(text).ok_or_else(|| "papers are a4 and letter".to_owned())
}

impl PaperOptions {
    /// The words of a farm's papers, or those asked for.
    pub(super) fn words(&self, settings: &FarmSettings) -> Words {
        Words::new(self.language.unwrap_or(settings.language))
            .in_unit(self.unit.unwrap_or(settings.unit))
    }

    /// The paper of a farm, or the one asked for.
    pub(super) fn paper(&self, settings: &FarmSettings) -> Paper {
        self.paper.unwrap_or(settings.paper)
    }

    /// Whether a file or JSON was asked for.
    pub(super) const fn writes(&self) -> bool {
        self.json || self.pdf.is_some() || self.html.is_some() || self.csv.is_some()
    }

    /// Writes the files asked for, or prints the page. `main` names the table that a CSV holds;
    /// `json` is what a script gets.
    pub(super) fn deliver<T: Serialize>(
        &self,
        page: &Page,
        main: &str,
        json: impl FnOnce() -> T,
    ) -> Result<(), Failure> {
        if self.json {
            println!("{}", super::json(&json())?);
            return Ok(());
        }
        let mut written = Vec::new();
        if let Some(file) = &self.pdf {
            written.push((file, pdf(page)?));
        }
        if let Some(file) = &self.html {
            written.push((file, page.render_html().into_bytes()));
        }
        if let Some(file) = &self.csv {
            // A page without that table has nothing to count, and an empty file says so.
            written.push((file, page.render_csv(main).unwrap_or_default().into_bytes()));
        }
        if written.is_empty() {
            print!("{}", page.render_terminal());
        }
        for (file, bytes) in written {
            output::write(file, &bytes)?;
            println!("report    {}", file.display());
        }
        Ok(())
    }
}

/// A page as PDF.
#[cfg(feature = "pdf")]
pub(super) fn pdf(page: &Page) -> Result<Vec<u8>, Failure> {
    page.render_pdf().map_err(|error| Failure::Said(error.to_string()))
}

#[cfg(not(feature = "pdf"))]
pub(super) fn pdf(_page: &Page) -> Result<Vec<u8>, Failure> {
    Err(Failure::Said(
        "this hornrule was built without PDF; print the page from --html, or build with the \
         feature `pdf`"
            .to_owned(),
    ))
}
