//! What is open in a database.

use hornrule_protocol::Place;

use super::*;
use hornrule_facts::{AnimalId, DueRules, Duty, Gone, Renumbered, Told};
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
    Closing { herd: farm, animal, place, what: Told::Done(duty), day: on, who, at_ms: 0, why }
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
    // Told now, of a day before: hers all the same.
    assert_eq!(ended_by(&herd, &block(313, day(12)), day(30)).unwrap().1.len(), 1);
    herd.close_duties(&[block(313, day(12))]).unwrap();
    assert_eq!((noted(&herd)[0].animal, owed(&herd)), (AnimalId(313), vec![]));
}

/// At the same farm, from the same morning on.
fn other_handheld() -> Story {
    let mut story = Story::of(hornrule_protocol::DeviceId(0xF00D_0000_0000_0002));
    story.start().clock(EIGHT).visit(1);
    story
}

fn noted(farm: HerdId, cow: i64, what: Told, on: Day) -> Closing {
    Closing { what, ..note(farm, cow, (Duty::Trim, Place::Cow), on) }
}

/// Sold is the end of all that is due, until she is in the chute again; then the list says so.
#[test]
fn a_cow_that_is_sold_owes_nothing_until_she_is_in_the_chute() {
    let (mut herd, farm) = fortnight();
    let sold = noted(farm, 312, Told::Gone(Gone::Sold), day(20));
    assert_eq!(ended_by(&herd, &sold, day(20)).unwrap().1.len(), 3, "recheck, block, trim");
    herd.close_duties(std::slice::from_ref(&sold)).unwrap();
    let asking = |day: Day| Asking { day, until: day.plus(400), herd: None };
    let owed = |herd: &Database, on: Day| -> (usize, Vec<(i64, Day)>) {
        let list = DueList::gather(herd, asking(on)).unwrap();
        let hers = list.lines.iter().filter(|line| line.need.animal == AnimalId(312)).count();
        (hers, list.back.iter().map(|one| (one.note.animal.number(), one.seen)).collect())
    };
    assert_eq!(owed(&herd, day(20)), (0, vec![]));
    // The day before nobody knew.
    assert_eq!(owed(&herd, day(19)), (3, vec![]));
    let mut story = other_handheld();
    story.wait(25 * DAY_MS).cow(312).score(1, 2).left();
    take_in(&mut herd, &story);
    assert_eq!(owed(&herd, day(30)), (3, vec![(312, day(25))]));
    // Noted of a day on which she was there afterwards it ends nothing.
    let dead = noted(farm, 312, Told::Gone(Gone::Dead), day(24));
    assert_eq!(ended_by(&herd, &dead, day(30)).unwrap().1, []);
    herd.reopen_duties(&[sold]).unwrap();
    assert_eq!(owed(&herd, day(30)), (3, vec![]));
}

/// Three times without her, by visits and by what was noted, and she is told once.
#[test]
fn a_cow_that_is_never_brought_is_told_once() {
    let (mut herd, farm) = fortnight();
    let mut story = other_handheld();
    for _ in 0..2 {
        story.wait(20 * DAY_MS).cow(351).act(33, LH).left();
    }
    take_in(&mut herd, &story);
    let list = |herd: &Database| {
        let (day, until) = (day(45), day(60));
        DueList::gather(herd, Asking { day, until, herd: None }).unwrap()
    };
    // Her recheck was due on day 14; the farm was visited on days 20 and 40.
    let before = list(&herd);
    assert!(before.told_once().is_empty());
    let missed = |list: &DueList| {
        let hers = list.lines.iter().filter(|line| line.need.animal == AnimalId(312));
        hers.map(|line| (line.need.duty, line.missed, line.is_told_once())).collect::<Vec<_>>()
    };
    let two = [(Duty::Recheck, 2, false), (Duty::BlockOff, 2, false)];
    assert_eq!(missed(&before), two);
    // Noted of a day that counts already it adds nothing; of another it does. It ends nothing.
    let not_brought = |on| noted(farm, 312, Told::NotBrought, on);
    herd.close_duties(&[not_brought(day(40)), not_brought(day(13))]).unwrap();
    assert_eq!(missed(&list(&herd)), two);
    herd.close_duties(&[not_brought(day(42))]).unwrap();
    let after = list(&herd);
    assert_eq!(missed(&after), [(Duty::Recheck, 3, true), (Duty::BlockOff, 3, true)]);
    let once = after.told_once();
    assert_eq!((once.len(), once[0].len()), (1, 2));
    assert!(after.groups().iter().flatten().all(|line| line.need.animal != AnimalId(312)));
    assert_eq!(after.lines.len(), before.lines.len());
}

/// A row a cow and visit: what is overdue is today's, and takes along what may be done today.
#[test]
fn rechecks_and_blocks_of_a_farm_are_one_visit_where_windows_allow() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).find(13, 2, LH_OUT).act(10, LH_IN).left();
    story.wait(13 * DAY_MS).cow(313).find(13, 2, LH_OUT).left();
    story.cow(351).find(31, 2, RH).left();
    take_in(&mut herd, &story);
    let asked = |on: u16| {
        let asking = Asking { day: day(on), until: day(on).plus(14), herd: None };
        let list = DueList::gather(&herd, asking).unwrap();
        let visits = list.groups();
        let of = |lines: &Vec<&DueLine>| {
            let cows = cow_by_cow(lines).iter().map(|hers| hers[0].need.animal.number()).collect();
            (lines[0].visit.0 - day(0).0, cows)
        };
        visits.iter().map(of).collect::<Vec<(i32, Vec<i64>)>>()
    };
    // 312 on day 14, until 17; 351 (dermatitis) on day 20, from 17 on; 313 on day 27, from 24 to 30;
    // the block from 28 on, which is not in the first list.
    assert_eq!(asked(13), [(17, vec![312, 351]), (27, vec![313])]);
    assert_eq!(asked(15), [(15, vec![312]), (20, vec![351]), (28, vec![312, 313])]);
    assert_eq!(asked(24), [(24, vec![312, 313, 351]), (28, vec![312])]);
}

/// The day's plan leaves out what is the office's and says how late the rest is.
#[test]
fn the_plan_leaves_the_office_its_own() {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).act(90, Place::Cow).left().cow(313).act(81, LH).left();
    take_in(&mut herd, &story);
    let listed = herd.herds().unwrap().into_iter().find(|one| one.herd == farm).unwrap();
    let asked = crate::plan::Asked::default();
    let planned = crate::plan::gather(&herd, &[(1, listed)], day(5), None, &asked).unwrap();
    let of = |number: u32| {
        let cow = planned.cows.iter().find(|cow| cow.number.is_some_and(|n| n.get() == number));
        cow.map(|cow| (crate::plan::words(cow.needs), cow.overdue)).unwrap()
    };
    assert_eq!((of(312), of(313)), ((String::new(), 0), ("vet".to_owned(), 4)));
    assert_eq!(
        left_to_office(&herd).unwrap().iter().map(|one| one.animal.0).collect::<Vec<_>>(),
        [312]
    );
}
