//! The mark of a demo's folder: a demo forgets nothing that does not carry it.

use std::fs;
use std::path::Path;

use super::{Failure, NAME, season};
use hornrule_files::output;
use hornrule_herd::Database;

/// The file that says so.
const MARK: &str = "made-by-hornrule-demo";
const TEXT: &str = "`hornrule demo` made this folder and may delete and replace what is in it.\n\
                    Keep nothing of your own here.\n";

/// Makes the folder and marks it, or finds the mark. A folder with anything else in it is left as
/// it is.
pub(super) fn take(folder: &Path) -> Result<(), Failure> {
    output::folder(folder)?;
    let mark = folder.join(MARK);
    if mark.is_file() {
        return Ok(());
    }
    let mut inside = fs::read_dir(folder).map_err(Failure::file(folder))?;
    if inside.next().is_some() {
        return Err(Failure::Said(format!(
            "{} was not made by a demo (it holds files, and none called {MARK}), and was left as it \
             is; name another folder with --dir",
            folder.display()
        )));
    }
    Ok(output::write_new(&mark, TEXT.as_bytes())?)
}

/// Whether a database in a demo's folder is one of a demo: somebody may have put their own there.
pub(super) fn is_of_demo(database: &Path) -> Result<(), Failure> {
    if !database.exists() {
        return Ok(());
    }
    let farms = season::farms();
    let herds = Database::open_existing(database)?.herds()?;
    match herds.iter().find(|herd| herd.name != NAME && !farms.contains(&herd.name.as_str())) {
        None => Ok(()),
        Some(other) => Err(Failure::Said(format!(
            "{} holds the farm {}, which no demo made, and was left as it is; move it out of the \
             demo's folder, or name another folder with --dir",
            database.display(),
            other.name
        ))),
    }
}
