//! A recorded session, a database with a herd list, and the rows that the session ends in.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Output, Stdio};
use std::sync::OnceLock;

use hornrule_exchange::{Target, import_herd};
use hornrule_herd::Database;
use rusqlite::Connection;

use crate::rows;
use crate::shim;
use crate::shim::{ENDS, Kind};

/// Columns that follow the computer's clock while a pull runs, which no two pulls share.
const OF_THE_CLOCK: [&str; 2] = ["at_ms", "until_ms"];

/// A second start of the same day, never told the time: its records hang on the pull's own anchor.
const AFTERNOON: &str = "wait 1h\npower off\npower on\nkeys COW 01 COW COW 46 COW LH FIND 31 2\n\
    keys DO 60\nwait 90s\n";

/// Whether the long set of faults is wanted (`./check --long`).
pub(crate) fn long() -> bool {
    std::env::var_os("HORNRULE_LONG").is_some()
}

/// All of these, or about `quick` of them, first and last among them.
pub(crate) fn sample<T: Clone>(all: &[T], quick: usize) -> Vec<T> {
    if long() || all.len() <= quick {
        return all.to_vec();
    }
    (0..quick).map(|i| all[i * (all.len() - 1) / (quick - 1)].clone()).collect()
}

/// In memory where there is such a place: what is durable is judged from calls, not from a disk.
pub(crate) fn folder() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

/// What a pull begins with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Start {
    /// No file at all: the pull makes it.
    Fresh,
    /// A herd list is in it.
    Listed,
    /// All but the second start of the day was pulled before: one batch is new, and with it the
    /// only anchor of its boot.
    Second,
}

const STARTS: [Start; 3] = [Start::Fresh, Start::Listed, Start::Second];

pub(crate) struct Bench {
    pub(crate) session: String,
    /// True time at which it was recorded.
    pub(crate) plugged: String,
    /// A handheld's flash with everything still on it.
    pub(crate) flash: PathBuf,
    /// Databases before the pull and rows after it, by start.
    before: [Option<PathBuf>; 3],
    after: [String; 3],
}

impl Bench {
    pub(crate) fn get() -> &'static Self {
        static BENCH: OnceLock<Bench> = OnceLock::new();
        BENCH.get_or_init(Self::make)
    }

    fn make() -> Self {
        let base = Path::new(env!("CARGO_TARGET_TMPDIR")).join("faults");
        let _there = fs::remove_dir_all(&base);
        fs::create_dir_all(&base).unwrap();
        let told = include_str!("../../demo/alder-brook.story");
        let (half_a_day, _) = told.split_once("# Sole ulcer on the left hind").unwrap();
        let (story, flash) = (base.join("day.story"), base.join("handheld.flash"));
        fs::write(&story, format!("{half_a_day}{AFTERNOON}")).unwrap();
        let mut child = Handheld::start(&flash, &["--story", story.to_str().unwrap()]);
        assert!(child.process.wait().unwrap().success());
        let listed = base.join("listed.db");
        let mut herd = Database::open(&listed).unwrap();
        let (name, zone) = ("Alder Brook".to_owned(), "Europe/Dublin".to_owned());
        let list = include_bytes!("../../demo/alder-brook.csv");
        import_herd(&mut herd, &Target { name, farm: Some(1), zone }, &list[..]).unwrap();
        drop(herd);
        // The same day again, with the cable in at its end; and once cut short, for the second
        // pull of a day.
        let second = base.join("second.db");
        fs::copy(&listed, &second).unwrap();
        record(&base, &format!("{half_a_day}wait 1h\nplug in\n"), &second);
        let recorded = base.join("recorded.db");
        let (session, plugged) =
            record(&base, &format!("{half_a_day}{AFTERNOON}plug in\n"), &recorded);
        let before = [None, Some(listed), Some(second)];
        let mut bench = Self { session, plugged, flash, before, after: Default::default() };
        let folder = folder();
        for start in STARTS {
            let db = bench.database(folder.path(), start);
            succeeded(&bench.pull(&db, Kind::None, 0));
            let rows = rows_of(&db);
            assert!(rows.lines().count() > 100, "{rows}");
            bench.after[start as usize] = rows;
        }
        // What was pulled twice is the same day.
        assert!(bench.after[1] == bench.after[2], "two pulls of the day are not one");
        bench
    }

    /// A database as it is before the pull, with nothing of an earlier one beside it.
    pub(crate) fn database(&self, folder: &Path, start: Start) -> PathBuf {
        let db = folder.join("herd.db");
        for end in [&ENDS[..], &["-shm"]].concat() {
            let _there = fs::remove_file(format!("{}{end}", db.display()));
        }
        if let Some(before) = &self.before[start as usize] {
            fs::copy(before, &db).unwrap();
        }
        db
    }

    /// The files before the pull, by number.
    pub(crate) fn files(&self, start: Start) -> [Option<Vec<u8>>; 3] {
        let before = self.before[start as usize].as_ref();
        [before.map(|before| fs::read(before).unwrap()), None, None]
    }

    /// Pulls the recorded session in a process of its own.
    pub(crate) fn pull(&self, db: &Path, kind: Kind, at: usize) -> Output {
        shim::hornrule(db, &pull(&self.session, &self.plugged, &[]), kind, at)
    }

    /// The database is whole, and a further pull ends in the rows of an undisturbed one.
    pub(crate) fn holds(&self, db: &Path, start: Start, about: &str) {
        whole(db, about);
        let next = self.pull(db, Kind::None, 0);
        assert!(next.status.success(), "{about}: {}", String::from_utf8_lossy(&next.stderr));
        assert!(rows_of(db) == self.rows(start), "{about}: other rows");
    }

    /// The rows of an undisturbed pull.
    pub(crate) fn rows(&self, start: Start) -> &str {
        &self.after[start as usize]
    }
}

/// Plays a story to its `plug in`, pulls into `db`, and gives the port that replays the session and
/// the true time at which it was recorded.
fn record(base: &Path, story: &str, db: &Path) -> (String, String) {
    let (written, flash) = (base.join("plugged.story"), base.join("plugged.flash"));
    let session = base.join("day.session");
    // Blank again, with its plan: a plan that is there already is not loaded again, and seals nothing.
    for end in ["flash", "plan-flash"] {
        let _there = fs::remove_file(flash.with_extension(end));
    }
    fs::write(&written, story).unwrap();
    let handheld = Handheld::start(&flash, &["--story", written.to_str().unwrap()]);
    let words = pull(&handheld.port, &handheld.plugged, &["--record", session.to_str().unwrap()]);
    succeeded(&shim::hornrule(db, &words, Kind::None, 0));
    (format!("replay:{}", session.display()), handheld.plugged.clone())
}

/// The words of a pull at this time.
pub(crate) fn pull<'a>(port: &'a str, now: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let words = ["--pretend-now", now, "pull", "--port", port];
    [&words[..], more].concat()
}

pub(crate) fn rows_of(db: &Path) -> String {
    rows::dump_without(db, &OF_THE_CLOCK)
}

/// SQLite's own check of the whole file.
pub(crate) fn whole(db: &Path, about: &str) {
    if !db.exists() {
        return;
    }
    let conn = Connection::open(db).unwrap();
    let said: String =
        conn.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap_or_else(|e| {
            panic!("{about}: {e}");
        });
    assert_eq!(said, "ok", "{about}");
}

pub(crate) fn succeeded(output: &Output) {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// A virtual handheld on TCP; it does not outlive the test.
pub(crate) struct Handheld {
    pub(crate) port: String,
    /// True time at which the cable went in; empty for a story that ends without it.
    pub(crate) plugged: String,
    process: Child,
    /// Kept open: a handheld whose lines nobody reads stops.
    _lines: BufReader<ChildStdout>,
}

impl Handheld {
    pub(crate) fn start(flash: &Path, more: &[&str]) -> Self {
        let mut process = Command::new(env!("CARGO_BIN_EXE_hornrule"))
            .args(["handheld", "--tcp", "127.0.0.1:0", "--flash"])
            .arg(flash)
            .args(["--device", "c0ffee0000000001", "--log", "a1de0001"])
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(process.stdout.take().unwrap());
        let mut port = String::new();
        lines.read_line(&mut port).unwrap();
        let port = port.trim().strip_prefix("port ").unwrap().to_owned();
        // The port is there before the handheld is, and cues come before the cable.
        let mut line = String::new();
        while !line.starts_with("plugged in ") && !line.starts_with("end") {
            line.clear();
            assert!(lines.read_line(&mut line).unwrap() > 0, "the handheld stopped");
        }
        let plugged = line.trim().strip_prefix("plugged in ").unwrap_or_default().to_owned();
        Self { port, plugged, process, _lines: lines }
    }
}

impl Drop for Handheld {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _killed = self.process.kill();
        let _waited = self.process.wait();
    }
}
