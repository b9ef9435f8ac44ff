//! What the emulated RP2040 left behind, read with the project's own log and deframer.
//!
//! `firmware/board-rp2040/emulate` plays the image in `tests/rp2040/` and then runs this.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::fs;
use std::path::PathBuf;

use hornrule_core::log::Log;
use hornrule_protocol::deframe::Deframer;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::limits::MAX_RESPONSE_ON_WIRE;
use hornrule_protocol::message::Response;
use hornrule_protocol::record::{CalliperKind, StartCause, UnitMode};
use hornrule_protocol::{
    AnimalNumber, Boot, DeviceId, Entry, HerdNumber, LogId, Nanometres, Record, Seq, open,
};
use hornrule_testkit::flash::Flash;

/// The emulated flash chip gives no number, and the emulated entropy is all ones.
const DEVICE: DeviceId = DeviceId(0);
const LOG: LogId = LogId(u32::MAX);

fn folder() -> PathBuf {
    std::env::var_os("HORNRULE_RP2040_OUT").map(PathBuf::from).unwrap()
}

fn files(ending: &str) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(folder())
        .unwrap()
        .map(|file| file.unwrap())
        .map(|file| (file.file_name().into_string().unwrap(), file.path()))
        .filter(|(name, _)| name.ends_with(ending))
        .map(|(name, path)| (name, fs::read(path).unwrap()))
        .collect();
    files.sort();
    files
}

fn records(image: &[u8]) -> Vec<(Seq, Record)> {
    let mut log =
        Log::mount(Flash::<4096>::load(image), LogId(7)).map_err(|(_, error)| error).unwrap();
    assert_eq!(log.id(), LOG);
    let mut found = Vec::new();
    let mut from = log.first();
    while let Some(sealed) = log.read_from(from).unwrap() {
        found.push((sealed.seq(), open(DEVICE, LOG, &sealed).unwrap()));
        from = sealed.seq().next();
    }
    found
}

fn file(name: &str) -> Vec<u8> {
    fs::read(folder().join(name)).unwrap()
}

fn lengths(image: &[u8]) -> Vec<(Nanometres, UnitMode, CalliperKind)> {
    let readings = records(image).into_iter().filter_map(|(_, record)| match record.entry {
        Entry::Reading(reading) => Some((reading.length, reading.unit, reading.kind)),
        _ => None,
    });
    readings.collect()
}

#[test]
#[ignore = "needs the emulator's flash: firmware/board-rp2040/emulate"]
fn the_story_is_in_flash() {
    let told = records(&file("story.bin"));
    let numbers: Vec<u32> = told.iter().map(|(seq, _)| seq.0).collect();
    assert_eq!(numbers, (1..=9).collect::<Vec<u32>>());
    assert!(told.iter().all(|(_, record)| record.boot == Boot(1)));
    let cow = AnimalNumber::Herd(HerdNumber::new(412).unwrap());
    let kinds: Vec<Entry> = told.iter().map(|(_, record)| record.entry).collect();
    assert!(matches!(kinds[0], Entry::Started(started) if started.cause == StartCause::PowerOn));
    assert_eq!(kinds[1], Entry::Animal(cow));
    assert!(matches!(kinds[2], Entry::Finding(_)));
    assert!(matches!(kinds[6], Entry::Action(_)));
    assert!(matches!(kinds[7], Entry::Void { .. }));
    assert_eq!(kinds[8], Entry::AnimalLeft);
    // 3.0080 in at 25.4 mm each.
    assert_eq!(
        lengths(&file("story.bin")),
        [
            (Nanometres(75_320_000), UnitMode::Millimetre, CalliperKind::Sync24),
            (Nanometres(-990_000), UnitMode::Millimetre, CalliperKind::Sync24),
            (Nanometres(76_403_200), UnitMode::Inch, CalliperKind::Bcd52),
        ]
    );
}

#[test]
#[ignore = "needs the emulator's flash: firmware/board-rp2040/emulate"]
fn every_waveform_is_the_length_that_was_shown() {
    let waves = files(".bin");
    let waves: Vec<_> = waves.iter().filter(|(name, _)| name.starts_with("waves-")).collect();
    assert_eq!(waves.len(), 3);
    for (name, image) in waves {
        let lengths = lengths(image);
        assert!(lengths.len() >= 4, "{name}");
        assert!(lengths.iter().all(|(length, ..)| *length == Nanometres(75_320_000)), "{name}");
    }
    assert_eq!(lengths(&file("faults.bin")), []);
}

#[test]
#[ignore = "needs the emulator's flash: firmware/board-rp2040/emulate"]
fn after_each_cut_what_was_promised_is_there_and_the_day_goes_on() {
    let whole = records(&file("cut-none.bin"));
    let cuts = files(".bin")
        .into_iter()
        .filter(|(name, _)| name.starts_with("cut-") && name != "cut-none.bin");
    let mut seen = 0;
    for (name, image) in cuts {
        seen += 1;
        let stem = name.trim_end_matches(".bin");
        let promised: usize = stem.rsplit('-').next().unwrap().parse().unwrap();
        let left = records(&image);
        assert!(whole.starts_with(&left), "{name}: not what was said");
        // A sentence stores at most two records, as the first of a boot does.
        assert!((promised..=promised + 2).contains(&left.len()), "{name}: {}", left.len());
        let after = records(&file(&format!("{stem}.after")));
        assert!(after.starts_with(&left), "{name}: the next boot changed what was there");
        let new: Vec<&Record> = after[left.len()..].iter().map(|(_, record)| record).collect();
        assert!(
            matches!(
                new[..],
                [Record { entry: Entry::Started(_), .. }, Record { entry: Entry::Animal(_), .. }]
            ),
            "{name}: {new:?}"
        );
        assert!(after.windows(2).all(|pair| pair[0].0 < pair[1].0), "{name}");
    }
    assert!(seen >= 36, "{seen} cuts");
}

#[test]
#[ignore = "needs the emulator's flash: firmware/board-rp2040/emulate"]
fn a_format_that_was_cut_ends_in_a_log() {
    let formats = files(".after").into_iter().filter(|(name, _)| name.starts_with("format-"));
    let mut seen = 0;
    for (name, image) in formats {
        seen += 1;
        let entries: Vec<Entry> =
            records(&image).into_iter().map(|(_, record)| record.entry).collect();
        assert!(matches!(entries[..], [Entry::Started(_), Entry::Animal(_)]), "{name}");
    }
    assert!(seen >= 20, "{seen} formats");
}

#[test]
#[ignore = "needs the emulator's line: firmware/board-rp2040/emulate"]
fn the_office_is_answered_in_whole_frames() {
    let mut deframer = Deframer::<{ MAX_RESPONSE_ON_WIRE }>::new();
    let mut answers = 0;
    for byte in file("hello.sent") {
        if let Some(frame) = deframer.push(byte) {
            let frame = frame.unwrap();
            assert_eq!(frame.id, RequestId(0x1234));
            let Response::Hello(hello) = frame.message().unwrap() else { panic!("not a Hello") };
            assert_eq!((hello.device, hello.log, hello.first), (DEVICE, LOG, Seq(1)));
            answers += 1;
        }
    }
    assert_eq!(answers, 1);
}
