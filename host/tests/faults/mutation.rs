//! Files as nobody should send them: cut, torn, bent, huge, in other encodings, or no files at all.

use std::path::Path;
use std::{fs, os};

use hornrule_insight::luck::Luck;

/// Pieces that programs have stumbled over.
const PIECES: [&str; 22] = [
    "\0",
    "\u{feff}",
    "\r",
    "\r\n",
    "\n\n\n",
    "\"",
    "'",
    "\\",
    "\u{1b}[31m",
    "\u{202e}",
    "=cmd|' /C calc'!A0",
    "99999999999999999999999999",
    "-1",
    "NaN",
    "1e999",
    "2026-02-30",
    "null",
    "{",
    "]",
    ";",
    "\u{1f404}",
    "\u{7f}\u{85}\u{2028}",
];

/// What is done to a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Flipped,
    Cut,
    Without,
    Doubled,
    Shuffled,
    Pieces,
    Noise,
    Utf16,
    Latin1,
    OldLineEnds,
    LongLine,
    Deep,
    ManyColumns,
    Digits,
    Empty,
    Zeros,
    Binary,
    Huge,
    Folder,
    Loop,
}

pub(crate) const WAYS: [Way; 20] = [
    Way::Flipped,
    Way::Cut,
    Way::Without,
    Way::Doubled,
    Way::Shuffled,
    Way::Pieces,
    Way::Noise,
    Way::Utf16,
    Way::Latin1,
    Way::OldLineEnds,
    Way::LongLine,
    Way::Deep,
    Way::ManyColumns,
    Way::Digits,
    Way::Empty,
    Way::Zeros,
    Way::Binary,
    Way::Huge,
    Way::Folder,
    Way::Loop,
];

/// Writes what has become of a good file; what was at the path goes first.
pub(crate) fn write(path: &Path, good: &[u8], way: Way, luck: &mut Luck) {
    let _file = fs::remove_file(path);
    let _folder = fs::remove_dir(path);
    match way {
        Way::Folder => fs::create_dir(path).unwrap(),
        Way::Loop => os::unix::fs::symlink(path, path).unwrap(),
        _ => fs::write(path, bent(good, way, luck)).unwrap(),
    }
}

/// Part of the file: where it begins and ends.
fn part(length: usize, luck: &mut Luck) -> (usize, usize) {
    let from = luck.below(length);
    (from, (from + 1 + luck.below(40)).min(length))
}

fn bent(good: &[u8], way: Way, luck: &mut Luck) -> Vec<u8> {
    let mut bytes = good.to_vec();
    let length = bytes.len();
    match way {
        Way::Flipped => {
            for _ in 0..=luck.below(12) {
                bytes[luck.below(length)] ^= 1 << luck.below(8);
            }
        }
        Way::Cut => bytes.truncate(luck.below(length)),
        Way::Without => {
            let (from, to) = part(length, luck);
            bytes.drain(from..to);
        }
        Way::Doubled => {
            let (from, to) = part(length, luck);
            let again = bytes[from..to].repeat(1 + luck.below(4));
            bytes.splice(to..to, again);
        }
        Way::Shuffled => {
            let mut lines: Vec<&[u8]> = good.split(|byte| *byte == b'\n').collect();
            luck.shuffle(&mut lines);
            bytes = lines.join(&b'\n');
        }
        Way::Pieces => {
            for _ in 0..=luck.below(6) {
                let at = luck.below(bytes.len());
                bytes.splice(at..at, PIECES[luck.below(PIECES.len())].bytes());
            }
        }
        Way::Noise => {
            let at = luck.below(length);
            let noise: Vec<u8> = (0..=luck.below(200)).map(|_| luck.bits() as u8).collect();
            bytes.splice(at..at, noise);
        }
        Way::Utf16 => {
            let big = luck.chance(0.5);
            let units = String::from_utf8_lossy(good).into_owned();
            let units = ['\u{feff}'].into_iter().chain(units.chars()).map(|one| one as u16);
            bytes = units
                .flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() })
                .collect();
        }
        Way::Latin1 => {
            for _ in 0..4 {
                let at = luck.below(bytes.len());
                bytes.insert(at, 0xA0 + luck.below(0x60) as u8);
            }
        }
        Way::OldLineEnds => {
            bytes.iter_mut().filter(|byte| **byte == b'\n').for_each(|b| *b = b'\r')
        }
        Way::LongLine => {
            let at = luck.below(length);
            bytes.splice(at..at, vec![b'a' + luck.below(26) as u8; 1_000_000]);
        }
        Way::Deep => {
            let open = [&b"["[..], b"{\"a\":", b"a = [", b"[a.", b"\"", b"("][luck.below(6)];
            let at = if luck.chance(0.5) { 0 } else { luck.below(length) };
            bytes.splice(at..at, open.repeat(20_000));
        }
        Way::ManyColumns => {
            let at = good.iter().position(|byte| *byte == b'\n').unwrap_or(length);
            bytes.splice(at..at, b",number".repeat(5_000));
        }
        Way::Digits => {
            // Every number another one.
            for byte in bytes.iter_mut().filter(|byte| byte.is_ascii_digit()) {
                *byte = b'0' + luck.below(10) as u8;
            }
        }
        Way::Empty => bytes.clear(),
        Way::Zeros => bytes = vec![0; 1 + luck.below(100_000)],
        Way::Binary => bytes = (0..1 + luck.below(20_000)).map(|_| luck.bits() as u8).collect(),
        Way::Huge => {
            let line = good.split(|byte| *byte == b'\n').nth(1).unwrap_or(good).to_vec();
            let more = [&line[..], b"\n"].concat();
            bytes.extend(more.repeat(4_000_000 / more.len()));
        }
        Way::Folder | Way::Loop => {}
    }
    bytes
}
