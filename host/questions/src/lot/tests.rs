//! Draws against the page of their rules.

use super::*;
use hornrule_facts::{FarmSettings, ListedAnimal, Renumbered};
use hornrule_kit::Story;

const PAGE: &str = include_str!("LOT.md");
const SEED: &str = "00112233445566778899aabbccddeeff";
const COWS: [i64; 8] = [12, 27, 31, 58, 63, 85, 118, 204];
/// 2 March 2026.
const MONDAY: Day = Day(20_514);

/// A fenced block of the page.
fn fenced(name: &str) -> &'static str {
    let rest = PAGE.split_once(&format!("```{name}\n")).unwrap().1;
    rest.split_once("```").unwrap().0
}

/// The hashes that the page tells, in its order.
fn hashes() -> Vec<&'static str> {
    let is = |word: &&str| word.len() == 64 && word.bytes().all(|b| b.is_ascii_hexdigit());
    PAGE.split('`').filter(is).collect()
}

fn farm(database: &mut Database) -> Herd {
    database
        .write::<_, DatabaseError>(|rows| {
            let id = rows.insert_herd("Alder Brook", Some(1), "UTC")?;
            let cows: Vec<ListedAnimal> =
                COWS.iter().rev().map(|cow| ListedAnimal::numbered(AnimalId(*cow))).collect();
            let gone = ListedAnimal { in_herd: false, ..ListedAnimal::numbered(AnimalId(9)) };
            rows.write_animals(id, &[&cows[..], &[gone]].concat())?;
            let (farm, zone) = (Some(1), "UTC".to_owned());
            let settings = FarmSettings::default();
            Ok(Herd { herd: id, name: "Alder Brook".to_owned(), farm, zone, settings })
        })
        .unwrap()
}

fn design(by: Unit) -> Design {
    Design { by, ways: vec![2, 1], sizes: SIZES.to_vec(), seed: SEED.to_owned() }
}

fn signed(day: Day) -> Signed {
    Signed { day, who: "Anna".to_owned(), at_ms: 7, why: "sanding".to_owned() }
}

#[test]
fn lists_and_hashes_are_those_of_the_page() {
    let claws: Vec<String> = fenced("claws").lines().map(str::to_owned).collect();
    let lines: Vec<String> = fenced("list").lines().map(str::to_owned).collect();
    assert_eq!((claws.len(), lines.len(), hashes().len()), (8, 16, 2));
    for (by, hash) in [(Unit::Cow, hashes()[0]), (Unit::Claw, hashes()[1])] {
        let mut database = Database::in_memory().unwrap();
        let herd = farm(&mut database);
        let kept = draw(&mut database, &herd, design(by), signed(MONDAY)).unwrap();
        assert_eq!(kept.lot.sha256, hash, "{by:?}");
        let mut expected = lines.clone();
        if by == Unit::Claw {
            expected[3] = "by claw".to_owned();
            expected.truncate(8);
            expected.extend(claws.iter().cloned());
        }
        assert_eq!(kept.lot.text().lines().collect::<Vec<_>>(), expected);
        assert_eq!(lots(&database, &[herd.herd]).unwrap(), std::slice::from_ref(&kept));
        assert_eq!(proof(&kept.lot), Proof { of_seed: true, as_published: true });
    }
}

#[test]
fn a_list_that_was_changed_is_noticed() {
    let mut database = Database::in_memory().unwrap();
    let herd = farm(&mut database);
    let kept = draw(&mut database, &herd, design(Unit::Cow), signed(MONDAY)).unwrap().lot;
    let mut moved = kept.clone();
    moved.cows[0].1 = [1; CLAWS];
    assert_eq!(proof(&moved), Proof { of_seed: false, as_published: false });
    // Whoever changes the hash as well is given away by the seed, and by what was published.
    moved.sha256 = sha256(&moved.text());
    assert_eq!(proof(&moved), Proof { of_seed: false, as_published: true });
    let mut other = kept;
    other.design.seed = "another".to_owned();
    assert_eq!(proof(&other), Proof { of_seed: false, as_published: false });
}

#[test]
fn what_is_no_draw_is_refused_and_keeps_nothing() {
    let mut database = Database::in_memory().unwrap();
    let herd = farm(&mut database);
    let with = |ways: &[u8], sizes: &[u8], seed: &str| Design {
        by: Unit::Cow,
        ways: ways.to_vec(),
        sizes: sizes.to_vec(),
        seed: seed.to_owned(),
    };
    let long = "a".repeat(SEED_LETTERS + 1);
    for wrong in [
        with(&[1], &[1], SEED),
        with(&[1, 1], &[1], SEED),
        with(&[0, 1], &[1], SEED),
        with(&[1, 10], &[1], SEED),
        with(&[1, 2], &[], SEED),
        with(&[1, 2], &[0], SEED),
        with(&[1, 2], &[2, 2], SEED),
        with(&[1, 2], &[1], "  "),
        with(&[1, 2], &[1], "a\nb"),
        with(&[1, 2], &[1], &long),
    ] {
        let said = draw(&mut database, &herd, wrong.clone(), signed(MONDAY)).unwrap_err();
        assert!(matches!(said, LotError::Ways | LotError::Sizes | LotError::Seed), "{wrong:?}");
    }
    let empty =
        database.write::<_, DatabaseError>(|rows| rows.insert_herd("Neuhof", None, "UTC")).unwrap();
    let empty = Herd { herd: empty, name: "Neuhof".to_owned(), ..herd.clone() };
    let said = draw(&mut database, &empty, design(Unit::Cow), signed(MONDAY)).unwrap_err();
    assert!(matches!(said, LotError::NoCow(_)));
    let close_none = close(&mut database, &herd, signed(MONDAY)).unwrap_err();
    assert!(matches!(close_none, LotError::None(_)));
    assert!(lots(&database, &[herd.herd, empty.herd]).unwrap().is_empty());
}

#[test]
fn a_herd_is_drawn_before_its_first_cow_and_once_at_a_time() {
    let mut database = Database::in_memory().unwrap();
    let herd = farm(&mut database);
    let mut story = Story::at_work();
    story.cow(12).act(10, hornrule_kit::LH_IN);
    hornrule_kit::take_in(&mut database, &story);
    let day = database.read(|rows| rows.visit_days()).unwrap()[0].1;
    let of = |database: &mut Database, day| draw(database, &herd, design(Unit::Cow), signed(day));
    assert!(matches!(of(&mut database, day).unwrap_err(), LotError::Late { .. }));
    let next = Day(day.0 + 1);
    let first = of(&mut database, next).unwrap();
    assert!(matches!(of(&mut database, next).unwrap_err(), LotError::Open { lot: 1, .. }));
    // An open one is given to nobody who does not sign, and each look is on record.
    assert_eq!(look(&mut database, &herd, None).unwrap(), None);
    let seen = look(&mut database, &herd, Some(signed(next))).unwrap().unwrap();
    assert_eq!((seen.lot.clone(), seen.looks().count()), (first.lot.clone(), 1));
    let closed = close(&mut database, &herd, signed(Day(next.0 + 9))).unwrap();
    assert_eq!((closed.closed(), closed.looks().count()), (Some(Day(next.0 + 9)), 1));
    let twice = close(&mut database, &herd, signed(Day(next.0 + 9))).unwrap_err();
    assert!(matches!(twice, LotError::Closed { lot: 1, .. }));
    // A closed one is given to everybody, and is no look.
    assert_eq!(look(&mut database, &herd, None).unwrap(), Some(closed));
    assert_eq!(of(&mut database, Day(next.0 + 10)).unwrap().lot.lot, 2);
}

#[test]
fn a_way_holds_from_the_draw_through_its_close_and_goes_with_a_new_number() {
    let mut database = Database::in_memory().unwrap();
    let herd = farm(&mut database);
    let kept = draw(&mut database, &herd, design(Unit::Claw), signed(MONDAY)).unwrap();
    let after = |days: i32| Day(MONDAY.0 + days);
    close(&mut database, &herd, signed(after(10))).unwrap();
    let was = AnimalId(12);
    let now = AnimalId(1_012);
    database
        .write::<_, DatabaseError>(|rows| {
            rows.write_renumbered(herd.herd, &[Renumbered { since: after(5), was, now }])
        })
        .unwrap();
    let lots = database.read(|rows| Lots::of(rows, herd.herd)).unwrap();
    let ways = kept.lot.cows[0].1;
    assert_eq!(lots.ways(now, after(0)), Some(ways));
    assert_eq!(lots.ways(was, after(0)), None, "that number is nobody's now");
    for (place, way) in ways.into_iter().enumerate() {
        let at = Place::Claw(hornrule_facts::lot::claw_at(place).unwrap());
        let on = |days| lots.way(now, at, after(days)).map(|(kept, way)| (kept.lot.lot, way));
        assert_eq!([on(-1), on(0), on(10), on(11)], [None, Some((1, way)), Some((1, way)), None]);
    }
    assert_eq!(lots.way(now, Place::Cow, after(0)).map(|one| one.1), None);
    assert_eq!(lots.way(AnimalId(9), hornrule_kit::LH_IN, after(0)).map(|one| one.1), None);
    assert_eq!(lots.all().count(), 1);
}

#[test]
fn the_plan_has_the_ways_while_the_draw_holds() {
    use crate::plan::{Asked, gather};
    use hornrule_facts::lot::claw_at;

    let mut database = Database::in_memory().unwrap();
    let herd = farm(&mut database);
    let ways = |database: &Database, day: Day| -> Vec<(i64, Ways)> {
        let farms = [(1, herd.clone())];
        let plan = gather(database, &farms, day, None, &Asked::default()).unwrap();
        let of = |cow: hornrule_line::plan::PlannedCow| {
            let way = |place| cow.particulars.way(claw_at(place).unwrap()).unwrap_or(0);
            (i64::from(cow.number.unwrap().get()), std::array::from_fn(way))
        };
        plan.cows.into_iter().map(of).collect()
    };
    let none = COWS.map(|cow| (cow, [0; CLAWS]));
    assert_eq!(ways(&database, MONDAY), none);
    let kept = draw(&mut database, &herd, design(Unit::Claw), signed(MONDAY)).unwrap();
    let drawn: Vec<(i64, Ways)> =
        kept.lot.cows.iter().map(|(cow, ways)| (cow.number(), *ways)).collect();
    assert_eq!(ways(&database, Day(MONDAY.0 - 1)), none);
    assert_eq!(ways(&database, Day(MONDAY.0 + 30)), drawn);
    close(&mut database, &herd, signed(Day(MONDAY.0 + 30))).unwrap();
    assert_eq!(ways(&database, Day(MONDAY.0 + 30)), drawn);
    assert_eq!(ways(&database, Day(MONDAY.0 + 31)), none);
}
