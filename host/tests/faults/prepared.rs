//! Offices to try verbs in: databases made once, and folders with a copy of one and all input files
//! beside it.

use std::fmt::Write as _;
use std::fs;
use std::hash::{BuildHasher, BuildHasherDefault, DefaultHasher};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

use tempfile::TempDir;

use crate::bench::{Bench, Handheld, Start, folder, succeeded};
use crate::rows;
use crate::verbs::{Case, State};

/// When everything happens that no recorded session dates.
const NOW: &str = "2026-03-18T08:00:00Z";
/// The farm's list, with one cow gone, one new and one renamed.
const COWS: &str = "number,tag,name,born\n12,999000000000012,Bramble,2018-01-01\n\
    27,999000000000027,Clover the Second,2023-08-12\n900,,Newcomer,2024-01-01\n";
const OTHER_RULES: &str = "[said-twice]\nwithin = 8\n[due]\nblock-off = 35\n";

/// What the virtual handheld, the demo and earlier versions have made.
pub(crate) struct Prepared {
    base: PathBuf,
    /// Number of the log that is kept aside in that state.
    aside: String,
}

impl Prepared {
    pub(crate) fn get() -> &'static Self {
        static PREPARED: OnceLock<Prepared> = OnceLock::new();
        PREPARED.get_or_init(Self::make)
    }

    fn make() -> Self {
        let base = Path::new(env!("CARGO_TARGET_TMPDIR")).join("verbs");
        let _there = fs::remove_dir_all(&base);
        fs::create_dir_all(&base).unwrap();
        let base = fs::canonicalize(base).unwrap();
        let told = |words: &str| succeeded(&command(&base).args(split(words)).output().unwrap());
        told("demo --dir demo --no-pdf");
        told("--db demo/herd.db backup hornrule.db");
        told("--db demo/season.db backup season.db");
        fs::copy(manifest("demo/prices.toml"), base.join("prices.toml")).unwrap();
        told("herd set --address Alder~Brook~Farm --address Mill~Lane~4");
        // Nothing is held, so that a bill can be issued; one decision is there to be taken back.
        told("review decide 118 --discard --who Anna --why the~crush~bar");
        told("review decide 190 --accept --who Anna --why seen");
        told("backup days.db");
        told("bill issue --who Anna");
        told(&format!("review decide {} --discard --who Anna --why no~block", last_block(&base)));
        told("backup billed.db");
        told("bill paid 2026-0001 --who Anna");
        told("backup paid.db");
        told("--db days.db backup drawn.db");
        told("--db drawn.db trial draw --ways 1,2 --seed dice --who Anna --why sanding");
        fs::copy(base.join("days.db"), base.join("two-farms.db")).unwrap();
        fs::write(base.join("neuhof.csv"), "number,name\n7,Berta\n").unwrap();
        told("--db two-farms.db herd import neuhof.csv --herd Neuhof --yes --zone Europe/Dublin");
        fs::copy(Bench::get().database(&base, Start::Listed), base.join("listed.db")).unwrap();
        fs::copy(base.join("days.db"), base.join("stale.db")).unwrap();
        let stale = rusqlite::Connection::open(base.join("stale.db")).unwrap();
        assert!(stale.execute("DELETE FROM finding", []).unwrap() > 10);
        drop(stale);
        let old = manifest("../tests/frozen/0.1.0/herd.db");
        fs::copy(old, base.join("old.db")).unwrap();
        fs::write(base.join("cows.csv"), COWS).unwrap();
        fs::write(base.join("other.toml"), OTHER_RULES).unwrap();
        fs::write(base.join("animals.json"), animals()).unwrap();
        told("study new wall.toml");
        // The first opening puts a copy into the journal mode of a database in use.
        let aside = keep_aside(&base);
        for name in ["days.db", "billed.db", "paid.db", "drawn.db", "season.db"] {
            told(&format!("--db {name} herd list"));
        }
        Self { base, aside }
    }

    /// A file of the office.
    pub(crate) fn file(&self, name: &str) -> PathBuf {
        self.base.join(name)
    }

    /// The database of a state.
    pub(crate) fn database(&self, state: State) -> PathBuf {
        self.file(match state {
            State::Days => "days.db",
            State::Billed => "billed.db",
            State::Paid => "paid.db",
            State::TwoFarms => "two-farms.db",
            State::Aside => "aside.db",
            State::Listed => "listed.db",
            State::Drawn => "drawn.db",
            State::Season => "season.db",
            State::Stale => "stale.db",
            State::Old => "old.db",
        })
    }

    /// A new office in this state.
    pub(crate) fn office(&self, state: State) -> Office {
        let folder = folder();
        let at = fs::canonicalize(folder.path()).unwrap();
        fs::copy(self.database(state), at.join("hornrule.db")).unwrap();
        for name in ["prices.toml", "cows.csv", "other.toml", "animals.json", "wall.toml"] {
            fs::copy(self.file(name), at.join(name)).unwrap();
        }
        fs::copy(self.file("billed.db"), at.join("backup.db")).unwrap();
        Office { _folder: folder, at, handheld: None }
    }
}

fn manifest(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// Splits words at blanks; `~` stands for a blank in a word.
pub(crate) fn split(words: &str) -> Vec<String> {
    words.split_whitespace().map(|word| word.replace('~', " ")).collect()
}

/// Animals as another program sends them: one known, one new.
pub(crate) fn animals() -> String {
    let one = |number: u32, name: &str| {
        serde_json::json!({
            "resourceType": "icarAnimalCoreResource",
            "identifier": { "scheme": "std.iso.11785", "id": format!("99900000000{number:04}") },
            "specie": "Cattle", "gender": "Female",
            "managementTag": number.to_string(), "name": name,
        })
    };
    serde_json::json!({ "member": [one(12, "Bramble"), one(901, "Cora")] }).to_string()
}

/// A morning of another handheld.
const ANOTHER: &str = "at 2026-03-03 08:00\npower on\nwait 5s\noffice clock\nkeys COW 01 COW\n\
    keys COW 46 COW LH FIND 22 1\nkeys COW 58 COW LH FIND 31 2\nkeys COW 12 COW RF FIND 15 3\n";

/// Makes `aside.db`: the recorded day, and then a handheld with the same name and other records.
/// Gives the number of the log that is kept aside.
fn keep_aside(base: &Path) -> String {
    let bench = Bench::get();
    fs::copy(base.join("listed.db"), base.join("aside.db")).unwrap();
    let pull = |port: &str| {
        let mut pull = command_at(base, &bench.plugged);
        pull.args(["--db", "aside.db", "pull", "--port", port]).output().unwrap()
    };
    succeeded(&pull(&bench.session));
    let conn = rusqlite::Connection::open(base.join("aside.db")).unwrap();
    let text = "SELECT printf('%016x', device), printf('%08x', log) FROM sealed LIMIT 1";
    let (device, log): (String, String) =
        conn.query_row(text, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
    drop(conn);
    fs::write(base.join("another.story"), ANOTHER).unwrap();
    let flash = base.join("another.flash");
    let name = ["--device", &device, "--log", &log];
    let play = ["handheld", "--tcp", "127.0.0.1:0", "--flash", "another.flash", "--story"];
    let mut play = command(base).args(play).arg("another.story").args(name).spawn().unwrap();
    assert!(play.wait().unwrap().success());
    let handheld = Handheld::start(&flash, &["--now", &bench.plugged]);
    assert!(!pull(&handheld.port).status.success(), "another handheld was taken for the first");
    let shown = command(base).args(["--db", "aside.db", "aside", "--json"]).output().unwrap();
    let shown: serde_json::Value = serde_json::from_slice(&shown.stdout).unwrap();
    shown[0]["log"].as_str().unwrap().to_owned()
}

/// The number of the last entry that glues a block on.
fn last_block(base: &Path) -> u32 {
    let glued = |seq: &u32| {
        let shown = command(base).args(["review", "show", &seq.to_string()]).output().unwrap();
        let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
        shown.lines().any(|line| line.starts_with('>') && line.contains("block glued on"))
    };
    (1..=281).rev().find(glued).unwrap()
}

/// The program in a folder at this time, with nothing from the environment of whoever runs the
/// tests.
fn command_at(at: &Path, now: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_hornrule"));
    command.current_dir(at).env_remove("HORNRULE_DB").env_remove("HORNRULE_WHO");
    command.args(["--pretend-now", now]).stdin(Stdio::null());
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

pub(crate) fn command(at: &Path) -> Command {
    command_at(at, NOW)
}

/// A folder with `hornrule.db` and everything that verbs read.
pub(crate) struct Office {
    _folder: TempDir,
    pub(crate) at: PathBuf,
    handheld: Option<Handheld>,
}

/// What an office holds: rows of its database, and the files a verb writes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Holds {
    pub(crate) rows: String,
    pub(crate) files: Vec<Option<Vec<u8>>>,
}

impl Office {
    pub(crate) fn db(&self) -> PathBuf {
        self.at.join("hornrule.db")
    }

    /// The program about to say these words here.
    pub(crate) fn says(&mut self, words: &str) -> Command {
        let bench = Bench::get();
        let mut all = split(words);
        let mut command = command(&self.at);
        for word in &mut all {
            match word.as_str() {
                "PORT" => *word = self.port(),
                "LOG" => word.clone_from(&Prepared::get().aside),
                "SESSION" => {
                    word.clone_from(&bench.session);
                    command = command_at(&self.at, &bench.plugged);
                }
                _ => {}
            }
        }
        command.args(all);
        command
    }

    /// Where a handheld answers; it is plugged in at the first asking.
    fn port(&mut self) -> String {
        let at = self.at.clone();
        let handheld = self.handheld.get_or_insert_with(|| {
            fs::copy(&Bench::get().flash, at.join("cow.flash")).unwrap();
            Handheld::start(&at.join("cow.flash"), &[])
        });
        handheld.port.clone()
    }

    pub(crate) fn run(&mut self, words: &str) -> Output {
        self.says(words).output().unwrap()
    }

    /// What is here of all that a case writes. For one that only writes files, every byte of the
    /// database.
    pub(crate) fn holds(&self, case: &Case, changes: bool) -> Holds {
        let files = case.files.iter().map(|name| comparable(&self.at.join(name))).collect();
        let rows = if changes { self.rows() } else { digest(&fs::read(self.db()).unwrap()) };
        Holds { rows, files }
    }

    pub(crate) fn rows(&self) -> String {
        rows::dump_for_verbs(&self.db())
    }

    /// Names of all files and folders here.
    pub(crate) fn names(&self) -> String {
        let mut names: Vec<_> = fs::read_dir(&self.at)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort_unstable();
        names.join(" ")
    }
}

/// To compare bytes within one run.
fn digest(bytes: &[u8]) -> String {
    let hasher = BuildHasherDefault::<DefaultHasher>::default();
    format!("{} bytes, {:016x}", bytes.len(), hasher.hash_one(bytes))
}

/// A file without what depends on the moment it was written at.
fn comparable(path: &Path) -> Option<Vec<u8>> {
    let bytes = fs::read(path).ok()?;
    let end = path.extension().unwrap_or_default().to_string_lossy().into_owned();
    let name = path.file_name().unwrap_or_default();
    let text = || String::from_utf8_lossy(&bytes).into_owned();
    Some(match end.as_str() {
        "db" => rows::dump_for_verbs(path).into_bytes(),
        "ics" => {
            let text = text();
            let lines = text.split_inclusive('\n');
            lines.filter(|line| !line.starts_with("DTSTAMP")).collect::<String>().into_bytes()
        }
        // Its exercises, without when they began and how long they took.
        _ if name == "practice.csv" => {
            let mut kept = String::new();
            for line in text().lines().skip(1) {
                let cells: Vec<&str> = line.split(';').collect();
                writeln!(kept, "{} {}", cells[1..3].join(";"), cells[4..].join(";")).unwrap();
            }
            return (!kept.is_empty()).then(|| kept.into_bytes());
        }
        _ => bytes,
    })
}
