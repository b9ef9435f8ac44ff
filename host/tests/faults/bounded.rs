//! A run of the program that must end by itself, soon and without a panic.

use std::fs::File;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};

/// Far more than any of these takes in a debug build on a busy computer.
const PATIENCE: Duration = Duration::from_secs(60);

/// How a run ended.
pub(crate) struct Ended {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

/// Runs it; a signal, a panic or no end are failures of the test.
pub(crate) fn ended(mut command: Command, at: &Path, about: &str) -> Ended {
    let (out, err) = (at.join("said.out"), at.join("said.err"));
    // Files, not pipes: nobody has to read while it runs.
    command.stdout(File::create(&out).unwrap()).stderr(File::create(&err).unwrap());
    let began = Instant::now();
    let mut child = command.spawn().unwrap();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if began.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("{about}: no end after {PATIENCE:?}");
        }
        thread::sleep(Duration::from_millis(2));
    };
    let read = |path: &Path| String::from_utf8_lossy(&std::fs::read(path).unwrap()).into_owned();
    let (stdout, stderr) = (read(&out), read(&err));
    assert_eq!(status.signal(), None, "{about}: {stderr}");
    let code = status.code().unwrap();
    assert!(code != 101 && !stderr.contains("panicked"), "{about}: {stderr}");
    assert!((0..=6).contains(&code), "{about}: exit code {code}");
    Ended { code, stdout, stderr }
}
