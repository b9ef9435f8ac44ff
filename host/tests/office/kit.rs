//! The program, and a database with two days of the demo's farm in it.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Output, Stdio};
use std::sync::OnceLock;

use serde_json::Value;
use tempfile::TempDir;

/// Exit codes.
pub(crate) const OTHER: i32 = 1;
pub(crate) const WORDS: i32 = 2;
pub(crate) const PORT: i32 = 3;
pub(crate) const HANDHELD: i32 = 4;
pub(crate) const DATABASE: i32 = 5;
pub(crate) const FILE: i32 = 6;

/// Runs the program in a folder, on the database that is named on the command line or usual there.
pub(crate) fn hornrule(folder: &Path, words: &[&str]) -> Output {
    command(folder).args(words).output().unwrap()
}

/// Runs it on the database that the demo has made there.
pub(crate) fn on_demo(folder: &Path, words: &[&str]) -> Output {
    command(folder).env("HORNRULE_DB", "hornrule-demo/herd.db").args(words).output().unwrap()
}

/// The program in a folder, not yet run.
pub(crate) fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_hornrule"));
    command.current_dir(folder).env_remove("HORNRULE_DB").env_remove("HORNRULE_WHO");
    // A new farm takes the zone of the computer.
    command.env("TZ", "UTC");
    command
}

/// What it said, where it did what it was told.
pub(crate) fn said(output: Output, words: &[&str]) -> String {
    let wrong = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{words:?}: {wrong}");
    String::from_utf8(output.stdout).unwrap()
}

/// Runs, and gives what it said.
pub(crate) fn says(folder: &Path, words: &[&str]) -> String {
    said(hornrule(folder, words), words)
}

/// Runs, and gives its one JSON value.
pub(crate) fn json(folder: &Path, words: &[&str]) -> Value {
    serde_json::from_str(&says(folder, words)).unwrap()
}

/// Runs, and holds exit code and sentence to what is expected.
pub(crate) fn fails(folder: &Path, words: &[&str], code: i32, parts: &[&str]) {
    failed(hornrule(folder, words), words, code, parts);
}

/// Holds exit code and sentence to what is expected.
pub(crate) fn failed(output: Output, words: &[&str], code: i32, parts: &[&str]) {
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{words:?}: {said}");
    for part in parts {
        assert!(said.contains(part), "{words:?} does not say `{part}`: {said}");
    }
    assert!(!said.contains("panicked"), "{said}");
}

/// The demo, played once for all tests: the folder with a copy of each of its databases.
fn played() -> &'static Path {
    static PLAYED: OnceLock<TempDir> = OnceLock::new();
    let folder = PLAYED.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        says(folder.path(), &["demo", "--dir", "demo", "--no-pdf"]);
        says(folder.path(), &["--db", "demo/herd.db", "backup", "copy.db"]);
        says(folder.path(), &["--db", "demo/season.db", "backup", "season.db"]);
        folder
    });
    folder.path()
}

fn copied(db: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(played().join(db), folder.path().join("hornrule.db")).unwrap();
    folder
}

/// A folder with `hornrule.db`: Alder Brook, 26 cows, visits on 2026-03-03 and 2026-03-17.
pub(crate) fn two_days() -> TempDir {
    copied("copy.db")
}

/// A folder with `hornrule.db`: Larch Meadow and Stony Ford, ten months.
pub(crate) fn season() -> TempDir {
    copied("season.db")
}

/// A virtual handheld, ended with the test.
pub(crate) struct Handheld {
    child: Child,
    /// Where it answers.
    pub(crate) port: String,
    /// Kept open: a handheld whose lines nobody reads stops.
    lines: BufReader<ChildStdout>,
}

impl Handheld {
    /// On this flash, with what else is to be said.
    pub(crate) fn on(folder: &Path, flash: &str, words: &[&str]) -> Self {
        let mut command = command(folder);
        command
            .args(["handheld", "--flash", flash, "--tcp", "127.0.0.1:0"])
            .args(["--device", "c0ffee0000000001", "--log", "a1de0001"])
            .args(words);
        Self::started(&mut command)
    }

    /// As this command says.
    pub(crate) fn started(command: &mut Command) -> Self {
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        lines.read_line(&mut line).unwrap();
        let port = line.trim().strip_prefix("port ").unwrap().to_owned();
        Self { child, port, lines }
    }

    /// With a calliper of this make on its plug.
    pub(crate) fn with_calliper(folder: &Path, flash: &str, make: &str) -> Self {
        Self::on(folder, flash, &["--calliper", make])
    }

    /// Waits until its story plugs it in; gives the time it is then.
    pub(crate) fn plugged_in(&mut self) -> String {
        let mut line = String::new();
        loop {
            line.clear();
            assert!(self.lines.read_line(&mut line).unwrap() > 0, "its story has ended");
            if let Some(time) = line.trim().strip_prefix("plugged in ") {
                return time.to_owned();
            }
        }
    }

    /// Sets what the calliper's display shows, and waits until it does.
    pub(crate) fn show(&mut self, display: &str) {
        writeln!(self.child.stdin.as_mut().unwrap(), "{display}").unwrap();
        let mut line = String::new();
        while line.trim() != format!("calliper {display}") {
            line.clear();
            assert!(self.lines.read_line(&mut line).unwrap() > 0, "it never showed {display}");
        }
    }
}

impl Drop for Handheld {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ended = self.child.kill();
        let _waited = self.child.wait();
    }
}
