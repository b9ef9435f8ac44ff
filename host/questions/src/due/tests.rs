//! What is open in a database.

use hornrule_protocol::Place;

use super::*;
use hornrule_facts::{DueRules, Duty};
use hornrule_kit::{EIGHT, LH, LH_IN, LH_OUT, RH, Story, import, take_in, two_farms};

const DAY_MS: u64 = 86_400_000;

fn day(days: u16) -> Day {
    Day(i32::try_from(EIGHT / 86_400_000).unwrap()).plus(days)
}

/// A block and a wrap at Lindenhof, and again two weeks later.
fn fortnight() -> (Database, HerdId) {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).find(13, 2, LH_OUT).act(30, LH_OUT).act(10, LH_IN);
    story.cow(313).find(31, 2, RH).act(21, RH).cow(351).again_in(30, LH).left();
    story.wait(14 * DAY_MS).cow(313).find(31, 0, RH).left();
    take_in(&mut herd, &story);
    (herd, farm)
}

fn told(needs: &[Need]) -> Vec<(i64, Place, Duty, i32)> {
    let told = needs.iter().filter(|need| need.duty != Duty::Trim);
    told.map(|need| (need.animal.number(), need.place, need.duty, need.day.0 - day(0).0)).collect()
}

#[test]
fn a_block_of_an_earlier_visit_is_still_due() {
    let (herd, farm) = fortnight();
    let first = told(&open_needs(&herd, day(0)).unwrap());
    let expected = [
        (313, RH, Duty::WrapOff, 3),
        (313, RH, Duty::Recheck, 7),
        (312, LH, Duty::Recheck, 14),
        (312, LH_IN, Duty::BlockOff, 28),
        (351, LH, Duty::Recheck, 30),
    ];
    assert_eq!(first, expected);
    // Two weeks later only 313 was seen. Nothing that was said later counts for the first day.
    let second = open_needs(&herd, day(14)).unwrap();
    assert_eq!(told(&second), expected[2..]);
    assert!(second.iter().all(|need| need.herd == farm));
    assert_eq!(open_needs(&herd, day(0).plus(2000)).unwrap(), second);
    let before = Day(day(0).0 - 1);
    assert_eq!(open_needs(&herd, before).unwrap(), []);
}

#[test]
fn a_cow_that_left_needs_nothing() {
    let (mut herd, _) = fortnight();
    import(&mut herd, "Lindenhof", 1, "number\n313\n351\n");
    let cows: Vec<i64> =
        told(&open_needs(&herd, day(14)).unwrap()).iter().map(|need| need.0).collect();
    assert_eq!(cows, [351]);
}

#[test]
fn the_offices_days_count() {
    let (mut herd, _) = fortnight();
    let rules = DueRules { block_off: 35, ..DueRules::default() };
    herd.set_due_rules(&rules).unwrap();
    assert_eq!(herd.due_rules().unwrap(), rules);
    let needs = open_needs(&herd, day(14)).unwrap();
    let block = needs.iter().find(|need| need.duty == Duty::BlockOff).unwrap();
    assert_eq!((block.days(), block.because), (35, Because::BlockGlued));
}
