//! Words against the real core.

use hornrule_board_sim::Rehearsal;
use hornrule_core::cue::{Cue, Family, Signal};
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{Entry, Nanometres};

use super::*;
use crate::plan::Planned;
use hornrule_facts::plain as words;

const JAWS: Nanometres = Nanometres(76_400_000);

/// Says it to a handheld with a plan in force; gives what stands in flash.
fn said_with(strokes: &[Stroke], plan: &[u8]) -> Vec<Entry> {
    let mut handheld = Rehearsal::with_plan(plan).unwrap();
    for stroke in strokes {
        match stroke {
            Stroke::Key(key) => handheld.press(*key).unwrap(),
            Stroke::Clip => handheld.clip(JAWS, UnitMode::Millimetre).unwrap(),
        }
    }
    handheld.run_until_ms(handheld.now_ms() + 1_000);
    standing(&handheld.in_flash().into_iter().map(|(seq, r)| (seq, r.entry)).collect::<Vec<_>>())
}

/// Farm 3 of the day; bundle 1 opens and glues a block on the partner claw.
fn plan() -> Vec<u8> {
    let mut planned = Planned { farms: vec![(3, "Alder Brook".to_owned())], ..Planned::default() };
    planned.habits.set("bundle-1", "31 this, 10 partner").unwrap();
    planned.bytes(16_000).unwrap()
}

/// What is spelled from entries says those entries, with the plan that it is spelled for.
#[test]
fn what_is_spelled_is_what_is_said() {
    let texts = [
        "COW 412 COW LH LH FIND 13 2 DO 01 DO DO",
        "COW 412 COW RH FIND 00 DO LH RH RH DO 31 LH clip LH clip",
        "COW 412 COW DO LH DO RH LH FIND 19 1 COW COW COW 9 COW DO 33",
        "COW 412 COW LF DO LF FIND 13 1 DO LH LF FIND 00",
    ];
    for hind in ["inner", "outer"] {
        let mut planned = Planned::default();
        planned.habits.set("hind", hind).unwrap();
        planned.habits.set("bundle-1", "31 this, 10 partner").unwrap();
        planned.farms = vec![(1, "Alder Brook".to_owned())];
        let plan = planned.bytes(16_000).unwrap();
        for text in texts {
            let entries = said_with(&read_strokes(text).unwrap(), &plan);
            let mut spelling = Spelling::starting_at(planned.habits.first_claws);
            let spelled: Vec<Stroke> = entries.iter().flat_map(|one| spelling.spell(one)).collect();
            assert_eq!(said_with(&spelled, &plan), entries, "{hind}: {text}");
            assert!(spelled.len() <= read_strokes(text).unwrap().len(), "{hind}: {text}");
        }
    }
}

#[test]
fn every_sentence_says_what_the_table_says() {
    for row in SENTENCES {
        let strokes = read_strokes(row.example).unwrap();
        let stored: Vec<String> = said_with(&strokes, &plan()).iter().map(words::entry).collect();
        assert_eq!(stored, row.stored, "{} ({})", row.keys, row.example);
    }
}

#[test]
fn strokes_are_read_as_they_are_shown() {
    for text in ["COW 27 COW RH FIND 13 FIND 04 2 DO 82 14", "SCORE 1 3", "SIZE 5 clip UNDO"] {
        assert_eq!(show_strokes(&read_strokes(text).unwrap()), text);
    }
    assert_eq!(read_strokes("cow 1 cow").unwrap(), read_strokes("COW 1 COW").unwrap());
    assert_eq!(read_strokes("RH TRIM"), Err(NotAKey("TRIM".to_owned())));
    assert!(read_strokes("4a").is_err());
}

#[test]
fn every_cue_has_words_of_its_own_and_a_bar_that_shows_its_rhythm() {
    let mut meanings: Vec<&str> = Cue::ALL.into_iter().map(Cue::meaning).collect();
    meanings.sort_unstable();
    meanings.dedup();
    assert_eq!(meanings.len(), Cue::ALL.len());
    let learned = Family::ALL.into_iter().map(Signal::of);
    let told = Cue::ALL.into_iter().map(Cue::told).filter(|signal| signal.counted);
    let mut bars: Vec<String> = learned.chain(told).map(|signal| bar(signal, 60)).collect();
    assert!(bars.iter().all(|bar| bar.chars().count() <= 46), "fits its place on the screen");
    bars.sort_unstable();
    let drawn = bars.len();
    bars.dedup();
    assert_eq!(bars.len(), drawn, "two are drawn alike");
    for cue in Cue::ALL {
        assert_ne!(light(cue), "dark", "{cue:?}");
    }
}
