//! P4: a database that somebody else holds, and two pulls into one database at once.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::fs;
use std::io::{self, BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::sync::OnceLock;
use std::thread;
use std::time::Duration;

use hornrule::office;
use hornrule_exchange::{Target, import_herd};
use hornrule_herd::Database;
use hornrule_line::clock::Clock;
use hornrule_line::port;
use hornrule_line::port::{Address, Port};
use rusqlite::Connection;

#[path = "../../tests/rows.rs"]
#[expect(dead_code, unreachable_pub, reason = "a library file of another crate, used in part")]
mod rows;

/// `now` is the true time of the session: at another one the office's clock contradicts the
/// handheld's, and the remark on it says by how much.
fn command(db: &Path, now: &str, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_hornrule"));
    command.arg("--db").arg(db).args(["--pretend-now", now]).args(words);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

fn succeeded(output: &Output) {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// A recorded session: the port that replays it, and the true time at which the cable went in.
struct Session {
    port: String,
    plugged: String,
}

/// A recorded session of half the story's day.
fn session() -> &'static Session {
    static SESSION: OnceLock<Session> = OnceLock::new();
    SESSION.get_or_init(|| {
        let base = Path::new(env!("CARGO_TARGET_TMPDIR")).join("two-offices");
        let _there = fs::remove_dir_all(&base);
        fs::create_dir_all(&base).unwrap();
        let told = include_str!("../demo/alder-brook.story");
        let (half_a_day, _) = told.split_once("# Sole ulcer on the left hind").unwrap();
        fs::write(base.join("day.story"), format!("{half_a_day}wait 1h\nplug in\n")).unwrap();
        let mut handheld: Child = Command::new(env!("CARGO_BIN_EXE_hornrule"))
            .current_dir(&base)
            .args(["handheld", "--flash", "day.flash", "--story", "day.story"])
            .args(["--tcp", "127.0.0.1:0", "--device", "c0ffee0000000001", "--log", "a1de0001"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        // Kept open: a handheld whose lines nobody reads stops.
        let mut lines = BufReader::new(handheld.stdout.take().unwrap());
        let mut line = String::new();
        lines.read_line(&mut line).unwrap();
        let port = line.trim().strip_prefix("port ").unwrap().to_owned();
        while !line.starts_with("plugged in ") {
            line.clear();
            assert!(lines.read_line(&mut line).unwrap() > 0, "the handheld stopped");
        }
        let plugged = line.trim().strip_prefix("plugged in ").unwrap().to_owned();
        let file = base.join("day.session");
        let record = ["pull", "--port", &port, "--record", file.to_str().unwrap()];
        succeeded(&command(&base.join("recorded.db"), &plugged, &record).output().unwrap());
        handheld.kill().unwrap();
        handheld.wait().unwrap();
        Session { port: format!("replay:{}", file.display()), plugged }
    })
}

fn listed(folder: &Path, name: &str) -> PathBuf {
    let db = folder.join(name);
    let mut herd = Database::open(&db).unwrap();
    let (name, zone) = ("Alder Brook".to_owned(), "Europe/Dublin".to_owned());
    let list = include_bytes!("../demo/alder-brook.csv");
    import_herd(&mut herd, &Target { name, farm: Some(1), zone }, &list[..]).unwrap();
    db
}

fn pull(db: &Path) -> Command {
    let Session { port, plugged } = session();
    command(db, plugged, &["pull", "--port", port])
}

fn rows_of(db: &Path) -> String {
    rows::dump_without(db, &["at_ms", "until_ms"])
}

/// The rows of one pull, alone.
fn alone() -> String {
    let folder = tempfile::tempdir().unwrap();
    let db = listed(folder.path(), "herd.db");
    succeeded(&pull(&db).output().unwrap());
    rows_of(&db)
}

/// Takes the database for itself until the connection is dropped.
fn hold(db: &Path) -> Connection {
    let holder = Connection::open(db).unwrap();
    holder.busy_timeout(Duration::from_secs(5)).unwrap();
    holder.execute_batch("BEGIN IMMEDIATE").unwrap();
    holder
}

#[test]
fn p4_held_for_longer_than_the_patience() {
    let folder = tempfile::tempdir().unwrap();
    let db = listed(folder.path(), "herd.db");
    let holder = hold(&db);
    let output = pull(&db).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(5), "{said}");
    for part in ["herd.db", "in use by another program", "try again"] {
        assert!(said.contains(part), "{said}");
    }
    drop(holder);
    succeeded(&pull(&db).output().unwrap());
    assert_eq!(rows_of(&db), alone());
}

#[test]
fn p4_held_for_shorter_than_the_patience() {
    let folder = tempfile::tempdir().unwrap();
    let db = listed(folder.path(), "herd.db");
    let holder = hold(&db);
    let waiting = pull(&db).spawn().unwrap();
    // Long enough that it has to wait, far shorter than its five seconds.
    thread::sleep(Duration::from_millis(700));
    drop(holder);
    succeeded(&waiting.wait_with_output().unwrap());
    assert_eq!(rows_of(&db), alone());
}

/// A port that lets another program have the database from one of its reads on.
struct Snatching {
    port: Box<dyn Port>,
    db: PathBuf,
    reads_left: u32,
    holder: Option<Connection>,
}

impl Port for Snatching {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.port.send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.reads_left = self.reads_left.saturating_sub(1);
        if self.reads_left == 0 && self.holder.is_none() {
            self.holder = Some(hold(&self.db));
        }
        self.port.receive(buffer, wait)
    }
}

struct Evening;
impl Clock for Evening {
    fn unix_ms(&self) -> i64 {
        1_772_560_800_000
    }
}

/// Taken away between the probes and the batches, and never given back while the pull runs.
#[test]
fn p4_taken_in_the_middle_of_a_pull() {
    let folder = tempfile::tempdir().unwrap();
    let db = listed(folder.path(), "herd.db");
    let address: Address = session().port.parse().unwrap();
    let port = port::open(&address).unwrap();
    let mut port = Snatching { port, db: db.clone(), reads_left: 5, holder: None };
    let mut herd = Database::open(&db).unwrap();
    let error = office::pull(&mut port, &mut herd, &Evening, "", &mut |_, _| {}).unwrap_err();
    let said = error.to_string();
    assert!(said.contains("herd.db") && said.contains("in use by another program"), "{said}");
    assert!(port.holder.is_some());
    drop((port, herd));
    assert_eq!(rows::count(&db, "sealed"), 0);
    succeeded(&pull(&db).output().unwrap());
    assert_eq!(rows_of(&db), alone());
}

#[test]
fn p4_two_pulls_at_once() {
    let expected = alone();
    let rounds = if std::env::var_os("HORNRULE_LONG").is_some() { 60 } else { 6 };
    let folder = tempfile::tempdir().unwrap();
    for round in 0..rounds {
        let db = listed(folder.path(), &format!("{round}.db"));
        let pulls = [pull(&db).spawn().unwrap(), pull(&db).spawn().unwrap()];
        for one in pulls {
            succeeded(&one.wait_with_output().unwrap());
        }
        assert_eq!(rows_of(&db), expected, "round {round}");
    }
}

/// Both find no file, and both make it.
#[test]
fn p4_two_first_pulls_at_once() {
    let rounds = if std::env::var_os("HORNRULE_LONG").is_some() { 200 } else { 10 };
    let folder = tempfile::tempdir().unwrap();
    let one = folder.path().join("one.db");
    succeeded(&pull(&one).output().unwrap());
    let expected = rows_of(&one);
    for round in 0..rounds {
        let db = folder.path().join(format!("{round}.db"));
        let pulls = [pull(&db).spawn().unwrap(), pull(&db).spawn().unwrap()];
        for one in pulls {
            succeeded(&one.wait_with_output().unwrap());
        }
        assert_eq!(rows_of(&db), expected, "round {round}");
    }
}
