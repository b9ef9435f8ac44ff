//! The whole handheld on fake flash: its modules working together.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::calliper::{self, Edge, Level};
use hornrule_core::chute::NoPlan;
use hornrule_core::cue::Cue;
use hornrule_core::device::{Device, Input, Settings};
use hornrule_core::keypad::{Key, SCAN_US};
use hornrule_core::log::Log;
use hornrule_core::time::{Micros, Wake};
use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::message::{Request, Response};
use hornrule_protocol::record::{StartCause, Started};
use hornrule_protocol::{
    AnimalNumber, Deframer, DeviceId, Entry, Iso11784, LogId, Record, Seq, open,
};
use hornrule_testkit::bits::{Script, Shape};
use hornrule_testkit::flash::Flash;
use proptest::prelude::*;

type Chip = Flash<1024>;
type Handheld = Device<Chip, NoPlan>;

const DEVICE: DeviceId = DeviceId(3);
const LOG: LogId = LogId(4);

fn settings() -> Settings {
    Settings {
        device: DEVICE,
        fresh_log: LOG,
        firmware: [0, 1, 0],
        cause: StartCause::Watchdog,
        fault: 77,
        calliper: calliper::Settings::DEFAULT,
        battery_low_mv: 3_400,
    }
}

fn start(flash: Chip) -> Handheld {
    Device::start(flash, settings(), NoPlan).ok().unwrap()
}

fn records(device: Handheld) -> Vec<Record> {
    let mut log = Log::mount(device.into_flash(), LogId(9)).ok().unwrap();
    let mut records = Vec::new();
    let mut from = Seq::FIRST;
    while let Some(sealed) = log.read_from(from).unwrap() {
        records.push(open(DEVICE, log.id(), &sealed).unwrap());
        from = sealed.seq().next();
    }
    records
}

/// A handheld and a clock, recording every cue.
struct Bench {
    device: Handheld,
    now: Micros,
    heard: Vec<Cue>,
}

impl Bench {
    fn on(flash: Chip) -> Self {
        let mut bench = Self { device: start(flash), now: Micros(0), heard: Vec::new() };
        bench.input(Input::Keys(0));
        bench
    }

    fn input(&mut self, input: Input<'_>) {
        self.heard.extend(self.device.on(input, self.now).cues.iter().map(|one| one.cue));
    }

    /// A clean press: down for 100 ms, up for 100 ms, scanned as the core asks.
    fn press(&mut self, key: Key) {
        for (mask, scans) in [(1 << key.position(), 20), (0, 20)] {
            for _ in 0..scans {
                self.now = self.now.after_us(SCAN_US);
                self.input(Input::Keys(mask));
                self.input(Input::Time);
            }
        }
    }

    fn say(&mut self, keys: &[Key]) {
        for key in keys {
            self.press(*key);
        }
    }

    fn promises(&self) -> usize {
        self.heard.iter().filter(|cue| cue.is_promise()).count()
    }

    /// Sends a request over the wire; returns the kind of every response, in order.
    fn ask(&mut self, request: &Request) -> Vec<String> {
        let mut line = [0; 64];
        let bytes = frame::encode(RequestId(1), request, &mut line).unwrap().to_vec();
        self.input(Input::Received(&bytes));
        let mut deframer = Box::new(Deframer::<1200>::new());
        let mut responses = Vec::new();
        while let Some(frame) = self.device.transmit() {
            for byte in frame.iter().copied() {
                if let Some(frame) = deframer.push(byte) {
                    responses
                        .push(format!("{:?}", frame.unwrap().message::<Response<'_>>().unwrap()));
                }
            }
        }
        responses
    }
}

const COW_5: [Key; 3] = [Key::Cow, Key::Five, Key::Cow];

#[test]
fn the_first_record_of_a_boot_says_why_it_started() {
    let mut bench = Bench::on(Chip::blank(4));
    bench.say(&COW_5);
    let first = records(bench.device)[0];
    let started = Started { cause: StartCause::Watchdog, firmware: [0, 1, 0], fault: 77 };
    assert_eq!((first.boot.0, first.entry), (1, Entry::Started(started)));
}

/// Whether an erase ahead is due and not yet done.
fn erase_is_due(device: &Handheld) -> bool {
    device.journal().log().wants_tending()
}

/// The next page is erased once nobody is keying, before the record that enters it; not in the
/// middle of a packet, and not by a handheld that was only plugged in.
#[test]
fn a_page_is_erased_ahead_while_nobody_keys() {
    let mut bench = Bench::on(Chip::blank(4));
    while !erase_is_due(&bench.device) {
        bench.say(&COW_5);
        assert!(bench.promises() < 20, "a page has 21 slots");
    }
    let busy = bench.device.next_wake(bench.now);
    let Wake::At(due) = busy else { panic!("it wants to be called: {busy:?}") };
    assert!(due > bench.now.after_ms(1_000), "not while somebody is keying");
    // A packet that comes in just then delays it to the packet's end.
    let packet = Script::sync24(0x1D6C, Shape::SYNC24_SLOW, Micros(0));
    for (at, edge) in packet.edges() {
        bench.now = due.after_us(at.0);
        bench.input(Input::Edge(*edge));
        assert!(erase_is_due(&bench.device), "a packet is under way");
    }
    while let Wake::At(at) = bench.device.next_wake(bench.now) {
        assert!(at < due.after_ms(100), "the packet ends");
        bench.now = at.max(bench.now.after_us(1));
        bench.input(Input::Time);
    }
    assert!(!erase_is_due(&bench.device), "erased");
    let count = |device: Handheld| -> u32 { device.into_flash().erases().iter().sum() };
    let already = count(bench.device);

    // From here to the next page: no erase except the one already done.
    let mut bench = Bench::on({
        let mut bench = Bench::on(Chip::blank(4));
        (0..10).for_each(|_| bench.say(&COW_5));
        bench.device.into_flash()
    });
    bench.now = bench.now.after_ms(60_000);
    bench.input(Input::Time);
    assert!(erase_is_due(&bench.device), "nothing was said since the start");
    bench.say(&COW_5);
    bench.now = bench.now.after_ms(2_000);
    bench.input(Input::Time);
    assert!(!erase_is_due(&bench.device));
    (0..11).for_each(|_| bench.say(&COW_5));
    assert_eq!(count(bench.device), already);
}

/// A page erase halts a small chip: an entry waits while a packet comes in, but not for ever.
#[test]
fn an_entry_waits_for_a_calliper_packet_but_not_for_a_line_that_never_rests() {
    let mut bench = Bench::on(Chip::blank(4));
    bench.say(&COW_5);
    let before = bench.promises();
    // UNDO is pressed for the length of a packet; it is accepted 20 ms into that.
    let packet = Script::sync24(0x1D6C, Shape::SYNC24_SLOW, Micros(1_000));
    let start = bench.now;
    let mut last_scan = start;
    for offset in [0, 13_000, 26_000] {
        for (at, edge) in packet.edges() {
            bench.now = start.after_us(offset + at.0);
            bench.input(Input::Edge(*edge));
            if bench.now.since(last_scan) >= SCAN_US {
                last_scan = bench.now;
                bench.input(Input::Keys(1 << Key::Undo.position()));
            }
        }
    }
    assert_eq!(bench.promises(), before, "nothing was written inside the packet");
    bench.now = bench.now.after_ms(10);
    bench.input(Input::Time);
    assert_eq!(bench.promises(), before + 1, "and then it was");

    // A clock line that never rests: the entry still gets into flash soon.
    let mut bench = Bench::on(Chip::blank(4));
    let noise = |bench: &mut Bench, until: Micros| {
        let mut high = true;
        while bench.now < until {
            high = !high;
            let clock = if high { Level::High } else { Level::Low };
            bench.now = bench.now.after_us(400);
            bench.input(Input::Edge(Edge { clock, data: Level::High }));
        }
    };
    for key in COW_5 {
        for mask in [1 << key.position(), 0] {
            for _ in 0..25 {
                let next = bench.now.after_us(SCAN_US);
                noise(&mut bench, next);
                bench.input(Input::Keys(mask));
            }
        }
    }
    assert_eq!(bench.promises(), 1);
}

#[test]
fn the_office_is_answered() {
    let mut bench = Bench::on(Chip::blank(4));
    bench.say(&COW_5);
    assert!(bench.ask(&Request::Hello)[0].contains("next: Seq(3)"));
    assert!(bench.ask(&Request::State)[0].contains("waiting: 2"));
    assert!(bench.ask(&Request::State)[0].contains("clock_known: false"));
    assert!(bench.ask(&Request::SetClock { unix_ms: 5 })[0].starts_with("ClockSet"));
    assert!(bench.ask(&Request::State)[0].contains("clock_known: true"));
    let read = bench.ask(&Request::Read { log: LOG, from: Seq(1), credit: 4 });
    assert_eq!(read.len(), 3, "a batch, and END twice: {read:?}");
    assert_eq!(bench.heard.last(), Some(&Cue::Pulling));
    let released = bench.ask(&Request::Release { log: LOG, through: Seq(3) });
    assert_eq!(released, ["Released { through: Seq(3) }"]);
    assert_eq!(bench.heard.last(), Some(&Cue::PullDone));
}

#[test]
fn a_flash_that_fails_is_heard_and_promises_nothing() {
    // Mounting an existing log writes nothing; the first record does.
    let mut flash = Log::format(Chip::blank(4), LOG).ok().unwrap().into_flash();
    flash.dies_after(10);
    let mut bench = Bench { device: start(flash), now: Micros(0), heard: Vec::new() };
    bench.input(Input::Keys(0));
    bench.say(&COW_5);
    assert_eq!((bench.promises(), bench.heard.last()), (0, Some(&Cue::LogUnusable)));
}

#[derive(Clone, Debug)]
enum Any {
    Keys(u32),
    Edge(bool, bool),
    Clip,
    Bytes(Vec<u8>),
    Ask(Request),
    Battery(u16),
    Tag(Vec<u8>),
    Time,
    Transmit,
}

#[test]
fn a_tag_is_a_cow_in_the_chute_and_nonsense_is_refused() {
    let mut bench = Bench::on(Chip::blank(4));
    bench.say(&[Key::Find, Key::One]);
    bench.heard.clear();
    bench.input(Input::Tag(b"\x02999000000000027\r\n"));
    assert_eq!(bench.heard, [Cue::Committed, Cue::ClockUnknown]);
    // The unfinished sentence was about the previous cow: a digit now begins nothing.
    bench.press(Key::Three);
    assert_eq!(bench.heard.last(), Some(&Cue::Refused));
    // The reader stutters; then it sends nonsense.
    bench.heard.clear();
    bench.input(Input::Tag(b"999000000000027\r"));
    bench.input(Input::Tag(b"99900000000002\r"));
    assert_eq!(bench.heard, [Cue::KeyTaken, Cue::Refused]);
    let cows: Vec<Entry> = records(bench.device)
        .iter()
        .map(|record| record.entry)
        .filter(|entry| matches!(entry, Entry::Animal(_)))
        .collect();
    let tag = Iso11784::from_decimal(999_000_000_000_027).unwrap();
    assert_eq!(cows, [Entry::Animal(AnimalNumber::Tag(tag))]);
}

fn any_request() -> impl Strategy<Value = Request> {
    prop_oneof![
        Just(Request::Hello),
        Just(Request::Now),
        Just(Request::State),
        (any::<u32>(), any::<u32>()).prop_map(|(from, credit)| Request::Read {
            log: LOG,
            from: Seq(from % 9),
            credit
        }),
        any::<u32>().prop_map(|batches| Request::Credit { batches }),
        any::<u32>().prop_map(|through| Request::Release { log: LOG, through: Seq(through % 9) }),
        any::<i64>().prop_map(|unix_ms| Request::SetClock { unix_ms }),
    ]
}

fn anything() -> impl Strategy<Value = Any> {
    prop_oneof![
        4 => prop_oneof![Just(0u32), (0u32..20).prop_map(|bit| 1 << bit), any::<u32>()]
            .prop_map(Any::Keys),
        3 => (any::<bool>(), any::<bool>()).prop_map(|(clock, data)| Any::Edge(clock, data)),
        1 => Just(Any::Clip),
        1 => prop::collection::vec(any::<u8>(), 0..80).prop_map(Any::Bytes),
        2 => any_request().prop_map(Any::Ask),
        1 => any::<u16>().prop_map(Any::Battery),
        1 => prop_oneof![
            prop::collection::vec(any::<u8>(), 0..40),
            Just(b"\x02999000000000027\r\n".to_vec()),
            Just(b"999000000000031\r".to_vec()),
        ]
        .prop_map(Any::Tag),
        2 => Just(Any::Time),
        2 => Just(Any::Transmit),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// P8 and P1: no keys, lines or office cause a panic, and what is promised is in flash.
    #[test]
    fn p1_p8_anything_at_all(inputs in prop::collection::vec((anything(), 0u64..40_000), 0..300)) {
        let mut bench = Bench::on(Chip::blank(4));
        for (input, later) in inputs {
            bench.now = bench.now.after_us(later);
            match input {
                Any::Keys(mask) => bench.input(Input::Keys(mask)),
                Any::Edge(clock, data) => {
                    let level = |high| if high { Level::High } else { Level::Low };
                    bench.input(Input::Edge(Edge { clock: level(clock), data: level(data) }));
                }
                Any::Clip => bench.input(Input::Clip),
                Any::Bytes(bytes) => bench.input(Input::Received(&bytes)),
                Any::Ask(request) => {
                    let mut line = [0; 64];
                    let bytes = frame::encode(RequestId(2), &request, &mut line).unwrap().to_vec();
                    bench.input(Input::Received(&bytes));
                }
                Any::Battery(mv) => bench.input(Input::Battery(mv)),
                Any::Tag(bytes) => bench.input(Input::Tag(&bytes)),
                Any::Time => bench.input(Input::Time),
                Any::Transmit => {
                    let _sent = bench.device.transmit();
                }
            }
            if let Wake::At(at) = bench.device.next_wake(bench.now) {
                prop_assert!(at.0 < u64::MAX / 2, "a wake that never comes");
            }
        }
        let promised = bench.promises();
        let by_hand = records(bench.device).iter().filter(|record| {
            !matches!(
                record.entry,
                Entry::Started(_)
                    | Entry::Clock { .. }
                    | Entry::Gap { .. }
                    | Entry::CalliperFault(_)
            )
        }).count();
        // A release lets pages be reused, but four pages do not come round with so few inputs.
        prop_assert_eq!(by_hand, promised);
    }
}
