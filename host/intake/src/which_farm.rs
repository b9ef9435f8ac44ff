//! Which farm a record is of: by the plan in force, by the standing keys, by what a person said.

use hornrule_facts::{Day, HerdId, Verdict};
use hornrule_herd::{Database, DatabaseError};
use hornrule_protocol::Seq;

use super::decide::Signature;
use super::*;
use crate::farms::{import, keep_plan, take_in, two_farms};
use hornrule_kit::{DEVICE, EIGHT, Inspect, LH_OUT, LOG, Story};

const DAY: i64 = 86_400_000;
const ONE: HerdId = HerdId(1);
const TWO: HerdId = HerdId(2);
const THREE: HerdId = HerdId(3);

fn monday() -> Day {
    Day::from_date("2026-03-02".parse().unwrap())
}

/// Lindenhof 1, Birkenhof 2, Eschenhof 3; each key as its number, always.
fn three_farms() -> Database {
    let (mut herd, _) = two_farms();
    import(&mut herd, "Eschenhof", 3, "number\n");
    herd
}

fn on(day: i64) -> Story {
    let mut story = Story::of(DEVICE);
    story.start().clock(EIGHT + day * DAY);
    story
}

/// The herds of the cows in the order in which they came in.
fn herds(herd: &Database) -> Vec<String> {
    herd.column("presence", "herd")
}

/// What holds or flags a record, but for what depends on lists.
fn rules(herd: &Database) -> Vec<String> {
    let mut rules = herd.column("remark", "rule");
    rules.retain(|rule| !["not-listed", "on-two-farms"].contains(&rule.as_str()));
    rules
}

fn same_after_rebuild(herd: &mut Database) {
    let before = herd.dump();
    rebuild(herd).unwrap();
    assert_eq!(herd.dump(), before);
}

#[test]
fn the_plan_in_force_says_which_farm_a_key_is() {
    let mut herd = three_farms();
    keep_plan(&mut herd, 7, monday(), &[(1, THREE), (2, ONE)]);
    let mut story = on(0);
    // By standing keys, by the plan, by a key that the plan has not.
    story.visit(1).cow(312).plan(7).visit(1).cow(312).visit(2).cow(312).visit(3).cow(312);
    take_in(&mut herd, &story);
    assert_eq!(herds(&herd), ["1", "3", "1"]);
    assert_eq!(
        herd.column("visit", "farm || ' ' || coalesce(herd, 'none')"),
        ["1 1", "1 3", "2 1", "3 none"]
    );
    assert_eq!(rules(&herd), ["unknown-farm"]);
    same_after_rebuild(&mut herd);
}

#[test]
fn a_plan_of_another_office_says_nothing() {
    let mut herd = three_farms();
    keep_plan(&mut herd, 7, monday(), &[(1, THREE), (2, ONE)]);
    let mut story = on(0);
    story.plan(8).visit(1).cow(312);
    take_in(&mut herd, &story);
    assert_eq!(herds(&herd), ["1"]);
    assert_eq!(rules(&herd), Vec::<String>::new());
}

#[test]
fn a_plan_of_one_farm_needs_no_visit_and_one_of_several_does() {
    let mut herd = three_farms();
    keep_plan(&mut herd, 7, monday(), &[(1, THREE)]);
    keep_plan(&mut herd, 8, monday(), &[(1, THREE), (2, TWO)]);
    keep_plan(&mut herd, 9, monday(), &[(1, TWO), (2, ONE)]);
    let mut story = on(0);
    // The same farm under the same key: the work goes on. Another farm: nobody knows.
    story.plan(7).cow(1).plan(8).cow(2).plan(9).cow(3).visit(2).cow(4);
    take_in(&mut herd, &story);
    assert_eq!(herd.column("presence", "animal || ' ' || herd"), ["1 3", "2 3", "4 1"]);
    assert_eq!(rules(&herd), ["no-visit"]);
    same_after_rebuild(&mut herd);
}

#[test]
fn work_by_the_plan_of_another_day_is_told_once_a_day() {
    let mut herd = three_farms();
    keep_plan(&mut herd, 7, monday(), &[(1, THREE)]);
    let mut story = on(0);
    story.plan(7).cow(1).start().clock(EIGHT + DAY).cow(2).cow(3).visit(1).cow(4);
    take_in(&mut herd, &story);
    assert_eq!(rules(&herd), ["old-plan", "old-plan"], "the first cow, and the visit");
    assert_eq!(herds(&herd), ["3"; 4]);
    same_after_rebuild(&mut herd);
}

#[test]
fn a_key_given_to_another_farm_moves_nothing_that_was_said_before() {
    let mut herd = three_farms();
    let mut story = on(0);
    story.visit(1).cow(312).start().clock(EIGHT + 7 * DAY).visit(1).cow(313);
    take_in(&mut herd, &story);
    let listed = herd.herds().unwrap();
    let key = |key, since: Option<i32>| FarmChange {
        key: Some(KeyChange {
            key,
            since: since.map(|days| Day(monday().0 + days)),
            today: Day(monday().0 + 8),
        }),
        ..FarmChange::default()
    };
    // From tomorrow on: nothing moves. From the second visit on: that one does. Shown first.
    let moves = preview_farm(&mut herd, &listed[2], &key(Some(1), Some(8))).unwrap();
    assert!(moves.is_empty(), "{moves:?}");
    let second = key(Some(1), Some(7));
    let moves = preview_farm(&mut herd, &listed[2], &second).unwrap();
    let day = Day(monday().0 + 7);
    let one = Move { from: Some((ONE, day)), to: Some((THREE, day)) };
    assert_eq!(moves, Moves::from([(one, 1)]));
    assert_eq!(herds(&herd), ["1", "1"], "shown only");
    assert_eq!(set_farm(&mut herd, &listed[2], &second).unwrap(), moves);
    assert_eq!(herds(&herd), ["1", "3"]);
    let farms: Vec<Option<u8>> = herd.herds().unwrap().iter().map(|one| one.farm).collect();
    assert_eq!(farms, [None, Some(2), Some(1)]);
    same_after_rebuild(&mut herd);
    // Its old key stood for it until then.
    let said = herd.standing_keys().unwrap();
    let at = |day: i32| hornrule_facts::standing_at(&said, 3, |_| Some(Day(monday().0 + day)));
    assert_eq!((at(7), at(8)), (Some(THREE), None));
}

#[test]
fn a_name_moves_nothing_and_a_zone_says_what_it_moves() {
    let mut herd = three_farms();
    // Half past eleven at night in Berlin.
    let mut story = Story::of(DEVICE);
    story.start().clock(EIGHT + 15 * 3_600_000 + 1_800_000).visit(1).cow(312);
    take_in(&mut herd, &story);
    let listed = herd.herds().unwrap().swap_remove(0);
    let name = FarmChange { name: Some("Ulmenhof".to_owned()), ..FarmChange::default() };
    assert_eq!(set_farm(&mut herd, &listed, &name).unwrap(), Moves::new());
    let renamed = herd.herds().unwrap().swap_remove(0);
    assert_eq!((renamed.name.as_str(), renamed.farm), ("Ulmenhof", Some(1)));
    let zone = FarmChange { zone: Some("Europe/Helsinki".to_owned()), ..FarmChange::default() };
    let moves = set_farm(&mut herd, &renamed, &zone).unwrap();
    let tuesday = Day(monday().0 + 1);
    let one = Move { from: Some((ONE, monday())), to: Some((ONE, tuesday)) };
    assert_eq!(moves, Moves::from([(one, 1)]));
    same_after_rebuild(&mut herd);
    for (change, says) in [
        (FarmChange { name: Some(" ".to_owned()), ..FarmChange::default() }, "needs a name"),
        (FarmChange { name: Some("Birkenhof".to_owned()), ..FarmChange::default() }, "already"),
        (FarmChange { zone: Some("Mars".to_owned()), ..FarmChange::default() }, "no time zone"),
    ] {
        let refused = set_farm(&mut herd, &renamed, &change).unwrap_err().to_string();
        assert!(refused.contains(says), "{refused}");
    }
}

fn anna() -> Signature {
    Signature { who: "Anna".to_owned(), at_ms: EIGHT, why: "asked on the farm".to_owned() }
}

fn visit(seq: u32) -> Visit {
    Visit { record: (DEVICE, LOG, Seq(seq)), from_here: false }
}

#[test]
fn a_whole_visit_is_put_right_in_one_decision() {
    let mut herd = three_farms();
    let mut story = on(0);
    // Records: 3 visit, 4 cow, 5 finding, 6 cow; 7 visit, 8 cow.
    story.visit(9).cow(312).find(13, 2, LH_OUT).cow(313).visit(2).cow(1);
    take_in(&mut herd, &story);
    assert_eq!(
        (herds(&herd), rules(&herd)),
        (vec!["2".to_owned()], vec!["unknown-farm".to_owned(); 3])
    );
    let before = herd.dump();
    let would = preview_put_at(&mut herd, &anna(), visit(5), ONE).unwrap();
    assert_eq!(herd.dump(), before);
    let done = put_at(&mut herd, &anna(), visit(5), ONE).unwrap();
    assert_eq!((done.start, &done.moves), (Seq(3), &would.moves));
    assert_eq!(done.moves, Moves::from([(Move { from: None, to: Some((ONE, monday())) }, 2)]));
    assert_eq!(
        (herds(&herd), herd.count("finding")),
        (["1", "1", "2"].map(str::to_owned).to_vec(), 1)
    );
    assert_eq!(
        herd.column("remark", "sentence"),
        ["Entry 3 was put at Lindenhof (Anna, 2026-03-02: asked on the farm)."]
    );
    same_after_rebuild(&mut herd);
    // Another word goes before the earlier one, and each can be taken back.
    put_at(&mut herd, &anna(), visit(6), THREE).unwrap();
    assert_eq!(herds(&herd), ["3", "3", "2"]);
    take_back(&mut herd, &anna(), &[2]).unwrap();
    assert_eq!(herds(&herd), ["1", "1", "2"]);
    take_back(&mut herd, &anna(), &[1]).unwrap();
    assert_eq!(herd.dump(), before);
}

#[test]
fn a_visit_that_nobody_keyed_begins_with_its_first_cow() {
    let mut herd = three_farms();
    // Records: 3 cow, 4 finding; 5 visit, 6 cow, 7 cow, 8 finding, 9 cow.
    let mut story = on(0);
    story.cow(1).find(13, 2, LH_OUT).visit(1).cow(2).cow(3).find(13, 2, LH_OUT).cow(4);
    take_in(&mut herd, &story);
    assert_eq!(rules(&herd), ["no-visit", "no-visit"]);
    let done = put_at(&mut herd, &anna(), visit(4), TWO).unwrap();
    assert_eq!((done.start, herds(&herd).len()), (Seq(3), 4));
    assert_eq!(herd.column("visit", "seq || ' ' || farm || ' ' || herd"), ["3 0 2", "5 1 1"]);
    // From the second cow of the visit on it was another farm.
    let part = Visit { from_here: true, ..visit(8) };
    assert_eq!(put_at(&mut herd, &anna(), part, THREE).unwrap().start, Seq(7));
    assert_eq!(herds(&herd), ["2", "1", "3", "3"]);
    same_after_rebuild(&mut herd);
    for seq in [1, 4] {
        let refused = decide(&mut herd, &anna(), &[((DEVICE, LOG, Seq(seq)), Verdict::At(TWO))]);
        assert!(matches!(refused, Err(DecideError::NoVisitThere(_))), "{seq}");
    }
    let nowhere = decide(&mut herd, &anna(), &[((DEVICE, LOG, Seq(5)), Verdict::At(HerdId(99)))]);
    assert!(matches!(nowhere, Err(DecideError::NoHerd(99))));
}

#[test]
fn a_visit_that_went_on_over_night_is_put_right_for_the_day_asked() {
    let mut herd = three_farms();
    let mut story = on(0);
    // Records: 3 visit, 4 cow; 5 start, 6 clock, 7 cow, 8 cow.
    story.visit(1).cow(1).start().clock(EIGHT + DAY).cow(2).cow(3);
    take_in(&mut herd, &story);
    assert_eq!(put_at(&mut herd, &anna(), visit(8), TWO).unwrap().start, Seq(7));
    assert_eq!(herds(&herd), ["1", "2", "2"]);
}

#[test]
fn a_plan_once_kept_is_never_changed() {
    let mut herd = three_farms();
    keep_plan(&mut herd, 7, monday(), &[(1, THREE)]);
    let refused = herd.change_plans();
    assert_eq!(refused.len(), 4);
    assert!(refused.iter().all(|why| why.contains("never")), "{refused:?}");
    let again: Result<(), DatabaseError> = herd.write(|rows| {
        let plan = rows.plans()?.remove(0);
        rows.insert_plan(&plan, 0, &[])
    });
    assert!(again.is_err());
}
