//! The parts defined by others, checked against values published by others.

#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::limits::MAX_REQUEST_ON_WIRE;
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{
    AnimalNumber, Boot, DeviceId, Entry, Iso11784, LogId, Nanometres, Record, Request, Seq, Uptime,
    open, seal,
};

#[path = "parts/hex.rs"]
mod hex;

/// Text, checksum. Row 1: check value of CRC-32/ISO-HDLC in the CRC RevEng catalogue. Row 2: the
/// `IEND` chunk, AE 42 60 82, as at the end of every PNG file (PNG specification; its checksum
/// covers the four type letters). Row 3: widely published. All three are from memory and were
/// confirmed with a second implementation (zlib).
const CHECKSUMS: [(&str, u32); 3] = [
    ("123456789", 0xCBF4_3926),
    ("IEND", 0xAE42_6082),
    ("The quick brown fox jumps over the lazy dog", 0x414F_A339),
];

#[test]
fn crc_32_gives_the_published_values() {
    for (text, published) in CHECKSUMS {
        assert_eq!(CRC.checksum(text.as_bytes()), published, "{text}");
    }
}

/// A message followed by its own checksum, low byte first, always gives the same checksum: the
/// residue DEBB20E3 of the CRC RevEng catalogue (from memory), which is the value before the final
/// inversion, 2144DF1C after it. Holds only if coverage and byte order are as the specification
/// says.
const RESIDUE: u32 = !0xDEBB_20E3;

#[test]
fn seal_and_frame_leave_the_published_residue() {
    let (device, log) = (DeviceId(0x0123_4567_89ab_cdef), LogId(0x1a2b_3c4d));
    let left = Record { boot: Boot(1), uptime: Uptime(2), entry: Entry::AnimalLeft };
    let sealed = seal(device, log, Seq(7), &left).unwrap();
    let mut covered = device.0.to_le_bytes().to_vec();
    covered.extend_from_slice(&log.0.to_le_bytes());
    covered.extend_from_slice(sealed.as_bytes());
    assert_eq!(CRC.checksum(&covered), RESIDUE);

    let mut line = [0; MAX_REQUEST_ON_WIRE];
    let sent = frame::encode(RequestId(7), &Request::Hello, &mut line).unwrap();
    let mut plain = vec![0; sent.len()];
    let report = cobs::decode(&sent[1..], &mut plain).unwrap();
    assert_eq!(CRC.checksum(&plain[..report.frame_size()]), RESIDUE);
}

fn run(from: u8, to: u8) -> Vec<u8> {
    (from..=to).collect()
}

/// Plain and stuffed. The first eight rows and the runs are the examples found in most descriptions
/// of Consistent Overhead Byte Stuffing (Cheshire and Baker, "Consistent Overhead Byte Stuffing",
/// IEEE/ACM Transactions on Networking 7(2), 1999, gives the rule); from memory of the published
/// table.
fn stuffed() -> Vec<(Vec<u8>, Vec<u8>)> {
    let short = [
        ("", "01"),
        ("00", "01 01"),
        ("00 00", "01 01 01"),
        ("00 11 00", "01 02 11 01"),
        ("11 22 00 33", "03 11 22 02 33"),
        ("11 22 33 44", "05 11 22 33 44"),
        ("11 00 00 00", "02 11 01 01 01"),
    ];
    let mut rows: Vec<_> =
        short.iter().map(|(plain, line)| (hex::parse(plain), hex::parse(line))).collect();
    rows.push((run(0x01, 0xfe), [vec![0xff], run(0x01, 0xfe)].concat()));
    rows.push((run(0x00, 0xfe), [vec![0x01, 0xff], run(0x01, 0xfe)].concat()));
    rows.push((run(0x01, 0xff), [vec![0xff], run(0x01, 0xfe), vec![0x02, 0xff]].concat()));
    let wrapped = [run(0x02, 0xff), vec![0x00]].concat();
    rows.push((wrapped, [vec![0xff], run(0x02, 0xff), vec![0x01, 0x01]].concat()));
    let wrapped = [run(0x03, 0xff), vec![0x00, 0x01]].concat();
    rows.push((wrapped, [vec![0xfe], run(0x03, 0xff), vec![0x02, 0x01]].concat()));
    rows
}

/// The encoder is fed byte by byte and in one piece, because `frame::encode` feeds it piecemeal.
#[test]
fn cobs_gives_the_published_bytes_both_ways() {
    for (plain, line) in stuffed() {
        for piece in [1, plain.len().max(1)] {
            let mut buffer = [0; 300];
            let mut encoder = cobs::CobsEncoder::new(&mut buffer);
            for bytes in plain.chunks(piece) {
                encoder.push(bytes).unwrap();
            }
            let length = encoder.finalize();
            assert_eq!(hex::show(&buffer[..length]), hex::show(&line));
        }
        let mut buffer = line.clone();
        let length = cobs::decode_in_place(&mut buffer).unwrap();
        assert_eq!(hex::show(&buffer[..length]), hex::show(&plain));
    }
}

fn written<T: serde::Serialize>(value: &T) -> String {
    hex::show(postcard::to_slice(value, &mut [0; 16]).unwrap())
}

fn read<T: serde::de::DeserializeOwned>(text: &str) -> Option<T> {
    let bytes = hex::parse(text);
    match postcard::take_from_bytes(&bytes) {
        Ok((value, [])) => Some(value),
        Ok(_) | Err(_) => None,
    }
}

/// The tables "Unsigned Integer Encoding" and "Signed Integer Encoding" of postcard's wire-format
/// specification (spec/src/wire-format.md, read).
#[test]
fn varint_and_zig_zag_are_as_in_the_postcard_specification() {
    let unsigned = [
        (0, "00"),
        (127, "7f"),
        (128, "80 01"),
        (16_383, "ff 7f"),
        (16_384, "80 80 01"),
        (16_385, "81 80 01"),
        (65_535, "ff ff 03"),
    ];
    for (number, bytes) in unsigned {
        assert_eq!(written(&Boot(number)), bytes, "{number}");
        assert_eq!(read(bytes), Some(Boot(number)));
        // The wider types encode small numbers the same way.
        assert_eq!(written(&Seq(number.into())), bytes);
        assert_eq!(written(&Uptime(number.into())), bytes);
    }
    let signed = [
        (0i16, "00"),
        (-1, "01"),
        (1, "02"),
        (63, "7e"),
        (-64, "7f"),
        (64, "80 01"),
        (-65, "81 01"),
        (32_767, "fe ff 03"),
        (-32_768, "ff ff 03"),
    ];
    for (number, bytes) in signed {
        assert_eq!(written(&number), bytes, "{number}");
        assert_eq!(written(&Nanometres(number.into())), bytes);
        assert_eq!(read(bytes), Some(Nanometres(number.into())));
        let clock = Request::SetClock { unix_ms: number.into() };
        assert_eq!(written(&clock), format!("06 {bytes}"));
    }
}

/// The table "Canonicalization" of the same specification: padding bytes are accepted; bytes beyond
/// the type's longest form and bits beyond its width are not.
#[test]
fn needless_varint_bytes_are_read_and_too_many_are_not() {
    let rows = [
        ("00", Some(0)),
        ("80 00", Some(0)),
        ("80 80 00", Some(0)),
        ("80 80 80 00", None),
        ("ff ff 03", Some(65_535)),
        ("ff ff 07", None),
        ("ff ff 83 00", None),
    ];
    for (bytes, number) in rows {
        assert_eq!(read(bytes), number.map(Boot), "{bytes}");
    }
}

/// 15 digits, ISO 11784 code with the animal bit first, the number's bytes in a record. Row 1 is
/// published (R package ISO11784Tools 1.2.0, README); the codes of the others were computed from
/// the bit layout of ISO 11784.
const TAGS: [(u64, u64); 7] = [
    (999_123_456_789_012, 0x8000_F9DC_BE99_1A14),
    (276_000_312_312_345, 0x8000_4500_129D_8219),
    (826_230_011_200_123, 0x8000_CEB5_8DBC_627B),
    (840_003_123_456_789, 0x8000_D200_BA2C_2B15),
    (985_113_007_399_202, 0x8000_F65A_4FC4_1122),
    (999_000_000_000_001, 0x8000_F9C0_0000_0001),
    (999_274_877_906_943, 0x8000_F9FF_FFFF_FFFF),
];

#[test]
fn iso_11784_codes_survive_the_record() {
    let (device, log) = (DeviceId(1), LogId(2));
    for (decimal, code) in TAGS {
        let read_from_tag = Iso11784::from_code(code).unwrap();
        let entry = Entry::Animal(AnimalNumber::Tag(read_from_tag));
        let said = Record { boot: Boot(1), uptime: Uptime(5), entry };
        let sealed = seal(device, log, Seq::FIRST, &said).unwrap();
        let opened = open(device, log, &sealed).unwrap();
        assert_eq!(opened, said);
        let Entry::Animal(AnimalNumber::Tag(number)) = opened.entry else {
            panic!("{opened:?}");
        };
        assert_eq!((number.decimal(), number.code()), (decimal, code));
        assert_eq!(number.to_string(), decimal.to_string());
    }
}

/// ISO 11784: the national code has 38 bits; 999274877906944 is one beyond.
#[test]
fn a_tag_number_beyond_38_bits_is_no_record() {
    let beyond = written(&(7u8, 1u8, 999_274_877_906_944u64));
    assert_eq!(read::<Entry>(&beyond), None);
    let largest = written(&(7u8, 1u8, 999_274_877_906_943u64));
    let tag = Iso11784::from_decimal(999_274_877_906_943).unwrap();
    assert_eq!(read(&largest), Some(Entry::Animal(AnimalNumber::Tag(tag))));
}
