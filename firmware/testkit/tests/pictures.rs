//! The pictures in the hardware notes are drawn from bit scripts, and the scripts match the notes.

use std::fs;
use std::path::PathBuf;

use hornrule_core::calliper::{Calliper, Clip, Edge, Level, Settings, Slope};
use hornrule_core::time::Micros;
use hornrule_protocol::Nanometres;
use hornrule_testkit::bits::{Script, Shape, digits};
use hornrule_testkit::old_bits::{nibbles28, words48};
use hornrule_testkit::picture::{Legend, counted, svg};

/// 75.32 mm.
const SYNC24: u32 = 0x00_1D6C;
const BCD52: [u8; 13] = [15, 15, 15, 15, 0, 0, 0, 7, 5, 3, 2, 2, 0];
/// 75.32 mm in steps of 1/20480 inch.
const WORD: u32 = 60_730;
/// 9.8015 in: six digits, the lowest first, and the flag that adds half a step.
const NIBBLES: [u8; 7] = [1, 0, 8, 9, 0, 0, 0b0010];
const AT: Micros = Micros(1_000);

fn pictures() -> [(&'static str, Script, Legend<'static>); 4] {
    let legend = |title, rest, groups| Legend {
        title,
        rest: Edge { clock: rest, data: rest },
        slope: Slope::Falling,
        group: 4,
        groups,
    };
    [
        (
            "sync24.svg",
            Script::sync24(SYNC24, Shape::SYNC24_SLOW, AT),
            legend(
                "24-bit synchronous, +75.32 mm, as by the slower of two measured shapes",
                Level::High,
                &["0 to 3", "4 to 7", "8 to 11", "12 to 15", "16 to 19", "20 sign, 23 inch"],
            ),
        ),
        (
            "bcd52.svg",
            Script::bcd52(BCD52, Shape::BCD52, AT),
            legend(
                "13-digit BCD, +75.32 mm, as by one maker's printed times",
                Level::High,
                &[
                    "d1 F",
                    "d2 F",
                    "d3 F",
                    "d4 F",
                    "d5 +",
                    "d6 0",
                    "d7 0",
                    "d8 7",
                    "d9 5",
                    "d10 3",
                    "d11 2",
                    "d12 places",
                    "d13 unit",
                ],
            ),
        ),
        (
            "words48.svg",
            words48(WORD, WORD, AT),
            legend(
                "two 24-bit words, 75.32 mm absolute and relative (60730 steps), not inverted",
                Level::Low,
                &[
                    "0 to 3", "4 to 7", "8 to 11", "12 to 15", "16 to 19", "20 to 23", "0 to 3",
                    "4 to 7", "8 to 11", "12 to 15", "16 to 19", "20 to 23",
                ],
            ),
        ),
        (
            "nibbles28.svg",
            nibbles28(NIBBLES, AT),
            legend(
                "seven-nibble BCD, 9.8015 in",
                Level::Low,
                &["1", "0", "8", "9", "0", "0", "N H M ?"],
            ),
        ),
    ]
}

/// `HORNRULE_DRAW=1` redraws them.
#[test]
fn pictures_are_what_the_scripts_draw() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../hardware-notes/callipers");
    for (name, script, legend) in pictures() {
        let drawn = svg(&script, legend);
        let file = folder.join(name);
        if std::env::var_os("HORNRULE_DRAW").is_some() {
            fs::write(&file, &drawn).unwrap();
        }
        let kept = fs::read_to_string(&file).unwrap();
        assert!(kept == drawn, "{name} is not what its script draws: HORNRULE_DRAW=1 draws it");
    }
}

fn bits(script: &Script) -> Vec<u8> {
    let counted = counted(script.edges(), Slope::Falling);
    counted.into_iter().map(|(_, level)| u8::from(level == Level::High)).collect()
}

/// Bits in sending order, four to a group.
fn sent(text: &str) -> Vec<u8> {
    text.bytes().filter(|byte| *byte != b' ').map(|byte| byte - b'0').collect()
}

// Worked examples from the hardware notes; the value 9.8015 in and its digits are one builder's,
// the bits of the others are worked out from the published layouts.
#[test]
fn pictures_show_the_worked_examples() {
    let [sync24, bcd52, words, nibbles] = pictures().map(|(_, script, _)| bits(&script));
    assert_eq!(sync24, sent("0011 0110 1011 1000 0000 0000"));
    assert_eq!(bcd52, sent("1111 1111 1111 1111 0000 0000 0000 1110 1010 1100 0100 0100 0000"));
    assert_eq!(words, sent(&"0101 1100 1011 0111 0000 0000 ".repeat(2)));
    assert_eq!(nibbles, sent("1000 0000 0001 1001 0000 0000 0100"));
    assert_eq!(bcd52, bits(&Script::bcd52(digits(0, 7_532, 2, 0), Shape::BCD52, AT).clock_only()));
}

fn clip(packets: impl Iterator<Item = Script>) -> Vec<Clip> {
    let mut calliper = Calliper::new(Settings::DEFAULT);
    let mut came: Vec<Clip> = calliper.on_clip(Micros(0)).into_iter().collect();
    for (at, edge) in packets.flat_map(|packet| packet.edges().to_vec()) {
        came.extend(calliper.on_time(at));
        came.extend(calliper.on_edge(edge, at));
    }
    came.extend(calliper.on_time(Micros(10_000_000)));
    came
}

#[test]
fn the_two_older_outputs_never_become_a_length() {
    let every_ms = |period: u64| (1..20_u64).map(move |n| Micros(n * period * 1_000));
    for absolute in [0, 1, WORD, 0xFF_FFFF, 0xFF_FCDA] {
        let came = clip(every_ms(330).map(|at| words48(absolute, WORD, at)));
        assert!(matches!(came[..], [Clip::Faulty(_)]), "{absolute:x}: {came:?}");
    }
    for nibbles in [[0; 7], NIBBLES, [9; 7]] {
        let came = clip(every_ms(320).map(|at| nibbles28(nibbles, at)));
        assert!(matches!(came[..], [Clip::Faulty(_)]), "{nibbles:?}: {came:?}");
    }
}

#[test]
fn the_two_that_are_read_become_the_length_of_the_picture() {
    let every_ms = |period: u64| (1..20_u64).map(move |n| Micros(n * period * 1_000));
    let wanted = Nanometres(75_320_000);
    let streams = [
        clip(every_ms(126).map(|at| Script::sync24(SYNC24, Shape::SYNC24_SLOW, at).clock_only())),
        clip(every_ms(200).map(|at| Script::bcd52(BCD52, Shape::BCD52, at).clock_only())),
    ];
    for came in streams {
        assert!(
            matches!(came.first(), Some(Clip::Measured { length, .. }) if *length == wanted),
            "{came:?}"
        );
    }
}
