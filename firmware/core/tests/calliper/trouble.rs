//! What a calliper in trouble must never give: a wrong value.

use hornrule_core::calliper::Clip::{self, Faulty};
use hornrule_core::calliper::{Calliper, Edge, Level, Settings, Slope, Wiring};
use hornrule_core::time::Micros;
use hornrule_protocol::record::CalliperFault::{Nonsense, Silent, WrongBits};
use hornrule_protocol::record::CalliperKind::{Bcd52, Sync24};
use hornrule_protocol::record::UnitMode::Millimetre;
use hornrule_testkit::bits::{Script, Shape, digits};
use hornrule_testkit::seeded::Seeded;

use crate::bench::{Bench, measured, ms};
use crate::clips::{showing, stream};

/// 75.32 mm.
const WORD: u32 = 0x00_1D6C;

fn clip(script: &Script, settings: Settings) -> Vec<Clip> {
    let mut bench = Bench::new(settings);
    bench.play(script);
    bench.press(ms(0));
    bench.run(ms(20_000))
}

fn right() -> Vec<Clip> {
    vec![measured(75_320_000, Millimetre, Sync24)]
}

#[test]
fn short_spikes_change_nothing() {
    // If a 20 µs spike splits an 80 µs level, one part is at least 30 µs long and is accepted.
    for (shape, widest) in [(Shape::SYNC24_QUICK, 20), (Shape::SYNC24_SLOW, 29)] {
        for at in (9_000..23_000).step_by(37) {
            for width in [1, 7, widest] {
                let script = Script::sync24(WORD, shape, ms(10))
                    .with_spike(Micros(at), width)
                    .then(Script::sync24(WORD, shape, ms(120)));
                assert_eq!(clip(&script, Settings::DEFAULT), right(), "{at} {width}");
            }
        }
    }
}

#[test]
fn long_spikes_never_make_a_wrong_value() {
    let chance = &mut Seeded::new(1);
    for _ in 0..1_000 {
        let at = Micros(9_000 + chance.below(11_000));
        let width = 30 + chance.below(2_000);
        let script = Script::sync24(WORD, Shape::SYNC24_QUICK, ms(10))
            .with_spike(at, width)
            .then(Script::sync24(WORD, Shape::SYNC24_QUICK, ms(120)))
            .then(Script::sync24(WORD, Shape::SYNC24_QUICK, ms(230)));
        assert_eq!(clip(&script, Settings::DEFAULT), right(), "{at:?} {width}");
    }
}

#[test]
fn a_missed_edge_costs_a_packet_not_the_value() {
    let one = Script::sync24(WORD, Shape::SYNC24_QUICK, ms(10));
    let (two, three, four) = (
        Script::sync24(WORD, Shape::SYNC24_QUICK, ms(120)),
        Script::sync24(WORD, Shape::SYNC24_QUICK, ms(230)),
        Script::sync24(WORD, Shape::SYNC24_QUICK, ms(340)),
    );
    for n in 0..one.edges().len() {
        let rest = two.clone().then(three.clone()).then(four.clone());
        let script = one.clone().without(n).then(rest);
        assert_eq!(clip(&script, Settings::DEFAULT), right(), "{n}");
    }
}

#[test]
fn the_same_clock_edge_missed_every_time_is_wrong_bits() {
    let clean = Script::sync24(WORD, Shape::SYNC24_QUICK, ms(10)).clock_only();
    for n in 0..clean.edges().len() {
        let script = (0..25)
            .map(|k| Script::sync24(WORD, Shape::SYNC24_QUICK, ms(10 + 110 * k)))
            .map(|packet| packet.clock_only().without(n))
            .reduce(Script::then)
            .unwrap();
        assert_eq!(clip(&script, Settings::DEFAULT), [Faulty(WrongBits)], "{n}");
    }
}

#[test]
fn a_packet_cut_short_is_wrong_bits() {
    let short = Script::sync24(WORD, Shape::SYNC24_QUICK, ms(10)).clock_only();
    let long = Script::bcd52(digits(0, 7_532, 2, 0), Shape::BCD52, ms(10)).clock_only();
    for clean in [short, long] {
        assert_eq!(clip(&clean.clone().cut(0), Settings::DEFAULT), [Faulty(Silent)]);
        let whole = clean.edges().len();
        for n in 1..whole - 1 {
            let clips = clip(&clean.clone().cut(n), Settings::DEFAULT);
            assert_eq!(clips, [Faulty(WrongBits)], "{n} of {whole}");
        }
        for n in whole - 1..=whole {
            assert_eq!(clip(&clean.clone().cut(n), Settings::DEFAULT), [Faulty(Silent)]);
        }
    }
}

/// The first 24 of 52 bits would make 655.35 mm, and so would the next first 24.
#[test]
fn the_head_of_a_longer_packet_is_no_shorter_packet() {
    for (sign, number) in [(0, 7_532), (8, 7_532), (0, 107_532), (0, 807_532), (8, 999_999)] {
        let cut_at_24 = move |at| {
            Script::bcd52(digits(sign, number, 2, 0), Shape::BCD52, at).clock_only().cut(48)
        };
        let mut bench = Bench::new(Settings::DEFAULT)
            .answering(move |_, fell| Some(cut_at_24(fell.after_ms(60))));
        bench.press(ms(0));
        let clips = bench.run(ms(20_000));
        assert!(matches!(clips[..], [Faulty(WrongBits | Nonsense)]), "{number} {clips:?}");
    }
}

#[test]
fn a_broken_packet_parts_two_good_ones() {
    let script = Script::sync24(WORD, Shape::SYNC24_QUICK, ms(10))
        .then(Script::sync24(WORD, Shape::SYNC24_QUICK, ms(120)).cut(21))
        .then(Script::sync24(WORD, Shape::SYNC24_QUICK, ms(230)));
    assert_eq!(clip(&script, Settings::DEFAULT), [Faulty(WrongBits)]);
    let script = script.then(Script::sync24(WORD, Shape::SYNC24_QUICK, ms(340)));
    assert_eq!(clip(&script, Settings::DEFAULT), right());
}

#[test]
fn a_plug_pulled_and_put_back_mid_packet() {
    for pulled in (1..70).step_by(3) {
        let first = Script::sync24(WORD, Shape::SYNC24_SLOW, ms(10)).cut(pulled);
        // Lines pulled up: both go high as the plug leaves.
        let high = Script::draw(&[true], Shape::SYNC24_SLOW, first.end().after_us(40)).cut(1);
        let rest = Script::sync24(WORD, Shape::SYNC24_SLOW, ms(340));
        // Back in the middle of a packet.
        let whole = Script::sync24(WORD, Shape::SYNC24_SLOW, ms(230)).clock_only();
        let mut back = Bench::new(Settings::DEFAULT);
        back.play(&first.then(high));
        for (t, edge) in whole.edges().iter().skip(pulled % 40) {
            back.play_edge(*t, *edge);
        }
        back.play(&rest.then(Script::sync24(WORD, Shape::SYNC24_SLOW, ms(450))));
        back.press(ms(0));
        assert_eq!(back.run(ms(20_000)), right(), "{pulled}");
    }
}

#[test]
fn a_52_bit_calliper_plugged_in_late_is_asked_again() {
    let shown = digits(0, 7_532, 2, 0);
    let mut bench = Bench::new(Settings::DEFAULT).answering(move |_, fell| {
        // Unplugged for the first 800 ms, it sees no request fall.
        (fell > ms(800)).then(|| Script::bcd52(shown, Shape::BCD52, fell.after_ms(60)))
    });
    bench.press(ms(0));
    assert_eq!(bench.run(ms(20_000)), [measured(75_320_000, Millimetre, Bcd52)]);

    // Unplugged in the middle of the first packet, back 300 ms later.
    let mut bench = Bench::new(Settings::DEFAULT).answering(move |nth, fell| {
        let answer = Script::bcd52(shown, Shape::BCD52, fell.after_ms(60));
        match nth {
            0 => Some(answer.cut(40)),
            _ => (fell > ms(400)).then_some(answer),
        }
    });
    bench.press(ms(0));
    assert_eq!(bench.run(ms(20_000)), [measured(75_320_000, Millimetre, Bcd52)]);
}

#[test]
fn swapped_polarity_is_nonsense() {
    let one = Level::Low;
    let swapped = Wiring { one, ..Wiring::STRAIGHT };
    let settings = Settings { sync24: swapped, bcd52: swapped, ..Settings::DEFAULT };
    for word in [0, 1, WORD, 0x10_0063, 0x80_172B, 0x90_004E] {
        let script = stream(&[word; 25], Shape::SYNC24_QUICK);
        assert_eq!(clip(&script, settings), [Faulty(Nonsense)], "{word:#x}");
        // Inverting shifters that the settings do not allow for.
        let clips = clip(&script.inverted(), Settings::DEFAULT);
        assert_eq!(clips, [Faulty(Nonsense)], "{word:#x}");
    }
    let mut bench = showing(digits(0, 7_532, 2, 0), settings);
    bench.press(ms(0));
    assert_eq!(bench.run(ms(20_000)), [Faulty(Nonsense)]);
}

#[test]
fn the_wrong_slope_is_nonsense_in_52_bits() {
    // Data that moves 40 µs after the fall: at the rise it is already the next bit.
    let shape = Shape { moves_us: 40, ..Shape::BCD52 };
    let rising = Wiring { slope: Slope::Rising, ..Wiring::STRAIGHT };
    let settings = Settings { bcd52: rising, ..Settings::DEFAULT };
    for (shown, nm) in [
        (digits(0, 7_532, 2, 0), 75_320_000),
        (digits(8, 12_345, 3, 0), -12_345_000),
        (digits(8, 888_888, 3, 0), -888_888_000),
    ] {
        let clip = |settings| {
            let mut bench = Bench::new(settings)
                .answering(move |_, fell| Some(Script::bcd52(shown, shape, fell.after_ms(60))));
            bench.press(ms(0));
            bench.run(ms(20_000))
        };
        assert_eq!(clip(settings), [Faulty(Nonsense)], "{shown:?}");
        assert_eq!(clip(Settings::DEFAULT), [measured(nm, Millimetre, Bcd52)], "{shown:?}");
    }
}

#[test]
fn an_older_quick_output_is_wrong_bits() {
    // Two words of 24 bits with a 14 µs clock, every 330 ms: measured by a builder, not read by
    // default.
    let shape = Shape { low_us: 7, high_us: 7, gap_us: 7, moves_us: 8 };
    let script = (0..10)
        .map(|n| Script::draw(&[true; 48], shape, ms(10 + 330 * n)))
        .reduce(Script::then)
        .unwrap();
    assert_eq!(clip(&script, Settings::DEFAULT), [Faulty(WrongBits)]);
}

#[test]
fn endless_noise_does_not_hold_a_clip_for_ever() {
    for period in [10, 25, 31, 100, 200, 3_000, 6_000] {
        let mut calliper = Calliper::new(Settings::DEFAULT);
        let _ = calliper.on_clip(ms(0));
        let chance = &mut Seeded::new(period);
        let mut at = Micros(0);
        let mut outcome = None;
        while outcome.is_none() && at < ms(5_000) {
            at = at.after_us(1 + chance.below(2 * period));
            let mut level = || if chance.once_in(2) { Level::High } else { Level::Low };
            outcome = calliper.on_edge(Edge { clock: level(), data: level() }, at);
        }
        assert_eq!(outcome, Some(Faulty(WrongBits)), "{period}");
        // At worst 52 bits with the longest pause after each, both slopes counted.
        assert!(at < ms(2_000 + 52 * 10), "{period}: {at:?}");
    }
}

#[test]
fn time_that_goes_back_or_leaps_harms_nothing() {
    let mut calliper = Calliper::new(Settings::DEFAULT);
    let edge = Edge { clock: Level::Low, data: Level::Low };
    assert_eq!(calliper.on_clip(Micros(u64::MAX)), None);
    assert_eq!(calliper.on_edge(edge, Micros(0)), None);
    assert_eq!(calliper.on_time(Micros(5)), None);
    assert_eq!(calliper.on_time(Micros(u64::MAX)), Some(Faulty(WrongBits)));
}
