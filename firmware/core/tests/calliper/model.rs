//! Any run of pin changes against a slow model: a value only after two packets that agree.
//!
//! The model shares no code with the machine: it looks at the whole run at once, keeps the clock
//! levels that lasted, splits where the clock rested, and reads digits from text.

use hornrule_core::calliper::{Clip, Edge, Level, Settings};
use hornrule_core::time::Micros;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_testkit::bits::{Script, Shape, digits};
use hornrule_testkit::seeded::Seeded;
use proptest::prelude::*;

use crate::bench::Bench;

/// (nanometres, inch, bits, step in nanometres).
type Value = (i64, bool, usize, i64);

/// Packets as (when it ended, value if good).
fn packets(edges: &[(Micros, Edge)]) -> Vec<(u64, Option<Value>)> {
    // Levels of the clock: (level, from, to, data when it began).
    let mut levels: Vec<(Level, u64, u64, Level)> = Vec::new();
    for (t, edge) in edges {
        match levels.last_mut() {
            Some(last) if last.0 == edge.clock => last.2 = t.0,
            last => {
                if let Some(last) = last {
                    last.2 = t.0;
                }
                levels.push((edge.clock, t.0, t.0, edge.data));
            }
        }
    }
    if let Some(last) = levels.last_mut() {
        last.2 = u64::MAX;
    }
    levels.retain(|(_, from, to, _)| to - from >= 30);
    levels.dedup_by(|later, earlier| later.0 == earlier.0);

    let mut runs: Vec<Vec<(Level, u64, Level)>> = Vec::new();
    for (level, from, _, one) in levels {
        match runs.last_mut() {
            Some(run) if from - run.last().unwrap().1 < 5_000 => run.push((level, from, one)),
            _ => runs.push(vec![(level, from, one)]),
        }
    }
    runs.iter().map(|run| (run.last().unwrap().1 + 5_000, value(run))).collect()
}

fn value(run: &[(Level, u64, Level)]) -> Option<Value> {
    for slope in [Level::Low, Level::High] {
        let times: Vec<u64> = run.iter().filter(|b| b.0 == slope).map(|b| b.1).collect();
        if times.windows(2).any(|pair| pair[1] - pair[0] < 150) {
            return None;
        }
    }
    let falls = run.iter().filter(|(level, ..)| *level == Level::Low);
    let sent: String = falls.map(|(.., one)| if *one == Level::High { '1' } else { '0' }).collect();
    match sent.len() {
        24 => value24(&sent),
        52 => value52(&sent),
        _ => None,
    }
}

fn value24(sent: &str) -> Option<Value> {
    if &sent[21..23] != "00" || sent.starts_with("11111111111111110000") {
        return None;
    }
    let backwards: String = sent[..20].chars().rev().collect();
    let count = i64::from_str_radix(&backwards, 2).unwrap();
    let inch = sent.ends_with('1');
    let step = if inch { 12_700 } else { 10_000 };
    let sign = if &sent[20..21] == "1" { -1 } else { 1 };
    fits((sign * count * step, inch, 24, step))
}

fn value52(sent: &str) -> Option<Value> {
    let text: String = (0..13)
        .map(|n| sent[4 * n..4 * n + 4].chars().rev().collect::<String>())
        .map(|nibble| char::from_digit(u32::from_str_radix(&nibble, 2).unwrap(), 16).unwrap())
        .collect();
    let number: i64 = text[5..11].parse().ok()?;
    let places: u32 = text[11..12].parse().ok().filter(|places| *places <= 5)?;
    let sign = match (&text[..4], &text[4..5]) {
        ("ffff", "0") => 1,
        ("ffff", "8") => -1,
        _ => return None,
    };
    let inch = match &text[12..] {
        "0" => false,
        "1" => true,
        _ => return None,
    };
    let whole = if inch { 25_400_000 } else { 1_000_000 };
    let last = whole / 10_i64.pow(places);
    let step = if inch && places >= 4 { 5 * last } else { last };
    fits((sign * number * whole / 10_i64.pow(places), inch, 52, step))
}

fn fits(value: Value) -> Option<Value> {
    i32::try_from(value.0).is_ok().then_some(value)
}

/// What the machine reported must follow from the last two packets that had ended by then.
fn check(edges: &[(Micros, Edge)], outcomes: &[(Micros, Clip)]) -> usize {
    let packets = packets(edges);
    let mut values = 0;
    for (at, clip) in outcomes {
        let Clip::Measured { length, unit, kind } = clip else { continue };
        values += 1;
        let over: Vec<_> = packets.iter().filter(|(end, _)| *end <= at.0).collect();
        let [.., (_, Some(older)), (_, Some(newer))] = over[..] else {
            panic!("{clip:?} at {at:?} out of {over:?}");
        };
        assert_eq!((older.1, older.2, older.3), (newer.1, newer.2, newer.3));
        assert!((older.0 - newer.0).abs() <= newer.3, "{older:?} {newer:?}");
        let told = (
            i64::from(length.0),
            *unit == UnitMode::Inch,
            if *kind == CalliperKind::Bcd52 { 52 } else { 24 },
        );
        assert_eq!(told, (newer.0, newer.1, newer.2));
    }
    values
}

/// A session: packets of both kinds, intact and spoiled, one after another, with presses.
fn session(seed: u64) -> (Script, Vec<Micros>) {
    let chance = &mut Seeded::new(seed);
    let mut script = Script::draw(&[], Shape::BCD52, Micros(0));
    let mut presses = Vec::new();
    let mut word = 7_532;
    let noise = 1 + chance.below(4);
    for _ in 0..25 {
        let at = script.end().after_us(3_000 + chance.below(120_000));
        if chance.once_in(4) {
            word = u32::try_from(chance.below(20_000)).unwrap();
        }
        word += u32::from(chance.once_in(4));
        let shape = [Shape::SYNC24_QUICK, Shape::SYNC24_SLOW, Shape::BCD52]
            [usize::try_from(chance.below(3)).unwrap()];
        let mut packet = if seed.is_multiple_of(2) {
            Script::sync24(word | u32::from(chance.once_in(9)) << 23, shape, at)
        } else {
            let unit = u8::from(chance.once_in(9));
            Script::bcd52(digits(0, word, 2, unit), shape, at)
        };
        packet = packet.jittered(chance.below(40), chance);
        if chance.once_in(noise) {
            let length = u64::try_from(packet.edges().len()).unwrap();
            let n = usize::try_from(chance.below(length)).unwrap();
            let width = chance.below(400);
            packet = match chance.below(4) {
                0 => packet.without(n),
                1 => packet.cut(n),
                2 => packet.inverted(),
                _ => packet.with_spike(at.after_us(chance.below(9_000)), width),
            };
        }
        if chance.once_in(3) {
            presses.push(at.after_us(chance.below(20_000)));
        }
        // A packet may begin with its data, before the end of the previous one.
        if packet.edges().first().is_none_or(|(t, _)| *t >= script.end()) {
            script = script.then(packet);
        }
    }
    (script, presses)
}

#[test]
fn spoiled_sessions_agree_with_the_model() {
    let mut values = 0;
    for seed in 0..200 {
        let (script, presses) = session(seed);
        let mut bench = Bench::new(Settings::DEFAULT);
        bench.play(&script);
        presses.iter().for_each(|at| bench.press(*at));
        bench.run(script.end().after_ms(10_000));
        values += check(script.edges(), &bench.outcomes);
        if seed % 2 == 0 {
            assert!(bench.outcomes.len() <= presses.len(), "one outcome a press at most");
        }
    }
    assert!(values > 100, "the check saw only {values} values");
}

fn any_level() -> impl Strategy<Value = Level> {
    prop_oneof![Just(Level::Low), Just(Level::High)]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn arbitrary_edges_never_panic_or_make_a_value(
        steps in prop::collection::vec(
            (prop_oneof![0_u64..60, 100_u64..400, 0_u64..8_000], any_level(), any_level()),
            0..600,
        ),
        press in 0_u64..200_000,
    ) {
        let mut at = Micros(1_000);
        let mut bench = Bench::new(Settings::DEFAULT);
        bench.press(Micros(press));
        let mut edges = Vec::new();
        for (after, clock, data) in steps {
            at = at.after_us(after);
            edges.push((at, Edge { clock, data }));
        }
        for (t, edge) in &edges {
            bench.play_edge(*t, *edge);
        }
        bench.run(at.after_ms(5_000));
        check(&edges, &bench.outcomes);
        prop_assert!(!bench.outcomes.is_empty(), "a press has an outcome");
    }
}
