//! The outputs with a fast clock, from pins to clip, with settings that say one is plugged in.

use hornrule_core::calliper::{Calliper, Clip, Outputs, Settings, Timing};
use hornrule_core::time::Micros;
use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperFault, CalliperKind, UnitMode};
use hornrule_testkit::bits::{Script, Shape};

/// Two words: clock 7 + 7 µs, 110 µs in the middle (measured by one builder); drawn with a pause
/// after every fourth bit, which that builder did not see and which must not upset a reader.
const WORDS: Shape = Shape { low_us: 7, high_us: 7, gap_us: 60, moves_us: 9 };
/// Seven nibbles: 13 µs per bit, a first bit of 60 µs (measured by one builder).
const NIBBLES: Shape = Shape { low_us: 6, high_us: 7, gap_us: 54, moves_us: 8 };

/// Makes a clip while the calliper sends these bits twice.
fn clip(settings: Settings, bits: u64, count: u32, shape: Shape) -> Option<Clip> {
    let bits: Vec<bool> = (0..count).map(|place| bits >> place & 1 == 1).collect();
    let mut calliper = Calliper::new(settings);
    let _none_yet = calliper.on_clip(Micros(10));
    let mut outcome = None;
    for packet in [1_000, 50_000] {
        let script = Script::draw(&bits, shape, Micros(packet));
        for (at, edge) in script.edges() {
            outcome = outcome.or(calliper.on_edge(*edge, *at));
        }
        outcome = outcome.or(calliper.on_time(script.end().after_ms(20)));
    }
    outcome.or(calliper.on_time(Micros(9_000_000)))
}

fn quick(outputs: Outputs) -> Settings {
    Settings { timing: Timing::QUICK, outputs, ..Settings::DEFAULT }
}

#[test]
fn two_words_are_read_where_they_were_proved() {
    // 75.32 mm as 60,730 counts since zero, and a different number since power-up.
    let bits = 0x00_ED3A << 24 | 0x01_0000;
    let measured = Clip::Measured {
        length: Nanometres(75_319_434),
        unit: UnitMode::Inch,
        kind: CalliperKind::Words48,
    };
    assert_eq!(clip(quick(Outputs::Words48), bits, 48, WORDS), Some(measured));
    let wrong = Some(Clip::Faulty(CalliperFault::WrongBits));
    assert_eq!(clip(Settings::DEFAULT, bits, 48, WORDS), wrong, "too quick");
    assert_eq!(clip(quick(Outputs::Sync24AndBcd52), bits, 48, WORDS), wrong, "not proved");
    assert_eq!(clip(quick(Outputs::Words48), bits, 47, WORDS), wrong);
}

#[test]
fn seven_nibbles_are_read_where_they_were_proved() {
    // 9.8015 in, the published example.
    let bits = 0x200_9801;
    let measured = Clip::Measured {
        length: Nanometres(248_958_100),
        unit: UnitMode::Inch,
        kind: CalliperKind::Nibbles28,
    };
    assert_eq!(clip(quick(Outputs::Nibbles28), bits, 28, NIBBLES), Some(measured));
    let wrong = Some(Clip::Faulty(CalliperFault::WrongBits));
    assert_eq!(clip(quick(Outputs::Sync24AndBcd52), bits, 28, NIBBLES), wrong, "not proved");
}
