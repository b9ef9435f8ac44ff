//! Promise P6: what is brought in pull by pull is what a rebuild from nothing gives; and P4: in
//! whatever order and how often.

use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{Place, Seq};
use proptest::prelude::*;

use super::decide::Signature;
use super::{decide, rebuild, run, take_back};
use crate::farms::{begin_at, keep_plan, two_farms};
use hornrule_facts::Batch;
use hornrule_facts::{AnimalId, Day, HerdId};
use hornrule_facts::{Field, Verdict};
use hornrule_herd::inbox::Anchor;
use hornrule_herd::{Database, DatabaseError};
use hornrule_kit::{DEVICE, EIGHT, Inspect, LH_IN, LH_OUT, LOG, RH_OUT, Story};

#[derive(Clone, Debug)]
enum Step {
    Start,
    Clock,
    /// The office's clock is off by this many hours.
    WrongClock(i64),
    Visit(u8),
    /// A plan of both farms, of one, or of another office.
    Plan(u32),
    Cow(u32),
    Left,
    Clip(u8, i32, usize, bool),
    Find(u8, usize),
    Act(usize, usize),
    Undo(u32),
    Full,
    Damage,
    Lose(u32),
    Wait(u64),
    /// An uptime that no handheld reaches.
    Nonsense,
}

const PLACES: [Place; 4] = [LH_OUT, LH_IN, RH_OUT, Place::Cow];
const ACTIONS: [u8; 4] = [10, 30, 50, 81];

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        2 => Just(Step::Start),
        1 => Just(Step::Clock),
        1 => (-30..30i64).prop_map(Step::WrongClock),
        1 => (1..4u8).prop_map(Step::Visit),
        1 => (1..5u32).prop_map(Step::Plan),
        5 => (310..316u32).prop_map(Step::Cow),
        1 => Just(Step::Left),
        4 => (0..3u8, 0..25_000i32, 0..4usize, any::<bool>())
            .prop_map(|(which, length, place, inch)| Step::Clip(which, length, place, inch)),
        4 => (0..5u8, 0..4usize).prop_map(|(grade, place)| Step::Find(grade, place)),
        4 => (0..4usize, 0..4usize).prop_map(|(action, place)| Step::Act(action, place)),
        3 => (0..6u32).prop_map(Step::Undo),
        1 => Just(Step::Full),
        1 => Just(Step::Damage),
        1 => (1..4u32).prop_map(Step::Lose),
        1 => (0..20_000_000u64).prop_map(Step::Wait),
        1 => Just(Step::Nonsense),
    ]
}

fn tell(steps: &[Step]) -> Story {
    let mut story = Story::of(DEVICE);
    story.start();
    for step in steps {
        match step {
            Step::Start => story.start(),
            Step::Clock => {
                let (boot, uptime) = *story.times.last().unwrap();
                story.clock(wall(boot.0, uptime.0) + 700)
            }
            Step::WrongClock(hours) => {
                let (boot, uptime) = *story.times.last().unwrap();
                story.clock(wall(boot.0, uptime.0) + hours * 3_600_000)
            }
            Step::Visit(farm) => story.visit(*farm),
            Step::Plan(name) => story.plan(*name),
            Step::Cow(number) => story.cow(*number),
            Step::Left => story.left(),
            Step::Clip(dimension, hundredths, place, inch) => {
                let unit = if *inch { UnitMode::Inch } else { UnitMode::Millimetre };
                story.clip(*dimension, hundredths * 10_000, PLACES[*place], unit)
            }
            Step::Find(grade, place) => story.find(13, *grade, PLACES[*place]),
            Step::Act(action, place) => story.act(ACTIONS[*action], PLACES[*place]),
            Step::Undo(back) => story.undo(*back),
            Step::Full => story.full(3),
            Step::Damage => story.damage(),
            Step::Lose(count) => story.lose(*count),
            Step::Wait(ms) => story.wait(*ms),
            Step::Nonsense => story.nonsense_uptime(),
        };
    }
    story
}

/// The true wall clock of these stories: a boot every ten hours.
fn wall(boot: u16, uptime: u64) -> i64 {
    EIGHT + i64::from(boot) * 36_000_000 + uptime.cast_signed()
}

/// What is decided between two pulls: on which record, and what.
fn verdict() -> impl Strategy<Value = Verdict> {
    prop_oneof![
        Just(Verdict::Accept),
        Just(Verdict::Discard),
        (310..316i64).prop_map(|cow| Verdict::Reassign(AnimalId(cow))),
        (310..316i64).prop_map(|cow| Verdict::Correct(Field::Cow, cow)),
        (1..4i64).prop_map(|farm| Verdict::Correct(Field::Farm, farm)),
        (0..4i64).prop_map(|grade| Verdict::Correct(Field::Grade, grade)),
        (1..3i64).prop_map(|herd| Verdict::At(HerdId(herd))),
        prop::sample::select(vec![255i64, 2, 6, 10, 7])
            .prop_map(|place| Verdict::Correct(Field::Place, place)),
        (0..250i64).prop_map(|mm| Verdict::Correct(Field::Length, mm * 1_000_000)),
        (1..6i64).prop_map(Verdict::TakeBack),
    ]
}

/// Decides in a database that is brought up step by step, and only writes down in the other one
/// what the first one took.
fn decide_in_both(bit_by_bit: &mut Database, whole: &mut Database, seq: Seq, verdict: Verdict) {
    let who = Signature { who: "Anna".to_owned(), at_ms: EIGHT, why: "asked".to_owned() };
    let kept = match verdict {
        Verdict::TakeBack(decision) => take_back(bit_by_bit, &who, &[decision]),
        _ => decide(bit_by_bit, &who, &[((DEVICE, LOG, seq), verdict)]),
    };
    let Ok(kept) = kept else { return };
    let all = bit_by_bit.decisions().unwrap();
    let new = all.iter().find(|one| one.decision == kept.decisions[0]).unwrap().clone();
    whole.write::<_, DatabaseError>(|rows| rows.insert_decision(&new)).unwrap();
}

/// The story cut into batches, each with an anchor or none.
fn pulls(story: &Story, cuts: &[(usize, bool)]) -> Vec<(Batch, Option<Anchor>)> {
    let mut pulls = Vec::new();
    let (mut at, mut from) = (0, Seq::FIRST);
    for (size, anchored) in cuts.iter().copied().cycle() {
        let end = (at + size).min(story.sealed.len());
        if at == end {
            break;
        }
        let sealed = story.sealed[at..end].to_vec();
        let through = sealed.last().unwrap().seq();
        let (boot, uptime) = story.times[end - 1];
        let unix_ms = wall(boot.0, uptime.0);
        let anchor = Anchor { boot, uptime, unix_ms, round_trip_ms: 20 };
        pulls.push((
            Batch { device: DEVICE, log: LOG, from, through, sealed },
            anchored.then_some(anchor),
        ));
        (at, from) = (end, through.next());
    }
    pulls
}

/// Two farms and three plans, of which the second day's has their keys the other way round; and a key
/// that goes to the other farm on the third day.
fn with_plans() -> Database {
    let (mut herd, _) = two_farms();
    let (one, two, day) = (HerdId(1), HerdId(2), Day::from_date("2026-03-02".parse().unwrap()));
    keep_plan(&mut herd, 1, day, &[(1, one), (2, two)]);
    keep_plan(&mut herd, 2, day.plus(1), &[(1, two), (2, one)]);
    keep_plan(&mut herd, 3, day, &[(3, two)]);
    herd.write::<_, DatabaseError>(|rows| rows.give_key(two, Some(1), Some(day.plus(2)), day))
        .unwrap();
    herd
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn pull_by_pull_is_the_same_as_whole(
        steps in prop::collection::vec(step(), 1..60),
        cuts in prop::collection::vec((1..15usize, prop::bool::weighted(0.4)), 1..5),
        order in prop::collection::vec(any::<prop::sample::Index>(), 0..6),
        lazy in prop::collection::vec(any::<bool>(), 1..6),
        decisions in prop::collection::vec((0..12usize, any::<prop::sample::Index>(), verdict()), 0..12),
    ) {
        let story = tell(&steps);
        let mut pulls = pulls(&story, &cuts);
        // Some pulls come again, and some too early.
        for (i, index) in order.iter().enumerate() {
            let again = index.get(&pulls).clone();
            let place = (i * 3) % pulls.len();
            pulls.insert(place, again);
        }

        let (mut bit_by_bit, mut whole) = (with_plans(), with_plans());
        for (i, (batch, anchor)) in pulls.iter().enumerate() {
            for herd in [&mut bit_by_bit, &mut whole] {
                // Weeks later, a day apart: whether bits come first or last must not matter to
                // what a pull says of a boot's end.
                let day = i64::try_from(30 + i).unwrap() * 86_400_000;
                let pull = begin_at(herd, DEVICE, EIGHT + day);
                herd.store(pull, batch).unwrap();
                if let Some(anchor) = anchor {
                    herd.anchor(pull, DEVICE, LOG, anchor).unwrap();
                }
            }
            // Sometimes the pull is cut off before anything is brought in.
            if i + 1 == pulls.len() || lazy[i % lazy.len()] || anchor.is_some() {
                run(&mut bit_by_bit, DEVICE, LOG, batch.from).unwrap();
            }
            for (_, record, verdict) in decisions.iter().filter(|one| one.0 % pulls.len() == i) {
                let seq = record.get(&story.sealed).seq();
                decide_in_both(&mut bit_by_bit, &mut whole, seq, *verdict);
            }
        }
        run(&mut bit_by_bit, DEVICE, LOG, Seq::FIRST).unwrap();
        rebuild(&mut whole).unwrap();
        prop_assert_eq!(bit_by_bit.dump(), whole.dump());
        // And once more changes nothing.
        run(&mut bit_by_bit, DEVICE, LOG, Seq::FIRST).unwrap();
        prop_assert_eq!(bit_by_bit.dump(), whole.dump());
    }
}
