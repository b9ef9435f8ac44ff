//! The shim: compiled once, put before a `hornrule` process, its log read back.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// What call number n meets; the words of `shim.c`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    None,
    Kill,
    Tear,
    Full,
    FullOnce,
    Io,
    IoOnce,
}

impl Kind {
    const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Kill => "kill",
            Self::Tear => "tear",
            Self::Full => "full",
            Self::FullOnce => "full-once",
            Self::Io => "io",
            Self::IoOnce => "io-once",
        }
    }
}

/// One call as it was done.
#[derive(Clone, Debug)]
pub(crate) enum Act {
    Write { offset: usize, bytes: Vec<u8> },
    Truncate(usize),
    Sync,
    Unlink,
    Rename,
}

/// A call and its file: 0 main, 1 -wal, 2 -journal, 3 another file of the folder.
#[derive(Clone, Debug)]
pub(crate) struct Call {
    pub(crate) file: usize,
    pub(crate) act: Act,
}

/// Ends of the files' names, by number.
pub(crate) const ENDS: [&str; 3] = ["", "-wal", "-journal"];

fn library() -> &'static Path {
    static LIBRARY: OnceLock<PathBuf> = OnceLock::new();
    LIBRARY.get_or_init(|| {
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults/shim.c");
        let library = Path::new(env!("CARGO_TARGET_TMPDIR")).join("faults-shim.so");
        let made = Command::new("cc")
            .args(["-shared", "-fPIC", "-O1", "-Wall", "-Wextra", "-Werror", "-o"])
            .args([&library, &source])
            .output()
            .unwrap();
        assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        library
    })
}

/// Runs `hornrule` on a database, with the shim before it.
pub(crate) fn hornrule(db: &Path, words: &[&str], kind: Kind, at: usize) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_hornrule"));
    command.arg("--db").arg(db).args(words);
    put_before(&mut command, db, kind, at);
    command.output().unwrap()
}

/// Puts the shim before a process that has this database.
pub(crate) fn put_before(command: &mut Command, db: &Path, kind: Kind, at: usize) {
    let log = log_of(db);
    let _there = fs::remove_file(&log);
    command
        .env("LD_PRELOAD", library())
        .env("HORNRULE_FAULT_FILE", db)
        .env("HORNRULE_FAULT_KIND", kind.word())
        .env("HORNRULE_FAULT_AT", at.to_string())
        .env("HORNRULE_FAULT_LOG", log);
}

fn log_of(db: &Path) -> PathBuf {
    db.with_extension("calls")
}

/// Everything that the last process did to the database's files.
pub(crate) fn calls(db: &Path) -> Vec<Call> {
    let log = fs::read(log_of(db)).unwrap_or_default();
    let mut calls = Vec::new();
    let mut rest = log.as_slice();
    while let Some((head, tail)) = rest.split_first_chunk::<18>() {
        let number = |from: usize| {
            let bytes: [u8; 8] = head[from..from + 8].try_into().unwrap();
            usize::try_from(u64::from_le_bytes(bytes)).unwrap()
        };
        let (offset, length) = (number(2), number(10));
        rest = tail;
        let act = match head[0] {
            b'w' => {
                let (bytes, tail) = rest.split_at(length);
                rest = tail;
                Act::Write { offset, bytes: bytes.to_vec() }
            }
            b't' => Act::Truncate(offset),
            b's' => Act::Sync,
            b'u' => Act::Unlink,
            b'r' => Act::Rename,
            other => panic!("{other} is no call"),
        };
        calls.push(Call { file: usize::from(head[1]), act });
    }
    assert!(rest.is_empty(), "the log ends inside a call");
    calls
}

/// The numbers the shim gives to counted calls that `wanted` takes.
pub(crate) fn numbered(calls: &[Call], wanted: impl Fn(&Act) -> bool) -> Vec<usize> {
    let counted = calls.iter().filter(|call| !matches!(call.act, Act::Unlink));
    (1..).zip(counted).filter(|(_, call)| wanted(&call.act)).map(|(number, _)| number).collect()
}
