//! `hornrule calliper`: the proof as a person goes through it, with the virtual handheld on the wire and a
//! calliper on its plug.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdout, Stdio};

use crate::kit::{HANDHELD, Handheld, OTHER, WORDS, command, fails, json, says};

/// `hornrule calliper prove`, and the person at it.
struct Person {
    child: Child,
    lines: BufReader<ChildStdout>,
}

impl Person {
    fn begins(folder: &Path, port: &str, words: &[&str]) -> Self {
        let mut child = command(folder)
            .args(["calliper", "prove", "--port", port])
            .args(words)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap());
        Self { child, lines }
    }

    /// The next line in which this stands.
    fn told(&mut self, word: &str) -> String {
        loop {
            let mut line = String::new();
            assert!(self.lines.read_line(&mut line).unwrap() > 0, "it never says `{word}`");
            if line.contains(word) {
                return line;
            }
        }
    }

    fn enter(&mut self) {
        self.child.stdin.as_mut().unwrap().write_all(b"\n").unwrap();
    }

    /// Exit code, and what was said to standard error.
    fn ends(mut self) -> (Option<i32>, String) {
        drop(self.child.stdin.take());
        let output = self.child.wait_with_output().unwrap();
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    }
}

#[test]
fn a_person_proves_a_calliper_and_the_handheld_keeps_it() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let mut handheld = Handheld::with_calliper(folder, "cow.flash", "bcd52,inverted,inch8");
    let shown = ["calliper", "--port", &handheld.port.clone(), "--json"];
    assert_eq!(json(folder, &shown)["proved"], false);
    let mut person = Person::begins(folder, &handheld.port, &["--gauge", "75.00"]);
    // The second step is done wrongly first.
    for (display, says) in [
        ("0.00 mm", "it shows 0.00 mm"),
        ("57.00 mm", "in doubt: it shows 57.00 mm, not 75.00 mm"),
        ("75.00 mm", "it shows 75.00 mm"),
        ("-75.00 mm", "it shows -75.00 mm"),
        ("-2.9525 in", "it shows -2.9525 in"),
    ] {
        handheld.show(display);
        person.enter();
        let line = person.told("it shows");
        assert!(line.contains(says), "{line}");
    }
    let proved = person.told("proved ");
    let words = "13 digits in 52 bits, on request; data counts when the clock rises, low is one; \
                 inch is unit 8";
    assert!(proved.contains(words), "{proved}");
    assert_eq!(person.ends(), (Some(0), String::new()));
    let setting = json(folder, &shown)["setting"].clone();
    assert_eq!((&setting["kind"], &setting["inch_unit"]), (&"bcd52".into(), &8.into()));
    // It outlives the handheld's power, and is what its flash holds: the bytes of `PLAN.md`.
    drop(handheld);
    let flash = std::fs::read(folder.join("cow.calliper-flash")).unwrap();
    assert_eq!(flash[..4], *b"HC\x01\x00");
    assert_eq!(flash[8..14], [1, 1, 0, 0, 1, 0]);
    let again = Handheld::on(folder, "cow.flash", &[]);
    let text = says(folder, &["calliper", "--port", &again.port]);
    assert!(text.contains("calliper  proved: 13 digits"), "{text}");
}

#[test]
fn a_calliper_that_contradicts_itself_is_refused_and_nothing_is_stored() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let handheld = Handheld::with_calliper(folder, "cow.flash", "bcd52,restless");
    let mut person = Person::begins(folder, &handheld.port, &["--gauge", "75"]);
    for _ in 0..3 {
        person.enter();
    }
    let (code, said) = person.ends();
    assert_eq!(code, Some(HANDHELD), "{said}");
    for part in ["the packets disagree", "nothing was stored", &handheld.port] {
        assert!(said.contains(part), "{said}");
    }
    let text = says(folder, &["calliper", "--port", &handheld.port]);
    assert!(text.contains("not proved"), "{text}");
    // A person who ends it before the last step has stored nothing either.
    let person = Person::begins(folder, &handheld.port, &["--gauge", "75"]);
    let (code, said) = person.ends();
    assert_eq!(code, Some(OTHER), "{said}");
    assert!(said.contains("nothing was stored"), "{said}");
}

#[test]
fn what_cannot_be_proved_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let handheld = Handheld::on(folder, "cow.flash", &[]);
    let with = |words: &[&str], code, says| {
        fails(
            folder,
            &[&["calliper", "prove", "--port", &handheld.port], words].concat(),
            code,
            &[says],
        );
    };
    with(&["--gauge", "7,5"], WORDS, "not a length like 75.00");
    with(&["--gauge", "2"], OTHER, "too short");
    with(&[], OTHER, "--gauge");
    fails(folder, &["handheld", "--flash", "x", "--calliper", "sync25"], WORDS, &["sync24, bcd52"]);
    let said = ["calliper", "--port", "tcp:127.0.0.1:1"];
    fails(folder, &said, crate::kit::PORT, &["127.0.0.1:1"]);
}
