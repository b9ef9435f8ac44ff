//! `SPEC.md` and the code agree: every hex block and every table is compared, both ways.

#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;
use std::fmt::Debug;

use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::calliper::{
    CalliperSetting, Heard, InchCode, Level, Pace, RawPacket, Sampled, SignBit, Slope, WordOrder,
};
use hornrule_protocol::codes::{ActionKind, Grades, Says, Seat};
use hornrule_protocol::digest::RunDigest;
use hornrule_protocol::frame::{self, Message, RequestId};
use hornrule_protocol::message::{Hello, PlanName, PlanState, Refusal, State};
use hornrule_protocol::plan;
use hornrule_protocol::record::{
    CalliperFault, CalliperKind, Done, Finding, Reading, StartCause, Started, UnitMode,
};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::trace::{self, Trace};
use hornrule_protocol::{
    Action, AnimalNumber, Boot, Bundle, Claw, DeviceId, Dimension, Entry, Foot, HerdNumber,
    Iso11784, Lesion, LogId, Nanometres, Part, Place, Record, Request, Response, Scale, Sealed,
    Seq, Side, Uptime, Zone, limits, open, seal,
};
use serde::{Deserialize, Serialize};

#[path = "parts/hex.rs"]
mod hex;
#[path = "parts/variants.rs"]
mod variants;

const SPEC: &str = include_str!("../SPEC.md");

const DEVICE: DeviceId = DeviceId(0x0123_4567_89ab_cdef);
const LOG: LogId = LogId(0x1a2b_3c4d);
const BOOT: Boot = Boot(3);
/// 1 h 2 min 3.004 s.
const UPTIME: Uptime = Uptime(3_723_004);
/// 2026-01-01T00:00:00Z: 20,454 days of 86,400,000 ms since 1970.
const NEW_YEAR: i64 = 20_454 * 86_400_000;

// ---- the document ----

/// The hex blocks: name and bytes, comments removed.
fn blocks() -> BTreeMap<String, Vec<u8>> {
    let mut blocks = BTreeMap::new();
    let mut lines = SPEC.lines();
    while let Some(line) = lines.next() {
        let Some(name) = line.strip_prefix("```hex ") else { continue };
        let text: String = lines
            .by_ref()
            .take_while(|line| *line != "```")
            .map(|line| line.split(';').next().unwrap_or_default())
            .collect();
        let twice = blocks.insert(name.to_owned(), hex::parse(&text));
        assert_eq!(twice, None, "two blocks are called {name}");
    }
    blocks
}

/// The rows of the first table under a heading, cells trimmed and without back-ticks.
fn table(heading: &str) -> Vec<Vec<String>> {
    let heading = format!("### {heading}");
    let mut found = SPEC.lines().skip_while(|line| *line != heading);
    assert!(found.next().is_some(), "SPEC.md has no heading {heading:?}");
    rows(found)
}

fn rows<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<Vec<String>> {
    let rows: Vec<Vec<String>> = lines
        .take_while(|line| !line.starts_with('#'))
        .skip_while(|line| !line.starts_with('|'))
        .take_while(|line| line.starts_with('|'))
        .map(|line| {
            let cells = line.trim_matches('|').split('|');
            cells.map(|cell| cell.trim().trim_matches('`').to_owned()).collect()
        })
        .collect();
    assert!(rows.len() > 2, "a table without rows");
    rows[2..].to_vec()
}

/// The same rows, in the same order, no more and no fewer.
fn same_rows(heading: &str, expected: Vec<Vec<String>>) {
    let written = table(heading);
    for (row, code) in written.iter().zip(&expected) {
        assert_eq!(row, code, "under {heading:?}");
    }
    assert_eq!(written.len(), expected.len(), "rows under {heading:?}");
}

fn name_of(value: &impl Debug) -> String {
    format!("{value:?}").chars().take_while(|c| c.is_ascii_alphanumeric()).collect()
}

// ---- the examples ----

fn examples_of_entries() -> Vec<Entry> {
    let claw = |foot, side| Place::Claw(Claw { foot, side });
    vec![
        Entry::Started(Started {
            cause: StartCause::Panic,
            firmware: [0, 1, 0],
            fault: 0xdead_beef,
        }),
        Entry::Clock { unix_ms: NEW_YEAR },
        Entry::Gap { refused: 300 },
        Entry::Void { seq: Seq(41) },
        Entry::CalliperFault(CalliperFault::Nonsense),
        Entry::PlanLoaded { plan: 0xcbf4_3926, animals: 300 },
        Entry::Visit { farm: 2 },
        Entry::Animal(AnimalNumber::Tag(Iso11784::new(276, 312_312_345).unwrap())),
        Entry::AnimalLeft,
        Entry::Reading(Reading {
            // 3.285 in.
            length: Nanometres(3_285 * 25_400),
            dimension: Dimension::from_code(1).unwrap(),
            place: claw(Foot::RightHind, Side::Medial),
            unit: UnitMode::Inch,
            kind: CalliperKind::Bcd52,
        }),
        finding(),
        Entry::Action(Done { action: Action::from_code(82).unwrap(), place: Place::Cow, days: 14 }),
        Entry::Score { scale: Scale::from_code(1).unwrap(), value: 3 },
        Entry::Bundle { bundle: 1, parts: 3 },
    ]
}

fn finding() -> Entry {
    Entry::Finding(Finding {
        lesion: Lesion::from_code(13).unwrap(),
        place: Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Lateral }),
        grade: 2,
        zone: None,
    })
}

fn sealed_finding() -> Sealed {
    let record = Record { boot: BOOT, uptime: UPTIME, entry: finding() };
    seal(DEVICE, LOG, Seq(43), &record).unwrap()
}

fn read() -> Request {
    Request::Read { log: LOG, from: Seq(43), credit: 8 }
}

/// A 52-bit calliper that is read when its clock rises, low is one, inch is unit 8.
const SETTING: CalliperSetting = CalliperSetting {
    kind: CalliperKind::Bcd52,
    slope: Slope::Rising,
    one: Level::Low,
    sign: SignBit::Bit20,
    inch: InchCode::Eight,
    words: WordOrder::ZeroedLast,
};

fn examples_of_requests() -> Vec<Request> {
    vec![
        Request::Hello,
        Request::Now,
        Request::State,
        read(),
        Request::Credit { batches: 12 },
        Request::Release { log: LOG, through: Seq(43) },
        Request::SetClock { unix_ms: NEW_YEAR },
        Request::PlanState,
        Request::PlanBegin { length: 88, plan: plan_name() },
        Request::PlanPart { at: 72, bytes: Part::new(&plan()[72..]).unwrap() },
        Request::PlanCommit { plan: plan_name() },
        Request::CalliperState,
        Request::CalliperHear { pace: Pace::Quick },
        Request::CalliperStore { setting: SETTING },
        Request::Digest { log: LOG, from: Seq(42), through: Seq(43) },
    ]
}

fn examples_of_responses(run: &[u8]) -> Vec<Response<'_>> {
    vec![
        Response::Hello(Hello {
            device: DEVICE,
            log: LOG,
            firmware: [0, 1, 0],
            boot: BOOT,
            first: Seq::FIRST,
            next: Seq(44),
            released: Seq::NONE,
        }),
        Response::Now { boot: BOOT, uptime: UPTIME },
        Response::State(State {
            uptime: UPTIME,
            waiting: 43,
            free: 12_245,
            refused: 0,
            torn: 1,
            calliper_faults: 2,
            stuck_keys: 0,
            clock_known: true,
            battery_mv: 3_912,
        }),
        Response::Batch { from: Seq(42), through: Seq(43), sealed: run },
        Response::End { next: Seq(44) },
        Response::Released { through: Seq(43) },
        Response::ClockSet { boot: BOOT, uptime: UPTIME },
        Response::Refused(Refusal::Gone),
        Response::Plan(PlanState {
            version: 1,
            room: 16_320,
            in_force: Some(PlanName { plan: plan_name(), animals: 2 }),
        }),
        Response::PlanAt { next: 72 },
        Response::Calliper { setting: Some(SETTING) },
        Response::CalliperHeard(Heard {
            packets: 3,
            last: Some(RawPacket {
                fall: Sampled { bits: 0x1D6C, count: 24 },
                rise: Sampled { bits: 0x0EB6, count: 24 },
                hurried: false,
            }),
        }),
        Response::Digest { from: Seq(42), through: Seq(43), count: 1, digest: digest() },
    ]
}

/// Of the records from 42 through 43, of which only 43 is there.
fn digest() -> u64 {
    let mut digest = RunDigest::new();
    digest.add(&sealed_finding());
    digest.finish()
}

/// Cow 412 of farm 1, her right hind foot due for a recheck; and a cow by her tag, for the vet.
fn plan() -> Vec<u8> {
    let cow = AnimalNumber::Herd(HerdNumber::new(412).unwrap());
    let tag = AnimalNumber::Tag(Iso11784::new(276, 312_312_345).unwrap());
    let dorsal = Dimension::from_code(1).unwrap();
    let width = Dimension::from_code(3).unwrap();
    let head = plan::Head {
        farms: 1 << 1,
        animals: 2,
        blinding: plan::Blinding::Open,
        gauge: Some(plan::Gauge { size: Nanometres(75_000_000), tolerance: Nanometres(30_000) }),
        order: plan::Order::EMPTY.then(dorsal, 3).unwrap().then(width, 1).unwrap(),
        limits: plan::Limits::default().with(dorsal, (7_000, 9_000)).unwrap(),
        ..plan::Head::default()
    };
    let rows = [
        plan::Row::new(1, cow, plan::Needs::NONE.with(plan::Need::Recheck(Foot::RightHind))),
        plan::Row::new(1, tag, plan::Needs::NONE.with(plan::Need::Vet)),
    ];
    let mut bytes = head.to_bytes().to_vec();
    bytes.extend(rows.iter().flat_map(|row| row.to_bytes()));
    bytes
}

/// Work starts at the inner claw of the hind feet; bundle 1 opens, lowers and glues a block on the
/// partner claw, and is seen again in 14 days. No cow.
fn second_plan() -> Vec<u8> {
    let inner = plan::FirstClaws::OUTER
        .with(Foot::LeftHind, Side::Medial)
        .with(Foot::RightHind, Side::Medial);
    let head =
        plan::Head { farms: 1 << 1, first_claws: inner, bundles: 1, ..plan::Head::default() };
    let part =
        |code, at, days| BundlePart::new(Action::from_code(code).unwrap(), at, days).unwrap();
    let parts = [
        part(31, At::ThisClaw, 0),
        part(32, At::ThisClaw, 0),
        part(10, At::Partner, 0),
        part(82, At::Foot, 14),
    ];
    let bundle = parts.into_iter().try_fold(Bundle::new(1).unwrap(), Bundle::then).unwrap();
    [&head.to_bytes()[..], &bundle.to_bytes()].concat()
}

/// Cow 412 has a floor of her own, a block due off, open lesions, and a way drawn.
fn third_plan() -> Vec<u8> {
    let cow = AnimalNumber::Herd(HerdNumber::new(412).unwrap());
    let needs = plan::Needs::NONE
        .with(plan::Need::Recheck(Foot::RightHind))
        .with(plan::Need::BlockOff(Foot::RightHind));
    let outer = Claw { foot: Foot::RightHind, side: Side::Lateral };
    let hers = plan::Particulars::NONE
        .with_block(Foot::RightHind)
        .with_floor(plan::Floor::HalfMm(160))
        .with_growth(16)
        .with_lesion_of_claw(outer)
        .with_lesion_of_foot(Foot::LeftHind)
        .with_way(Claw { side: Side::Medial, ..outer }, 2)
        .unwrap();
    let head = plan::Head {
        farms: 1 << 1,
        animals: 1,
        particulars: 1,
        floor: 150,
        heels: 6,
        ..plan::Head::default()
    };
    [&head.to_bytes()[..], &plan::Row::new(1, cow, needs).to_bytes(), &hers.to_bytes(0)].concat()
}

fn plan_name() -> u32 {
    CRC.checksum(&plan())
}

fn written(value: &impl Serialize) -> Vec<u8> {
    postcard::to_slice(value, &mut [0; 256]).unwrap().to_vec()
}

fn on_the_line(message: &(impl Message + Serialize)) -> Vec<u8> {
    frame::encode(RequestId(0x1234), message, &mut [0; 256]).unwrap().to_vec()
}

/// Every block that the document must have.
fn expected_blocks() -> BTreeMap<String, Vec<u8>> {
    let mut blocks = BTreeMap::new();
    for entry in examples_of_entries() {
        let record = Record { boot: BOOT, uptime: UPTIME, entry };
        blocks.insert(format!("Entry {}", name_of(&entry)), written(&record));
    }
    for request in examples_of_requests() {
        blocks.insert(format!("Request {}", name_of(&request)), written(&request));
    }
    let sealed = sealed_finding();
    for response in examples_of_responses(sealed.as_bytes()) {
        blocks.insert(format!("Response {}", name_of(&response)), written(&response));
    }
    blocks.insert("plan".into(), plan());
    blocks.insert("plan-2".into(), second_plan());
    blocks.insert("plan-3".into(), third_plan());
    let number = hornrule_protocol::PlanNumber::new(7, 20_515).unwrap();
    blocks.insert("number".into(), number.row().to_bytes().to_vec());
    blocks.insert("sealed".into(), sealed.as_bytes().to_vec());
    let line = on_the_line(&read());
    let mut plain = line[1..line.len() - 1].to_vec();
    let length = cobs::decode_in_place(&mut plain).unwrap();
    blocks.insert("frame-plain".into(), plain[..length].to_vec());
    blocks.insert("frame-wire".into(), line);
    let mut line = [0; limits::MAX_TRACE_ON_WIRE];
    let line = trace::encode(&Trace { number: 5, bytes: &[0xC1, 0] }, &mut line).unwrap().to_vec();
    let mut plain = line[1..line.len() - 1].to_vec();
    let length = cobs::decode_in_place(&mut plain).unwrap();
    blocks.insert("trace-plain".into(), plain[..length].to_vec());
    blocks.insert("trace-wire".into(), line);
    blocks
}

#[test]
fn every_hex_block_is_what_the_code_gives() {
    let mut on_page = blocks();
    // Not produced by the code: checked against the checksum below.
    assert!(on_page.remove("cover").is_some());
    for (name, bytes) in expected_blocks() {
        let block = on_page.remove(&name);
        let block = block.map(|block| hex::show(&block));
        assert_eq!(block, Some(hex::show(&bytes)), "block {name:?}");
    }
    assert!(on_page.is_empty(), "blocks that nothing checks: {:?}", on_page.keys());
}

#[test]
fn no_variant_is_without_an_example() {
    let names = |examples: Vec<String>, all: &[&str]| assert_eq!(examples, all);
    names(examples_of_entries().iter().map(name_of).collect(), variants::names::<Entry>());
    names(examples_of_requests().iter().map(name_of).collect(), variants::names::<Request>());
    names(
        examples_of_responses(&[]).iter().map(name_of).collect(),
        variants::names::<Response<'static>>(),
    );
}

#[test]
fn the_examples_decode() {
    let blocks = blocks();
    for entry in examples_of_entries() {
        let record = Record { boot: BOOT, uptime: UPTIME, entry };
        let bytes = &blocks[&format!("Entry {}", name_of(&entry))];
        assert_eq!(postcard::take_from_bytes(bytes), Ok((record, &[][..])));
    }
    let sealed = Sealed::from_bytes(&blocks["sealed"]).unwrap();
    let record = Record { boot: BOOT, uptime: UPTIME, entry: finding() };
    assert_eq!(open(DEVICE, LOG, &sealed), Ok(record));
}

/// The digest of the page, over the bytes on the page, by a loop that is not this crate's.
#[test]
fn the_digest_is_what_the_page_says() {
    let crc = |bytes: &[u8]| {
        let mut crc = u64::MAX;
        for byte in bytes {
            crc ^= u64::from(*byte);
            for _ in 0..8 {
                crc = (crc >> 1) ^ if crc & 1 == 1 { 0xC96C_5795_D787_0F42 } else { 0 };
            }
        }
        !crc
    };
    // The check value of CRC-64/XZ in the CRC RevEng catalogue (from memory).
    assert_eq!(crc(b"123456789"), 0x995D_C9BB_DF19_39FA);
    assert!(SPEC.contains("995DC9BBDF1939FA"), "the page names the check value");
    assert_eq!(digest(), crc(&blocks()["sealed"]));
    assert_eq!(RunDigest::new().finish(), crc(&[]));
}

#[test]
fn the_checksum_covers_what_the_page_says() {
    let blocks = blocks();
    let check = CRC.checksum(&blocks["cover"]).to_le_bytes();
    assert!(blocks["sealed"].ends_with(&check), "{}", hex::show(&check));
    let plain = &blocks["frame-plain"];
    let (covered, check) = plain.split_at(plain.len() - 4);
    assert_eq!(CRC.checksum(covered).to_le_bytes(), check);
    let plain = &blocks["trace-plain"];
    let (covered, check) = plain.split_at(plain.len() - 4);
    assert_eq!((!CRC.checksum(covered)).to_le_bytes(), check);
}

// ---- the tables ----

/// Tag and name of every variant, in order.
fn tags_agree<T: Deserialize<'static>>(heading: &str) {
    let rows = table(heading).into_iter().map(|row| (row[0].clone(), row[1].clone()));
    let names = variants::names::<T>().iter().enumerate();
    let expected = names.map(|(tag, name)| (tag.to_string(), (*name).to_owned()));
    assert_eq!(rows.collect::<Vec<_>>(), expected.collect::<Vec<_>>(), "under {heading:?}");
}

#[test]
fn every_tag_is_on_the_page() {
    tags_agree::<Entry>("Tags of Entry");
    tags_agree::<StartCause>("Tags of StartCause");
    tags_agree::<CalliperFault>("Tags of CalliperFault");
    tags_agree::<AnimalNumber>("Tags of AnimalNumber");
    tags_agree::<UnitMode>("Tags of UnitMode");
    tags_agree::<CalliperKind>("Tags of CalliperKind");
    tags_agree::<Request>("Tags of Request");
    tags_agree::<Response<'static>>("Tags of Response");
    tags_agree::<Refusal>("Tags of Refusal");
}

#[test]
fn every_row_of_the_code_tables_is_on_the_page() {
    let lesions = Lesion::all().map(|lesion| {
        let zones: Vec<String> = lesion.zones.iter().map(u8::to_string).collect();
        vec![
            lesion.code.to_string(),
            lesion.letters.into(),
            lesion.name.into(),
            seat(lesion.seat).into(),
            if zones.is_empty() { "-".into() } else { zones.join(", ") },
            if lesion.says == Says::Sign { "sign" } else { grades(lesion.grades) }.into(),
        ]
    });
    same_rows("Lesions", lesions.collect());
    let letters = Lesion::all().filter_map(|lesion| {
        let atlas = lesion.atlas()?;
        let read_in = atlas.read_in.word().into();
        Some(vec![lesion.code.to_string(), atlas.letters.into(), read_in])
    });
    same_rows("Letters of the atlas", letters.collect());
    let actions = Action::all().map(|action| {
        vec![
            action.code.to_string(),
            action.name.into(),
            kind(action.kind).into(),
            format!("{:?}", action.about).to_lowercase(),
            if action.takes_days { "yes".into() } else { "no".into() },
        ]
    });
    same_rows("Actions", actions.collect());
    let range = |(low, high): (u16, u16)| format!("{low}-{high}");
    let dimensions = Dimension::all().map(|dimension| {
        vec![
            dimension.code.to_string(),
            dimension.name.into(),
            dimension.landmarks.into(),
            range(dimension.usual_mm),
            range(dimension.possible_mm),
        ]
    });
    same_rows("Dimensions", dimensions.collect());
    let scales = Scale::all().map(|scale| {
        vec![
            scale.code.to_string(),
            scale.name.into(),
            format!("{}-{}", scale.range.0, scale.range.1),
            scale.lame_from.map_or("-".into(), |value| value.to_string()),
        ]
    });
    same_rows("Scales", scales.collect());
}

const fn seat(seat: Seat) -> &'static str {
    match seat {
        Seat::Claw => "claw",
        Seat::Foot => "foot",
    }
}

const fn grades(grades: Grades) -> &'static str {
    match grades {
        Grades::None => "none",
        Grades::Severity => "severity",
        Grades::Stage => "M stage",
    }
}

const fn kind(kind: ActionKind) -> &'static str {
    match kind {
        ActionKind::BlockOn => "block on",
        ActionKind::BlockSeen => "block seen",
        ActionKind::Dressing => "dressing",
        ActionKind::Horn => "horn",
        ActionKind::Healing => "healing",
        ActionKind::Topical => "topical",
        ActionKind::Relief => "relief",
        ActionKind::Ahead => "ahead",
        ActionKind::Hygiene => "hygiene",
    }
}

#[test]
fn every_place_and_zone_is_on_the_page() {
    let places = (0..=u8::MAX).filter_map(|byte| {
        let place = Place::try_from(byte).ok()?;
        Some(vec![format!("{byte:02x}"), place.to_string()])
    });
    same_rows("Places", places.collect());
    let zones = (0..=u8::MAX)
        .filter_map(Zone::new)
        .map(|zone| vec![zone.number().to_string(), zone.region().into()]);
    same_rows("Zones", zones.collect());
}

#[test]
fn the_examples_of_numbers_hold() {
    for row in table("Varint examples") {
        let number: u64 = row[0].parse().unwrap();
        assert_eq!(row[1], hex::show(&written(&number)));
    }
    for row in table("Zig-zag examples") {
        let number: i32 = row[0].parse().unwrap();
        let becomes: u32 = row[1].parse().unwrap();
        assert_eq!(row[2], hex::show(&written(&number)));
        assert_eq!(row[2], hex::show(&written(&becomes)));
    }
}

#[test]
fn the_limits_are_those_of_the_code() {
    let lines = SPEC.lines().skip_while(|line| *line != "## 11. Limits").skip(1);
    let on_page: Vec<(String, usize)> =
        rows(lines).into_iter().map(|row| (row[0].clone(), row[1].parse().unwrap())).collect();
    let in_code = [
        ("MAX_BODY", limits::MAX_BODY),
        ("SEAL_OVERHEAD", limits::SEAL_OVERHEAD),
        ("MAX_SEALED", limits::MAX_SEALED),
        ("MAX_BATCH", limits::MAX_BATCH),
        ("FRAME_OVERHEAD", limits::FRAME_OVERHEAD),
        ("MAX_PART", hornrule_protocol::part::MAX_PART),
        ("MAX_DIGESTED", limits::MAX_DIGESTED as usize),
        ("MAX_REQUEST", limits::MAX_REQUEST),
        ("MAX_RESPONSE", limits::MAX_RESPONSE),
        ("MAX_REQUEST_ON_WIRE", limits::MAX_REQUEST_ON_WIRE),
        ("MAX_RESPONSE_ON_WIRE", limits::MAX_RESPONSE_ON_WIRE),
        ("MAX_TRACE", limits::MAX_TRACE),
        ("MAX_TRACE_ON_WIRE", limits::MAX_TRACE_ON_WIRE),
    ];
    assert_eq!(on_page, in_code.map(|(name, value)| (name.to_owned(), value)));
}
