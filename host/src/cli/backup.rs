//! `hornrule backup` and `hornrule restore`: copies of the database that were looked at.

use std::path::PathBuf;

use clap::Args;

use super::{Desk, Failure};
use hornrule_herd as herd;
use hornrule_herd::{Copied, Database, back_up};

/// Copy the database to a file, even while in use; verify the copy
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule backup /media/stick/herd-2026-03-03.db")]
pub(super) struct Options {
    /// File to write
    file: PathBuf,
    /// Replace an existing file
    #[arg(long)]
    force: bool,
}

/// Verify a backup and put it in place of the database
///
/// An existing database is replaced only with --force, and is kept beside it under a name ending in
/// .before-restore.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule restore /media/stick/herd-2026-03-03.db --force")]
pub(super) struct RestoreOptions {
    /// Backup to restore
    file: PathBuf,
    /// Replace an existing database
    #[arg(long)]
    force: bool,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    // As it is: a backup changes nothing, also not where rules have changed.
    let herd = Database::open_existing(desk.db())?;
    let copied = back_up(&herd, &options.file, options.force)?;
    println!("backup    {}: {}", options.file.display(), told(&copied));
    Ok(())
}

pub(super) fn restore(options: &RestoreOptions, desk: &Desk) -> Result<(), Failure> {
    let copied = herd::restore(&options.file, desk.db(), options.force)?;
    println!("database  {}: {}", desk.db().display(), told(&copied));
    if let Some(kept) = &copied.kept {
        println!("kept      {}: the database that was replaced", kept.display());
    }
    Ok(())
}

fn told(copied: &Copied) -> String {
    format!("{} tables, {} rows, {} bytes, verified", copied.tables, copied.rows, copied.bytes)
}
