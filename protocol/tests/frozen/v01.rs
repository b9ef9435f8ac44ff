//! The bytes of version 1 of records, envelope, messages and frames.
//!
//! Nobody edits an existing line of this file: handhelds, inboxes and lines in the field hold these
//! bytes. New variants, codes and values are appended. The bytes come from a second encoder,
//! written in another language for this purpose; they were not copied out of this crate.

#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::BTreeSet;
use std::fmt::Debug;

use hornrule_protocol::calliper::{
    CalliperSetting, Heard, InchCode, Level, Pace, RawPacket, Sampled, SignBit, Slope, WordOrder,
};
use hornrule_protocol::frame::{self, Message, RequestId};
use hornrule_protocol::limits::{
    MAX_BATCH, MAX_BODY, MAX_REQUEST, MAX_REQUEST_ON_WIRE, MAX_RESPONSE, MAX_RESPONSE_ON_WIRE,
    MAX_SEALED,
};
use hornrule_protocol::message::{Hello, PlanName, PlanState, Refusal, State};
use hornrule_protocol::part::MAX_PART;
use hornrule_protocol::record::{
    CalliperFault, CalliperKind, Done, Finding, Reading, StartCause, Started, UnitMode,
};
use hornrule_protocol::{
    Action, AnimalNumber, Boot, Claw, Deframer, DeviceId, Dimension, Entry, Foot, HerdNumber,
    Iso11784, Lesion, LogId, Nanometres, Part, Place, Record, Request, Response, Scale, Sealed,
    Seq, Side, Uptime, Zone, open, seal,
};
use serde::{Deserialize, Serialize};

#[path = "../parts/hex.rs"]
mod hex;
#[path = "../parts/variants.rs"]
mod variants;

const DEVICE: DeviceId = DeviceId(0x0123_4567_89ab_cdef);
const LOG: LogId = LogId(0x1a2b_3c4d);
/// The finding among `records`, sealed at number 43 of that handheld and log.
const SEALED: &str = "01 0a 2b 00 00 00 03 fc 9d e3 01 0a 0d 06 02 00 2c 4e 48 3e";

fn herd(number: u32) -> HerdNumber {
    HerdNumber::new(number).unwrap()
}

fn tag(number: u64) -> Iso11784 {
    Iso11784::from_decimal(number).unwrap()
}

fn claw(foot: Foot, side: Side) -> Place {
    Place::Claw(Claw { foot, side })
}

fn reading(nm: i32, dimension: u8, place: Place, unit: UnitMode, kind: CalliperKind) -> Entry {
    let dimension = Dimension::from_code(dimension).unwrap();
    Entry::Reading(Reading { length: Nanometres(nm), dimension, place, unit, kind })
}

fn finding(lesion: u8, place: Place, grade: u8, zone: Option<Zone>) -> Entry {
    Entry::Finding(Finding { lesion: Lesion::from_code(lesion).unwrap(), place, grade, zone })
}

fn done(action: u8, place: Place, days: u8) -> Entry {
    Entry::Action(Done { action: Action::from_code(action).unwrap(), place, days })
}

fn score(scale: u8, value: u8) -> Entry {
    Entry::Score { scale: Scale::from_code(scale).unwrap(), value }
}

fn record(boot: u16, uptime: u64, entry: Entry) -> Record {
    Record { boot: Boot(boot), uptime: Uptime(uptime), entry }
}

/// An entry, and its bytes inside a record.
#[rustfmt::skip]
fn entries() -> Vec<(Entry, &'static str)> {
    vec![
        (Entry::Started(Started { cause: StartCause::PowerOn, firmware: [0, 1, 0], fault: 0 }),
         "00 00 00 01 00 00"),
        (Entry::Started(Started { cause: StartCause::BrownOut, firmware: [0, 1, 0], fault: 0 }),
         "00 01 00 01 00 00"),
        (Entry::Started(Started { cause: StartCause::Watchdog, firmware: [0, 1, 0], fault: 0 }),
         "00 02 00 01 00 00"),
        (Entry::Started(Started { cause: StartCause::Panic, firmware: [1, 22, 255],
          fault: 0xdeadbeef }),
         "00 03 01 16 ff ef fd b6 f5 0d"),
        (Entry::Started(Started { cause: StartCause::Reset, firmware: [0, 1, 0], fault: 0 }),
         "00 04 00 01 00 00"),
        (Entry::Started(Started { cause: StartCause::Unknown, firmware: [0, 1, 0], fault: 0 }),
         "00 05 00 01 00 00"),
        (Entry::Clock { unix_ms: 0 },
         "01 00"),
        (Entry::Clock { unix_ms: 1_767_225_600_000 },
         "01 80 a0 d5 ed ee 66"),
        (Entry::Clock { unix_ms: -1 },
         "01 01"),
        (Entry::Clock { unix_ms: i64::MAX },
         "01 fe ff ff ff ff ff ff ff ff 01"),
        (Entry::Clock { unix_ms: i64::MIN },
         "01 ff ff ff ff ff ff ff ff ff 01"),
        (Entry::Gap { refused: 1 },
         "02 01"),
        (Entry::Gap { refused: u32::MAX },
         "02 ff ff ff ff 0f"),
        (Entry::Void { seq: Seq(41) },
         "03 29"),
        (Entry::Void { seq: Seq(70_000) },
         "03 f0 a2 04"),
        (Entry::CalliperFault(CalliperFault::Silent),
         "04 00"),
        (Entry::CalliperFault(CalliperFault::WrongBits),
         "04 01"),
        (Entry::CalliperFault(CalliperFault::Nonsense),
         "04 02"),
        (Entry::CalliperFault(CalliperFault::Unsteady),
         "04 03"),
        (Entry::PlanLoaded { plan: 0xcbf4_3926, animals: 300 },
         "05 a6 f2 d0 df 0c ac 02"),
        (Entry::Visit { farm: 1 },
         "06 01"),
        (Entry::Visit { farm: 9 },
         "06 09"),
        (Entry::Visit { farm: 255 },
         "06 ff"),
        (Entry::Animal(AnimalNumber::Herd(herd(1))),
         "07 00 01"),
        (Entry::Animal(AnimalNumber::Herd(herd(1_234))),
         "07 00 d2 09"),
        (Entry::Animal(AnimalNumber::Herd(herd(999_999_999))),
         "07 00 ff 93 eb dc 03"),
        (Entry::Animal(AnimalNumber::Tag(tag(276_000_312_312_345))),
         "07 01 99 84 cb a4 d5 e0 3e"),
        (Entry::Animal(AnimalNumber::Tag(tag(999_274_877_906_943))),
         "07 01 ff df 85 81 dd 9a e3 01"),
        (Entry::AnimalLeft,
         "08"),
        (reading(83_450_000, 1, claw(Foot::RightHind, Side::Lateral), UnitMode::Millimetre,
          CalliperKind::Sync24),
         "09 a0 e2 ca 4f 01 07 00 00"),
        (reading(83_439_000, 1, claw(Foot::RightHind, Side::Medial), UnitMode::Inch,
          CalliperKind::Bcd52),
         "09 b0 b6 c9 4f 01 0b 01 01"),
        (reading(20_000_000, 0, Place::Cow, UnitMode::Millimetre, CalliperKind::Bcd52),
         "09 80 b4 89 13 00 ff 00 01"),
        (reading(-10_000, 6, claw(Foot::LeftFore, Side::Lateral), UnitMode::Millimetre,
          CalliperKind::Sync24),
         "09 9f 9c 01 06 04 00 00"),
        (reading(0, 9, Place::Foot(Foot::LeftHind), UnitMode::Inch, CalliperKind::Sync24),
         "09 00 09 02 01 00"),
        (reading(i32::MIN, 3, claw(Foot::RightFore, Side::Medial), UnitMode::Millimetre,
          CalliperKind::Sync24),
         "09 ff ff ff ff 0f 03 09 00 00"),
        (finding(13, claw(Foot::LeftHind, Side::Lateral), 2, None),
         "0a 0d 06 02 00"),
        (finding(31, Place::Foot(Foot::RightHind), 5, Zone::new(10)),
         "0a 1f 03 05 01 0a"),
        (finding(0, claw(Foot::RightFore, Side::Medial), 0, None),
         "0a 00 09 00 00"),
        (finding(61, Place::Foot(Foot::LeftFore), 9, Zone::new(0)),
         "0a 3d 00 09 01 00"),
        (finding(22, claw(Foot::LeftHind, Side::Medial), 3, Zone::new(12)),
         "0a 16 0a 03 01 0c"),
        (done(10, claw(Foot::RightHind, Side::Medial), 0),
         "0b 0a 0b 00"),
        (done(20, Place::Foot(Foot::LeftFore), 0),
         "0b 14 00 00"),
        (done(82, Place::Cow, 14),
         "0b 52 ff 0e"),
        (done(90, Place::Cow, 255),
         "0b 5a ff ff"),
        (score(1, 3),
         "0c 01 03"),
        (score(2, 0),
         "0c 02 00"),
        (score(3, 4),
         "0c 03 04"),
        (score(4, 255),
         "0c 04 ff"),
        (reading(20_000_000, 0, Place::Cow, UnitMode::Inch, CalliperKind::Words48),
         "09 80 b4 89 13 00 ff 01 02"),
        (reading(20_000_000, 0, Place::Cow, UnitMode::Millimetre, CalliperKind::Nibbles28),
         "09 80 b4 89 13 00 ff 00 03"),
        (done(30, Place::Cow, 0),
         "0b 1e ff 00"),
        (done(30, Place::Foot(Foot::LeftHind), 0),
         "0b 1e 02 00"),
        (done(33, Place::Cow, 0),
         "0b 21 ff 00"),
        (Entry::Bundle { bundle: 1, parts: 3 },
         "0d 01 03"),
        (Entry::Bundle { bundle: 255, parts: 255 },
         "0d ff ff"),
    ]
}

#[rustfmt::skip]
fn records() -> Vec<(Record, &'static str)> {
    vec![
        (record(1, 0, Entry::AnimalLeft),
         "01 00 08"),
        (record(3, 3_723_004, finding(13, claw(Foot::LeftHind, Side::Lateral), 2, None)),
         "03 fc 9d e3 01 0a 0d 06 02 00"),
        (record(u16::MAX, u64::MAX, Entry::Clock { unix_ms: i64::MIN }),
         "ff ff 03 ff ff ff ff ff ff ff ff ff 01 01 ff ff ff ff ff ff ff ff ff 01"),
    ]
}

#[rustfmt::skip]
fn requests() -> Vec<(Request, &'static str)> {
    vec![
        (Request::Hello,
         "00"),
        (Request::Now,
         "01"),
        (Request::State,
         "02"),
        (Request::Read { log: LogId(0x1a2b_3c4d), from: Seq(43), credit: 8 },
         "03 cd f8 ac d1 01 2b 08"),
        (Request::Read { log: LogId(u32::MAX), from: Seq(u32::MAX), credit: u32::MAX },
         "03 ff ff ff ff 0f ff ff ff ff 0f ff ff ff ff 0f"),
        (Request::Credit { batches: 200 },
         "04 c8 01"),
        (Request::Release { log: LogId(0x1a2b_3c4d), through: Seq(99) },
         "05 cd f8 ac d1 01 63"),
        (Request::SetClock { unix_ms: 1_767_225_600_000 },
         "06 80 a0 d5 ed ee 66"),
        (Request::SetClock { unix_ms: -1 },
         "06 01"),
        (Request::PlanState,
         "07"),
        (Request::PlanBegin { length: 16_072, plan: 0xcbf4_3926 },
         "08 c8 7d a6 f2 d0 df 0c"),
        (Request::PlanPart { at: 120, bytes: Part::new(&[1, 2, 3, 4]).unwrap() },
         "09 78 04 01 02 03 04"),
        (Request::PlanCommit { plan: 0xcbf4_3926 },
         "0a a6 f2 d0 df 0c"),
        (Request::CalliperState,
         "0b"),
        (Request::CalliperHear { pace: Pace::Usual },
         "0c 00"),
        (Request::CalliperHear { pace: Pace::Quick },
         "0c 01"),
        (Request::CalliperStore { setting: SETTING },
         "0d 00 00 01 01 00 00"),
        (Request::CalliperStore { setting: OTHER_SETTING },
         "0d 02 01 00 00 01 01"),
        (Request::Digest { log: LogId(0x1a2b_3c4d), from: Seq(42), through: Seq(43) },
         "0e cd f8 ac d1 01 2a 2b"),
        (Request::Digest { log: LogId(u32::MAX), from: Seq(u32::MAX), through: Seq(u32::MAX) },
         "0e ff ff ff ff 0f ff ff ff ff 0f ff ff ff ff 0f"),
    ]
}

const SETTING: CalliperSetting = CalliperSetting {
    kind: CalliperKind::Sync24,
    slope: Slope::Falling,
    one: Level::High,
    sign: SignBit::Bit21,
    inch: InchCode::One,
    words: WordOrder::ZeroedLast,
};

/// Every part that [`SETTING`] has not.
const OTHER_SETTING: CalliperSetting = CalliperSetting {
    kind: CalliperKind::Words48,
    slope: Slope::Rising,
    one: Level::Low,
    sign: SignBit::Bit20,
    inch: InchCode::Eight,
    words: WordOrder::ZeroedFirst,
};

#[rustfmt::skip]
fn responses(sealed: &[u8]) -> Vec<(Response<'_>, &'static str)> {
    vec![
        (Response::Hello(Hello {
                device: DeviceId(0x0123_4567_89ab_cdef),
                log: LogId(0x1a2b_3c4d),
                firmware: [0, 1, 0],
                boot: Boot(3),
                first: Seq(1),
                next: Seq(44),
                released: Seq::NONE,
            }),
         "00 ef 9b af cd f8 ac d1 91 01 cd f8 ac d1 01 00 01 00 03 01 2c 00"),
        (Response::Now { boot: Boot(3), uptime: Uptime(3_723_004) },
         "01 03 fc 9d e3 01"),
        (Response::State(State {
                uptime: Uptime(3_723_004),
                waiting: 43,
                free: 12_245,
                refused: 0,
                torn: 1,
                calliper_faults: 2,
                stuck_keys: 1,
                clock_known: true,
                battery_mv: 3_912,
            }),
         "02 fc 9d e3 01 2b d5 5f 00 01 02 01 01 c8 1e"),
        (Response::State(State {
                uptime: Uptime(3_723_004),
                waiting: 43,
                free: 12_245,
                refused: 0,
                torn: 1,
                calliper_faults: 2,
                stuck_keys: 1,
                clock_known: false,
                battery_mv: 3_912,
            }),
         "02 fc 9d e3 01 2b d5 5f 00 01 02 01 00 c8 1e"),
        (Response::Batch { from: Seq(42), through: Seq(43), sealed },
         "03 2a 2b 14 01 0a 2b 00 00 00 03 fc 9d e3 01 0a 0d 06 02 00 2c 4e 48 3e"),
        (Response::Batch { from: Seq(300), through: Seq(300), sealed: &[] },
         "03 ac 02 ac 02 00"),
        (Response::End { next: Seq(44) },
         "04 2c"),
        (Response::Released { through: Seq(43) },
         "05 2b"),
        (Response::ClockSet { boot: Boot(3), uptime: Uptime(3_723_004) },
         "06 03 fc 9d e3 01"),
        (Response::Refused(Refusal::OtherLog),
         "07 00"),
        (Response::Refused(Refusal::NotYet),
         "07 01"),
        (Response::Refused(Refusal::Gone),
         "07 02"),
        (Response::Refused(Refusal::Unknown),
         "07 03"),
        (Response::Refused(Refusal::LogFull),
         "07 04"),
        (Response::Refused(Refusal::FlashFault),
         "07 05"),
        (Response::Refused(Refusal::NoPlans),
         "07 06"),
        (Response::Refused(Refusal::PlanTooLong),
         "07 07"),
        (Response::Refused(Refusal::PlanOrder),
         "07 08"),
        (Response::Refused(Refusal::PlanVersion),
         "07 09"),
        (Response::Refused(Refusal::PlanBroken),
         "07 0a"),
        (Response::Plan(PlanState { version: 1, room: 16_320, in_force: None }),
         "08 01 c0 7f 00"),
        (Response::Plan(PlanState { version: 1, room: 16_320,
          in_force: Some(PlanName { plan: 0xcbf4_3926, animals: 300 }) }),
         "08 01 c0 7f 01 a6 f2 d0 df 0c ac 02"),
        (Response::PlanAt { next: 168 },
         "09 a8 01"),
        (Response::Refused(Refusal::NotKept),
         "07 0b"),
        (Response::Calliper { setting: None },
         "0a 00"),
        (Response::Calliper { setting: Some(SETTING) },
         "0a 01 00 00 01 01 00 00"),
        (Response::CalliperHeard(Heard { packets: 0, last: None }),
         "0b 00 00"),
        (Response::CalliperHeard(Heard { packets: 300, last: Some(RawPacket {
                fall: Sampled { bits: 0x1d6c, count: 24 },
                rise: Sampled { bits: u64::MAX, count: 255 },
                hurried: true,
            }) }),
         "0b ac 02 01 ec 3a 18 ff ff ff ff ff ff ff ff ff 01 ff 01"),
        (Response::Digest { from: Seq(42), through: Seq(43), count: 1,
          digest: 0x7315_ee4c_15dd_4aba },
         "0c 2a 2b 01 ba 95 f5 ae c1 c9 fb 8a 73"),
        (Response::Digest { from: Seq(300), through: Seq(363), count: 0, digest: 0 },
         "0c ac 02 eb 02 00 00"),
        (Response::Digest { from: Seq(300), through: Seq(363), count: 64, digest: u64::MAX },
         "0c ac 02 eb 02 40 ff ff ff ff ff ff ff ff ff 01"),
    ]
}

/// Every place and its byte.
#[rustfmt::skip]
fn places() -> Vec<(Place, u8)> {
    vec![
        (Place::Foot(Foot::LeftFore), 0x00),
        (Place::Foot(Foot::RightFore), 0x01),
        (Place::Foot(Foot::LeftHind), 0x02),
        (Place::Foot(Foot::RightHind), 0x03),
        (claw(Foot::LeftFore, Side::Lateral), 0x04),
        (claw(Foot::RightFore, Side::Lateral), 0x05),
        (claw(Foot::LeftHind, Side::Lateral), 0x06),
        (claw(Foot::RightHind, Side::Lateral), 0x07),
        (claw(Foot::LeftFore, Side::Medial), 0x08),
        (claw(Foot::RightFore, Side::Medial), 0x09),
        (claw(Foot::LeftHind, Side::Medial), 0x0a),
        (claw(Foot::RightHind, Side::Medial), 0x0b),
        (Place::Cow, 0xff),
    ]
}

/// Every lesion: number and letters.
#[rustfmt::skip]
const LESIONS: &[(u8, &str)] = &[
        (0, "OK"),
        (11, "SHD"),
        (12, "SHC"),
        (13, "SU"),
        (14, "BU"),
        (15, "TU"),
        (16, "TN"),
        (17, "DS"),
        (18, "TS"),
        (19, "HHE"),
        (21, "WLF"),
        (22, "WLA"),
        (23, "WL"),
        (31, "DD"),
        (32, "ID"),
        (33, "IH"),
        (34, "IP"),
        (41, "HFV"),
        (42, "HFH"),
        (43, "HFA"),
        (51, "AC"),
        (52, "CC"),
        (53, "SC"),
        (54, "CD"),
        (61, "SW"),
    (62, "SWC"),
    (63, "BJ"),
    (55, "OCH"),
    (56, "WTU"),
    (57, "ROT"),
    (64, "AMP"),
    (71, "PAIN"),
    (72, "COR"),
    (73, "EDGE"),
    (74, "GIVES"),
    (75, "FB"),
    (77, "COLD"),
    (78, "WET"),
];

/// Every action's number.
#[rustfmt::skip]
const ACTIONS: &[u8] = &[
    10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 30, 31, 32, 33, 40, 41, 42, 50, 51, 52,
      53, 60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 80, 81, 82, 90,
    // Appended.
    83,
    // Appended.
    43, 44, 45, 46, 47, 91,
];

/// Every dimension's number.
const DIMENSIONS: &[u8] = &[0, 1, 2, 3, 4, 5, 6, 7, 8, 9];

/// Every scale's number.
const SCALES: &[u8] = &[1, 2, 3, 4];

/// A whole request on the wire: `Read` of the list above, request 0x1234.
const REQUEST_FRAME: &str = "00 11 01 51 34 12 03 cd f8 ac d1 01 2b 08 8a 11 bc 32 00";

/// A whole response on the wire: the first `Batch` of the list above, to request 0x00ff.
const RESPONSE_FRAME: &str = "00 04 01 52 ff 08 03 2a 2b 14 01 0a 2b 01 01 0a 03 fc 9d e3 01 0a \
    0d 06 02 09 2c 4e 48 3e cb f4 c4 d6 00";

// The lists end here. What follows says what must hold of them.

/// The tag of an entry. Exhaustive: a new variant does not compile until it has its line here.
const fn entry_tag(entry: &Entry) -> usize {
    match entry {
        Entry::Started(_) => 0,
        Entry::Clock { .. } => 1,
        Entry::Gap { .. } => 2,
        Entry::Void { .. } => 3,
        Entry::CalliperFault(_) => 4,
        Entry::PlanLoaded { .. } => 5,
        Entry::Visit { .. } => 6,
        Entry::Animal(_) => 7,
        Entry::AnimalLeft => 8,
        Entry::Reading(_) => 9,
        Entry::Finding(_) => 10,
        Entry::Action(_) => 11,
        Entry::Score { .. } => 12,
        Entry::Bundle { .. } => 13,
    }
}

const fn start_cause_tag(cause: StartCause) -> usize {
    match cause {
        StartCause::PowerOn => 0,
        StartCause::BrownOut => 1,
        StartCause::Watchdog => 2,
        StartCause::Panic => 3,
        StartCause::Reset => 4,
        StartCause::Unknown => 5,
    }
}

const fn calliper_fault_tag(fault: CalliperFault) -> usize {
    match fault {
        CalliperFault::Silent => 0,
        CalliperFault::WrongBits => 1,
        CalliperFault::Nonsense => 2,
        CalliperFault::Unsteady => 3,
    }
}

const fn animal_tag(animal: AnimalNumber) -> usize {
    match animal {
        AnimalNumber::Herd(_) => 0,
        AnimalNumber::Tag(_) => 1,
    }
}

const fn unit_tag(unit: UnitMode) -> usize {
    match unit {
        UnitMode::Millimetre => 0,
        UnitMode::Inch => 1,
    }
}

const fn kind_tag(kind: CalliperKind) -> usize {
    match kind {
        CalliperKind::Sync24 => 0,
        CalliperKind::Bcd52 => 1,
        CalliperKind::Words48 => 2,
        CalliperKind::Nibbles28 => 3,
    }
}

const fn request_tag(request: &Request) -> usize {
    match request {
        Request::Hello => 0,
        Request::Now => 1,
        Request::State => 2,
        Request::Read { .. } => 3,
        Request::Credit { .. } => 4,
        Request::Release { .. } => 5,
        Request::SetClock { .. } => 6,
        Request::PlanState => 7,
        Request::PlanBegin { .. } => 8,
        Request::PlanPart { .. } => 9,
        Request::PlanCommit { .. } => 10,
        Request::CalliperState => 11,
        Request::CalliperHear { .. } => 12,
        Request::CalliperStore { .. } => 13,
        Request::Digest { .. } => 14,
    }
}

const fn response_tag(response: &Response<'_>) -> usize {
    match response {
        Response::Hello(_) => 0,
        Response::Now { .. } => 1,
        Response::State(_) => 2,
        Response::Batch { .. } => 3,
        Response::End { .. } => 4,
        Response::Released { .. } => 5,
        Response::ClockSet { .. } => 6,
        Response::Refused(_) => 7,
        Response::Plan(_) => 8,
        Response::PlanAt { .. } => 9,
        Response::Calliper { .. } => 10,
        Response::CalliperHeard(_) => 11,
        Response::Digest { .. } => 12,
    }
}

const fn refusal_tag(refusal: Refusal) -> usize {
    match refusal {
        Refusal::OtherLog => 0,
        Refusal::NotYet => 1,
        Refusal::Gone => 2,
        Refusal::Unknown => 3,
        Refusal::LogFull => 4,
        Refusal::FlashFault => 5,
        Refusal::NoPlans => 6,
        Refusal::PlanTooLong => 7,
        Refusal::PlanOrder => 8,
        Refusal::PlanVersion => 9,
        Refusal::PlanBroken => 10,
        Refusal::NotKept => 11,
    }
}

/// The tags covered are those of every variant the enum has, by its own `Deserialize`.
fn none_missing<T: Deserialize<'static>>(covered: impl IntoIterator<Item = usize>) {
    let covered: BTreeSet<usize> = covered.into_iter().collect();
    let names = variants::names::<T>();
    let missing: Vec<&str> =
        (0..names.len()).filter(|tag| !covered.contains(tag)).map(|tag| names[tag]).collect();
    assert!(missing.is_empty(), "not in the frozen lists: {missing:?}");
    assert_eq!(covered.len(), names.len(), "a tag beyond the last variant");
}

/// Encoding gives the bytes, the bytes decode to the value, nothing is left over.
fn both_ways<'a, T>(value: &T, bytes: &'a [u8])
where
    T: Serialize + Deserialize<'a> + PartialEq + Debug,
{
    let mut buffer = [0; MAX_RESPONSE];
    let encoded = postcard::to_slice(value, &mut buffer).unwrap();
    assert_eq!(hex::show(encoded), hex::show(bytes), "{value:?}");
    let (decoded, rest) = postcard::take_from_bytes::<T>(bytes).unwrap();
    assert_eq!((&decoded, rest), (value, &[][..]));
}

/// The body of a record, read back through the envelope.
fn body(record: &Record) -> Vec<u8> {
    let sealed = seal(DEVICE, LOG, Seq::FIRST, record).unwrap();
    assert_eq!(open(DEVICE, LOG, &sealed), Ok(*record));
    let bytes = sealed.as_bytes();
    bytes[6..bytes.len() - 4].to_vec()
}

#[test]
fn entries_are_as_frozen() {
    for (entry, text) in entries() {
        let bytes = hex::parse(text);
        both_ways(&entry, &bytes);
        assert_eq!(usize::from(bytes[0]), entry_tag(&entry));
        assert_eq!(body(&record(1, 0, entry)), [&[1, 0], &bytes[..]].concat());
    }
}

#[test]
fn no_entry_is_missing() {
    let entries: Vec<Entry> = entries().into_iter().map(|(entry, _)| entry).collect();
    none_missing::<Entry>(entries.iter().map(entry_tag));
    none_missing::<StartCause>(entries.iter().filter_map(|entry| match entry {
        Entry::Started(started) => Some(start_cause_tag(started.cause)),
        _ => None,
    }));
    none_missing::<CalliperFault>(entries.iter().filter_map(|entry| match entry {
        Entry::CalliperFault(fault) => Some(calliper_fault_tag(*fault)),
        _ => None,
    }));
    none_missing::<AnimalNumber>(entries.iter().filter_map(|entry| match entry {
        Entry::Animal(animal) => Some(animal_tag(*animal)),
        _ => None,
    }));
    let readings = || {
        entries.iter().filter_map(|entry| match entry {
            Entry::Reading(reading) => Some(reading),
            _ => None,
        })
    };
    none_missing::<UnitMode>(readings().map(|reading| unit_tag(reading.unit)));
    none_missing::<CalliperKind>(readings().map(|reading| kind_tag(reading.kind)));
}

#[test]
fn records_and_the_sealed_one_are_as_frozen() {
    for (record, text) in records() {
        let bytes = hex::parse(text);
        both_ways(&record, &bytes);
        assert_eq!(body(&record), bytes);
    }
    let (finding, _) = records()[1];
    let sealed = seal(DEVICE, LOG, Seq(43), &finding).unwrap();
    assert_eq!(hex::show(sealed.as_bytes()), SEALED);
    let frozen = Sealed::from_bytes(&hex::parse(SEALED)).unwrap();
    assert_eq!((frozen.version(), frozen.seq()), (1, Seq(43)));
    assert_eq!(open(DEVICE, LOG, &frozen), Ok(finding));
}

#[test]
fn places_are_as_frozen_and_no_other_byte_is_one() {
    let places = places();
    for byte in 0..=u8::MAX {
        let frozen = places.iter().find(|(_, frozen)| *frozen == byte);
        match frozen {
            Some((place, _)) => both_ways(place, &[byte]),
            None => assert!(postcard::from_bytes::<Place>(&[byte]).is_err(), "{byte:#04x}"),
        }
    }
    let kinds: BTreeSet<u8> = places
        .iter()
        .map(|(place, _)| match place {
            Place::Cow => 0,
            Place::Foot(_) => 1,
            Place::Claw(_) => 2,
        })
        .collect();
    assert_eq!((places.len(), kinds.len()), (1 + 4 + 8, 3));
}

#[test]
fn zones_are_their_numbers_and_none_is_above_twelve() {
    for byte in 0..=u8::MAX {
        match Zone::new(byte) {
            Some(zone) => both_ways(&zone, &[byte]),
            None => assert!(postcard::from_bytes::<Zone>(&[byte]).is_err(), "{byte}"),
        }
    }
    assert_eq!((0..=u8::MAX).filter(|byte| Zone::new(*byte).is_some()).max(), Some(12));
}

#[test]
fn codes_are_as_frozen_and_none_is_missing() {
    // Sets, because appended rows need not stand in the tables' order.
    let set = |codes: &[u8]| codes.iter().copied().collect::<BTreeSet<u8>>();
    let frozen: Vec<u8> = LESIONS.iter().map(|(code, _)| *code).collect();
    assert_eq!(Lesion::all().map(Lesion::code).collect::<BTreeSet<u8>>(), set(&frozen));
    // A row may be given other letters; those that it had are read as ever.
    for (code, letters) in LESIONS {
        assert_eq!(Lesion::from_letters(letters).map(Lesion::code), Some(*code), "{letters}");
    }
    assert_eq!(Action::all().map(Action::code).collect::<BTreeSet<_>>(), set(ACTIONS));
    assert_eq!(Dimension::all().map(Dimension::code).collect::<BTreeSet<_>>(), set(DIMENSIONS));
    assert_eq!(Scale::all().map(Scale::code).collect::<BTreeSet<_>>(), set(SCALES));
    for byte in 0..=u8::MAX {
        match Lesion::from_code(byte) {
            Some(lesion) => both_ways(&lesion, &[byte]),
            None => assert!(postcard::from_bytes::<Lesion>(&[byte]).is_err(), "{byte}"),
        }
        match Action::from_code(byte) {
            Some(action) => both_ways(&action, &[byte]),
            None => assert!(postcard::from_bytes::<Action>(&[byte]).is_err(), "{byte}"),
        }
        match Dimension::from_code(byte) {
            Some(dimension) => both_ways(&dimension, &[byte]),
            None => assert!(postcard::from_bytes::<Dimension>(&[byte]).is_err(), "{byte}"),
        }
        match Scale::from_code(byte) {
            Some(scale) => both_ways(&scale, &[byte]),
            None => assert!(postcard::from_bytes::<Scale>(&[byte]).is_err(), "{byte}"),
        }
    }
}

#[test]
fn messages_are_as_frozen() {
    for (request, text) in requests() {
        let bytes = hex::parse(text);
        both_ways(&request, &bytes);
        assert_eq!(usize::from(bytes[0]), request_tag(&request));
    }
    let sealed = hex::parse(SEALED);
    for (response, text) in responses(&sealed) {
        let bytes = hex::parse(text);
        both_ways(&response, &bytes);
        assert_eq!(usize::from(bytes[0]), response_tag(&response));
    }
}

#[test]
fn no_message_is_missing() {
    none_missing::<Request>(requests().iter().map(|(request, _)| request_tag(request)));
    let responses = responses(&[]);
    none_missing::<Response<'static>>(responses.iter().map(|(response, _)| response_tag(response)));
    none_missing::<Refusal>(responses.iter().filter_map(|(response, _)| match response {
        Response::Refused(refusal) => Some(refusal_tag(*refusal)),
        _ => None,
    }));
}

fn frame_both_ways<'a, M>(id: u16, message: &M, frozen: &str, deframer: &'a mut Deframer<2048>)
where
    M: Message + Serialize + Deserialize<'a> + PartialEq + Debug,
{
    let mut line = [0; MAX_RESPONSE_ON_WIRE];
    let sent = frame::encode(RequestId(id), message, &mut line).unwrap();
    assert_eq!(hex::show(sent), frozen);
    let bytes = hex::parse(frozen);
    let (last, before) = bytes.split_last().unwrap();
    for byte in before {
        assert_eq!(deframer.push(*byte), None);
    }
    let frame = deframer.push(*last).unwrap().unwrap();
    assert_eq!(frame.id, RequestId(id));
    assert_eq!(frame.message::<M>().as_ref(), Ok(message));
}

#[test]
fn frames_are_as_frozen() {
    let (read, _) = requests()[3];
    frame_both_ways(0x1234, &read, REQUEST_FRAME, &mut Deframer::new());
    let sealed = hex::parse(SEALED);
    let batch = responses(&sealed)
        .into_iter()
        .map(|(response, _)| response)
        .find(|response| matches!(response, Response::Batch { .. }))
        .unwrap();
    frame_both_ways(0x00ff, &batch, RESPONSE_FRAME, &mut Deframer::new());
}

/// Every entry with every number at the value that takes most bytes.
fn longest_entries() -> Vec<Entry> {
    let far = claw(Foot::RightHind, Side::Medial);
    vec![
        Entry::Started(Started {
            cause: StartCause::Unknown,
            firmware: [u8::MAX; 3],
            fault: u32::MAX,
        }),
        Entry::Clock { unix_ms: i64::MIN },
        Entry::Gap { refused: u32::MAX },
        Entry::Void { seq: Seq(u32::MAX) },
        Entry::CalliperFault(CalliperFault::Unsteady),
        Entry::PlanLoaded { plan: u32::MAX, animals: u16::MAX },
        Entry::Visit { farm: u8::MAX },
        Entry::Animal(AnimalNumber::Herd(herd(HerdNumber::MAX))),
        Entry::Animal(AnimalNumber::Tag(Iso11784::new(999, Iso11784::MAX_NATIONAL).unwrap())),
        Entry::AnimalLeft,
        reading(i32::MIN, 9, far, UnitMode::Inch, CalliperKind::Bcd52),
        finding(61, far, u8::MAX, Zone::new(12)),
        done(90, far, u8::MAX),
        score(4, u8::MAX),
        Entry::Bundle { bundle: u8::MAX, parts: u8::MAX },
    ]
}

#[test]
fn the_longest_record_of_every_variant_fits() {
    let entries = longest_entries();
    none_missing::<Entry>(entries.iter().map(entry_tag));
    let lengths = entries.into_iter().map(|entry| {
        let longest = record(u16::MAX, u64::MAX, entry);
        let body = body(&longest);
        assert!(body.len() <= MAX_BODY, "{entry:?} takes {}", body.len());
        let sealed = seal(DEVICE, LOG, Seq(u32::MAX), &longest).unwrap();
        assert!(sealed.as_bytes().len() <= MAX_SEALED);
        body.len()
    });
    // Boot 3, uptime 10, tag 1, clock 10.
    assert_eq!(lengths.max(), Some(24));
}

#[test]
fn the_longest_message_of_every_variant_fits() {
    let most = u32::MAX;
    let requests = [
        Request::Hello,
        Request::Now,
        Request::State,
        Request::Read { log: LogId(most), from: Seq(most), credit: most },
        Request::Credit { batches: most },
        Request::Release { log: LogId(most), through: Seq(most) },
        Request::SetClock { unix_ms: i64::MIN },
        Request::PlanState,
        Request::PlanBegin { length: u16::MAX, plan: most },
        Request::PlanPart { at: u16::MAX, bytes: Part::new(&[0xff; MAX_PART]).unwrap() },
        Request::PlanCommit { plan: most },
        Request::CalliperState,
        Request::CalliperHear { pace: Pace::Quick },
        Request::CalliperStore { setting: OTHER_SETTING },
        Request::Digest { log: LogId(most), from: Seq(most), through: Seq(most) },
    ];
    none_missing::<Request>(requests.iter().map(request_tag));
    for request in requests {
        let mut line = [0; MAX_REQUEST_ON_WIRE];
        assert!(postcard::to_slice(&request, &mut [0; MAX_REQUEST]).is_ok(), "{request:?}");
        assert!(frame::encode(RequestId(u16::MAX), &request, &mut line).is_ok(), "{request:?}");
    }
    // No zero among the records is the worst case of COBS.
    let run = [0xff; MAX_BATCH];
    let (boot, uptime) = (Boot(u16::MAX), Uptime(u64::MAX));
    let responses = [
        Response::Hello(Hello {
            device: DeviceId(u64::MAX),
            log: LogId(most),
            firmware: [u8::MAX; 3],
            boot,
            first: Seq(most),
            next: Seq(most),
            released: Seq(most),
        }),
        Response::Now { boot, uptime },
        Response::State(State {
            uptime,
            waiting: most,
            free: most,
            refused: most,
            torn: most,
            calliper_faults: most,
            stuck_keys: u8::MAX,
            clock_known: true,
            battery_mv: u16::MAX,
        }),
        Response::Batch { from: Seq(most), through: Seq(most), sealed: &run },
        Response::End { next: Seq(most) },
        Response::Released { through: Seq(most) },
        Response::ClockSet { boot, uptime },
        Response::Refused(Refusal::FlashFault),
        Response::Plan(PlanState {
            version: u8::MAX,
            room: u16::MAX,
            in_force: Some(PlanName { plan: most, animals: u16::MAX }),
        }),
        Response::PlanAt { next: u16::MAX },
        Response::Calliper { setting: Some(OTHER_SETTING) },
        Response::CalliperHeard(Heard {
            packets: u16::MAX,
            last: Some(RawPacket {
                fall: Sampled { bits: u64::MAX, count: u8::MAX },
                rise: Sampled { bits: u64::MAX, count: u8::MAX },
                hurried: true,
            }),
        }),
        Response::Digest { from: Seq(most), through: Seq(most), count: most, digest: u64::MAX },
    ];
    none_missing::<Response<'static>>(responses.iter().map(response_tag));
    for response in responses {
        let mut line = [0; MAX_RESPONSE_ON_WIRE];
        assert!(postcard::to_slice(&response, &mut [0; MAX_RESPONSE]).is_ok(), "{response:?}");
        assert!(frame::encode(RequestId(u16::MAX), &response, &mut line).is_ok(), "{response:?}");
    }
}
