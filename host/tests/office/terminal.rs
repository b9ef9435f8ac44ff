//! What reaches the terminal, and what happens when it does not arrive.

use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::Stdio;

use rusqlite::Connection;
use tempfile::TempDir;

use crate::kit::{OTHER, command, hornrule, json, says, two_days};

const TALKERS: &[&[&str]] = &[
    &["--help"],
    &["--version"],
    &["status"],
    &["report", "visit"],
    &["report", "visit", "--json"],
    &["due", "--day", "2026-03-17"],
    &["herd", "list"],
    &["rules"],
    &["card"],
    &["cow", "58"],
    &["completions", "bash"],
    &["healing"],
    &["review", "list"],
    &["doctor", "--no-handheld"],
    &["ports"],
];

/// `hornrule report visit | head -0`: the reader is gone before the first word.
#[test]
fn a_closed_pipe_ends_quietly() {
    let folder = two_days();
    for words in TALKERS {
        let mut child = command(folder.path())
            .args(*words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let mut wrong = String::new();
        child.stderr.take().unwrap().read_to_string(&mut wrong).unwrap();
        assert_eq!(child.wait().unwrap().code(), Some(0), "{words:?}: {wrong}");
        assert_eq!(wrong, "", "{words:?}");
    }
}

/// A verb that writes does all its work, whether anybody listens or not.
#[test]
fn nobody_listening_stops_no_work() {
    let folder = two_days();
    let at = folder.path();
    let mut child =
        command(at).args(["backup", "monday.db"]).stdout(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
    assert!(says(at, &["--db", "monday.db", "herd", "list"]).contains("Alder Brook"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_device_is_an_error() {
    let folder = two_days();
    for words in TALKERS {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = command(folder.path()).args(*words).stdout(full).output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(OTHER), "{words:?}: {said}");
        assert!(said.contains("the standard output cannot be written"), "{words:?}: {said}");
        // Errors that cannot be told are errors all the same.
        let full = || fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let status = command(folder.path()).args(*words).stdout(full()).stderr(full()).status();
        assert_eq!(status.unwrap().code(), Some(OTHER), "{words:?}");
    }
}

/// An old database, or one of another office, whose names were never looked at.
fn steering() -> TempDir {
    const EVIL: &str = "\u{1b}]0;x\u{7}\u{1b}[2JBe\u{9b}31m\u{202e}rta\u{7f}\r\u{2066}";
    let folder = two_days();
    let conn = Connection::open(folder.path().join("hornrule.db")).unwrap();
    for change in
        ["UPDATE animal SET name = ?1 || animal", "UPDATE herd SET name = ?1, address = ?1"]
    {
        conn.execute(change, [EVIL]).unwrap();
    }
    folder
}

fn steers(text: &str) -> Option<char> {
    let kept = |c: &char| *c != '\n' && *c != '\t';
    text.chars().filter(kept).find(|c| {
        c.is_control()
            || ('\u{202a}'..='\u{202e}').contains(c)
            || ('\u{2066}'..='\u{2069}').contains(c)
    })
}

#[test]
fn nothing_from_outside_steers_the_terminal() {
    let folder = steering();
    let at = folder.path();
    fs::write(at.join("e\u{1b}[31m.csv"), "number\nx\n").unwrap();
    fs::write(at.join("bad.csv"), "number,b\u{1b}orn\n12,\u{1b}[2J\nx\u{9b}y,1\n").unwrap();
    fs::write(at.join("bad.toml"), "\"\u{9b}31m\" = 1\n").unwrap();
    fs::write(at.join("bad.json"), "[{\"identifier\": \"\\u001b[2J\"}]").unwrap();
    let wrong: &[&[&str]] = &[
        &["herd", "import", "e\u{1b}[31m.csv", "--herd", "x"],
        &["herd", "import", "bad.csv", "--herd", "x"],
        &["--config", "bad.toml", "rules"],
        &["import", "ade", "bad.json", "--herd", "x"],
        &["report", "visit", "--herd", "\u{1b}[31mx"],
        &["due\u{1b}[31m"],
        &["trial", "1", "\u{1b}[31m"],
        &["pull", "--port", "/dev/\u{1b}[31mtty"],
        &["cow", "312", "--html", "no/\u{9b}31m/page.html"],
    ];
    for words in TALKERS.iter().chain(wrong) {
        let output = hornrule(at, words);
        for text in [output.stdout, output.stderr] {
            let text = String::from_utf8(text).unwrap();
            assert_eq!(steers(&text), None, "{words:?}: {text:?}");
        }
    }
    assert!(says(at, &["report", "visit"]).contains("␛[2JBe\u{fffd}31m\u{fffd}rta␡␍"));
    // A script reads the very name.
    let listed = json(at, &["herd", "list", "--json"]);
    assert!(listed.to_string().contains("rta"), "{listed}");
    let name = listed[0]["herd"].as_str().unwrap();
    assert!(name.starts_with('\u{1b}') && name.contains('\u{202e}'), "{name:?}");
}

fn formulas(file: &Path) -> usize {
    let text = fs::read_to_string(file).unwrap();
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let cells =
        reader.records().flat_map(|row| row.unwrap().iter().map(str::to_owned).collect::<Vec<_>>());
    let cells: Vec<String> = cells.collect();
    assert!(!cells.iter().any(|cell| cell.starts_with(['=', '@'])), "{text}");
    cells.iter().filter(|cell| cell.starts_with("'=")).count()
}

#[test]
fn no_table_holds_a_formula() {
    let folder = two_days();
    let at = folder.path();
    let conn = Connection::open(at.join("hornrule.db")).unwrap();
    conn.execute_batch("UPDATE animal SET name = '=1+1'; UPDATE herd SET name = '=1+1'").unwrap();
    drop(conn);
    for page in [&["report", "visit"][..], &["report", "farm"], &["report", "vet"], &["cow", "58"]]
    {
        says(at, &[page, &["--csv", "table.csv"]].concat());
        formulas(&at.join("table.csv"));
    }
    says(at, &["due", "--day", "2026-03-17", "--csv", "table.csv"]);
    formulas(&at.join("table.csv"));
    // What is guarded in a sample is read back as it was.
    let study = include_str!("../../exchange/src/study/template.toml");
    fs::write(at.join("wall.toml"), study.replace("Alder Brook", "=1+1")).unwrap();
    says(at, &["study", "sample", "wall.toml", "--out", "table.csv"]);
    assert!(formulas(&at.join("table.csv")) > 0);
    let drawn = json(at, &["study", "check", "wall.toml", "--sample", "table.csv", "--json"]);
    assert_eq!(drawn["cows"][0]["herd"], "=1+1");
    says(at, &["study", "export", "wall.toml", "--sample", "table.csv", "--out", "set"]);
    for table in ["readings", "sample", "gauge-checks", "dimensions", "dictionary"] {
        formulas(&at.join(format!("set/{table}.csv")));
    }
}

/// A trainer in a terminal of its own.
#[cfg(all(target_os = "linux", feature = "virtual"))]
struct Trainer {
    child: std::process::Child,
    master: fs::File,
    slave: std::os::fd::OwnedFd,
    before: nix::sys::termios::Termios,
}

#[cfg(all(target_os = "linux", feature = "virtual"))]
impl Trainer {
    fn start(folder: &Path) -> Self {
        use nix::pty::{Winsize, openpty};

        let size = Winsize { ws_row: 24, ws_col: 80, ws_xpixel: 0, ws_ypixel: 0 };
        let pty = openpty(&size, None).unwrap();
        let before = nix::sys::termios::tcgetattr(&pty.slave).unwrap();
        let end = || Stdio::from(pty.slave.try_clone().unwrap());
        let child = command(folder)
            .args(["practise", "--seed", "1", "--mute"])
            .env("TERM", "xterm")
            .stdin(end())
            .stdout(end())
            .stderr(end())
            .spawn()
            .unwrap();
        Self { child, master: fs::File::from(pty.master), slave: pty.slave, before }
    }

    /// All that it writes until then.
    fn until(&mut self, what: &str) -> String {
        let (mut seen, mut buffer) = (String::new(), [0; 4096]);
        while !seen.contains(what) {
            let length = self.master.read(&mut buffer).unwrap();
            seen += &String::from_utf8_lossy(&buffer[..length]);
        }
        seen
    }

    fn send(&self, signal: &str) {
        let id = self.child.id().to_string();
        let sent = std::process::Command::new("kill").args([&format!("-{signal}"), &id]).status();
        assert!(sent.unwrap().success());
    }

    /// Until it is stopped, as a shell waits for it.
    fn stopped(&self) {
        use nix::sys::wait::{WaitPidFlag, WaitStatus, waitpid};

        let id = nix::unistd::Pid::from_raw(self.child.id() as i32);
        let status = waitpid(id, Some(WaitPidFlag::WUNTRACED)).unwrap();
        assert!(matches!(status, WaitStatus::Stopped(..)), "{status:?}");
    }

    fn is_as_before(&self) -> bool {
        let now = nix::sys::termios::tcgetattr(&self.slave).unwrap();
        (now.local_flags, now.input_flags) == (self.before.local_flags, self.before.input_flags)
    }
}

/// Ended by a signal while it has the terminal: nothing of that is left behind.
#[cfg(all(target_os = "linux", feature = "virtual"))]
#[test]
fn a_signal_gives_the_terminal_back() {
    use std::os::unix::process::ExitStatusExt;

    let folder = tempfile::tempdir().unwrap();
    for (signal, number) in [("TERM", 15), ("INT", 2), ("HUP", 1), ("QUIT", 3)] {
        let mut trainer = Trainer::start(folder.path());
        let seen = trainer.until("Esc");
        assert!(seen.contains("\u{1b}[?1049h"), "{seen:?}");
        assert!(!trainer.is_as_before());
        trainer.send(signal);
        let after = trainer.until("\u{1b}[?1049l");
        assert_eq!(trainer.child.wait().unwrap().signal(), Some(number), "{signal}");
        assert!(after.contains("\u{1b}[?25h"), "{after:?}");
        assert!(trainer.is_as_before(), "{signal}");
    }
}

/// Stopped by Ctrl-Z or from outside, it lends the terminal, and takes it again when it goes on, with
/// all of its picture. After a stop that cannot be caught, it sets its mode again.
#[cfg(all(target_os = "linux", feature = "virtual"))]
#[test]
fn a_stop_lends_the_terminal() {
    use std::io::Write;

    let folder = tempfile::tempdir().unwrap();
    let mut trainer = Trainer::start(folder.path());
    trainer.until("Esc");
    for by_hand in [false, true, false] {
        match by_hand {
            true => trainer.master.write_all(b"\x1a").unwrap(),
            false => trainer.send("TSTP"),
        }
        let lent = trainer.until("\u{1b}[?1049l");
        assert!(lent.contains("\u{1b}[?25h"), "{lent:?}");
        trainer.stopped();
        assert!(trainer.is_as_before(), "a shell finds it as it was");
        trainer.send("CONT");
        let taken = trainer.until("Esc");
        assert!(taken.contains("\u{1b}[?1049h"), "{taken:?}");
        assert!(taken.contains("hornrule") && taken.contains("LF"), "drawn anew: {taken:?}");
        assert!(!trainer.is_as_before());
    }
    trainer.send("STOP");
    trainer.stopped();
    let cooked = nix::sys::termios::SetArg::TCSANOW;
    nix::sys::termios::tcsetattr(&trainer.slave, cooked, &trainer.before).unwrap();
    trainer.send("CONT");
    trainer.until("Esc");
    assert!(!trainer.is_as_before());
    // It still hears keys, and ends as ever.
    trainer.master.write_all(b"\x1b").unwrap();
    trainer.until("\u{1b}[?1049l");
    assert!(trainer.child.wait().unwrap().success());
    assert!(trainer.is_as_before());
}
