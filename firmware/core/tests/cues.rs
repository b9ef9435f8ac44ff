//! The cues against the tables of `CUES.md`, and against each other.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::BTreeSet;

use hornrule_core::cue::{Count, Cue, Family, Light, Signal};
use hornrule_protocol::Dimension;

const PAGE: &str = include_str!("../CUES.md");

/// Cells of the table under this heading, without its head.
fn table(heading: &str) -> Vec<Vec<&'static str>> {
    let part = PAGE.split(&format!("## {heading}\n")).nth(1).unwrap();
    let part = part.split("\n## ").next().unwrap();
    let rows = part.lines().filter(|line| line.starts_with('|')).skip(2);
    rows.map(|row| row.trim_matches('|').split(" | ").map(str::trim).collect()).collect()
}

fn rhythm(signal: Signal) -> String {
    signal.rhythm().collect()
}

/// Lengths of the sounds.
fn sounds(signal: Signal) -> Vec<u16> {
    signal.steps().filter(|step| step.tone_hz.is_some()).map(|step| step.ms).collect()
}

#[test]
fn the_eight_families_are_those_of_the_page() {
    let rows = table("Eight families");
    assert_eq!(rows.len(), Family::ALL.len());
    for (family, row) in Family::ALL.into_iter().zip(rows) {
        let signal = Signal::of(family);
        assert_eq!(signal.cue.family(), family);
        let tone = match signal.steps().next().unwrap().tone_hz {
            Some(..1000) => "low",
            Some(1000..1300) => "middle",
            Some(_) => "high",
            None => "none",
        };
        let ms = signal.length_ms().to_string();
        let rhythm = format!("`{}`", rhythm(signal));
        let is = [family.name(), &rhythm, &ms, family.light().name(), tone, family.advice()];
        assert_eq!(is, row[..]);
    }
}

#[test]
fn every_cue_is_a_row_of_the_page_and_every_row_a_cue() {
    let rows = table("Every meaning");
    assert_eq!(rows.len(), Cue::ALL.len());
    for (cue, row) in Cue::ALL.into_iter().zip(rows) {
        let count = match cue.count() {
            Count::Untold => String::new(),
            Count::Asked(count) => count.to_string(),
            Count::AtOnce(count) => format!("={count}"),
        };
        let promise = if cue.is_promise() { "yes" } else { "no" };
        let name = format!("{cue:?}");
        assert_eq!([&name, cue.family().name(), &count, promise, cue.meaning()], row[..]);
    }
}

/// A different number of sounds; or one that lasts at least twice as long as its counterpart, and
/// the whole a quarter longer: no reference is needed to tell them apart.
#[test]
fn any_two_families_differ_in_rhythm_and_in_length() {
    let mut pairs = 0;
    for (at, one) in Family::ALL.into_iter().enumerate() {
        for other in &Family::ALL[..at] {
            let (one, other) = (Signal::of(one), Signal::of(*other));
            let (a, b) = (sounds(one), sounds(other));
            let (long, short) = (one.length_ms(), other.length_ms());
            let (long, short) = (long.max(short), long.min(short));
            let drawn_out = a.iter().zip(&b).any(|(a, b)| *a >= 2 * *b || *b >= 2 * *a);
            let differ = a.len() != b.len() || (drawn_out && 4 * long >= 5 * short);
            assert!(differ && long > short, "{one:?} sounds like {other:?}");
            pairs += 1;
        }
    }
    assert_eq!(pairs, 8 * 7 / 2);
}

/// What light, motor and beeper say is the same, at the same time, in the family's one colour.
#[test]
fn sound_light_and_buzz_agree() {
    for cue in Cue::ALL {
        for signal in [cue.signal(), cue.told()] {
            for (at, step) in signal.steps().enumerate() {
                let sounding = at % 2 == 0;
                let light = if sounding { cue.family().light() } else { Light::Off };
                assert_eq!((step.tone_hz.is_some(), step.buzz), (sounding, sounding), "{cue:?}");
                assert_eq!(step.light, light, "{cue:?}");
                assert!(step.tone_hz.is_none_or(|hz| (800..=1500).contains(&hz)), "{cue:?}");
            }
            assert_eq!(signal.steps().count() % 2, 1, "{cue:?} ends with a sound");
        }
    }
}

/// A promise sounds like no other family, and a count never makes one family of another: it begins
/// with the family's rhythm and a pause.
#[test]
fn a_count_follows_its_family_after_a_pause() {
    for cue in Cue::ALL {
        let family = rhythm(Signal { cue, counted: false });
        let told = rhythm(cue.told());
        match cue.count() {
            Count::Untold => assert_eq!(told, family),
            Count::Asked(_) | Count::AtOnce(_) => {
                assert!(told.starts_with(&format!("{family} ")), "{cue:?}: {told}");
            }
        }
        assert!(cue.told().length_ms() <= 2_500, "{cue:?} is too long to wait for");
    }
    assert_eq!(rhythm(Cue::Next7.signal()), "'''''' \u{2014}\u{b7}\u{b7}");
    assert_eq!(rhythm(Cue::NextGauge.signal()), "'''''' \u{2013}");
    assert_eq!(rhythm(Cue::TooLong.told()), "\u{2013}\u{2013} \u{b7}\u{b7} \u{b7}\u{b7}");
}

/// What is told apart by its count alone is told apart.
#[test]
fn no_two_cues_have_the_same_count_in_a_family() {
    let mut told = BTreeSet::new();
    let mut counted = 0;
    for cue in Cue::ALL {
        if cue.count() != Count::Untold {
            counted += 1;
            assert!(told.insert(rhythm(cue.told())), "{cue:?}");
        }
    }
    assert_eq!(told.len(), counted);
}

/// The cue of a dimension gives its number and its name; that of a way the code keyed for it.
#[test]
fn numbers_told_are_numbers_keyed() {
    for dimension in Dimension::all().skip(1) {
        let cue = Cue::next_dimension(dimension.code).unwrap();
        let expected = format!("next clip: {}, {}", dimension.code, dimension.name);
        assert_eq!((cue.meaning(), cue.count()), (&*expected, Count::AtOnce(dimension.code)));
    }
    for way in 1..=9 {
        assert_eq!(Cue::drawn_way(way).unwrap().count(), Count::AtOnce(10 + way));
    }
    for none in [0, 10] {
        assert_eq!((Cue::next_dimension(none), Cue::drawn_way(none)), (None, None));
    }
}

#[test]
fn every_cue_has_words_of_its_own() {
    let words: BTreeSet<&str> = Cue::ALL.into_iter().map(Cue::meaning).collect();
    assert_eq!(words.len(), Cue::ALL.len());
}
