//! Figures are drawn whole or not at all; those of the demo's season are tested where it is.

use std::collections::BTreeMap;

use super::*;
use hornrule_facts::Language;
use hornrule_questions::evidence::{
    Bands, Blocks, BlocksSeen, CasesSeen, Kind, ReadingsSeen, WallsSeen,
};

#[test]
fn where_there_is_nothing_there_is_no_figure() {
    let words = Words::new(Language::English);
    assert!(
        blocks(&BlocksSeen::default().answer(Blocks::DIFFERENCE, Bands::Drawn), "", &words)
            .is_none()
    );
    assert!(
        healing(&CasesSeen::default().answer(Bands::Drawn), Kind::Lesion, "", &words).is_none()
    );
    assert!(growth(&WallsSeen::default().answer(None, &BTreeMap::new()), "", &words).is_none());
    assert!(agreement(&ReadingsSeen::default().answer(&[]), "", &words).is_none());
    assert!(gauge(&ReadingsSeen::default().answer(&[]), "", &words).is_none());
}
