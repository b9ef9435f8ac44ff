//! What the plan knows of each cow beyond her needs: `firmware/core/WARNINGS.md` says what the
//! handheld makes of it.

use std::collections::BTreeMap;

use hornrule_casebook::{Case, Casebook, State};
use hornrule_facts::{AnimalId, Day, Duty, Fact, Floors, Herd, ListedAnimal};
use hornrule_herd::{Database, DatabaseError};
use hornrule_line::plan::PlannedCow;
use hornrule_protocol::codes::Burden;
use hornrule_protocol::plan::{Floor, Particulars};
use hornrule_protocol::{Claw, Nanometres, Place};

use crate::books::Books;
use crate::due::Need as Due;
use crate::notices::{most_regrown, regrown_since, target_of};

/// Asymmetric and scissor claws: the shape of a foot, which is not asked after. Shapes of one claw
/// burden it with nothing.
const SHAPES_OF_FEET: [u8; 2] = [51, 53];
/// The step in which the plan has regrown horn, nanometres.
const FIFTH_NM: i32 = 200_000;
const HALF_MM_NM: i32 = 500_000;

/// Of each cow of a herd on a day: what is open on her, and how much horn may have regrown.
///
/// # Errors
/// [`DatabaseError`].
pub(super) fn of_herd(
    database: &Database,
    listed: &Herd,
    day: Day,
) -> Result<BTreeMap<AnimalId, Particulars>, DatabaseError> {
    database.read(|rows| {
        let books = Books::of(rows, listed.herd, day)?;
        let mut all = BTreeMap::new();
        books.each_with_facts(rows, |animal, facts, book| {
            all.insert(animal, of_book(facts, book, day));
        })?;
        Ok(all)
    })
}

fn of_book(facts: &[Fact], book: &Casebook, day: Day) -> Particulars {
    let is_open = |case: &&Case| case.state_on(day) == Some(State::Open);
    let open: Vec<&Case> = book.cases.iter().filter(is_open).filter(|case| asked(case)).collect();
    let hers = open.iter().fold(Particulars::NONE, |hers, case| match case.place {
        Place::Claw(claw) => hers.with_lesion_of_claw(claw),
        Place::Foot(foot) => hers.with_lesion_of_foot(foot),
        Place::Cow => hers,
    });
    hers.with_growth(growth(facts, &open, day))
}

/// Whether the handheld asks how this one is.
fn asked(case: &Case) -> bool {
    match case.place {
        Place::Claw(_) => Burden::of(case.lesion) > Burden::None,
        Place::Foot(_) => !SHAPES_OF_FEET.contains(&case.lesion.code()),
        Place::Cow => false,
    }
}

/// The most regrown horn that is usual, fifths of a millimetre, of the claw that has had the longest
/// time; 0 where none is known, or more than the plan can say.
fn growth(facts: &[Fact], open: &[&Case], day: Day) -> u8 {
    let days = Claw::all().filter_map(|claw| {
        let here = Place::Claw(claw);
        let cases = open.iter().copied().filter(|case| case.place == here);
        cases.clone().next()?;
        Some(day.0 - regrown_since(facts, cases, (here, day))?.0)
    });
    let most = days.max().map_or(0, |days| most_regrown(days).0);
    // Rounded up: no horn that may have grown is warned of.
    u8::try_from((most + FIFTH_NM - 1) / FIFTH_NM).unwrap_or(0)
}

/// With what is due off her feet, by what the plan also says in one bit for both.
pub(super) fn with_due(
    hers: Particulars,
    due: &[Due],
    herd: &Herd,
    animal: AnimalId,
) -> Particulars {
    let of = due.iter().filter(|need| need.herd == herd.herd && need.animal == animal);
    of.fold(hers, |hers, need| match (need.duty, need.place.foot()) {
        (Duty::BlockOff, Some(foot)) => hers.with_block(foot),
        (Duty::WrapOff, Some(foot)) => hers.with_wrap(foot),
        _ => hers,
    })
}

/// Half millimetres of the shortest wall that trimming may leave on her; `None` where nothing says.
pub(super) fn floor_of(floors: &Floors, herd: &Herd, listed: &ListedAnimal) -> Option<u8> {
    const HEIFER: Option<u8> = Some(0);
    const FIRST: Option<u8> = Some(1);
    if listed.lactation == HEIFER {
        return None;
    }
    let of = |target: Nanometres| u8::try_from(target.0 / HALF_MM_NM).ok();
    let own = herd.settings.target.and_then(of);
    let breed = || listed.breed.as_deref().and_then(|breed| floors.of_breed(breed));
    let first = || floors.first.filter(|_| listed.lactation == FIRST);
    let usual = || target_of(None, Some(listed)).and_then(|target| of(target.length()));
    own.or_else(breed).or_else(first).or_else(usual).or(floors.any)
}

/// The floor of the whole plan, and with it what each cow's own is: the one that most cows have is
/// said once. `None` for a cow without.
pub(super) fn shared(cows: &mut [PlannedCow], floors: &[Option<u8>]) -> u8 {
    let mut count = BTreeMap::new();
    floors.iter().flatten().for_each(|floor| *count.entry(*floor).or_insert(0_usize) += 1);
    let without = floors.iter().filter(|floor| floor.is_none()).count();
    // Of those that as many have, the shortest.
    let most = count.into_iter().rev().max_by_key(|(_, cows)| *cows);
    let of_plan = most.filter(|(_, cows)| *cows > 0).map_or(0, |(floor, _)| floor);
    // Where most have none, each of the others has her own.
    let shared = count_of(floors, of_plan) >= without;
    let of_plan = if shared { of_plan } else { 0 };
    for (cow, floor) in cows.iter_mut().zip(floors) {
        cow.particulars = cow.particulars.with_floor(match floor {
            Some(floor) if *floor == of_plan => Floor::OfPlan,
            Some(floor) => Floor::HalfMm(*floor),
            None if of_plan == 0 => Floor::OfPlan,
            None => Floor::None,
        });
    }
    of_plan
}

fn count_of(floors: &[Option<u8>], floor: u8) -> usize {
    floors.iter().filter(|one| **one == Some(floor)).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_kit::{EIGHT, LH, LH_IN, LH_OUT, RH_OUT, Story, take_in, two_farms};
    use hornrule_protocol::{Foot, HerdNumber, Side};

    const DAY_MS: i64 = 86_400_000;

    /// What is known of cow 312 so many days after the story.
    fn known(days: i32, tell: impl FnOnce(&mut Story)) -> Particulars {
        let (mut database, _) = two_farms();
        let mut story = Story::at_work();
        tell(story.cow(312));
        take_in(&mut database, &story);
        let listed = database.herds().unwrap().remove(0);
        let first = Day(i32::try_from(EIGHT / DAY_MS).unwrap());
        let all = of_herd(&database, &listed, Day(first.0 + days)).unwrap();
        all.get(&AnimalId(312)).copied().unwrap_or_default()
    }

    #[test]
    fn what_is_open_is_asked_after_and_shapes_are_not() {
        let outer = Claw { foot: Foot::LeftHind, side: Side::Lateral };
        let ulcer = Particulars::NONE.with_lesion_of_claw(outer).with_growth(16);
        assert_eq!(
            known(14, |story| {
                story.find(13, 2, LH_OUT);
            }),
            ulcer
        );
        // Found today it is not from before; out of sight nobody asks.
        assert_eq!(
            known(0, |story| {
                story.find(13, 2, LH_OUT);
            }),
            Particulars::NONE
        );
        assert_eq!(
            known(61, |story| {
                story.find(13, 2, LH_OUT);
            }),
            Particulars::NONE
        );
        assert_eq!(
            known(14, |story| {
                story.find(13, 2, LH_OUT).act(50, LH_OUT);
            }),
            { Particulars::NONE }
        );
        let skin = Particulars::NONE.with_lesion_of_foot(Foot::LeftHind);
        assert_eq!(
            known(14, |story| {
                story.find(31, 2, LH);
            }),
            skin
        );
        for (code, place) in [(18, LH_OUT), (52, LH_OUT), (54, LH_OUT), (51, LH), (53, LH)] {
            assert_eq!(
                known(14, |story| {
                    story.find(code, 1, place);
                }),
                Particulars::NONE
            );
        }
    }

    /// 3.175 mm in 14 days, 6.35 in 28: 15.9 and 31.75 fifths, rounded up.
    #[test]
    fn horn_may_regrow_since_it_was_opened_and_on_the_claw_with_most_time() {
        let growth = |days, tell: &dyn Fn(&mut Story)| {
            known(days, |story| tell(story)).growth().map(|most| most.0 / FIFTH_NM)
        };
        let one = |story: &mut Story| {
            story.find(13, 2, LH_OUT);
        };
        assert_eq!(growth(14, &one), Some(16));
        assert_eq!(growth(28, &one), Some(32));
        let later = |story: &mut Story| {
            story.find(13, 2, LH_OUT);
            story.start().clock(EIGHT + 14 * DAY_MS).visit(1).cow(312).act(31, LH_OUT);
        };
        assert_eq!(growth(28, &later), Some(16));
        let another = |story: &mut Story| {
            story.find(13, 2, RH_OUT);
            later(story);
        };
        assert_eq!(growth(28, &another), Some(32));
        assert_eq!(
            growth(28, &|story| {
                story.act(31, LH_IN);
            }),
            None,
            "no lesion"
        );
    }

    #[test]
    fn the_floor_of_most_is_the_plans_and_heifers_have_none() {
        let cow = |number| PlannedCow {
            farm: 1,
            number: HerdNumber::new(number),
            tag: None,
            name: None,
            needs: hornrule_protocol::plan::Needs::NONE,
            particulars: Particulars::NONE,
            overdue: 0,
        };
        let shared_of = |floors: &[Option<u8>]| {
            let mut cows: Vec<PlannedCow> = (1..).take(floors.len()).map(cow).collect();
            let of_plan = shared(&mut cows, floors);
            for (cow, floor) in cows.iter().zip(floors) {
                let length = cow.particulars.floor().length(of_plan);
                let expected = floor.map(|floor| Nanometres(i32::from(floor) * HALF_MM_NM));
                assert_eq!(length, expected, "{floors:?}");
            }
            let own = cows.iter().filter(|cow| !cow.particulars.is_none()).count();
            (of_plan, own)
        };
        assert_eq!(shared_of(&[]), (0, 0));
        assert_eq!(shared_of(&[None, None, Some(150)]), (0, 1));
        assert_eq!(shared_of(&[Some(150), Some(150), None, Some(160)]), (150, 2));
        assert_eq!(shared_of(&[Some(160), Some(150)]), (150, 1), "the shorter of two");
    }
}
