//! Words against the real core.

use hornrule_board_sim::Rehearsal;
use hornrule_core::cue::Cue;
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{Entry, Nanometres};

use super::*;
use hornrule_facts::plain as words;

const JAWS: Nanometres = Nanometres(76_400_000);

/// Says it to a handheld; gives what stands in flash.
fn said(strokes: &[Stroke]) -> Vec<Entry> {
    let mut handheld = Rehearsal::new().unwrap();
    for stroke in strokes {
        match stroke {
            Stroke::Key(key) => handheld.press(*key).unwrap(),
            Stroke::Clip => handheld.clip(JAWS, UnitMode::Millimetre).unwrap(),
        }
    }
    handheld.run_until_ms(handheld.now_ms() + 1_000);
    standing(&handheld.in_flash().into_iter().map(|(seq, r)| (seq, r.entry)).collect::<Vec<_>>())
}

#[test]
fn every_sentence_says_what_the_table_says() {
    for row in SENTENCES {
        let strokes = read_strokes(row.example).unwrap();
        let stored: Vec<String> = said(&strokes).iter().map(words::entry).collect();
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
    let mut bars: Vec<String> = Cue::ALL.into_iter().map(|cue| bar(cue, 40)).collect();
    assert!(bars.iter().all(|bar| bar.chars().count() <= 46), "fits its place on the screen");
    bars.sort_unstable();
    bars.dedup();
    assert_eq!(bars.len(), Cue::ALL.len(), "two cues are drawn alike");
    for cue in Cue::ALL {
        assert_ne!(light(cue), "dark", "{cue:?}");
    }
}
