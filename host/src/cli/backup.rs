//! `hornrule backup` and `hornrule restore`: copies of the database that were looked at.

use std::path::PathBuf;

use clap::Args;

use super::{Desk, Failure};
use hornrule_herd as herd;
use hornrule_herd::{Copied, Database, back_up};

/// Copy the database to a file, also while it is in use, and verify the copy
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule backup /media/stick/herd-2026-03-03.db")]
pub(super) struct Words {
    /// Where to
    file: PathBuf,
    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

/// Put a backup in the place of the database, verified
///
/// A database that is there is replaced only with --force, and kept beside under a name that ends
/// in .before-restore.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule restore /media/stick/herd-2026-03-03.db --force")]
pub(super) struct RestoreWords {
    /// The backup
    file: PathBuf,
    /// Replace a database that is there
    #[arg(long)]
    force: bool,
}

pub(super) fn run(words: &Words, desk: &Desk) -> Result<(), Failure> {
    // As it is: a backup changes nothing, also not where rules have changed.
    let herd = Database::open_existing(desk.db())?;
    let copied = back_up(&herd, &words.file, words.force)?;
    println!("backup    {}: {}", words.file.display(), told(&copied));
    Ok(())
}

pub(super) fn restore(words: &RestoreWords, desk: &Desk) -> Result<(), Failure> {
    let copied = herd::restore(&words.file, desk.db(), words.force)?;
    println!("database  {}: {}", desk.db().display(), told(&copied));
    if let Some(kept) = &copied.kept {
        println!("kept      {}: the database that was replaced", kept.display());
    }
    Ok(())
}

fn told(copied: &Copied) -> String {
    format!("{} tables, {} rows, {} bytes, verified", copied.tables, copied.rows, copied.bytes)
}
