//! A farm over time, on stories small enough to be counted by hand.

use hornrule_facts::{Day, HerdId};
use hornrule_herd::Database;
use hornrule_kit::{EIGHT, LH_IN, LH_OUT, RH_OUT, Story, import, take_in, two_farms};
use hornrule_protocol::DeviceId;
use jiff::civil::date;

use super::*;

const DAY_MS: i64 = 86_400_000;
/// The first visit, 2026-03-02; days are told from it.
const FIRST: i64 = EIGHT;

fn day(month: i8, day: i8) -> Day {
    Day::from_date(date(2026, month, day))
}

/// Days of a visit after the first.
fn visit(story: &mut Story, days: i64) {
    story.start().clock(FIRST + days * DAY_MS).visit(1);
}

/// A cow trimmed, scored or not, with or without a sole ulcer. Without, her foot is keyed sound.
fn trimmed(story: &mut Story, number: u32, score: Option<u8>, sore: bool) {
    story.cow(number);
    if let Some(score) = score {
        story.score(1, score);
    }
    story.act(30, LH_OUT).act(30, LH_IN);
    if sore {
        story.find(13, 2, LH_OUT);
    }
}

/// A farm with a list of cows from 1 on; with no cow, without a list.
fn farm(cows: u32) -> (Database, HerdId) {
    let mut database = Database::in_memory().unwrap();
    let list: String = (1..=cows).map(|number| format!("{number}\n")).collect();
    let herd = import(&mut database, "Lindenhof", 1, &format!("number\n{list}"));
    (database, herd)
}

fn trend(database: &Database, herd: HerdId, from: Day, through: Day) -> FarmTrend {
    FarmTrend::gather(database, herd, Span { from, through }).unwrap().unwrap()
}

/// Wilson's interval by hand: z² = 3.8415; middle 0.3 + 3.8415/20 = 0.49207; half
/// 1.96 √(0.021 + 0.0096036) = 0.34288; both over 1.38415.
#[test]
fn a_share_has_wilsons_ends_or_none() {
    let three = Share::of_cows(3, 10).estimate.unwrap();
    assert!((three.low - 0.1078).abs() < 5e-5 && (three.high - 0.6032).abs() < 5e-5, "{three:?}");
    assert_eq!((three.n, three.method), (10, "Wilson score"));
    assert_eq!(Share::of_cows(2, 4), Share { cases: 2, of: 4, estimate: None });
    assert!(Share::of_cows(2, 5).estimate.is_some());
    assert_eq!(Share::of_claws(&[]), Share::default());
}

/// Six listed cows, one of them never seen. March: five trimmed, two of them with an ulcer; a sixth,
/// not on the list, has one and is not trimmed; a seventh is scored only. April: two trimmed.
fn herd() -> (Database, HerdId) {
    let (mut database, herd) = farm(6);
    let mut story = Story::at_work();
    for number in 1..=5 {
        trimmed(&mut story, number, Some(number.min(4) as u8), number < 3);
        if number == 1 {
            // The worst score of the month counts, once.
            story.act(10, LH_IN).score(1, 3);
        }
    }
    story.cow(99).find(13, 1, RH_OUT).cow(98).score(1, 1).left();
    visit(&mut story, 43);
    trimmed(&mut story, 1, None, true);
    trimmed(&mut story, 2, None, false);
    story.left();
    take_in(&mut database, &story);
    (database, herd)
}

#[test]
fn months_are_counted_as_by_hand() {
    let (database, herd) = herd();
    let trend = trend(&database, herd, day(1, 1), day(4, 30));
    let firsts: Vec<Day> = trend.months.iter().map(|month| month.first).collect();
    assert_eq!(firsts, [day(3, 1), day(4, 1)], "from the first visit to the last");
    let march = &trend.months[0].tally;
    assert_eq!((march.visits, march.cows, march.blocks), (1, 7, 1));
    // Cows 1 to 5 and 99 were examined; 98 was only scored.
    assert_eq!((march.with_lesion.cases, march.with_lesion.of), (3, 6));
    assert_eq!((march.not_examined, march.trimmed), (1, 5));
    assert_eq!((march.new, march.again), (3, 0));
    assert_eq!(march.herd, Some(Part { cases: 5, of: 6 }));
    // Cows 1 to 5 and 98 scored 3, 2, 3, 4, 4, 1: four are lame from 3 on.
    let gait = &march.gait[0];
    assert_eq!(gait.cows, [(1, 1), (2, 1), (3, 2), (4, 2), (5, 0)]);
    assert_eq!((gait.lame.cases, gait.lame.of), (4, 6));
    let april = &trend.months[1];
    // Cow 1's ulcer is found; nobody has healed cow 2's, and her claw was only trimmed: still open.
    assert_eq!((april.tally.with_lesion.cases, april.tally.with_lesion.of), (2, 2));
    assert_eq!(april.tally.with_lesion.estimate, None, "two cows give no share");
    // 43 days after the first and with nothing recorded between: the same ulcer still.
    assert_eq!((april.tally.new, april.tally.again), (0, 0));
    assert_eq!(april.so_far, Some(Part { cases: 5, of: 6 }));
    assert_eq!((trend.whole.with_lesion.cases, trend.whole.with_lesion.of), (3, 6));
    assert_eq!(
        trend.mind,
        [
            Mind::MostlyLame(vec![day(3, 1)]),
            Mind::NotScored(vec![day(4, 1)]),
            Mind::Few(vec![day(3, 1), day(4, 1)]),
        ]
    );
}

#[test]
fn a_period_cuts_months_and_keeps_what_was_known_before() {
    let (mut database, herd) = farm(2);
    let mut story = Story::at_work();
    trimmed(&mut story, 1, None, true);
    story.left();
    visit(&mut story, 18);
    story.cow(1).act(50, LH_OUT).left();
    visit(&mut story, 43);
    trimmed(&mut story, 1, None, true);
    story.left();
    take_in(&mut database, &story);
    let april = trend(&database, herd, day(4, 1), day(4, 30));
    assert_eq!(april.months.len(), 1);
    // Healed in March, before the period; so April's ulcer comes again.
    assert_eq!((april.whole.new, april.whole.again), (0, 1));
    assert_eq!(april.first_visit, Some(day(3, 2)));
    let nothing = trend(&database, herd, day(5, 1), day(5, 31));
    assert!(nothing.months.is_empty());
}

/// Twenty cows each: all lame in March, none in April.
#[test]
fn cows_chosen_otherwise_are_told() {
    let (mut database, herd) = farm(0);
    let mut story = Story::at_work();
    for number in 1..=20 {
        trimmed(&mut story, number, Some(3), true);
    }
    story.left();
    visit(&mut story, 32);
    for number in 1..=20 {
        trimmed(&mut story, number, Some(1), false);
    }
    story.left();
    take_in(&mut database, &story);
    let mind = trend(&database, herd, day(3, 1), day(4, 30)).mind;
    let [Mind::MostlyLame(lame), Mind::Chosen { low, high }, Mind::NoList] = &mind[..] else {
        panic!("{mind:?}");
    };
    assert_eq!((lame[0], low.0, high.0), (day(3, 1), day(4, 1), day(3, 1)));
    // A second handheld with a finding in April, where the first found too, is told.
    let mut second = Story::of(DeviceId(0xF00D_0000_0000_0002));
    visit(&mut second, 32);
    second.cow(1).find(13, 2, RH_OUT).left();
    take_in(&mut database, &second);
    let mut third = Story::of(DeviceId(0xF00D_0000_0000_0003));
    visit(&mut third, 32);
    third.cow(2).find(13, 2, RH_OUT).left();
    take_in(&mut database, &third);
    let mind = trend(&database, herd, day(3, 1), day(4, 30)).mind;
    assert!(mind.contains(&Mind::MoreEyes(vec![day(4, 1)])), "{mind:?}");
}

/// The same cows in both months, with the same scores: nothing to tell but that there is no list.
#[test]
fn the_same_cows_are_fairly_compared() {
    let (mut database, herd) = two_farms();
    let mut story = Story::at_work();
    for days in [0, 32] {
        if days > 0 {
            visit(&mut story, days);
        }
        for number in 1..=20 {
            trimmed(&mut story, number, Some(1), days == 0);
        }
        story.left();
    }
    take_in(&mut database, &story);
    // Lindenhof's list has three cows, none of whom came.
    let told = trend(&database, herd, day(3, 1), day(4, 30)).mind;
    assert_eq!(told, [Mind::HalfUnseen(Part { cases: 0, of: 3 })]);
}
