//! The only writer of files that a person names.
//!
//! A file is whole or as it was: bytes go to a file of a random name in the same folder, made
//! exclusively (never through a link), are synced, and take the name by a rename. A file that is
//! replaced gives its mode to the new one. A link is followed to the file that it names.

mod error;
mod place;
mod stream;

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

use tempfile::{Builder, NamedTempFile};

pub use error::OutputError;
pub use place::protect;
use place::{Place, place, place_of_copy};
pub use stream::Stream;

/// The ending of what is not whole yet.
const PART: &str = ".part";
/// How its name begins; hidden, and told apart from anybody else's.
const OURS: &str = ".hornrule-";

/// Writes a file whole, or leaves what was there as it was.
///
/// # Errors
/// [`OutputError`].
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), OutputError> {
    let place = place(path)?;
    let mut part = part(&place, path)?;
    part.write_all(bytes).map_err(OutputError::io(path))?;
    settle(part, &place, path)
}

/// Writes a file that is not there yet.
///
/// # Errors
/// `Exists`, and all of [`write()`].
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), OutputError> {
    if place(path)?.before.is_some() {
        return Err(OutputError::Exists { path: path.to_owned() });
    }
    write(path, bytes)
}

/// Adds to the end of a file; makes it if missing.
///
/// # Errors
/// As [`write()`].
pub fn append(path: &Path, bytes: &[u8]) -> Result<(), OutputError> {
    let place = place(path)?;
    let io = || OutputError::io(path);
    let mut file = OpenOptions::new().append(true).create(true).open(&place.real).map_err(io())?;
    file.write_all(bytes).map_err(io())
}

/// Makes a folder and those above it, where they are missing.
///
/// # Errors
/// `NotAFolder`, and the disk's own.
pub fn folder(path: &Path) -> Result<(), OutputError> {
    if path.as_os_str().is_empty() {
        return Err(OutputError::NoName);
    }
    match fs::metadata(path) {
        Ok(there) if there.is_dir() => Ok(()),
        Ok(_) => Err(OutputError::NotAFolder { path: path.to_owned() }),
        Err(_) => fs::create_dir_all(path).map_err(OutputError::io(path)),
    }
}

/// Whether a file may be written at all; writes nothing. For files that something else keeps open.
///
/// # Errors
/// As [`write()`].
pub fn check(path: &Path) -> Result<(), OutputError> {
    place(path).map(drop)
}

/// Whether a copy of a database may be written there, also over an earlier copy; writes nothing.
///
/// # Errors
/// As [`write()`].
pub fn check_copy(path: &Path) -> Result<(), OutputError> {
    place_of_copy(path).map(drop)
}

/// Makes an empty file for its owner alone, where nothing has that name. Gives whether it did.
///
/// # Errors
/// The disk's own.
pub fn create_private(path: &Path) -> io::Result<bool> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    match options.open(path) {
        Ok(_) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
        Err(error) => Err(error),
    }
}

/// An empty file of a random name beside another, for its owner alone; gone when dropped.
///
/// # Errors
/// The disk's own, with the name of the file that it stands beside.
pub fn private_beside(path: &Path) -> Result<NamedTempFile, OutputError> {
    let made = Builder::new().prefix(OURS).suffix(PART).tempfile_in(folder_of(path));
    made.map_err(OutputError::io(path))
}

/// Gives a file another name only where nothing has it; where links are not known, by a copy.
///
/// # Errors
/// `AlreadyExists`, and the disk's own.
pub fn keep_as(file: &Path, name: &Path) -> io::Result<()> {
    match fs::hard_link(file, name) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => {
            if !create_private(name)? {
                return Err(io::ErrorKind::AlreadyExists.into());
            }
            fs::copy(file, name).and_then(|_| File::open(name)?.sync_all())
        }
        done => done,
    }
}

/// Makes a rename in a file's folder durable.
///
/// # Errors
/// The disk's own.
pub fn sync_folder_of(path: &Path) -> io::Result<()> {
    // Only Unix lets a folder be synced.
    if cfg!(unix) { File::open(folder_of(path))?.sync_all() } else { Ok(()) }
}

fn folder_of(path: &Path) -> &Path {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

/// The file that takes the name later: of the same mode as what it replaces, or what is usual.
fn part(place: &Place, path: &Path) -> Result<NamedTempFile, OutputError> {
    let mut builder = Builder::new();
    builder.prefix(OURS).suffix(PART);
    #[cfg(unix)]
    let usual: fs::Permissions = std::os::unix::fs::PermissionsExt::from_mode(0o666);
    #[cfg(unix)]
    builder.permissions(usual);
    let part = builder.tempfile_in(folder_of(&place.real)).map_err(OutputError::io(path))?;
    if let Some(before) = &place.before {
        #[cfg(unix)]
        {
            use std::os::unix::fs::{MetadataExt, fchown};
            // Only a superuser may give files away; for all others it is theirs already.
            let _given = fchown(part.as_file(), Some(before.uid()), Some(before.gid()));
        }
        part.as_file().set_permissions(before.permissions()).map_err(OutputError::io(path))?;
    }
    Ok(part)
}

/// Makes it durable, and gives it the name.
fn settle(part: NamedTempFile, before: &Place, path: &Path) -> Result<(), OutputError> {
    let io = || OutputError::io(path);
    part.as_file().sync_all().map_err(io())?;
    // Looked at again: a database may have been made under that name since.
    let now = place(path)?;
    if now.real != before.real {
        return Err(OutputError::Changed { path: path.to_owned() });
    }
    let named = match now.before {
        Some(_) => part.persist(&now.real),
        None => part.persist_noclobber(&now.real),
    };
    named.map_err(|error| match error.error.kind() {
        io::ErrorKind::AlreadyExists => OutputError::Changed { path: path.to_owned() },
        _ => io()(error.error),
    })?;
    // It has its name; a folder that cannot be synced does not take it away again.
    let _durable = sync_folder_of(&now.real);
    Ok(())
}

/// Whether two open or named files are one: by device and number, or where there are none by name.
#[must_use]
pub fn same_file(one: &Path, other: &Path) -> bool {
    place::same(one, other)
}

#[cfg(test)]
mod tests;
