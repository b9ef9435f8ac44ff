//! One cow's days: what opens, what closes.

use hornrule_protocol::{Action, Claw, Lesion, Side};
use proptest::prelude::*;

use super::*;

const LH: Place = Place::Foot(Foot::LeftHind);
const RH: Place = Place::Foot(Foot::RightHind);
const OUT: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Lateral });
const IN: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Medial });

fn found(code: u8, grade: u8, place: Place) -> Told {
    let lesion = Lesion::from_code(code).unwrap();
    Told::Found(Finding { lesion, place, grade, zone: None })
}

fn did(code: u8, place: Place) -> Told {
    Told::Did(Done { action: Action::from_code(code).unwrap(), place, days: 0 })
}

fn again(days: u8, place: Place) -> Told {
    Told::Did(Done { action: Action::from_code(82).unwrap(), place, days })
}

/// Said day by day, then what is open: kind, place, day.
fn after(days: &[(i32, &[Told])]) -> Vec<(Kind, Place, i32)> {
    let told: Vec<(Day, Told)> =
        days.iter().flat_map(|(day, told)| told.iter().map(|one| (Day(*day), *one))).collect();
    open(&told, &DueRules::default()).iter().map(|one| (one.kind, one.place, one.day.0)).collect()
}

/// The same without the next trim.
fn feet(days: &[(i32, &[Told])]) -> Vec<(Kind, Place, i32)> {
    after(days).into_iter().filter(|one| one.0 != Kind::Trim).collect()
}

#[test]
fn a_treated_lesion_is_seen_in_14_days_and_its_block_comes_off_after_28() {
    let said = [found(13, 2, OUT), did(30, OUT), did(10, IN)];
    let all = [(Kind::Recheck, LH, 114), (Kind::BlockOff, IN, 128), (Kind::Trim, Place::Cow, 282)];
    assert_eq!(after(&[(100, &said)]), all);
    // The order within the day does not matter to the recheck.
    let turned = [did(10, IN), did(30, OUT), found(13, 2, OUT)];
    assert_eq!(after(&[(100, &turned)]), all);
}

#[test]
fn a_lesion_that_was_only_seen_and_a_block_that_fell_off_are_not_due() {
    assert_eq!(feet(&[(100, &[found(19, 1, OUT), did(30, OUT)])]), []);
    assert_eq!(feet(&[(100, &[did(10, OUT), did(42, OUT)])]), []);
}

#[test]
fn active_dermatitis_and_phlegmon_come_sooner() {
    for (grade, expected) in
        [(0, None), (1, Some(107)), (2, Some(107)), (3, None), (4, None), (5, Some(107))]
    {
        let first = feet(&[(100, &[found(31, grade, LH)])]).first().map(|one| one.2);
        assert_eq!(first, expected, "stage {grade}");
    }
    let both = [found(31, 2, LH), found(34, 2, LH)];
    assert_eq!(feet(&[(100, &both)]), [(Kind::Recheck, LH, 103)]);
}

#[test]
fn what_the_trimmer_keyed_wins() {
    let said = |place| [found(31, 2, LH), found(34, 1, RH), again(10, place)];
    let foot = [(Kind::Recheck, RH, 103), (Kind::Recheck, LH, 110)];
    assert_eq!(feet(&[(100, &said(LH))]), foot);
    assert_eq!(feet(&[(100, &said(Place::Cow))]), [(Kind::Recheck, Place::Cow, 110)]);
    // The last one counts.
    assert_eq!(feet(&[(100, &[again(10, LH), again(20, LH)])]), [(Kind::Recheck, LH, 120)]);
}

#[test]
fn a_block_stays_due_until_somebody_says_what_became_of_it() {
    let glued = (100, &[found(13, 2, OUT), did(10, IN)][..]);
    // Seen on at the recheck: still the same day.
    let still = (114, &[did(40, IN), did(51, OUT)][..]);
    let open = [(Kind::BlockOff, IN, 128), (Kind::Recheck, LH, 128)];
    let mut seen = feet(&[glued, still]);
    seen.sort_unstable();
    let mut expected = open.to_vec();
    expected.sort_unstable();
    assert_eq!(seen, expected);
    for code in [41, 42] {
        assert_eq!(feet(&[glued, (114, &[did(code, IN), did(50, OUT)])]), [], "{code}");
        // Said of the other claw it is about the other claw.
        let other = feet(&[glued, (114, &[did(code, OUT), did(50, OUT)])]);
        assert_eq!(other, [(Kind::BlockOff, IN, 128)], "{code}");
    }
    // A new block begins anew; a claw that is trimmed to form has none.
    let renewed = (114, &[did(42, IN), did(12, IN), did(50, OUT)][..]);
    assert_eq!(feet(&[glued, renewed]), [(Kind::BlockOff, IN, 142)]);
    assert_eq!(feet(&[glued, (200, &[did(30, IN)])]), []);
}

#[test]
fn a_foot_seen_again_is_rechecked_and_another_foot_is_not() {
    let treated = (100, &[found(13, 2, OUT), did(32, OUT)][..]);
    let due = [(Kind::Recheck, LH, 114)];
    assert_eq!(feet(&[treated]), due);
    assert_eq!(feet(&[treated, (110, &[found(0, 0, RH)])]), due);
    assert_eq!(feet(&[treated, (110, &[again(5, Place::Cow)])]).len(), 2);
    assert_eq!(feet(&[treated, (110, &[found(0, 0, IN)])]), []);
    assert_eq!(feet(&[treated, (110, &[did(50, OUT)])]), []);
    // Not healed: again in so many days.
    for code in [51, 52, 53] {
        assert_eq!(feet(&[treated, (110, &[did(code, OUT)])]), [(Kind::Recheck, LH, 124)]);
        assert_eq!(feet(&[treated, (110, &[did(code, OUT), did(50, OUT)])]), [], "healed wins");
    }
    // The same day does not close what it opened.
    assert_eq!(feet(&[(100, &[found(13, 2, OUT), did(32, OUT), did(40, IN)])]), due);
}

#[test]
fn a_wrap_comes_off_after_3_days_and_nobody_trims_through_it() {
    let wrapped = (100, &[did(21, LH)][..]);
    let due = [(Kind::WrapOff, LH, 103)];
    assert_eq!(feet(&[wrapped]), due);
    assert_eq!(feet(&[wrapped, (102, &[did(40, IN)])]), due, "a block is seen beside a wrap");
    for bare in [did(22, LH), did(20, LH), found(0, 0, OUT), did(30, IN), did(31, OUT)] {
        assert_eq!(feet(&[wrapped, (102, &[bare])]), [], "{bare:?}");
    }
    assert_eq!(feet(&[wrapped, (102, &[did(22, RH)])]), due);
    assert_eq!(feet(&[wrapped, (102, &[did(21, LH)])]), [(Kind::WrapOff, LH, 105)]);
}

#[test]
fn the_vet_is_asked_about_until_she_is_seen_again() {
    let now = (100, &[did(80, LH), did(81, LH)][..]);
    assert_eq!(feet(&[now]), [(Kind::Vet, LH, 101)]);
    assert_eq!(feet(&[(100, &[did(80, Place::Cow)])]), [(Kind::Vet, Place::Cow, 107)]);
    assert_eq!(feet(&[(100, &[found(16, 1, OUT)])]), [(Kind::Vet, OUT, 101)]);
    assert_eq!(feet(&[(100, &[found(61, 2, LH)])]), []);
    assert_eq!(feet(&[now, (104, &[found(0, 0, RH)])]), [(Kind::Vet, LH, 101)]);
    assert_eq!(feet(&[now, (104, &[did(33, LH)])]), []);
    assert_eq!(feet(&[(100, &[did(80, Place::Cow)]), (104, &[did(33, RH)])]), []);
}

#[test]
fn the_next_trim_counts_from_the_last_one() {
    let trimmed = [did(30, OUT)];
    let trim = |day| (day, &trimmed[..]);
    assert_eq!(after(&[trim(100)]), [(Kind::Trim, Place::Cow, 282)]);
    assert_eq!(after(&[trim(100), trim(250)]), [(Kind::Trim, Place::Cow, 432)]);
    assert_eq!(after(&[trim(100), (250, &[did(33, LH)])]), [(Kind::Trim, Place::Cow, 282)]);
}

#[test]
fn other_days_are_the_offices() {
    let told = [(Day(100), found(13, 2, OUT)), (Day(100), did(10, IN))];
    let rules = DueRules { recheck: 21, block_off: 35, ..DueRules::default() };
    let days: Vec<i32> = open(&told, &rules).iter().map(|one| one.day.0).collect();
    assert_eq!(days, [121, 135]);
}

/// Anything a trimmer can say of one hind foot and its claws, or of the cow.
fn said() -> impl Strategy<Value = Told> {
    let place = prop::sample::select(vec![LH, OUT, IN, RH, Place::Cow]);
    let action = prop::sample::select(Action::all().map(|one| one.code()).collect::<Vec<_>>());
    let lesion = prop::sample::select(Lesion::all().map(|one| one.code()).collect::<Vec<_>>());
    prop_oneof![
        (action, 0..60u8, place.clone()).prop_map(|(code, days, place)| {
            Told::Did(Done { action: Action::from_code(code).unwrap(), place, days })
        }),
        (lesion, 0..6u8, place).prop_map(|(code, grade, place)| found(code, grade, place)),
    ]
}

proptest! {
    /// Whatever was said: one need a kind and place, none before the day it comes from; a foot that
    /// was seen today has no older recheck; and after every foot is seen, healed, bare and without
    /// blocks, only the next trim is open.
    #[test]
    fn needs_are_single_and_everything_can_be_closed(
        days in prop::collection::vec(prop::collection::vec(said(), 0..6), 1..8),
    ) {
        let mut told: Vec<(Day, Told)> = Vec::new();
        for (day, said) in (0..).zip(&days) {
            told.extend(said.iter().map(|one| (Day(day * 10), *one)));
        }
        let rules = DueRules::default();
        let now = open(&told, &rules);
        let mut places: Vec<_> = now.iter().map(|one| (one.kind, one.place)).collect();
        places.sort_unstable();
        let count = places.len();
        places.dedup();
        prop_assert_eq!(places.len(), count, "one need a kind and place: {:?}", now);
        for one in &now {
            prop_assert!(one.since <= one.day);
            prop_assert!(told.iter().any(|(day, _)| *day == one.since));
            if one.kind == Kind::Recheck
                && let Some(foot) = one.place.foot()
            {
                let later = told.iter().any(|(day, told)| {
                    *day > one.since && told.place().foot() == Some(foot)
                });
                prop_assert!(!later, "{:?} was seen again", one);
            }
        }
        let end = Day(1000);
        for place in [OUT, IN, Place::Cow] {
            for code in [41, 22, 50] {
                told.push((end, did(code, place)));
            }
        }
        told.extend([(end, did(22, LH)), (end, did(22, RH)), (end, found(0, 0, RH))]);
        let place = [OUT, IN, LH, RH, Place::Cow];
        told.extend(place.map(|place| (end, did(41, place))));
        let left: Vec<Kind> = open(&told, &rules).iter().map(|one| one.kind).collect();
        prop_assert!(left.iter().all(|kind| *kind == Kind::Trim), "{:?}", left);
    }

    /// What is open at the end of a day does not depend on what comes later.
    #[test]
    fn one_more_silent_day_changes_nothing(
        days in prop::collection::vec(prop::collection::vec(said(), 1..6), 1..8),
    ) {
        let mut told: Vec<(Day, Told)> = Vec::new();
        for (day, said) in (0..).zip(&days) {
            told.extend(said.iter().map(|one| (Day(day), *one)));
        }
        let rules = DueRules::default();
        let whole = open(&told, &rules);
        // A recheck that is open comes from the last day on which its foot was seen; so dropping
        // all earlier days leaves it.
        let last = told.last().unwrap().0;
        let of_last: Vec<_> = told.iter().copied().filter(|(day, _)| *day == last).collect();
        let since_last = |open: Vec<Open>| -> Vec<Open> {
            open.into_iter().filter(|one| one.since == last && one.kind != Kind::Trim).collect()
        };
        prop_assert_eq!(since_last(whole), since_last(open(&of_last, &rules)));
    }
}
