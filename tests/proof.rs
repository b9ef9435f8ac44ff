//! P3: what is asked of a handheld before it may let go, how often, and what a second reading brings.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::path::PathBuf;

use hornrule::office;
use hornrule::office::{OfficeError, PulledDay, Standing};
use hornrule_herd::Database;
use hornrule_line::clock::Clock;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::{Boot, DeviceId, Entry, LogId, Record, Sealed, Seq, Uptime, open, seal};
use hornrule_tests::scripted::{Answer, Scripted, Truth, batch, wire};
use hornrule_tests::{herd_at, memory_folder, rows, sound};

const DEVICE: DeviceId = DeviceId(5);
const LOG: LogId = LogId(6);

struct Evening;
impl Clock for Evening {
    fn unix_ms(&self) -> i64 {
        1_772_557_200_000
    }
}

struct Desk {
    folder: tempfile::TempDir,
    herd: Database,
}

impl Desk {
    fn new() -> Self {
        let folder = memory_folder();
        let herd = herd_at(&folder.path().join("herd.db"));
        Self { folder, herd }
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("herd.db")
    }

    /// A pull, and what was asked in it.
    fn pull(
        &mut self,
        mut answer: impl FnMut(RequestId, Request) -> Vec<u8>,
    ) -> (Result<PulledDay, OfficeError>, Vec<Request>) {
        let mut port = Scripted::new(|id, request| Answer::from(answer(id, request)));
        let day = office::pull(&mut port, &mut self.herd, &Evening, "", &mut |_, _| {});
        let requests = port.requests().to_vec();
        let _closed = sound::check(&self.path());
        (day, requests)
    }

    fn pulled(&mut self, truth: &Truth) -> (PulledDay, Vec<Request>) {
        let (day, requests) = self.pull(|id, request| truth.answer(id, request));
        (day.unwrap(), requests)
    }
}

fn truth(cows: u32) -> Truth {
    Truth::day(DEVICE, LOG, cows)
}

/// The names of what was asked, without credit.
fn asked(requests: &[Request]) -> Vec<String> {
    let word = |request: &Request| format!("{request:?}").split(' ').next().unwrap().to_owned();
    requests.iter().map(word).filter(|word| word != "Credit").collect()
}

fn released(requests: &[Request]) -> Option<Seq> {
    requests.iter().find_map(|request| match request {
        Request::Release { through, .. } => Some(*through),
        _ => None,
    })
}

/// As sent by a handheld on whose flash these numbers cannot be read, or read damaged, at first.
struct Glitch {
    truth: Truth,
    missing: Vec<u32>,
    bent: Vec<u32>,
    /// How many readings it takes.
    readings: u32,
}

impl Glitch {
    fn answer(&mut self, id: RequestId, request: Request) -> Vec<u8> {
        let Request::Read { from, .. } = request else { return self.truth.answer(id, request) };
        let glitches = self.readings > 0;
        self.readings = self.readings.saturating_sub(1);
        let mut all = Vec::new();
        let wanted = self.truth.records.iter().filter(|one| one.seq() >= from);
        for one in wanted {
            if glitches && self.missing.contains(&one.seq().0) {
                continue;
            }
            let bent = glitches && self.bent.contains(&one.seq().0);
            all.push(if bent { damaged(one) } else { one.clone() });
        }
        let end = self.truth.hello.next;
        let mut line = Vec::new();
        if from < end {
            line.extend(batch(id, from, end.previous(), &all));
        }
        line.extend(wire(id, &Response::End { next: end }));
        line
    }
}

/// As if the line or the flash had changed a byte and no checksum on the way had noticed.
fn damaged(one: &Sealed) -> Sealed {
    let mut bytes = one.as_bytes().to_vec();
    bytes[7] ^= 0x10;
    Sealed::from_bytes(&bytes).unwrap()
}

#[test]
fn what_is_missing_or_damaged_is_read_again_before_the_release() {
    let mut desk = Desk::new();
    desk.pulled(&truth(20));
    let expected = rows::dump_without(&desk.path(), &[]);
    for (missing, bent) in
        [(vec![7, 8, 9], vec![]), (vec![], vec![12]), (vec![1, 43], vec![2, 20, 42])]
    {
        let mut desk = Desk::new();
        let lost = (missing.len() + bent.len()) as u32;
        let mut glitch = Glitch { truth: truth(20), missing, bent, readings: 1 };
        let (day, requests) = desk.pull(|id, request| glitch.answer(id, request));
        let day = day.unwrap();
        assert_eq!((day.mended, day.stored.new), (lost, 43 + day.mended - lost + bent_of(&glitch)));
        assert_eq!(day.standing, Standing::New);
        // Damaged bytes are kept beside, as ever; all else is as if nothing had happened.
        let without = |dump: &str| {
            dump.split("== ").filter(|one| !one.starts_with("conflict")).collect::<String>()
        };
        assert_eq!(without(&rows::dump(&desk.path())), without(&expected));
        assert_eq!(desk.herd.lost(DEVICE, LOG).unwrap(), []);
        let words = asked(&requests);
        assert_eq!(words[words.len() - 3..], ["Read", "Digest", "Release"], "{words:?}");
        assert_eq!(released(&requests), Some(Seq(43)));
    }
}

fn bent_of(glitch: &Glitch) -> u32 {
    glitch.bent.len() as u32
}

/// What stays away is lost, is said to be, and holds nothing up; it is asked for again while it may
/// still be on flash.
#[test]
fn what_stays_away_is_asked_for_at_every_pull() {
    let mut desk = Desk::new();
    let missing = vec![7, 8, 30];
    let mut glitch = Glitch { truth: truth(20), missing, bent: vec![], readings: 3 };
    let (day, requests) = desk.pull(|id, request| glitch.answer(id, request));
    assert_eq!((day.unwrap().mended, released(&requests)), (0, Some(Seq(43))));
    assert_eq!(desk.herd.lost(DEVICE, LOG).unwrap(), [(Seq(7), Seq(8)), (Seq(30), Seq(30))]);
    glitch.truth.hello.released = Seq(43);
    let (day, _) = desk.pull(|id, request| glitch.answer(id, request));
    assert_eq!(day.unwrap().mended, 3);
    assert_eq!(desk.herd.lost(DEVICE, LOG).unwrap(), []);
    // Gone from flash, it is not asked for.
    let mut desk = Desk::new();
    let mut glitch = Glitch { truth: truth(20), missing: vec![7], bent: vec![], readings: 9 };
    desk.pull(|id, request| glitch.answer(id, request)).0.unwrap();
    (glitch.truth.hello.first, glitch.truth.hello.released) = (Seq(22), Seq(43));
    let (day, requests) = desk.pull(|id, request| glitch.answer(id, request));
    assert_eq!(day.unwrap().standing, Standing::Same);
    assert_eq!(asked(&requests), ["Hello", "Digest", "Now", "Now", "Now", "Read", "Release"]);
}

/// What the proof costs: one question at the first pull, two at later ones, however long the log is.
#[test]
fn the_proof_costs_two_short_questions() {
    let mut desk = Desk::new();
    let mut day = truth(200);
    let all = day.records.clone();
    day.records.truncate(300);
    day.hello.next = Seq(301);
    let (pulled, requests) = desk.pulled(&day);
    assert_eq!(pulled.standing, Standing::New);
    let first = ["Hello", "Now", "Now", "Now", "Read", "Digest", "Release"];
    assert_eq!(asked(&requests), first);
    let digest = Request::Digest { log: LOG, from: Seq(237), through: Seq(300) };
    assert!(requests.contains(&digest), "{requests:?}");

    day.records = all;
    (day.hello.next, day.hello.released) = (Seq(404), Seq(300));
    let (pulled, requests) = desk.pulled(&day);
    assert_eq!((pulled.standing, pulled.stored.new), (Standing::Same, 103));
    let later = ["Hello", "Digest", "Now", "Now", "Now", "Read", "Digest", "Release"];
    assert_eq!(asked(&requests), later);
    // Nothing new and nothing to release.
    day.hello.released = Seq(403);
    let (_, requests) = desk.pulled(&day);
    assert_eq!(asked(&requests), ["Hello", "Digest", "Now", "Now", "Now", "Read", "Release"]);
    // In bytes on the line, both ways.
    let mut line = [0; 64];
    let question =
        hornrule_protocol::frame::encode(RequestId(9), &digest, &mut line).unwrap().len();
    let answer = wire(
        RequestId(9),
        &Response::Digest { from: Seq(237), through: Seq(300), count: 64, digest: u64::MAX },
    );
    assert!(question + answer.len() < 60, "{question} and {} bytes", answer.len());
}

/// A pull that was cut off before the release: all that is still unreleased is proved, 64 at a time.
#[test]
fn p3_what_an_earlier_pull_stored_is_proved_before_it_is_released() {
    let mut desk = Desk::new();
    let day = truth(100);
    let (cut, _) = desk.pull(|id, request| match request {
        Request::Digest { .. } | Request::Release { .. } => Vec::new(),
        other => day.answer(id, other),
    });
    assert_eq!(cut.unwrap().pulled.finished.released, None);
    let (_, requests) = desk.pulled(&day);
    let runs: Vec<(u32, u32)> = requests
        .iter()
        .filter_map(|request| match request {
            Request::Digest { from, through, .. } => Some((from.0, through.0)),
            _ => None,
        })
        .collect();
    assert_eq!(runs, [(140, 203), (1, 64), (65, 128), (129, 139), (140, 203)]);
    assert_eq!(released(&requests), Some(Seq(203)));
    // An older record that differs: nothing is released, and it is kept beside.
    let mut desk = Desk::new();
    desk.pull(|id, request| match request {
        Request::Digest { .. } | Request::Release { .. } => Vec::new(),
        other => day.answer(id, other),
    })
    .0
    .unwrap();
    let mut other = day.clone();
    let record = open(DEVICE, LOG, &other.records[70]).unwrap();
    let later = Record { uptime: Uptime(record.uptime.0 + 1), ..record };
    other.records[70] = seal(DEVICE, LOG, Seq(71), &later).unwrap();
    let (pulled, requests) = desk.pulled(&other);
    assert_eq!((pulled.standing, released(&requests)), (Standing::Contradicts, None));
    assert!(pulled.pulled.finished.withheld);
}

/// Another handheld is plugged in while the pull runs.
#[test]
fn p3_a_handheld_that_was_swapped_lets_go_of_nothing() {
    let other = Truth::timeless_day(DEVICE, LOG, 20);
    let mut desk = Desk::new();
    let mut read = false;
    let (day, requests) = desk.pull(|id, request| {
        let now = if read { &other } else { &truth(20) };
        read |= matches!(request, Request::Read { .. });
        now.answer(id, request)
    });
    let day = day.unwrap();
    assert_eq!((day.standing, released(&requests)), (Standing::Contradicts, None));
    assert_eq!(desk.herd.cursor(DEVICE, LOG).unwrap(), Seq(43), "what came is kept");
    // The true one lets go.
    let (_, requests) = desk.pulled(&truth(20));
    assert_eq!(released(&requests), Some(Seq(43)));
}

/// Nothing of what is stored is on flash any more: start and time must follow on.
#[test]
fn p3_where_nothing_overlaps_start_and_time_must_follow_on() {
    let day = truth(100);
    let later = |boot: u16, up: u64| {
        let mut all = day.clone();
        for one in all.records.iter_mut().skip(43) {
            let record = open(DEVICE, LOG, one).unwrap();
            let uptime = Uptime(record.uptime.0 + up);
            *one = seal(DEVICE, LOG, one.seq(), &Record { boot: Boot(boot), uptime, ..record })
                .unwrap();
        }
        (all.hello.first, all.hello.released, all.hello.boot) = (Seq(44), Seq(43), Boot(boot));
        all.records.retain(|one| one.seq() >= Seq(44));
        all
    };
    let desk = || {
        let mut desk = Desk::new();
        desk.pulled(&truth(20));
        desk
    };
    for (boot, up) in [(1, 0), (1, 9), (2, 0)] {
        let (pulled, requests) = desk().pulled(&later(boot, up));
        assert_eq!((pulled.standing, pulled.stored.new), (Standing::Follows, 160));
        assert_eq!(released(&requests), Some(Seq(203)));
    }
    // At an earlier start; or at the same, and at an earlier time.
    let mut earlier = later(1, 0);
    earlier.hello.boot = Boot(0);
    let mut back = later(1, 0);
    let early = Record { boot: Boot(1), uptime: Uptime(860_000 - 1), entry: Entry::AnimalLeft };
    back.records[0] = seal(DEVICE, LOG, Seq(44), &early).unwrap();
    for other in [earlier, back] {
        let mut desk = desk();
        let before = desk.herd.cursor(DEVICE, LOG).unwrap();
        let (pulled, requests) = desk.pulled(&other);
        assert!(matches!(pulled.standing, Standing::Aside(Some(_))), "{:?}", pulled.standing);
        assert_eq!((released(&requests), desk.herd.cursor(DEVICE, LOG).unwrap()), (None, before));
        assert_eq!(desk.herd.asides().unwrap()[0].records, 160);
    }
}

/// An office that knows less than another one: from a backup, say. What both know is proved.
#[test]
fn an_office_from_a_backup_reads_on() {
    let mut desk = Desk::new();
    let mut day = truth(20);
    day.hello.next = Seq(21);
    day.records.truncate(20);
    desk.pulled(&day);
    let mut day = truth(20);
    day.hello = Hello { first: Seq(10), released: Seq(43), ..day.hello };
    let (pulled, requests) = desk.pulled(&day);
    assert_eq!((pulled.standing, pulled.stored.new), (Standing::Same, 23));
    assert!(requests.contains(&Request::Digest { log: LOG, from: Seq(10), through: Seq(20) }));
}
