//! Each row of `NOTICES.md`, on stories small enough to be read.

use hornrule_facts::{AnimalId, Day, FarmSettings, HerdId};
use hornrule_herd::{Database, DatabaseError};
use hornrule_kit::{EIGHT, LH, LH_IN, LH_OUT, RH_OUT, Story, take_in, two_farms};

use super::*;
use crate::visit::{VisitReport, list_visits};

const DAY_MS: i64 = 86_400_000;

/// A visit so many days after the first.
fn visit(story: &mut Story, days: i64) -> &mut Story {
    story.start().clock(EIGHT + days * DAY_MS).visit(1).cow(312)
}

fn noticed_of(herd: &Database, farm: HerdId) -> Vec<(Place, Noticed)> {
    let day = list_visits(herd).unwrap()[0].1;
    let report = VisitReport::gather(herd, farm, day).unwrap().unwrap();
    report.notices.into_iter().map(|one| (one.place, one.what)).collect()
}

/// What is noticed on the last day of a story.
fn noticed(tell: impl FnOnce(&mut Story)) -> Vec<(Place, Noticed)> {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    tell(&mut story);
    take_in(&mut herd, &story);
    noticed_of(&herd, farm)
}

/// The lesions below blocks.
fn blocks(tell: impl FnOnce(&mut Story)) -> Vec<(Place, &'static str)> {
    let all = noticed(tell).into_iter().filter_map(|(place, what)| match what {
        Noticed::BlockOnLesion { case, .. } => Some((place, case.lesion.letters)),
        _ => None,
    });
    all.collect()
}

#[test]
fn a_block_belongs_on_the_partner() {
    let one = blocks(|story| {
        story.cow(312).find(13, 2, LH_OUT).act(10, LH_OUT);
    });
    assert_eq!(one, [(LH_OUT, "SU")]);
    let partner = blocks(|story| {
        story.cow(312).find(13, 2, LH_OUT).act(10, LH_IN);
    });
    assert_eq!(partner, []);
    // The partner is the worse one, or as bad: then it is a choice. A slight haemorrhage is neither.
    for (outer, inner, expected) in [
        ((13, 1), (13, 2), vec![]),
        ((13, 2), (13, 2), vec![]),
        ((12, 3), (13, 1), vec![]),
        ((13, 1), (11, 3), vec![(LH_OUT, "SU")]),
        ((18, 3), (0, 0), vec![]),
    ] {
        let told = blocks(|story| {
            story.cow(312).find(outer.0, outer.1, LH_OUT).find(inner.0, inner.1, LH_IN);
            story.act(10, LH_OUT);
        });
        assert_eq!(told, expected, "{outer:?} {inner:?}");
    }
    // Skin has no partner claw; a block that is off is on no lesion.
    let other = blocks(|story| {
        story.cow(312).find(31, 2, LH).act(10, LH_OUT).find(13, 2, RH_OUT).act(10, RH_OUT);
        story.act(41, RH_OUT);
    });
    assert_eq!(other, []);
}

/// A lesion that comes up below a block is told at the visit that spoke of the block.
#[test]
fn a_lesion_below_an_older_block_is_told_where_the_block_was_seen() {
    let seen = blocks(|story| {
        story.cow(312).act(10, LH_OUT);
        visit(story, 14).act(40, LH_OUT).find(15, 1, LH_OUT);
    });
    assert_eq!(seen, [(LH_OUT, "TU")]);
    let unseen = blocks(|story| {
        story.cow(312).act(10, LH_OUT).find(13, 2, LH_OUT);
        visit(story, 14).score(1, 2);
    });
    assert_eq!(unseen, []);
}

#[test]
fn a_wrap_on_an_ulcer_is_told_unless_the_skin_has_a_reason() {
    let told = |tell: &dyn Fn(&mut Story)| noticed(|story| tell(story)).len();
    assert_eq!(
        told(&|story| {
            story.cow(312).find(13, 2, LH_OUT).act(21, LH);
        }),
        1
    );
    assert_eq!(
        told(&|story| {
            story.cow(312).find(13, 2, LH_OUT).find(31, 2, LH).act(21, LH);
        }),
        0
    );
    assert_eq!(
        told(&|story| {
            story.cow(312).find(22, 2, LH_OUT).act(21, LH);
        }),
        0
    );
    assert_eq!(
        told(&|story| {
            story.cow(312).find(13, 2, LH_OUT).act(21, LH);
            visit(story, 3).act(22, LH).act(50, LH_OUT);
        }),
        0
    );
}

#[test]
fn horn_that_cannot_have_grown_is_told() {
    let told = |days: i64, hundredths: i32, opened: bool| {
        let all = noticed(|story| {
            story.cow(312).find(13, 2, LH_OUT);
            if opened {
                story.act(31, LH_OUT);
            }
            visit(story, days).read(7, hundredths, LH_OUT);
        });
        all.into_iter().map(|(_, what)| what).next()
    };
    // 3.175 mm in 14 days; 6.35 mm in 28. By hand.
    assert_eq!(told(14, 317, true), None);
    let most = Nanometres(3_175_000);
    let length = Nanometres(3_180_000);
    assert_eq!(told(14, 318, true), Some(Noticed::Regrown { length, days: 14, most }));
    assert_eq!(told(28, 635, true), None);
    assert!(told(28, 636, true).is_some());
    // Not opened: from the day the ulcer was found. On the first day nothing can be said.
    assert!(told(14, 318, false).is_some());
    assert_eq!(told(0, 900, true), None);
}

fn listed(lactation: Option<u8>, breed: Option<&str>) -> ListedAnimal {
    ListedAnimal {
        lactation,
        breed: breed.map(str::to_owned),
        ..ListedAnimal::numbered(AnimalId(312))
    }
}

#[test]
fn a_target_is_of_breed_and_parity() {
    let own = Some(Nanometres::from_mm(78));
    let of = |farm, lactation, breed| target_of(farm, Some(&listed(lactation, breed)));
    let holstein = Some(Target::Holstein(Nanometres::from_mm(75)));
    for breed in ["Holstein", "German Holstein", "HF", "hol", " SBT "] {
        assert_eq!(of(None, Some(2), Some(breed)), holstein, "{breed}");
    }
    assert_eq!(of(None, Some(1), Some("Holstein")), None);
    assert_eq!(of(None, None, Some("Holstein")), None);
    assert_eq!(of(None, Some(3), Some("Jersey")), None);
    assert_eq!((of(None, Some(3), None), target_of(None, None)), (None, None));
    assert_eq!(of(own, Some(3), Some("Jersey")), own.map(Target::Farm));
    assert_eq!(target_of(own, None), own.map(Target::Farm));
    // Heifers have none, whoever sets one.
    assert_eq!((of(own, Some(0), Some("Holstein")), of(None, Some(0), None)), (None, None));
}

#[test]
fn a_short_wall_is_told_against_her_target() {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).read(1, 8000, LH_OUT).act(30, LH_OUT).read(1, 7400, LH_OUT);
    // The last reading counts; one that was not trimmed is no matter.
    story.act(30, LH_IN).read(1, 7300, LH_IN).read(1, 7500, LH_IN).read(1, 7000, RH_OUT);
    take_in(&mut herd, &story);
    assert_eq!(noticed_of(&herd, farm), []);
    let wrote: Result<(), DatabaseError> =
        herd.write(|rows| rows.write_animals(farm, &[listed(Some(3), Some("Holstein"))]));
    wrote.unwrap();
    let length = Nanometres(74_000_000);
    let target = Target::Holstein(Nanometres::from_mm(75));
    assert_eq!(noticed_of(&herd, farm), [(LH_OUT, Noticed::ShortWall { length, target })]);
    let own = Some(Nanometres::from_mm(77));
    herd.set_farm_settings(farm, &FarmSettings { target: own, ..FarmSettings::default() }).unwrap();
    let told: Vec<Place> = noticed_of(&herd, farm).into_iter().map(|one| one.0).collect();
    assert_eq!(told, [LH_OUT, LH_IN]);
}

/// Rows of `DERIVED.md`, a point between them by hand, and where nothing is said.
#[test]
fn the_sole_follows_the_wall() {
    let of = |hundredths: i32, place| sole(place, Nanometres(hundredths * 10_000));
    for (wall, place, expected) in
        [(7210, LH_IN, 5.0), (7270, LH_OUT, 5.0), (7500, LH_OUT, 6.4), (7740, LH_IN, 6.55)]
    {
        match of(wall, place) {
            Some(Sole::About(mm)) => assert!((mm - expected).abs() < 1e-9, "{wall}: {mm}"),
            other => panic!("{wall}: {other:?}"),
        }
    }
    let short = [of(6999, LH_IN), of(6999, LH_OUT)];
    assert_eq!(short, [Some(Sole::OfShort(3.8)), Some(Sole::OfShort(4.0))]);
    let front = Place::Claw(hornrule_protocol::Claw {
        foot: hornrule_protocol::Foot::LeftFore,
        side: hornrule_protocol::Side::Lateral,
    });
    for (wall, place) in [(7000, LH_IN), (7260, LH_OUT), (7841, LH_OUT), (7500, front), (7500, LH)]
    {
        assert_eq!(of(wall, place), None, "{wall}");
    }
}

#[test]
fn the_farmer_reads_what_is_a_caution_for_the_animal() {
    let all = noticed(|story| {
        story.cow(312).find(13, 2, LH_OUT).act(10, LH_OUT).act(21, LH);
    });
    let for_farmer: Vec<bool> = all.iter().map(|(_, what)| what.is_for_the_farmer()).collect();
    assert_eq!(for_farmer, [true, false]);
}

/// A visit that nobody made has no notices.
#[test]
fn no_visit_no_notice() {
    let (herd, farm) = two_farms();
    let report = VisitReport::gather(&herd, farm, Day(20_000)).unwrap().unwrap();
    assert_eq!(report.notices, []);
}
