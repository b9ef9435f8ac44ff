//! What goes together and what is refused, as `host/insight/DERIVED.md` has it.

use hornrule_facts::codes::{DORSAL_WALL, HEEL_HEIGHT, TOE_HEIGHT};
use hornrule_facts::{AnimalId, Clip, Day};
use hornrule_insight::derived::{Hand, Refused};
use hornrule_kit::{LF_OUT, LH, LH_IN, LH_OUT, RH_OUT, Story, take_in, two_farms};
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_protocol::{
    AnimalNumber, DeviceId, Dimension, HerdNumber, LogId, Nanometres, Place, Seq,
};

use super::*;
use crate::cow::CowHistory;
use crate::visit::{VisitReport, list_visits};

/// A reading in hundredths of a millimetre, not yet doubted, before trimming.
fn read(seq: u32, dimension: u8, hundredths: i32, place: Place) -> Lengthed {
    let Place::Claw(claw) = place else { panic!("{place:?}") };
    let clip = Clip {
        length: Nanometres(hundredths * 10_000),
        dimension: Dimension::from_code(dimension).unwrap(),
        unit: UnitMode::Millimetre,
        kind: CalliperKind::Sync24,
        trimmed: false,
        gauge_ok: None,
    };
    let key = (DeviceId(1), LogId(7), Seq(seq));
    Lengthed { key, day: Day(20_000), claw, clip, doubted: false }
}

/// Measure, place, value or refusal, numbers of the inputs.
type Told = (Measure, Place, Result<f64, Refused>, Vec<u32>);

fn told(lengths: &[Lengthed]) -> Vec<Told> {
    let known = |_| Some(Hand { error: 0.5, df: 20.0 });
    let of = |line: Line| {
        let value = line.answer.map(|told| (told.value * 1e4).round() / 1e4);
        (line.measure, line.place, value, line.inputs.iter().map(|key| key.2.0).collect())
    };
    lines(lengths.iter().copied(), known).into_iter().map(of).collect()
}

#[test]
fn an_angle_is_of_one_claw_and_the_mean_of_its_readings() {
    let all = [
        read(1, TOE_HEIGHT, 5990, LF_OUT),
        read(2, DORSAL_WALL, 8000, LF_OUT),
        read(3, TOE_HEIGHT, 6010, LF_OUT),
        read(4, TOE_HEIGHT, 6000, RH_OUT),
    ];
    assert_eq!(
        told(&all),
        [
            (Measure::ToeAngle, LF_OUT, Ok(48.5904), vec![1, 2, 3]),
            (Measure::ToeAngle, RH_OUT, Err(Refused::Missing), vec![4]),
        ]
    );
}

/// Another day, another handheld, another state of trim: each is no partner.
#[test]
fn what_is_apart_is_not_paired() {
    let height = read(1, TOE_HEIGHT, 6000, LF_OUT);
    let mut others = [read(2, DORSAL_WALL, 8000, LF_OUT); 3];
    others[0].day = Day(20_001);
    others[1].key.0 = DeviceId(2);
    others[2].clip.trimmed = true;
    for other in others {
        let expected = (Measure::ToeAngle, LF_OUT, Err(Refused::Missing), vec![1]);
        assert_eq!(told(&[height, other]), [expected]);
    }
}

#[test]
fn what_is_doubted_or_read_with_a_failed_calliper_is_no_input() {
    let (height, wall) = (read(1, TOE_HEIGHT, 6000, LF_OUT), read(2, DORSAL_WALL, 8000, LF_OUT));
    let of = |other: &dyn Fn(&mut Lengthed)| {
        let mut changed = wall;
        other(&mut changed);
        told(&[height, changed])[0].2
    };
    assert_eq!(of(&|one| one.doubted = true), Err(Refused::Doubted));
    assert_eq!(of(&|one| one.clip.gauge_ok = Some(false)), Err(Refused::FailedCheck));
    assert_eq!(of(&|one| one.clip.length = Nanometres(59_000_000)), Err(Refused::HeightAboveWall));
    assert_eq!(of(&|one| one.clip.gauge_ok = Some(true)), Ok(48.5904));
    // A sound reading beside a doubted one stands alone.
    let mut slip = read(3, DORSAL_WALL, 4100, LF_OUT);
    slip.doubted = true;
    assert_eq!(
        told(&[height, wall, slip])[0],
        (Measure::ToeAngle, LF_OUT, Ok(48.5904), vec![1, 2])
    );
}

#[test]
fn heels_are_of_a_foot_and_soles_of_hind_walls() {
    let all = [
        read(1, HEEL_HEIGHT, 4250, LH_OUT),
        read(2, HEEL_HEIGHT, 3980, LH_IN),
        read(3, DORSAL_WALL, 7500, LH_OUT),
        read(4, DORSAL_WALL, 7500, LH_IN),
        read(5, DORSAL_WALL, 9000, RH_OUT),
        read(6, DORSAL_WALL, 7500, LF_OUT),
        read(7, HEEL_HEIGHT, 4000, RH_OUT),
    ];
    let mut got = told(&all);
    got.sort_by_key(|one| one.0);
    assert_eq!(
        got,
        [
            (Measure::HeelDifference, LH, Ok(2.7), vec![1, 2]),
            (Measure::HeelDifference, hornrule_kit::RH, Err(Refused::Missing), vec![7]),
            (Measure::SoleFromWall, LH_OUT, Ok(6.4), vec![3]),
            (Measure::SoleFromWall, LH_IN, Ok(6.1), vec![4]),
            (Measure::SoleFromWall, RH_OUT, Err(Refused::OutsideRange), vec![5]),
        ]
    );
}

/// An inch display is coarser; a mean has the coarsest step.
#[test]
fn the_step_is_the_coarsest_reading_s() {
    let with = |unit| {
        let mut wall = read(3, DORSAL_WALL, 8000, LF_OUT);
        wall.clip.unit = unit;
        let all = [read(1, TOE_HEIGHT, 6000, LF_OUT), read(2, DORSAL_WALL, 8000, LF_OUT), wall];
        lines(all.into_iter(), |_| None)[0].answer.unwrap()
    };
    let (mm, inch) = (with(UnitMode::Millimetre), with(UnitMode::Inch));
    assert!(mm.at_least && inch.at_least && inch.standard > mm.standard);
}

/// Through the database: cow page and visit say the same, and repeats of the herd tell the hand.
#[test]
fn a_visit_and_a_cow_say_the_same() {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).read(TOE_HEIGHT, 6000, LH_OUT).read(DORSAL_WALL, 8000, LH_OUT);
    // Six claws measured twice by one person, 0.4 mm apart: an error of 0.2828 mm with 6 degrees.
    for number in 400..406 {
        story.cow(number);
        for hundredths in [8000, 8040] {
            story.read(DORSAL_WALL, hundredths, LH_OUT).read(TOE_HEIGHT, hundredths - 2000, LH_OUT);
        }
    }
    take_in(&mut herd, &story);
    let day = list_visits(&herd).unwrap()[0].1;
    let visit = VisitReport::gather(&herd, farm, day).unwrap().unwrap();
    let number = AnimalId::from_number(AnimalNumber::Herd(HerdNumber::new(312).unwrap())).unwrap();
    let cow = CowHistory::gather(&herd, farm, number).unwrap().unwrap();
    let hers: Vec<Line> = visit
        .derived
        .lines
        .iter()
        .filter(|(name, _)| name.animal == number)
        .map(|(_, line)| line.clone())
        .collect();
    assert_eq!(cow.derived, hers);
    let angle = cow.derived[0].answer.unwrap();
    assert!(!angle.at_least && (angle.value - 48.5904).abs() < 1e-4, "{angle:?}");
    // By hand: slopes 1.0828 and -0.8121 degrees/mm, each input sqrt(0.08 + 0.00001 + 0.0003) mm.
    assert!((angle.standard - 1.3535 * 0.283_388).abs() < 2e-4, "{angle:?}");
    let averages = &visit.derived.averages;
    let angles = averages.iter().find(|one| one.measure == Measure::ToeAngle).unwrap();
    assert_eq!((angles.values, angles.cows, angles.hind, angles.trimmed), (7, 7, true, false));
}
