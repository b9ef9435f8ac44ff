//! One cow's days: what opens, what closes.

use hornrule_facts::{AnimalId, Certainty, Fact, HerdId, What, When};
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Action, Claw, DeviceId, Lesion, LogId, Seq, Side};
use proptest::prelude::*;

use super::*;

const LH: Place = Place::Foot(Foot::LeftHind);
const RH: Place = Place::Foot(Foot::RightHind);
const OUT: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Lateral });
const IN: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Medial });

fn found(code: u8, grade: u8, place: Place) -> What {
    let lesion = Lesion::from_code(code).unwrap();
    What::Finding(Finding { lesion, place, grade, zone: None })
}

fn did(code: u8, place: Place) -> What {
    What::Action(Done { action: Action::from_code(code).unwrap(), place, days: 0 })
}

fn again_in(days: u8, place: Place) -> What {
    What::Action(Done { action: Action::from_code(82).unwrap(), place, days })
}

/// What was said, as facts of one cow.
fn facts(days: &[(i32, &[What])]) -> Vec<Fact> {
    let mut seq = 0;
    let said = days.iter().flat_map(|(day, said)| said.iter().map(|what| (*day, *what)));
    said.map(|(day, what)| {
        seq += 1;
        let place = match what {
            What::Finding(finding) => finding.place,
            What::Action(done) => done.place,
            _ => Place::Cow,
        };
        let at_ms = i64::from(day) * 86_400_000 + i64::from(seq);
        Fact {
            key: (DeviceId(1), LogId(1), Seq(seq)),
            herd: HerdId(1),
            animal: Some(AnimalId(7)),
            place,
            day: Day(day),
            when: When { at_ms, uncertainty_ms: None, certainty: Certainty::Anchored },
            stay: None,
            what,
            whole: false,
            doubted: false,
        }
    })
    .collect()
}

/// What is open, with what the office was told.
fn told(days: &[(i32, &[What])], closings: &[Closing]) -> Vec<Open> {
    let book = Casebook::of(&facts(days), closings);
    open(&Asked { book: &book, closings, rules: &DueRules::default() })
}

/// Said day by day, then what is open: duty, place, day.
fn after(days: &[(i32, &[What])]) -> Vec<(Duty, Place, i32)> {
    told(days, &[]).iter().map(|one| (one.duty, one.place, one.day.0)).collect()
}

/// The same without the next trim.
fn feet(days: &[(i32, &[What])]) -> Vec<(Duty, Place, i32)> {
    after(days).into_iter().filter(|one| one.0 != Duty::Trim).collect()
}

fn done(duty: Duty, place: Place, day: i32) -> Closing {
    Closing {
        herd: HerdId(1),
        animal: AnimalId(7),
        place,
        what: Told::Done(duty),
        day: Day(day),
        who: "Anna".to_owned(),
        at_ms: 0,
        why: "the farmer rang".to_owned(),
    }
}

#[test]
fn a_treated_lesion_is_seen_in_14_days_and_its_block_comes_off_after_28() {
    let said = [found(13, 2, OUT), did(30, OUT), did(10, IN)];
    let all = [(Duty::Recheck, LH, 114), (Duty::BlockOff, IN, 128), (Duty::Trim, LH, 282)];
    assert_eq!(after(&[(100, &said)]), all);
    // The order within the day does not matter to the recheck.
    let turned = [did(10, IN), did(30, OUT), found(13, 2, OUT)];
    assert_eq!(after(&[(100, &turned)]), all);
    // The line names its case.
    let named = told(&[(100, &said)], &[]);
    // So does that of the block on its partner; the next trim is about none.
    assert_eq!(named.iter().map(|one| one.cases.len()).collect::<Vec<_>>(), [1, 1, 0]);
}

#[test]
fn a_lesion_that_was_only_seen_and_a_block_that_fell_off_are_not_due() {
    assert_eq!(feet(&[(100, &[found(19, 1, OUT), did(30, OUT)])]), []);
    assert_eq!(feet(&[(100, &[did(10, OUT), did(42, OUT)])]), []);
    // But an ulcer is seen again whether anything was done or not.
    assert_eq!(feet(&[(100, &[found(13, 1, OUT)])]), [(Duty::Recheck, LH, 114)]);
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
    // Phlegmon is the vet's as well, by the same day.
    assert_eq!(feet(&[(100, &both)]), [(Duty::Vet, LH, 103), (Duty::Recheck, LH, 103)]);
}

#[test]
fn what_the_trimmer_keyed_wins_but_never_puts_off_a_lesion_that_is_always_seen() {
    let said = |place| [found(12, 2, LH), did(31, OUT), found(34, 1, RH), again_in(10, place)];
    let foot = [(Duty::Vet, RH, 103), (Duty::Recheck, RH, 103), (Duty::Recheck, LH, 110)];
    assert_eq!(feet(&[(100, &said(LH))]), foot);
    // For the cow it speaks of all her cases; phlegmon is sooner all the same.
    assert_eq!(feet(&[(100, &said(Place::Cow))]), foot);
    let later = [found(12, 2, OUT), did(31, OUT), again_in(30, LH)];
    assert_eq!(feet(&[(100, &later)]), [(Duty::Recheck, LH, 130)]);
    let ulcer = [found(13, 2, OUT), did(31, OUT), again_in(30, LH)];
    assert_eq!(feet(&[(100, &ulcer)]), [(Duty::Recheck, LH, 114)]);
    // The last one counts; without a case it is the foot's, until somebody examines it.
    let twice = (100, &[again_in(10, LH), again_in(20, LH)][..]);
    assert_eq!(feet(&[twice]), [(Duty::Recheck, LH, 120)]);
    assert_eq!(feet(&[twice, (110, &[did(33, RH)])]), [(Duty::Recheck, LH, 120)]);
    assert_eq!(feet(&[twice, (110, &[did(33, LH)])]), []);
}

#[test]
fn a_block_stays_due_until_somebody_says_what_became_of_it() {
    let glued = (100, &[found(13, 2, OUT), did(10, IN)][..]);
    // Seen on at the recheck: still the same day.
    let still = (114, &[did(40, IN), did(51, OUT)][..]);
    let mut seen = feet(&[glued, still]);
    seen.sort_unstable();
    assert_eq!(seen, [(Duty::Recheck, LH, 128), (Duty::BlockOff, IN, 128)]);
    for code in [41, 42] {
        assert_eq!(feet(&[glued, (114, &[did(code, IN), did(50, OUT)])]), [], "{code}");
        // Said of the other claw it is about the other claw.
        let other = feet(&[glued, (114, &[did(code, OUT), did(50, OUT)])]);
        assert_eq!(other, [(Duty::BlockOff, IN, 128)], "{code}");
    }
    // A new block begins anew; a claw that is trimmed to form has none, but its neighbour's ulcer,
    // of which nobody spoke, is still to be seen.
    let renewed = (114, &[did(42, IN), did(12, IN), did(50, OUT)][..]);
    assert_eq!(feet(&[glued, renewed]), [(Duty::BlockOff, IN, 142)]);
    assert_eq!(feet(&[glued, (200, &[did(30, IN)])]), [(Duty::Recheck, LH, 114)]);
    // One that was glued before the records began counts from the day it was seen.
    assert_eq!(feet(&[(100, &[did(40, IN)])]), [(Duty::BlockOff, IN, 128)]);
}

#[test]
fn a_case_is_due_until_it_is_healed_and_other_words_of_the_foot_do_not_end_that() {
    let treated = (100, &[found(13, 2, OUT), did(32, OUT)][..]);
    let due = [(Duty::Recheck, LH, 114)];
    assert_eq!(feet(&[treated]), due);
    for word in
        [found(0, 0, RH), found(0, 0, IN), did(33, LH), did(30, OUT), again_in(5, Place::Cow)]
    {
        assert_eq!(feet(&[treated, (110, &[word])]), due, "{word:?}");
    }
    for word in [did(50, OUT), found(0, 0, OUT), found(0, 0, LH)] {
        assert_eq!(feet(&[treated, (110, &[word])]), [], "{word:?}");
    }
    // Not healed: again in so many days; and "healed" against it leaves it open.
    for code in [51, 52, 53] {
        let later = [(Duty::Recheck, LH, 124)];
        assert_eq!(feet(&[treated, (110, &[did(code, OUT)])]), later);
        assert_eq!(feet(&[treated, (110, &[did(code, OUT), did(50, OUT)])]), later);
    }
    // Silence, however long, ends nothing.
    assert_eq!(
        feet(&[
            treated,
            (900, &[did(30, Place::Claw(Claw { foot: Foot::LeftFore, side: Side::Medial }))])
        ]),
        due
    );
}

#[test]
fn a_wrap_comes_off_after_3_days_and_nobody_trims_through_it() {
    let wrapped = (100, &[did(21, LH)][..]);
    let due = [(Duty::WrapOff, LH, 103)];
    assert_eq!(feet(&[wrapped]), due);
    for bare in [did(22, LH), did(20, LH), found(0, 0, OUT), did(30, IN), did(31, OUT)] {
        assert_eq!(feet(&[wrapped, (102, &[bare])]), [], "{bare:?}");
    }
    assert_eq!(feet(&[wrapped, (102, &[did(22, RH)])]), due);
    assert_eq!(feet(&[wrapped, (102, &[did(21, LH)])]), [(Duty::WrapOff, LH, 105)]);
}

#[test]
fn the_vet_is_asked_about_until_the_vet_has_answered() {
    // To be seen and to come now are two referrals.
    let both = [(Duty::Vet, LH, 101), (Duty::Vet, LH, 107)];
    assert_eq!(feet(&[(100, &[did(80, LH), did(81, LH)])]), both);
    let now = (100, &[did(81, LH)][..]);
    let due = [(Duty::Vet, LH, 101)];
    assert_eq!(feet(&[now]), due);
    assert_eq!(feet(&[(100, &[did(80, Place::Cow)])]), [(Duty::Vet, Place::Cow, 107)]);
    let toe = [(Duty::Vet, OUT, 101), (Duty::Recheck, LH, 114)];
    assert_eq!(feet(&[(100, &[found(16, 1, OUT)])]), toe);
    assert_eq!(feet(&[(100, &[found(61, 2, LH)])]), []);
    for word in [found(0, 0, RH), found(0, 0, LH), did(33, LH), did(50, OUT), did(53, OUT)] {
        assert_eq!(feet(&[now, (104, &[word])]), due, "{word:?}");
    }
    let answered = |place, day| -> usize { told(&[now], &[done(Duty::Vet, place, day)]).len() };
    assert_eq!((answered(LH, 104), answered(Place::Cow, 104)), (0, 0));
    // Another foot's answer, and one from before she was referred, are none.
    assert_eq!((answered(RH, 104), answered(LH, 99)), (1, 1));
    // Raised again after the answer it is open again.
    let later = told(&[now, (120, &[did(81, LH)])], &[done(Duty::Vet, LH, 104)]);
    assert_eq!(later.iter().map(|one| one.day.0).collect::<Vec<_>>(), [121]);
}

fn scored(scale: u8, value: u8) -> What {
    What::Score { scale: hornrule_protocol::Scale::from_code(scale).unwrap(), value }
}

/// What opens a duty of the vet, where, and in how many days it is to be answered.
#[test]
fn each_sign_that_is_the_vets_opens_a_duty_of_the_vet() {
    let signs: [(&[What], Place, i32); 10] = [
        (&[did(81, LH)], LH, 1),
        (&[did(80, LH)], LH, 7),
        (&[found(16, 1, OUT)], OUT, 1),
        (&[found(61, 3, LH)], LH, 1),
        (&[found(62, 0, OUT)], OUT, 1),
        (&[found(63, 0, OUT)], OUT, 1),
        (&[found(34, 1, LH)], LH, 3),
        (&[scored(1, 5)], Place::Cow, 1),
        (&[scored(2, 3)], Place::Cow, 1),
        (&[found(13, 3, OUT), did(53, OUT)], OUT, 7),
    ];
    let vet = |said: &[What]| -> Vec<(Place, i32)> {
        let vet = feet(&[(100, said)]).into_iter().filter(|one| one.0 == Duty::Vet);
        vet.map(|one| (one.1, one.2 - 100)).collect()
    };
    for (said, place, days) in signs {
        assert_eq!(vet(said), [(place, days)], "{said:?}");
    }
    for said in [found(61, 2, LH), found(13, 3, OUT), scored(1, 4), scored(2, 2), scored(3, 4)] {
        assert_eq!(vet(&[said]), [], "{said:?}");
    }
    // Worse: once where it is not severe is not enough, twice is; better in between takes nothing back.
    let slight = (100, &[found(11, 1, OUT), did(53, OUT)][..]);
    let better = (110, &[did(51, OUT)][..]);
    let worse = (120, &[did(53, OUT)][..]);
    let of = |days: &[(i32, &[What])]| feet(days).iter().filter(|one| one.0 == Duty::Vet).count();
    assert_eq!((of(&[slight, better]), of(&[slight, better, worse])), (0, 1));
}

/// Only an answer ends it: at the chute or in the office. What is said meanwhile raises it again, and the
/// day stays the first.
#[test]
fn a_duty_of_the_vet_waits_for_an_answer_and_for_nothing_else() {
    let necrosis = (100, &[found(16, 1, OUT)][..]);
    let vet = |days: &[(i32, &[What])]| -> Vec<(Place, i32)> {
        let vet = feet(days).into_iter().filter(|one| one.0 == Duty::Vet);
        vet.map(|one| (one.1, one.2)).collect()
    };
    for word in
        [did(50, OUT), did(51, OUT), did(52, OUT), did(53, OUT), did(33, LH), found(0, 0, LH)]
    {
        assert_eq!(vet(&[necrosis, (110, &[word])]), [(OUT, 101)], "{word:?}");
    }
    for here in [LH, Place::Cow] {
        assert_eq!(vet(&[necrosis, (110, &[did(83, here)])]), [], "{here:?}");
    }
    assert_eq!(vet(&[necrosis, (110, &[did(83, RH)])]), [(OUT, 101)]);
    // In the order of time: what is found after she was seen is another matter.
    let seen_first = (110, &[did(83, LH), found(16, 1, OUT)][..]);
    assert_eq!(vet(&[necrosis, seen_first]), [(OUT, 111)]);
    let seen_last = (110, &[found(16, 1, OUT), did(83, LH)][..]);
    assert_eq!(vet(&[necrosis, seen_last]), []);
    // The earliest of the days that what raised it gives.
    let sooner = (102, &[found(34, 1, LH)][..]);
    assert_eq!(vet(&[(100, &[did(80, LH)]), sooner]), [(LH, 105)]);
    assert_eq!(vet(&[(100, &[did(80, LH)]), (106, &[found(34, 1, LH)])]), [(LH, 107)]);
    // A keyed interval is not an answer, nor does it put anything off.
    assert_eq!(vet(&[necrosis, (110, &[again_in(30, Place::Cow)])]), [(OUT, 101)]);
}

#[test]
fn what_is_left_to_the_office_waits_for_the_office() {
    let asked = (100, &[did(90, Place::Cow)][..]);
    let due = [(Duty::Office, Place::Cow, 101)];
    assert_eq!(feet(&[asked, (120, &[did(90, Place::Cow), did(33, LH)])]), due);
    assert_eq!(told(&[asked], &[done(Duty::Office, Place::Cow, 100)]), vec![]);
    assert_eq!(told(&[asked], &[done(Duty::Recheck, Place::Cow, 100)]).len(), 1);
}

#[test]
fn windows_are_the_rules_and_what_is_on_past_its_window_does_harm() {
    let said = [found(13, 2, OUT), found(31, 2, RH), did(10, IN), did(21, LH), did(80, LH)];
    let book = Casebook::of(&facts(&[(100, &said)]), &[]);
    let rules = DueRules::default();
    let needs: Vec<Need> = open(&Asked { book: &book, closings: &[], rules: &rules })
        .into_iter()
        .map(|one| one.of(&book, (HerdId(1), AnimalId(7))))
        .collect();
    let window = |duty, place| {
        let need = needs.iter().find(|need| (need.duty, need.place) == (duty, place)).unwrap();
        (need.window.first.0, need.day.0, need.window.last.0)
    };
    assert_eq!(window(Duty::Recheck, LH), (111, 114, 117));
    assert_eq!(window(Duty::Recheck, RH), (104, 107, 107), "dermatitis waits for nothing");
    assert_eq!(window(Duty::BlockOff, IN), (128, 128, 142));
    assert_eq!(window(Duty::WrapOff, LH), (103, 103, 105));
    assert_eq!(window(Duty::Vet, LH), (107, 107, 107));
    let late = |on| -> Vec<(Duty, u32, Option<u32>)> {
        let late = needs.iter().filter(|need| need.overdue(Day(on)) > 0);
        late.map(|need| (need.duty, need.overdue(Day(on)), need.harm(Day(on)))).collect()
    };
    assert_eq!(late(105), [(Duty::WrapOff, 2, None)]);
    assert_eq!(late(106), [(Duty::WrapOff, 3, Some(1))]);
    let block = late(145).into_iter().find(|one| one.0 == Duty::BlockOff).unwrap();
    assert_eq!(block, (Duty::BlockOff, 17, Some(3)));
}

#[test]
fn the_office_ends_what_the_chute_never_heard_of() {
    let said = (100, &[found(13, 2, OUT), did(10, IN), did(21, LH), did(30, OUT)][..]);
    let all = [Duty::Recheck, Duty::BlockOff, Duty::WrapOff, Duty::Trim];
    for duty in all {
        let left = told(&[said], &[done(duty, Place::Cow, 110)]);
        let left: Vec<Duty> = left.iter().map(|one| one.duty).collect();
        assert!(!left.contains(&duty) && left.len() == all.len() - 1, "{duty:?}: {left:?}");
    }
    // What comes up later is due anew, also where something older was done with.
    let later = (120, &[did(52, OUT)][..]);
    let left = told(&[said, later], &[done(Duty::Recheck, LH, 110)]);
    assert!(left.iter().any(|one| (one.duty, one.day.0) == (Duty::Recheck, 134)), "{left:?}");
    let skin = (120, &[found(31, 2, LH)][..]);
    let left = told(&[(100, &[found(13, 2, OUT)]), skin], &[done(Duty::Recheck, LH, 110)]);
    assert_eq!(left.iter().map(|one| one.day.0).collect::<Vec<_>>(), [127]);
    // A block seen on after the office was told that it is off is on.
    let seen = (120, &[did(40, IN)][..]);
    let left = told(&[said, seen], &[done(Duty::BlockOff, Place::Cow, 110)]);
    assert!(left.iter().any(|one| (one.duty, one.day.0) == (Duty::BlockOff, 148)), "{left:?}");
}

#[test]
fn what_was_said_on_the_first_day_counts_as_on_any_other() {
    // Treated when found, only looked at since.
    let found_and_done = (100, &[found(31, 4, LH), did(61, LH)][..]);
    let again = (114, &[found(31, 4, LH)][..]);
    assert_eq!(feet(&[found_and_done, again]), [(Duty::Recheck, LH, 128)]);
    // Worse on the day it was found.
    assert_eq!(feet(&[(100, &[found(11, 1, OUT), did(53, OUT)])]), [(Duty::Recheck, LH, 114)]);
    // Healed, and still to be seen again.
    let healed = (100, &[found(11, 1, OUT), did(50, OUT), again_in(20, LH)][..]);
    assert_eq!(feet(&[healed]), [(Duty::Recheck, LH, 120)]);
}

#[test]
fn a_foot_is_due_to_be_trimmed_when_the_first_of_its_claws_is() {
    let whole = [did(30, OUT), did(30, IN)];
    let trim = |day| (day, &whole[..]);
    assert_eq!(after(&[trim(100)]), [(Duty::Trim, LH, 282)]);
    assert_eq!(after(&[trim(100), trim(250)]), [(Duty::Trim, LH, 432)]);
    // One curative cut does not put off the other claw.
    assert_eq!(after(&[trim(100), (250, &[did(30, OUT)])]), [(Duty::Trim, LH, 282)]);
    // What the office was told of a foot is not said of the others of that day.
    let feet_of = |closings: &[Closing]| -> Vec<(Place, i32)> {
        let other = Place::Claw(Claw { foot: Foot::RightHind, side: Side::Medial });
        let said = (100, &[did(30, OUT), did(30, IN), did(30, other)][..]);
        told(&[said], closings).iter().map(|one| (one.place, one.day.0)).collect()
    };
    assert_eq!(feet_of(&[]), [(Place::Cow, 282)], "feet of one day are one line");
    assert_eq!(feet_of(&[done(Duty::Trim, RH, 200)]), [(LH, 282)]);
    let fore = Place::Claw(Claw { foot: Foot::LeftFore, side: Side::Medial });
    let feet = [(Duty::Trim, LH, 282), (Duty::Trim, Place::Foot(Foot::LeftFore), 432)];
    assert_eq!(after(&[trim(100), (250, &[did(30, fore)])]), feet);
}

#[test]
fn other_days_are_the_offices() {
    let facts = facts(&[(100, &[found(13, 2, OUT), did(10, IN)])]);
    let rules = DueRules { recheck: 21, block_off: 35, ..DueRules::default() };
    let book = Casebook::of(&facts, &[]);
    let open = open(&Asked { book: &book, closings: &[], rules: &rules });
    assert_eq!(open.iter().map(|one| one.day.0).collect::<Vec<_>>(), [121, 135]);
}

/// Anything a trimmer can say of one hind foot and its claws, or of the cow.
fn said() -> impl Strategy<Value = What> {
    let place = prop::sample::select(vec![LH, OUT, IN, RH, Place::Cow]);
    let action = prop::sample::select(Action::all().map(|one| one.code()).collect::<Vec<_>>());
    let lesion = prop::sample::select(Lesion::all().map(|one| one.code()).collect::<Vec<_>>());
    prop_oneof![
        (action, 0..60u8, place.clone()).prop_map(|(code, days, place)| {
            What::Action(Done { action: Action::from_code(code).unwrap(), place, days })
        }),
        (lesion, 0..6u8, place).prop_map(|(code, grade, place)| found(code, grade, place)),
    ]
}

proptest! {
    /// Whatever was said: one line a duty, place and day, none before the day it comes from, each recheck of
    /// a foot about its open cases; and what the office says is done is gone, all of it.
    #[test]
    fn needs_are_single_and_the_office_can_end_them_all(
        days in prop::collection::vec(prop::collection::vec(said(), 0..6), 1..8),
    ) {
        let days: Vec<(i32, &[What])> =
            (0..).zip(&days).map(|(day, said)| (day * 10, said.as_slice())).collect();
        let now = told(&days, &[]);
        let mut places: Vec<_> = now.iter().map(|one| (one.duty, one.place, one.day)).collect();
        places.sort_unstable();
        let count = places.len();
        places.dedup();
        prop_assert_eq!(places.len(), count, "one line a duty, place and day: {:?}", now);
        let book = Casebook::of(&facts(&days), &[]);
        for one in &now {
            prop_assert!(one.since <= one.day);
            for at in &one.cases {
                let case = &book.cases[*at];
                prop_assert!(case.ended.is_none() || one.duty == Duty::Vet);
                let foot = case.place.foot().map_or(Place::Cow, Place::Foot);
                let whole = one.place.foot().map_or(Place::Cow, Place::Foot);
                prop_assert!(foot == whole || one.place == Place::Cow);
            }
        }
        let all: Vec<Closing> =
            Duty::ALL.map(|duty| done(duty, Place::Cow, 1000)).into_iter().collect();
        prop_assert_eq!(told(&days, &all), vec![]);
    }
}
