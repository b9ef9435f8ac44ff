//! P3 and P7: two handhelds under one name, or a memory that was put back. Nothing is mixed, nothing is
//! let go, nothing is lost; and a person decides.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use hornrule::office;
use hornrule::office::{PulledDay, Standing};
use hornrule_board_sim::Handheld;
use hornrule_herd::Database;
use hornrule_herd::inbox::aside::{Aside, Ruling};
use hornrule_intake::{rebuild_and_compare, rule_on_aside};
use hornrule_line::port::Port;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::{Refusal, Request, Response};
use hornrule_protocol::{Deframer, Seq};
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::scripted::wire;
use hornrule_tests::{handheld, herd_at, memory_folder, pull, rows, sound, tell};

type Chip = Flash<1024>;

const MORNING: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 27 COW RH FIND 13 2 DO 31\nclip 81.20 mm\nkeys COW 31 COW LH FIND 00";
const AFTERNOON: &str = "wait 3h\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 46 COW LH FIND 22 1 DO 30\nkeys COW 58 COW LH FIND 31 2 DO 60\nclip 78.35 mm";
/// Other work, a bit later than the afternoon's, and more of it.
const OTHER_WORK: &str = "wait 4h\npower on\nwait 9s\noffice clock\nkeys COW 01 COW\n\
    keys COW 12 COW RF FIND 15 3\nkeys COW 39 COW LH FIND 13 1 DO 30\nkeys COW 44 COW LF FIND 00\n\
    keys COW 50 COW RH FIND 31 1 DO 60\nclip 79.10 mm";

fn morning() -> Handheld<Chip> {
    tell(MORNING, handheld(Chip::blank(16)), |handheld| handheld)
}

/// The same flash in another case: off, and on its own from here.
fn copy(of: &mut Handheld<Chip>) -> Handheld<Chip> {
    of.power_off();
    Handheld::new(of.flash().unwrap().clone(), hornrule_tests::identity(), of.now_ms())
}

fn worked(handheld: Handheld<Chip>, story: &str) -> Handheld<Chip> {
    tell(story, handheld, |handheld| handheld)
}

fn released(handheld: &Handheld<Chip>) -> Seq {
    handheld.device().unwrap().journal().log().released()
}

fn next(handheld: &Handheld<Chip>) -> Seq {
    handheld.device().unwrap().journal().log().next()
}

/// A database in a folder, and handhelds plugged into it one after another.
struct Office {
    _folder: tempfile::TempDir,
    path: PathBuf,
    herd: Database,
}

impl Office {
    fn new() -> Self {
        let folder = memory_folder();
        let path = folder.path().join("herd.db");
        Self { herd: herd_at(&path), path, _folder: folder }
    }

    fn pull(&mut self, handheld: Handheld<Chip>) -> (Handheld<Chip>, PulledDay) {
        let mut cable = Cable::clean(handheld);
        let day = pull(&mut cable, &mut self.herd).unwrap();
        let _closed = sound(&self.path);
        (cable.unplug(), day)
    }

    fn aside(&self) -> Aside {
        let [one] = self.herd.asides().unwrap().try_into().unwrap();
        one
    }

    fn rule(&mut self, takes: bool) {
        let Aside { device, log, .. } = self.aside();
        let (who, why) = ("Anna".to_owned(), "says so".to_owned());
        rule_on_aside(&mut self.herd, (device, log), &Ruling { takes, who, at_ms: 1, why })
            .unwrap();
    }

    fn said(&self) -> String {
        said(&self.path)
    }
}

fn sound(path: &Path) -> usize {
    if rows::count(path, "aside_ruling") == 0 { sound::check(path) } else { 0 }
}

/// What the herd tables say.
fn said(path: &Path) -> String {
    let dump = rows::dump(path);
    let tables = ["action", "finding", "presence", "reading", "remark", "score", "visit"];
    let parts = dump.split("== ").filter(|part| tables.iter().any(|name| part.starts_with(name)));
    parts.collect()
}

fn is_aside(day: &PulledDay) -> bool {
    matches!(day.standing, Standing::Aside(Some(_)))
        && day.pulled.finished.withheld
        && day.pulled.finished.released.is_none()
}

/// Two handhelds that give one name: what the second holds is kept apart from its first record on.
#[test]
fn p3_a_second_handheld_under_the_same_name() {
    let mut office = Office::new();
    let (first, _) = office.pull(morning());
    let (first, day) = office.pull(worked(first, AFTERNOON));
    assert_eq!((day.standing, released(&first)), (Standing::Same, next(&first).previous()));
    let before = (office.said(), rows::count(&office.path, "sealed"));

    // It has more records than the first: its last ones would have gone to the end of the first's.
    let more = OTHER_WORK.replace("wait 4h", "at 2026-03-03 07:00");
    let second = worked(handheld(Chip::blank(16)), &(more + "\n" + AFTERNOON + "\n" + OTHER_WORK));
    let records = next(&second).previous().0;
    assert!(next(&second) > next(&first), "the test is blind");
    let (second, day) = office.pull(second);
    assert!(is_aside(&day), "{:?}", day.standing);
    assert_eq!((released(&second), day.stored.new, day.stored.conflicts), (Seq::NONE, records, 0));
    assert_eq!(office.said(), before.0, "nothing of it is in the herd tables");
    assert_eq!(rows::count(&office.path, "sealed"), before.1 + records as usize);
    let aside = office.aside();
    assert_eq!((aside.first, aside.through, aside.records), (Seq(1), Seq(records), records));

    // Each is known again, whichever comes.
    let (second, day) = office.pull(second);
    assert!(is_aside(&day));
    assert_eq!((day.stored.new, released(&second)), (0, Seq::NONE));
    let (_, day) = office.pull(first);
    assert_eq!((day.standing, day.stored.new), (Standing::Same, 0));
    let second = worked(second, "wait 1h\npower on\nkeys COW 01 COW COW 61 COW LH FIND 13 2");
    let (second, day) = office.pull(second);
    assert!(is_aside(&day) && day.stored.new > 2);
    assert_eq!(office.said(), before.0);
    let changes = rebuild_and_compare(&mut office.herd).unwrap();
    assert!(changes.iter().all(hornrule_herd::Change::is_none), "P6: {changes:?}");

    // Taken in, it is a log like all others.
    office.rule(true);
    assert!(office.said().len() > before.0.len());
    for (table, of) in [("finding", 2 + 2 + 11), ("presence", 2 + 2 + 11)] {
        assert_eq!(rows::count(&office.path, table), of, "{table}");
    }
    let changes = rebuild_and_compare(&mut office.herd).unwrap();
    assert!(changes.iter().all(hornrule_herd::Change::is_none), "P6: {changes:?}");
    let (second, day) = office.pull(second);
    assert_eq!(released(&second), next(&second).previous());
    assert!(!day.pulled.finished.withheld);
}

/// A memory that was put back: what both hold is there once.
#[test]
fn p3_a_flash_that_was_put_back() {
    let mut office = Office::new();
    let (mut day, _) = office.pull(morning());
    let put_back = copy(&mut day);
    let parted = {
        let (afternoon, pulled) = office.pull(worked(day, AFTERNOON));
        assert_eq!(pulled.standing, Standing::Same);
        next(&afternoon).0 - pulled.stored.new
    };
    let before = office.said();
    let other = worked(put_back, OTHER_WORK);
    let (other, pulled) = office.pull(other);
    assert!(is_aside(&pulled), "{:?}", pulled.standing);
    // The morning was released before the copy was made, and nothing since.
    assert_eq!((office.said(), released(&other)), (before.clone(), Seq(parted - 1)));
    let aside = office.aside();
    assert_eq!(aside.first, Seq(parted), "what both hold is not kept twice");
    assert_eq!(aside.through, next(&other).previous());
    assert_eq!(office.herd.lost(aside.device, aside.log).unwrap(), []);

    office.rule(true);
    let of = |table| rows::count(&office.path, table);
    assert_eq!((of("finding"), of("presence")), (2 + 2 + 4, 2 + 2 + 4));
    let remarks = rows::dump(&office.path);
    assert!(!remarks.contains("numbers-missing"), "what lies before it is in the other log");
    let (other, _) = office.pull(other);
    assert_eq!(released(&other), next(&other).previous());
}

/// Left out, it may let go, and nothing of it is in the herd tables; taken in later, it is.
#[test]
fn what_is_left_out_can_be_taken_in_later() {
    let mut office = Office::new();
    let (mut day, _) = office.pull(morning());
    let put_back = copy(&mut day);
    office.pull(worked(day, AFTERNOON));
    let before = office.said();
    let (other, _) = office.pull(worked(put_back, OTHER_WORK));
    office.rule(false);
    assert_eq!(office.said(), before);
    let (other, day) = office.pull(other);
    assert_eq!(released(&other), next(&other).previous());
    assert!(matches!(&day.standing, Standing::Aside(Some(aside)) if aside.ruling.is_some()));
    assert_eq!(office.said(), before);
    office.rule(true);
    assert_eq!(rows::count(&office.path, "finding"), 2 + 2 + 4);
    office.rule(false);
    assert_eq!(office.said(), before);
}

/// It was put back, and nothing was done with it since: that is said, and nothing changes.
#[test]
fn a_flash_that_was_put_back_and_has_nothing_new() {
    let mut office = Office::new();
    let (mut day, _) = office.pull(morning());
    let put_back = copy(&mut day);
    office.pull(worked(day, AFTERNOON));
    let before = rows::dump(&office.path);
    let mut cable = Cable::clean(worked(put_back, "power on"));
    let error = pull(&mut cable, &mut office.herd).unwrap_err().to_string();
    assert!(error.contains("was its flash put back"), "{error}");
    assert_eq!(rows::dump(&office.path), before);
}

/// Put back and ahead by less than what is stored: what differs is kept all the same.
#[test]
fn a_flash_that_was_put_back_and_is_behind() {
    let mut office = Office::new();
    let (mut day, _) = office.pull(morning());
    let put_back = copy(&mut day);
    office.pull(worked(day, AFTERNOON));
    let (other, day) =
        office.pull(worked(put_back, "wait 4h\npower on\nkeys COW 12 COW RF FIND 15 3"));
    assert!(is_aside(&day));
    assert_eq!(office.aside().through, next(&other).previous());
}

/// The plug is pulled at each call while another log is kept aside: the next pulls end in the same rows.
#[test]
fn p4_kept_aside_in_pieces() {
    let mut office = Office::new();
    let (mut day, _) = office.pull(morning());
    let mut put_back = copy(&mut day);
    office.pull(worked(day, AFTERNOON));
    drop(office.herd);
    let folder = memory_folder();
    let database = |name: &str| {
        let path = folder.path().join(name);
        std::fs::copy(&office.path, &path).unwrap();
        path
    };
    let mut other = worked(copy(&mut put_back), OTHER_WORK);
    let plugged = |other: &mut Handheld<Chip>| {
        let mut it = copy(other);
        it.power_on().unwrap();
        Cable::clean(it)
    };
    let whole = database("whole");
    let mut cable = plugged(&mut other);
    pull(&mut cable, &mut Database::open(&whole).unwrap()).unwrap();
    let expected = rows::dump(&whole);
    for killed in 0..cable.calls() {
        let path = database(&format!("cut-{killed}"));
        let mut herd = Database::open(&path).unwrap();
        pull(&mut plugged(&mut other).pulled_after(killed), &mut herd).unwrap_err();
        pull(&mut plugged(&mut other), &mut herd).unwrap();
        assert_eq!(rows::dump(&path), expected, "cut at call {killed}");
    }
}

/// A handheld whose firmware is from before digests.
struct Old<'a> {
    port: &'a mut dyn Port,
    ready: Vec<u8>,
    digests: u32,
}

impl Port for Old<'_> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut deframer = Deframer::<128>::new();
        let asked = bytes.iter().find_map(|byte| match deframer.push(*byte) {
            Some(Ok(frame)) => Some((frame.id, frame.message::<Request>().ok()?)),
            _ => None,
        });
        if let Some((id, Request::Digest { .. })) = asked {
            self.digests += 1;
            let id: RequestId = id;
            self.ready.extend(wire(id, &Response::Refused(Refusal::Unknown)));
            return Ok(());
        }
        self.port.send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        if self.ready.is_empty() {
            return self.port.receive(buffer, wait);
        }
        let length = buffer.len().min(self.ready.len());
        for (place, byte) in buffer.iter_mut().zip(self.ready.drain(..length)) {
            *place = byte;
        }
        Ok(length)
    }
}

#[test]
fn p3_old_firmware_is_compared_record_by_record() {
    let mut office = Office::new();
    let mut old = |handheld: Handheld<Chip>| {
        let mut cable = Cable::clean(handheld);
        let clock = cable.clock();
        let mut port = Old { port: &mut cable, ready: Vec::new(), digests: 0 };
        let day = office::pull(&mut port, &mut office.herd, &clock, "", &mut |_, _| {}).unwrap();
        let digests = port.digests;
        (cable.unplug(), day, digests)
    };
    let (mut day, pulled, _) = old(morning());
    assert_eq!((pulled.standing, released(&day)), (Standing::New, next(&day).previous()));
    let put_back = copy(&mut day);
    let (day, pulled, digests) = old(worked(day, AFTERNOON));
    assert_eq!((pulled.standing, digests), (Standing::Same, 1), "asked once a pull");
    assert_eq!(released(&day), next(&day).previous());
    let (other, pulled, _) = old(worked(put_back, OTHER_WORK));
    assert!(is_aside(&pulled));
    assert!(released(&other) < next(&other).previous());
    let (other, pulled, _) = old(other);
    assert!(is_aside(&pulled) && pulled.stored.new == 0);
    assert!(released(&other) < next(&other).previous());
}
