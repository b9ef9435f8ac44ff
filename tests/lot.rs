//! A draw of trial ways end to end: drawn in the office, told at the chute, sealed, pulled, counted.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_facts::Day;
use hornrule_facts::lot::{Design, Unit, claw_at};
use hornrule_questions::evidence::{self, Adherence, Bands};
use hornrule_questions::lot::{SIZES, Signed, close, draw, proof};
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{handheld, herd_at, memory_folder, pull, tell};

const STORY: &str = include_str!("stories/drawn.story");
const SEED: &str = "six dice: 3 1 6 2 2 5";
/// 3 March 2026.
const DAY: Day = Day(20_515);

fn signed(day: Day) -> Signed {
    Signed { day, who: "Anna".to_owned(), at_ms: 1, why: "does sanding pay?".to_owned() }
}

/// `1:27=way-2-LF-outer,...`, as the story's plan has a cow.
fn in_words(cow: i64, ways: [u8; 8]) -> String {
    let word = |(place, way): (usize, u8)| {
        let claw = claw_at(place).unwrap();
        format!("way-{way}-{}-{}", claw.foot.letters(), claw.side.common_name())
    };
    let words: Vec<String> = ways.into_iter().enumerate().map(word).collect();
    format!("1:{cow}={}", words.join(","))
}

#[test]
fn what_was_drawn_is_told_glued_pulled_and_counted() {
    let folder = memory_folder();
    let mut herd = herd_at(&folder.path().join("herd.db"));
    let farm = herd.herds().unwrap().remove(0);
    let (ways, sizes, seed) = (vec![1, 2], SIZES.to_vec(), SEED.to_owned());
    let design = Design { by: Unit::Claw, ways, sizes, seed };
    let kept = draw(&mut herd, &farm, design, signed(DAY)).unwrap();
    for (cow, ways) in &kept.lot.cows {
        let listed = STORY.contains(&format!("1:{}=", cow.number()));
        assert_eq!(STORY.contains(&in_words(cow.number(), *ways)), listed, "{cow:?}");
    }
    let mut pulls = 0;
    let device = handheld(Flash::<1024>::blank(8));
    tell(STORY, device, |handheld| {
        let mut cable = Cable::clean(handheld);
        pull(&mut cable, &mut herd).unwrap();
        pulls += 1;
        cable.unplug()
    });
    assert_eq!(pulls, 1);
    let answer = evidence::blocks(&herd, &[farm.herd], 0.15, Bands::Left).unwrap();
    let glued = |ways: &[evidence::BlockWay]| -> Vec<(u8, u64)> {
        ways.iter().map(|way| (way.action, way.blocks + way.unseen)).collect()
    };
    // Cow 900 alone was chosen for; of the cows drawn, 63 has both her blocks by another way.
    assert_eq!(glued(&answer.ways), [(10, 1)]);
    let [drawn] = &answer.drawn[..] else { panic!("one draw") };
    assert_eq!(glued(&drawn.as_drawn), [(11, 4), (12, 1)]);
    assert_eq!(glued(&drawn.as_used), [(11, 2), (12, 3)]);
    assert_eq!(drawn.adherence, Adherence { blocks: 5, as_drawn: 3 });
    let departures = drawn.departures.iter();
    let departures: Vec<_> =
        departures.map(|one| (one.cow, one.foot, one.claw, one.drawn, one.used)).collect();
    assert_eq!(departures, [(63, "LH", "outer", 11, 12), (63, "RH", "outer", 11, 12)]);
    // Nothing of it depends on the draw being open, and the list is the one that was published.
    let closed = close(&mut herd, &farm, signed(Day(DAY.0 + 1))).unwrap();
    assert_eq!(closed.lot.sha256, kept.lot.sha256);
    assert!(proof(&closed.lot).of_seed && proof(&closed.lot).as_published);
    let again = evidence::blocks(&herd, &[farm.herd], 0.15, Bands::Left).unwrap();
    assert_eq!(glued(&again.drawn[0].as_drawn), glued(&drawn.as_drawn));
}
