//! What holds for every history.

use hornrule_facts::{AnimalId, Certainty, Clip, Day, Fact, HerdId, What, When};
use hornrule_protocol::record::{CalliperKind, Done, Finding, UnitMode};
use hornrule_protocol::{
    Action, Claw, DeviceId, Dimension, Foot, Lesion, LogId, Nanometres, Place, Seq, Side,
};
use proptest::prelude::*;

use super::{Case, Casebook, Class, End, State, is_lesion, seat_of};

const LH: Place = Place::Foot(Foot::LeftHind);
const RH: Place = Place::Foot(Foot::RightHind);
const OUT: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Lateral });
const IN: Place = Place::Claw(Claw { foot: Foot::LeftHind, side: Side::Medial });

/// Anything that can be said of a cow, at any of a few places.
fn what() -> impl Strategy<Value = What> {
    let place = prop::sample::select(vec![LH, OUT, IN, RH, Place::Cow]);
    let actions: Vec<u8> = Action::all().map(hornrule_protocol::codes::Code::code).collect();
    // Few lesions, so that the same one is found again.
    let lesion = prop::sample::select(vec![0u8, 11, 13, 16, 31, 61]);
    let reading = (prop::sample::select(vec![1u8, 8, 9]), 5..40i32, place.clone());
    prop_oneof![
        3 => (prop::sample::select(actions), place.clone()).prop_map(|(code, place)| {
            let action = Action::from_code(code).unwrap();
            What::Action(Done { action, place, days: 0 })
        }),
        3 => (lesion, 0..4u8, place.clone()).prop_map(|(code, grade, place)| {
            let lesion = Lesion::from_code(code).unwrap();
            What::Finding(Finding { lesion, place, grade, zone: None })
        }),
        2 => (50..54u8, place).prop_map(|(code, place)| {
            What::Action(Done { action: Action::from_code(code).unwrap(), place, days: 0 })
        }),
        1 => reading.prop_map(|(code, mm, _)| {
            What::Reading(Clip {
                length: Nanometres::from_mm(mm),
                dimension: Dimension::from_code(code).unwrap(),
                unit: UnitMode::Millimetre,
                kind: CalliperKind::Sync24,
                trimmed: false,
                gauge_ok: None,
            })
        }),
    ]
}

fn place_of(what: &What) -> Place {
    match what {
        What::Action(done) => done.place,
        What::Finding(finding) => finding.place,
        What::Reading(_) => OUT,
        What::Stay { .. } | What::Score { .. } => Place::Cow,
    }
}

/// Days apart by up to ten weeks, each with a few things said.
fn history() -> impl Strategy<Value = Vec<Fact>> {
    let day = (1..75i32, prop::collection::vec(what(), 1..5));
    prop::collection::vec(day, 1..9).prop_map(|days| {
        let (mut facts, mut day, mut seq) = (Vec::new(), 0, 0u32);
        for (apart, said) in days {
            day += apart;
            for what in said {
                seq += 1;
                facts.push(Fact {
                    key: (DeviceId(1), LogId(1), Seq(seq)),
                    herd: HerdId(1),
                    animal: Some(AnimalId(7)),
                    place: place_of(&what),
                    day: Day(day),
                    when: When {
                        at_ms: i64::from(day) * 86_400_000 + i64::from(seq),
                        uncertainty_ms: None,
                        certainty: Certainty::Anchored,
                    },
                    stay: None,
                    what,
                    whole: false,
                    doubted: false,
                });
            }
        }
        facts
    })
}

/// A case without what depends on which record of a day came first.
fn plain(case: &Case) -> Case {
    let mut plain = case.clone();
    plain.id = super::CaseId((DeviceId(0), LogId(0), Seq(0)));
    plain.sizes.clear();
    plain
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever the order in which facts come in, the book is the same.
    #[test]
    fn the_order_of_reading_does_not_matter(facts in history(), seed in any::<u64>()) {
        let mut mixed = facts.clone();
        let mut state = seed;
        for at in (1..mixed.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            mixed.swap(at, (state >> 33) as usize % (at + 1));
        }
        prop_assert_eq!(Casebook::of(&facts, &[]), Casebook::of(&mixed, &[]));
    }

    /// Whatever the order in which findings and outcomes of a day were keyed, the cases are the same.
    #[test]
    fn the_order_of_looks_within_a_day_does_not_matter(facts in history()) {
        let mut turned = facts.clone();
        for one in &mut turned {
            let start = i64::from(one.day.0) * 86_400_000;
            one.when.at_ms = start + 1_000_000 - (one.when.at_ms - start);
        }
        let plainly = |facts: &[Fact]| -> Vec<Case> {
            Casebook::of(facts, &[]).cases.iter().map(plain).collect()
        };
        prop_assert_eq!(plainly(&facts), plainly(&turned));
    }

    /// Every finding of a lesion is of exactly one case, which was there that day: none is lost.
    #[test]
    fn no_finding_is_lost(facts in history()) {
        let book = Casebook::of(&facts, &[]);
        for fact in &facts {
            let What::Finding(finding) = fact.what else { continue };
            if !is_lesion(&finding) {
                continue;
            }
            let of = |case: &&Case| {
                let spoken = case.found == fact.day
                    || case.looks.iter().any(|look| look.day == fact.day)
                    || case.healed() == Some(fact.day);
                case.place == seat_of(&finding) && case.lesion == finding.lesion && spoken
            };
            prop_assert_eq!(book.cases.iter().filter(of).count(), 1, "{:?}", fact);
        }
        let mut ids: Vec<_> = book.cases.iter().map(|case| case.id).collect();
        ids.sort_unstable();
        ids.dedup();
        prop_assert_eq!(ids.len(), book.cases.len(), "no record opens two cases");
    }

    /// A case closes by a word that says so, on the day it was said, or because it was found again after
    /// sixty days of silence; nothing else closes one.
    #[test]
    fn a_case_closes_by_a_word_or_by_the_time_rule(facts in history()) {
        let book = Casebook::of(&facts, &[]);
        for case in &book.cases {
            let Some(ended) = case.ended else { continue };
            if ended.how == End::OutOfSight {
                prop_assert!(ended.day.0 - case.last_word().0 > super::FORGOTTEN_DAYS);
                let next = |other: &&Case| {
                    (other.place, other.found) == (case.place, ended.day)
                        && other.lesion == case.lesion
                        && other.again
                };
                prop_assert_eq!(book.cases.iter().filter(next).count(), 1);
                continue;
            }
            let says_so = facts.iter().any(|fact| {
                fact.day == ended.day
                    && fact.place.foot() == case.place.foot()
                    && match fact.what {
                        What::Finding(finding) => !is_lesion(&finding),
                        What::Action(done) => done.action.code() == 50,
                        _ => false,
                    }
            });
            prop_assert!(says_so, "{:?}", case);
        }
    }

    /// What a case is on a day does not change with what is said later.
    #[test]
    fn the_past_stays(facts in history()) {
        let whole = Casebook::of(&facts, &[]);
        let days: Vec<Day> = facts.iter().map(|fact| fact.day).collect();
        for day in days {
            let until: Vec<Fact> = facts.iter().filter(|fact| fact.day <= day).copied().collect();
            let then = Casebook::of(&until, &[]);
            let states = |book: &Casebook| -> Vec<(super::CaseId, State, u8)> {
                book.cases
                    .iter()
                    .filter_map(|case| Some((case.id, case.state_on(day)?, case.grade_on(day))))
                    .collect()
            };
            prop_assert_eq!(states(&whole), states(&then));
            prop_assert_eq!(whole.class_on(day), then.class_on(day));
            // She was spoken of, so she is in a class that says so, or only put down for later.
            if whole.examined_on(day).is_none() {
                prop_assert!(matches!(whole.class_on(day), Class::NotExamined | Class::Open));
            }
        }
    }
}
