//! A farm over time, on stories small enough to be counted by hand.

use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Action, AnimalNumber, DeviceId, HerdNumber, Lesion, Place, Scale};
use jiff::civil::date;

use super::cases::cases;
use super::gather::first_of_month;
use super::tally::Material;
use super::*;
use crate::near::near;
use crate::words::Words;
use hornrule_facts::{
    AnimalId, FarmSettings, Herd, HerdId, Language, LengthUnit, ListedAnimal, Paper,
};
use hornrule_herd::Database;
use hornrule_kit::{EIGHT, LH, LH_IN, LH_OUT, RH, RH_OUT, Story, take_in, two_farms};
use hornrule_questions::due::cow::Told;

const DAY_MS: i64 = 86_400_000;

fn cow(number: u32) -> AnimalId {
    AnimalId::from_number(AnimalNumber::Herd(HerdNumber::new(number).unwrap())).unwrap()
}

fn found(lesion: u8, grade: u8, place: Place) -> Told {
    let lesion = Lesion::from_code(lesion).unwrap();
    Told::Found(Finding { lesion, place, grade, zone: None })
}

fn did(action: u8, place: Place) -> Told {
    Told::Did(Done { action: Action::from_code(action).unwrap(), place, days: 0 })
}

fn day(month: i8, day: i8) -> Day {
    Day::from_date(date(2026, month, day))
}

fn farm() -> Herd {
    let (name, zone) = ("Lindenhof".to_owned(), "Europe/Berlin".to_owned());
    Herd { herd: HerdId(1), name, farm: Some(1), zone, settings: FarmSettings::default() }
}

fn listed(number: u32) -> ListedAnimal {
    ListedAnimal::numbered(cow(number))
}

/// A cow trimmed on a day, scored, with or without a sole ulcer.
fn trimmed(all: &mut Material, on: Day, number: u32, score: Option<u8>, sore: bool) {
    all.stays.push((on, cow(number)));
    all.said.push((on, cow(number), did(30, LH_OUT)));
    all.said.push((on, cow(number), did(30, LH_IN)));
    if sore {
        all.said.push((on, cow(number), found(13, 2, LH_OUT)));
    }
    if let Some(score) = score {
        all.scores.push((on, cow(number), (Scale::from_code(1).unwrap(), score)));
    }
}

fn trend(all: &Material, from: Day, through: Day) -> FarmTrend {
    FarmTrend::of(farm(), all, &[], Period { from, through })
}

/// Worked by hand: z² = 3.8415; middle 0.3 + 3.8415/20 = 0.49207; half 1.96 √(0.021 + 0.0096036) =
/// 0.34288; both over 1.38415.
#[test]
fn a_share_has_wilsons_ends_or_none() {
    let three = Share::of_cows(3, 10).estimate.unwrap();
    near(three.low, 0.1078, 5e-5);
    near(three.high, 0.6032, 5e-5);
    assert_eq!((three.n, three.method), (10, "Wilson score"));
    assert_eq!(Share::of_cows(2, 4), Share { cases: 2, of: 4, estimate: None });
    assert!(Share::of_cows(2, 5).estimate.is_some());
    assert_eq!(Share::of_claws(&[]), Share::default());
}

#[test]
fn found_again_is_new_again_or_the_same_case() {
    let told = |day: i32, told| (Day(day), cow(1), told);
    let kinds = |said: &[(Day, AnimalId, Told)]| -> Vec<(i32, bool)> {
        cases(said).into_iter().map(|case| (case.day.0, case.again)).collect()
    };
    // The picture in `cases`: new, the same, healed, again.
    let ulcer = || found(13, 2, LH_OUT);
    let said = [told(0, ulcer()), told(14, ulcer()), told(40, did(50, LH_OUT)), told(90, ulcer())];
    assert_eq!(kinds(&said), [(0, false), (90, true)]);
    // 60 days without a word are the same case, 61 are another; "better" is a word.
    assert_eq!(kinds(&[told(0, ulcer()), told(60, ulcer())]), [(0, false)]);
    assert_eq!(kinds(&[told(0, ulcer()), told(61, ulcer())]), [(0, false), (61, true)]);
    let better = [told(0, ulcer()), told(50, did(51, LH_OUT)), told(61, ulcer())];
    assert_eq!(kinds(&better), [(0, false)]);
    // Another claw, another lesion, another cow: each new.
    let others = [
        told(0, ulcer()),
        told(0, found(13, 2, LH_IN)),
        told(0, found(22, 1, LH_OUT)),
        (Day(0), cow(2), ulcer()),
    ];
    assert_eq!(kinds(&others), [(0, false); 4]);
    // Dermatitis is its foot's, whichever claw was chosen; M0 ends it and no ulcer.
    let skin = [
        told(0, found(31, 2, LH)),
        told(0, ulcer()),
        told(9, found(31, 1, LH_IN)),
        told(14, found(31, 0, LH)),
        told(20, found(31, 4, LH)),
        told(20, ulcer()),
    ];
    assert_eq!(kinds(&skin), [(0, false), (0, false), (20, true)]);
    // "Sound" of the foot ends the ulcer of its claw, of another foot it does not.
    let sound = |place| [told(0, ulcer()), told(9, found(0, 0, place)), told(20, ulcer())];
    assert_eq!(kinds(&sound(LH)), [(0, false), (20, true)]);
    assert_eq!(kinds(&sound(RH)), [(0, false)]);
}

/// Six listed cows, one of them never seen. March: five trimmed, two of them with an ulcer; a
/// sixth, not on the list, has one and is not trimmed. April: two trimmed.
fn herd() -> Material {
    let mut all = Material { list: (1..=6).map(listed).collect(), ..Material::default() };
    for number in 1..=5 {
        trimmed(&mut all, day(3, 3), number, Some(number.min(4) as u8), number < 3);
    }
    all.stays.push((day(3, 3), cow(99)));
    all.said.push((day(3, 3), cow(99), found(13, 1, RH_OUT)));
    all.said.push((day(3, 3), cow(1), did(10, LH_IN)));
    // The worst score of the month counts, once.
    all.scores.push((day(3, 3), cow(1), (Scale::from_code(1).unwrap(), 3)));
    trimmed(&mut all, day(4, 14), 1, None, true);
    trimmed(&mut all, day(4, 14), 2, None, false);
    all
}

#[test]
fn months_are_counted_as_by_hand() {
    let trend = trend(&herd(), day(1, 1), day(4, 30));
    let firsts: Vec<Day> = trend.months.iter().map(|month| month.first).collect();
    assert_eq!(firsts, [day(3, 1), day(4, 1)], "from the first visit to the last");
    let march = &trend.months[0].tally;
    assert_eq!((march.visits, march.cows, march.blocks), (1, 6, 1));
    assert_eq!((march.with_lesion.cases, march.with_lesion.of), (2, 5));
    assert_eq!(march.not_trimmed_with_lesion, 1);
    assert_eq!((march.claws.cases, march.claws.of), (2, 10));
    assert_eq!((march.new, march.again), (3, 0));
    assert_eq!(march.herd, Some(Part { cases: 5, of: 6 }));
    // Cows 1 to 5 scored 3, 2, 3, 4, 4: four are lame from 3 on.
    let gait = &march.gait[0];
    assert_eq!(gait.cows, [(1, 0), (2, 1), (3, 2), (4, 2), (5, 0)]);
    assert_eq!((gait.lame.cases, gait.lame.of), (4, 5));
    let april = &trend.months[1];
    assert_eq!((april.tally.with_lesion.cases, april.tally.with_lesion.of), (1, 2));
    assert_eq!(april.tally.with_lesion.estimate, None, "two cows give no share");
    // 42 days after the first and with nothing said between: the same ulcer still.
    assert_eq!((april.tally.new, april.tally.again), (0, 0));
    assert_eq!(april.so_far, Some(Part { cases: 5, of: 6 }));
    assert_eq!((trend.whole.with_lesion.cases, trend.whole.with_lesion.of), (2, 5));
    let says = trend.mind;
    assert_eq!(
        says,
        [
            Mind::MostlyLame(vec![day(3, 1)]),
            Mind::NotScored(vec![day(4, 1)]),
            Mind::Few(vec![day(3, 1), day(4, 1)]),
        ]
    );
}

#[test]
fn a_period_cuts_months_and_keeps_what_was_known_before() {
    let mut all = herd();
    all.said.push((day(3, 20), cow(1), did(50, LH_OUT)));
    all.said.sort_by_key(|one| one.0);
    let trend = trend(&all, day(4, 1), day(4, 30));
    assert_eq!(trend.months.len(), 1);
    // Healed in March, before the period; so April's ulcer comes again.
    assert_eq!((trend.whole.new, trend.whole.again), (0, 1));
    assert_eq!(trend.first_visit, Some(day(3, 3)));
    assert_eq!(first_of_month(day(2, 28)), day(2, 1));
    assert_eq!(first_of_month(day(1, 31).plus(1)), day(2, 1));
    let nothing = super::tests::trend(&all, day(5, 1), day(5, 31));
    assert!(nothing.months.is_empty());
    let page = nothing.page(&Words::new(Language::English), Paper::A4).render_terminal();
    assert!(page.contains("No cow was recorded in the chute on these days."), "{page}");
}

/// Twenty cows each: all lame in March, none in April.
#[test]
fn cows_chosen_otherwise_are_told() {
    let mut all = Material::default();
    for number in 1..=20 {
        trimmed(&mut all, day(3, 3), number, Some(3), true);
        trimmed(&mut all, day(4, 3), number, Some(1), false);
    }
    let mind = trend(&all, day(3, 1), day(4, 30)).mind;
    let [Mind::MostlyLame(lame), Mind::Chosen { low, high }, Mind::NoList] = &mind[..] else {
        panic!("{mind:?}");
    };
    assert_eq!((lame[0], low.0, high.0), (day(3, 1), day(4, 1), day(3, 1)));
    // A second handheld in April is reported.
    let (mut eyes, one, other) = (all.clone(), DeviceId(1), DeviceId(2));
    eyes.finders = [(day(3, 3), one), (day(4, 3), one), (day(4, 3), other)].into();
    let mind = trend(&eyes, day(3, 1), day(4, 30)).mind;
    assert!(mind.contains(&Mind::MoreEyes(vec![day(4, 1)])), "{mind:?}");
    // The same cows in both months: nothing to tell but that there is no list.
    let mut same = Material::default();
    for number in 1..=20 {
        trimmed(&mut same, day(3, 3), number, Some(1), true);
        trimmed(&mut same, day(4, 3), number, Some(1), false);
    }
    assert_eq!(trend(&same, day(3, 1), day(4, 30)).mind, [Mind::NoList]);
}

/// Two visits at Lindenhof: an ulcer with a block, healed at the second; dermatitis; a sound cow.
fn told(settings: &FarmSettings) -> FarmTrend {
    let (mut herd, farm): (Database, HerdId) = two_farms();
    herd.set_farm_settings(farm, settings).unwrap();
    let mut story = Story::at_work();
    story.cow(312).score(1, 3).act(30, LH_OUT).act(30, LH_IN).find(13, 2, LH_OUT);
    story.act(31, LH_OUT).act(10, LH_IN).cow(313).score(1, 1).act(30, RH_OUT).find(31, 2, RH);
    story.cow(351).act(30, LH_OUT).find(0, 0, LH).left();
    story.start().clock(EIGHT + 14 * DAY_MS).visit(1);
    story.cow(312).act(40, LH_IN).act(50, LH_OUT).left();
    story.start().clock(EIGHT + 42 * DAY_MS).visit(1);
    story.cow(312).act(42, LH_IN).act(30, LH_OUT).find(13, 1, LH_OUT).left();
    take_in(&mut herd, &story);
    let (from, through) = (day(1, 1), day(12, 31));
    FarmTrend::gather(&herd, farm, Period { from, through }).unwrap().unwrap()
}

#[test]
fn a_story_is_told_whole() {
    let trend = told(&FarmSettings::default());
    assert_eq!((trend.whole.new, trend.whole.again), (2, 1));
    assert_eq!((trend.blocks.ways[0].blocks, trend.blocks.ways[0].lost), (1, 1));
    let text = trend.page(&Words::of(&trend.settings), Paper::A4).render_terminal();
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    insta::assert_snapshot!("english", text);
    let json = trend.render_json();
    assert_eq!(json["months"][0]["cows_with_lesion_of_trimmed"]["refused"], "fewer than 5 cows");
    assert_eq!(json["months"][1]["month"], "2026-04");
    // Slight, found last and not seen again; then moderate.
    assert_eq!(json["healing"]["groups"][0]["unseen"], 1);
    assert_eq!(json["healing"]["groups"][1]["healed"], 1);
}

#[test]
fn german_on_letter_paper() {
    let settings = FarmSettings {
        language: Language::German,
        unit: LengthUnit::Inch,
        paper: Paper::Letter,
        ..FarmSettings::default()
    };
    let trend = told(&settings);
    let page = trend.page(&Words::of(&trend.settings), trend.settings.paper);
    insta::assert_snapshot!("german", page.render_terminal());
    insta::assert_snapshot!("every_lesion", page.render_csv("every_lesion").unwrap());
    let html = page.render_html();
    assert!(html.contains("size: letter") && html.contains("<html lang=\"de\">"));
    let body = html.split("<body>").nth(1).unwrap();
    insta::assert_snapshot!("html", body.replace("><", ">\n<"));
}
