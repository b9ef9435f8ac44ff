//! Hostile files given to every verb that reads one.
//!
//! No panic, an end soon, an error that names the file, and a database that is as it was unless the
//! file was taken.

use std::collections::BTreeMap;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use hornrule_insight::luck::Luck;

use crate::bench::{Bench, long, succeeded, whole};
use crate::bounded::ended;
use crate::mutation::{WAYS, Way, write};
use crate::prepared::{Office, Prepared};
use crate::verbs::State;

/// A verb that reads a file: the file's name in its words, and what else a refusal may speak of
/// where the file itself could be read.
struct Reader {
    words: &'static str,
    file: &'static str,
    state: State,
    else_says: &'static [&'static str],
}

const fn reader(words: &'static str, file: &'static str) -> Reader {
    Reader { words, file, state: State::Days, else_says: &[] }
}

const READERS: [Reader; 12] = [
    reader("herd import bad.csv --herd Alder~Brook --yes", "bad.csv"),
    reader("herd import bad.csv --herd Alder~Brook --yes --encoding latin-1", "bad.csv"),
    reader("import ade bad.json --herd Alder~Brook --yes", "bad.json"),
    Reader {
        else_says: &["nothing to bill", "EUR", "price"],
        ..reader("bill draft --prices bad.toml", "bad.toml")
    },
    reader("rules --config bad.toml", "bad.toml"),
    reader("due --config bad.toml", "bad.toml"),
    reader("study check bad.toml", "bad.toml"),
    reader("study sample bad.toml", "bad.toml"),
    reader("study check wall.toml --sample bad.csv", "bad.csv"),
    reader("export ade --herd Alder~Brook --out out.json --earlier bad.json", "bad.json"),
    Reader { state: State::Listed, ..reader("pull --port replay:bad.session", "bad.session") },
    Reader { else_says: &["is incomplete"], ..reader("restore bad.db --force", "bad.db") },
];

impl Reader {
    /// A file that this verb takes.
    fn good(&self, office: &mut Office) -> Vec<u8> {
        let read = |name: &str| fs::read(office.at.join(name)).unwrap();
        match self.words.split_whitespace().next().unwrap() {
            "herd" => read("cows.csv"),
            "import" => read("animals.json"),
            "bill" => read("prices.toml"),
            "rules" | "due" => read("other.toml"),
            "study" if self.file == "bad.toml" => read("wall.toml"),
            "study" => {
                succeeded(&office.run("study sample wall.toml --out bad.csv"));
                fs::read(office.at.join("bad.csv")).unwrap()
            }
            "export" => {
                succeeded(&office.run("export ade --herd Alder~Brook --out bad.json"));
                fs::read(office.at.join("bad.json")).unwrap()
            }
            "pull" => fs::read(Bench::get().session.strip_prefix("replay:").unwrap()).unwrap(),
            _ => read("backup.db"),
        }
    }

    /// Gives the verb one bad file; says whether it took it.
    fn tried(&self, office: &mut Office, rows: &str, about: &str) -> bool {
        let command = office.says(self.words);
        let said = ended(command, &office.at, about);
        whole(&office.db(), about);
        if said.code == 0 {
            return true;
        }
        let named = [&[self.file], self.else_says].concat();
        let names = named.iter().any(|part| said.stderr.contains(part));
        assert!(names, "{about}: names no file: {}", head(&said.stderr));
        // A session may bring records before it goes wrong, and these are kept.
        let kept = self.words.starts_with("pull") || office.rows() == rows;
        assert!(kept, "{about}: refused, and the database is another: {}", head(&said.stderr));
        assert!(said.stderr.len() < 20_000, "{about}: says {} bytes", said.stderr.len());
        false
    }
}

fn head(text: &str) -> String {
    text.chars().take(300).collect()
}

/// A session that is replayed holds the answers of a handheld: every way but those that say
/// nothing about it.
fn tries(each: usize) -> Vec<Way> {
    WAYS.into_iter().cycle().take(each).collect()
}

#[test]
fn p8_hostile_files() {
    let _made_first = Bench::get();
    let each = if long() { 100 } else { 20 };
    let mut luck = Luck::of(1000);
    // All are tried, whatever becomes of one: the list of what breaks is the result.
    let mut broken = Vec::new();
    let mut count: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    for reader in &READERS {
        let mut office = Prepared::get().office(reader.state);
        let good = reader.good(&mut office);
        let mut rows = office.rows();
        for (at, way) in tries(each).into_iter().enumerate() {
            let bad = office.at.join(reader.file);
            write(&bad, &good, way, &mut luck);
            let about = format!("`{}` on file {at}, {way:?}", reader.words);
            let tried = catch_unwind(AssertUnwindSafe(|| reader.tried(&mut office, &rows, &about)));
            let Ok(taken) = tried else {
                broken.push(about);
                office = fresh(reader.state, &office.at);
                continue;
            };
            let counted = count.entry(reader.words).or_default();
            *if taken { &mut counted.0 } else { &mut counted.1 } += 1;
            if taken || reader.words.starts_with("pull") {
                office = fresh(reader.state, &office.at);
                rows = office.rows();
            }
        }
    }
    let mut all = 0;
    for (words, (taken, refused)) in &count {
        eprintln!("{words}: {taken} taken, {refused} refused");
        all += taken + refused;
        assert!(*refused > 0, "{words}: nothing was refused");
    }
    eprintln!("{all} hostile files");
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

/// A new office, with what the last one wrote for itself.
fn fresh(state: State, last: &Path) -> Office {
    let office = Prepared::get().office(state);
    for entry in fs::read_dir(last).unwrap() {
        let path = entry.unwrap().path();
        let to = office.at.join(path.file_name().unwrap());
        if !to.exists() && path.is_file() && !path.to_string_lossy().contains("hornrule.db") {
            fs::copy(&path, to).unwrap();
        }
    }
    office
}
