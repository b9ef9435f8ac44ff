//! Every visit as a page.

use std::path::{Path, PathBuf};

use hornrule_files::output;
use hornrule_herd::Database;
use hornrule_papers::visit::render_html;

use super::{gather, visits};
use crate::cli::Failure;

/// Writes a page for each visit into a folder. Gives file and title, the oldest first.
pub(in crate::cli) fn write(
    herd: &Database,
    folder: &Path,
) -> Result<Vec<(PathBuf, String)>, Failure> {
    let mut written = Vec::new();
    for visit in visits(herd)?.iter().rev() {
        let file = folder.join(format!("visit-{}.html", visit.day.date()));
        let page = render_html(&gather(herd, visit)?);
        output::write(&file, page.as_bytes())?;
        written.push((file, format!("{}, {}, {} cows", visit.name, visit.day.date(), visit.cows)));
    }
    Ok(written)
}
