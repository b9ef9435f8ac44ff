//! A file that grows while something goes on, such as a recorded session.
//!
//! A new one has its name at once, so that what was recorded is there whatever happens. One that
//! replaces another grows beside it and takes its name at the end.

use std::fs::{File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::{OutputError, Place, part, place, settle, sync_folder_of};

/// A file that grows.
pub struct Stream {
    path: PathBuf,
    into: Into,
}

enum Into {
    Named(File),
    Beside(NamedTempFile, Box<Place>),
}

impl Stream {
    /// Opens it.
    ///
    /// # Errors
    /// As [`super::write`].
    pub fn open(path: &Path) -> Result<Self, OutputError> {
        let place = place(path)?;
        let into = if place.before.is_some() {
            Into::Beside(part(&place, path)?, Box::new(place))
        } else {
            let made = OpenOptions::new().write(true).create_new(true).open(&place.real);
            Into::Named(made.map_err(OutputError::io(path))?)
        };
        Ok(Self { path: path.to_owned(), into })
    }

    /// Makes it durable and gives it its name.
    ///
    /// # Errors
    /// As [`super::write`].
    pub fn finish(self) -> Result<(), OutputError> {
        match self.into {
            Into::Named(file) => {
                file.sync_all().map_err(OutputError::io(&self.path))?;
                // It has its name; a folder that cannot be synced does not take it away again.
                let _durable = sync_folder_of(&self.path);
                Ok(())
            }
            Into::Beside(part, place) => settle(part, &place, &self.path),
        }
    }
}

impl Write for Stream {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = match &mut self.into {
            Into::Named(file) => file.write(bytes),
            Into::Beside(part, _) => part.write(bytes),
        };
        // Whoever gets this error knows a line and a handheld, and no file.
        written.map_err(|error| {
            let kind = error.kind();
            io::Error::new(kind, OutputError::io(&self.path)(error))
        })
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
