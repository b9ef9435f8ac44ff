//! The only way to the terminal: what verbs print goes through here.
//!
//! `print!` and `println!` of this room are those below, not the standard library's: they end no
//! verb. A pipe that is closed (`hornrule due | head -1`) lets the verb do its work unheard, and it
//! ends with 0; a device that is full is told at the end, with an exit code. What came from files,
//! handhelds and databases cannot steer the terminal (see [`shown`]).

use std::fmt::Arguments;
use std::io::{self, Write};
use std::sync::{Mutex, PoisonError};

use hornrule_facts::text::shown;

use super::Failure;

/// How the standard output is.
enum Ear {
    Open,
    /// Nobody reads it any more.
    Closed,
    Failed(io::Error),
}

static EAR: Mutex<Ear> = Mutex::new(Ear::Open);

macro_rules! print {
    ($($text:tt)*) => { $crate::cli::say::out(format_args!($($text)*)) };
}

macro_rules! println {
    () => { $crate::cli::say::out(format_args!("\n")) };
    ($($text:tt)*) => {{
        $crate::cli::say::line(format_args!($($text)*));
    }};
}

macro_rules! eprint {
    ($($text:tt)*) => { $crate::cli::say::error(format_args!($($text)*)) };
}

macro_rules! eprintln {
    ($($text:tt)*) => {{
        $crate::cli::say::error(format_args!("{}\n", format_args!($($text)*)));
    }};
}

/// On the standard output.
pub(super) fn out(text: Arguments<'_>) {
    put(shown(&text.to_string()).as_bytes());
}

/// On the standard output, with a line end.
pub(super) fn line(text: Arguments<'_>) {
    out(format_args!("{text}\n"));
}

/// On the standard error. Nobody is left to be told where that fails.
pub(super) fn error(text: Arguments<'_>) {
    let _told = io::stderr().write_all(shown(&text.to_string()).as_bytes());
}

/// What clap says: in colours where it holds nothing from outside that steers the terminal.
pub(super) fn clap(said: &clap::Error) {
    let plain = said.render().to_string();
    if shown(&plain) != plain {
        return error(format_args!("{plain}"));
    }
    if said.use_stderr() {
        // As for all errors.
        let _told = said.print();
        return;
    }
    let mut ear = EAR.lock().unwrap_or_else(PoisonError::into_inner);
    if let Err(error) = said.print().and_then(|()| io::stdout().flush()) {
        *ear = Ear::of(error);
    }
}

/// Whether nobody reads the standard output any more.
pub(super) fn is_closed() -> bool {
    matches!(*EAR.lock().unwrap_or_else(PoisonError::into_inner), Ear::Closed)
}

/// What ended because nobody listens any more ended well.
pub(super) fn unless_closed(done: Result<(), Failure>) -> Result<(), Failure> {
    if is_closed() { Ok(()) } else { done }
}

/// What went wrong with the standard output, at the end of a verb.
pub(super) fn finish() -> Result<(), Failure> {
    let mut ear = EAR.lock().unwrap_or_else(PoisonError::into_inner);
    match std::mem::replace(&mut *ear, Ear::Open) {
        Ear::Failed(error) => Err(Failure::Silent(error)),
        Ear::Open | Ear::Closed => Ok(()),
    }
}

impl Ear {
    fn of(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::BrokenPipe => Self::Closed,
            _ => Self::Failed(error),
        }
    }
}

fn put(bytes: &[u8]) {
    let mut ear = EAR.lock().unwrap_or_else(PoisonError::into_inner);
    if !matches!(*ear, Ear::Open) {
        return;
    }
    let mut out = io::stdout().lock();
    if let Err(error) = out.write_all(bytes).and_then(|()| out.flush()) {
        *ear = Ear::of(error);
    }
}

/// The standard output for what writes by itself, such as a conversation. It hears of it when
/// nobody listens any more.
pub(super) struct Out;

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        put(shown(&String::from_utf8_lossy(bytes)).as_bytes());
        match &*EAR.lock().unwrap_or_else(PoisonError::into_inner) {
            Ear::Open => Ok(bytes.len()),
            Ear::Closed => Err(io::ErrorKind::BrokenPipe.into()),
            Ear::Failed(error) => Err(error.kind().into()),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
