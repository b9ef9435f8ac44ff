//! Damaged databases, opened by verbs that read and verbs that write.
//!
//! Either the verb works and says what it would have said, or it is refused in words that name the
//! file. An answer that is another one without a word is allowed only where nobody could know, and
//! those are counted.

use std::collections::BTreeMap;
use std::fs;

use hornrule_insight::luck::Luck;

use crate::bench::long;
use crate::bounded::{Ended, ended};
use crate::damage::{Damage, all};
use crate::prepared::{Office, Prepared};
use crate::verbs::State;

const DATABASE: i32 = 5;

/// What is asked; each is answered from other tables.
const QUESTIONS: [&str; 6] = [
    "herd list --json",
    "due --json",
    "review list --json",
    "cow 27 --json",
    "bill list --json",
    "report visit --json",
];

/// What is written; here only that it ends, and says so if it does not work.
const WRITES: [&str; 3] =
    ["herd mark 27 --do-not-trim --who Anna --why calves", "rebuild", "backup copy.db"];

#[derive(Default)]
struct Counted {
    equal: u32,
    refused: u32,
    /// Another answer, and `doctor` says that something is wrong.
    found_by_doctor: u32,
    /// Another answer, and nobody can know.
    unknowable: u32,
}

/// A copy with this damage, and what is said to these words.
fn said(damage: &Damage, seed: u64, words: &str) -> (Ended, Office) {
    let mut office = Prepared::get().office(State::Billed);
    damage.apply(&office.db(), &mut Luck::of(seed));
    let command = office.says(words);
    let about = format!("`{words}` on {} ({seed})", damage.name);
    (ended(command, &office.at, &about), office)
}

impl Counted {
    fn asked(
        &mut self,
        damage: &Damage,
        seed: u64,
        words: &str,
        truth: &str,
    ) -> Result<(), String> {
        let (said, office) = said(damage, seed, words);
        let about = format!("`{words}` on {} ({seed})", damage.name);
        if said.code != 0 {
            self.refused += 1;
            // A cow that was on a lost page is not found, which is said too.
            let tells = said.code == DATABASE && said.stderr.contains("hornrule.db");
            let right = tells || (!damage.can_be_known && !said.stderr.is_empty());
            return if right { Ok(()) } else { Err(format!("{about}: {}", said.stderr)) };
        }
        if said.stdout == truth {
            self.equal += 1;
            return Ok(());
        }
        drop(office);
        let (doctor, _office) = self::said(damage, seed, "doctor --no-handheld");
        if doctor.code == DATABASE || doctor.stdout.contains("note  tables") {
            self.found_by_doctor += 1;
        } else {
            self.unknowable += 1;
        }
        if damage.can_be_known { Err(format!("{about}: another answer, unsaid")) } else { Ok(()) }
    }
}

#[test]
fn p8_damaged_databases() {
    let days = Prepared::get().database(State::Billed);
    let truths: BTreeMap<&str, String> = QUESTIONS
        .into_iter()
        .map(|words| {
            let mut office = Prepared::get().office(State::Billed);
            let said = ended(office.says(words), &office.at, words);
            assert_eq!(said.code, 0, "{words}: {}", said.stderr);
            (words, said.stdout)
        })
        .collect();
    let mut luck = Luck::of(150);
    let mut counted = Counted::default();
    let mut broken = Vec::new();
    let damages = all(&days, if long() { 20 } else { 4 });
    for (at, damage) in damages.iter().enumerate() {
        let seed = luck.bits() >> 32;
        let questions = if long() { QUESTIONS.len() } else { 1 };
        for turn in 0..questions {
            let words = QUESTIONS[(at + turn) % QUESTIONS.len()];
            if let Err(why) = counted.asked(damage, seed, words, &truths[words]) {
                broken.push(why);
            }
        }
        let words = WRITES[at % WRITES.len()];
        let (said, office) = said(damage, seed, words);
        if said.code != 0 && said.stderr.is_empty() {
            broken.push(format!("`{words}` on {}: fails without a word", damage.name));
        }
        // A backup that was called verified is whole.
        let copy = office.at.join("copy.db");
        if words.starts_with("backup") && said.code == 0 {
            crate::bench::whole(&copy, &damage.name);
        }
        let left = fs::read_dir(&office.at).unwrap().count();
        assert!(left < 40, "{}: {left} files are left", damage.name);
    }
    let Counted { equal, refused, found_by_doctor, unknowable } = counted;
    eprintln!(
        "{} databases: {equal} answers right, {refused} refused, {found_by_doctor} others that \
         doctor finds, {unknowable} that nobody can know",
        damages.len()
    );
    assert!(damages.len() >= if long() { 150 } else { 90 });
    assert!(broken.is_empty(), "{} faults\n{}", broken.len(), broken.join("\n"));
}
