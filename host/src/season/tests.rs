//! A season is the same for the same seed, gets in whole, and its truth is what the records say.

use super::*;
use hornrule_herd::Database;
use hornrule_kit::Inspect;

#[test]
fn the_same_seed_gives_the_same_season() {
    let (one, same, other) = (Season::of(5), Season::of(5), Season::of(6));
    assert_eq!(one.evenings, same.evenings);
    assert_eq!(one.truth, same.truth);
    assert_ne!(one.evenings, other.evenings);
}

#[test]
fn it_gets_in_whole_and_once() {
    let season = Season::of(SEED);
    let mut herd = Database::in_memory().unwrap();
    let poured = pour(&season, &mut herd).unwrap();
    let records: usize = season.evenings.iter().map(|one| one.records.len()).sum();
    assert_eq!((poured.new as usize, poured.pulls as usize), (records, season.evenings.len()));
    let before = herd.dump();
    assert_eq!(pour(&season, &mut herd).unwrap(), Poured::default(), "a second time");
    assert!(herd.dump() == before, "a second time changes nothing");
}

/// The demo was ended after the last evening was stored, and before it was derived.
#[test]
fn what_was_stored_and_not_derived_is_made_up_for() {
    let season = Season::of(SEED);
    let mut whole = Database::in_memory().unwrap();
    pour(&season, &mut whole).unwrap();
    let (last, before) = season.evenings.split_last().unwrap();
    let cut = Season { evenings: before.to_vec(), ..Season::of(SEED) };
    let mut herd = Database::in_memory().unwrap();
    pour(&cut, &mut herd).unwrap();
    pour::store(last, &mut herd).unwrap();
    assert_ne!(herd.column("action", "action"), whole.column("action", "action"));
    pour(&season, &mut herd).unwrap();
    assert_eq!(herd.column("action", "action"), whole.column("action", "action"));
}

/// What was put in is what the herd tables hold, and each kind of mistake was seen by a rule.
#[test]
fn the_tables_hold_what_was_put_in() {
    let season = Season::of(SEED);
    let mut herd = Database::in_memory().unwrap();
    pour(&season, &mut herd).unwrap();
    let Truth { blocks, sores, slips, .. } = &season.truth;
    let said = herd.column("action", "action");
    for way in truth::WAYS {
        let put_in = blocks.iter().filter(|block| block.way == way.action).count();
        assert!(put_in > 60, "{}: {put_in} blocks tell too little", way.what);
        assert_eq!(said.iter().filter(|code| **code == way.action.to_string()).count(), put_in);
    }
    // 11 is judged on study days, 31 is skin, 0 is sound: all others are followed.
    let found = herd.column("finding", "lesion");
    let followed = found.iter().filter(|code| !matches!(code.as_str(), "0" | "11" | "31"));
    assert_eq!(followed.count(), sores.len());
    let remarks = herd.column("remark", "rule");
    let remarked = |rule: &str| remarks.iter().filter(|one| *one == rule).count() as u32;
    assert!(slips.undone > 0 && slips.wrong_dimension > 0);
    assert_eq!(remarked("not-listed"), slips.not_listed);
    assert_eq!(remarked("said-twice"), slips.twice);
    assert_eq!(remarked("no-claw"), slips.no_claw);
    for count in [slips.not_listed, slips.twice, slips.no_claw] {
        assert!(count > 0, "{slips:?}");
    }
}
