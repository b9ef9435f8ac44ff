//! What is open in a database.

use hornrule_protocol::Place;

use super::*;
use hornrule_facts::{AnimalId, DueRules, Duty, Gone, Noted, Renumbered};
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

fn note(farm: HerdId, cow: i64, (duty, place): (Duty, Place), on: Day) -> Closing {
    let (animal, who, why) = (AnimalId(cow), "Anna".to_owned(), "told by phone".to_owned());
    Closing { herd: farm, animal, place, what: Noted::Done(duty), day: on, who, at_ms: 0, why }
}

/// A note says what it ends before it is made, and a note about another claw ends nothing.
#[test]
fn a_note_ends_what_it_is_about_and_nothing_else() {
    let (herd, farm) = fortnight();
    let ended =
        |cow, what, on| told(&ended_by(&herd, &note(farm, cow, what, on), day(14)).unwrap().1);
    let recheck = |place| ended(312, (Duty::Recheck, place), day(14));
    assert_eq!(recheck(LH_OUT), [(312, LH, Duty::Recheck, 14)]);
    assert_eq!((recheck(LH).len(), recheck(Place::Cow).len()), (1, 1));
    // Her ulcer is at the outer claw; of her other foot nothing is known.
    assert_eq!((recheck(LH_IN), recheck(RH)), (vec![], vec![]));
    assert_eq!(ended(312, (Duty::Recheck, LH), Day(day(0).0 - 1)), []);
    assert_eq!(ended(313, (Duty::BlockOff, Place::Cow), day(14)), []);
    let (open, _) = ended_by(&herd, &note(farm, 312, (Duty::Vet, LH), day(14)), day(14)).unwrap();
    assert_eq!(told(&open).len(), 2);
}

/// Two cows change their numbers. What was noted of one stays hers, and a slip is taken back under
/// the number that she has now.
#[test]
fn a_note_follows_its_cow_to_another_number() {
    let (mut herd, farm) = fortnight();
    let block = |cow, on| note(farm, cow, (Duty::BlockOff, LH_IN), on);
    herd.close_duties(&[block(312, day(10))]).unwrap();
    let since = day(20);
    let swap = [(312, 313), (313, 312)].map(|(was, now)| Renumbered {
        since,
        was: AnimalId(was),
        now: AnimalId(now),
    });
    let done: Result<(), DatabaseError> = herd.write(|rows| {
        rows.write_renumbered(farm, &swap)?;
        hornrule_intake::rebuild_rows(rows)?;
        Ok(())
    });
    done.unwrap();
    let owed = |herd: &Database| -> Vec<(i64, Place)> {
        let needs = open_needs(herd, day(30)).unwrap();
        let blocks = needs.iter().filter(|need| need.duty == Duty::BlockOff);
        blocks.map(|need| (need.animal.number(), need.place)).collect()
    };
    let noted = |herd: &Database| herd.read(|rows| rows.closings(farm)).unwrap();
    assert_eq!((noted(&herd)[0].animal, owed(&herd)), (AnimalId(313), vec![]));
    herd.reopen_duties(&[block(313, day(10))]).unwrap();
    assert_eq!((noted(&herd), owed(&herd)), (vec![], vec![(313, LH_IN)]));
    // Noted now, of a day before: hers all the same.
    assert_eq!(ended_by(&herd, &block(313, day(12)), day(30)).unwrap().1.len(), 1);
    herd.close_duties(&[block(313, day(12))]).unwrap();
    assert_eq!((noted(&herd)[0].animal, owed(&herd)), (AnimalId(313), vec![]));
}
