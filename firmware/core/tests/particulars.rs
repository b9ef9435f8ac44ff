//! Particulars of cows on flash: found for whom they are, refused where they are none.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::chute::{DayPlan, Listing};
use hornrule_core::plan::{PlanShelf, Plans};
use hornrule_protocol::message::Refusal;
use hornrule_protocol::plan::{Blinding, Floor, Head, Need, Needs, Particulars, Row};
use hornrule_protocol::{AnimalNumber, Foot, HerdNumber, Nanometres};
use hornrule_testkit::flash::Flash;
use hornrule_testkit::keyed::load;
use hornrule_testkit::page::worked;

fn blank() -> Flash<1024> {
    Flash::blank(32)
}

fn herd(number: u32) -> AnimalNumber {
    AnimalNumber::Herd(HerdNumber::new(number).unwrap())
}

/// Cows 3, 6, 9, ... of farm 1, and these particulars.
fn plan(head: Head, cows: u16, particulars: &[(u16, Particulars)]) -> Vec<u8> {
    let rows = (1..=u32::from(cows)).map(|n| Row::new(1, herd(3 * n), Needs::NONE));
    let count = u16::try_from(particulars.len()).unwrap();
    let head = Head { farms: 0b10, animals: cows, particulars: count, ..head };
    let particulars = particulars.iter().flat_map(|(place, one)| one.to_bytes(*place));
    let rows = rows.flat_map(Row::to_bytes);
    head.to_bytes().into_iter().chain(rows).chain(particulars).collect()
}

/// Tells cows apart: her growth says which she is.
fn grown(place: u16) -> Particulars {
    Particulars::NONE.with_growth(u8::try_from(place % 254 + 1).unwrap())
}

/// Every row with particulars, as many as fit; then every fourth only.
#[test]
fn eight_hundred_cows_with_particulars_fit_and_each_has_her_own() {
    for (cows, step) in [(812u16, 1), (800, 4)] {
        let some: Vec<(u16, Particulars)> =
            (0..cows).step_by(step).map(|place| (place, grown(place))).collect();
        let bytes = plan(Head::default(), cows, &some);
        let mut plans = Plans::mount(blank());
        assert!(bytes.len() <= usize::from(plans.plan_state().room));
        load(&mut plans, &bytes).unwrap();
        let mut plans = Plans::mount(plans.into_flash());
        let mut worst = 0;
        for n in 1..=u32::from(cows) * 3 + 1 {
            let before = plans.flash().reads();
            let listing = plans.listing(None, herd(n));
            worst = worst.max(plans.flash().reads() - before);
            let place = u16::try_from(n / 3).unwrap().wrapping_sub(1);
            let expected = (n % 3 == 0).then(|| Listing {
                place,
                particulars: if usize::from(place) % step == 0 {
                    grown(place)
                } else {
                    Particulars::NONE
                },
            });
            assert_eq!(listing, expected, "{n}");
        }
        assert_eq!(worst, if step == 1 { 20 } else { 18 });
    }
    // One row more does not fit.
    let all: Vec<(u16, Particulars)> = (0..813).map(|place| (place, grown(place))).collect();
    let bytes = plan(Head::default(), 813, &all);
    assert_eq!(load(&mut Plans::mount(blank()), &bytes), Err(Refusal::PlanTooLong));
}

#[test]
fn what_is_no_particulars_is_no_plan() {
    let one = Particulars::NONE.with_growth(16);
    let good = plan(Head::default(), 3, &[(0, one), (2, one)]);
    let at = good.len() - 12;
    let other = |back: usize, byte: u8| {
        let mut bytes = good.clone();
        bytes[at + back] = byte;
        bytes
    };
    assert!(load(&mut Plans::mount(blank()), &good).is_ok());
    for (why, bytes) in [
        ("a cow that is not there", other(0, 3)),
        ("the same cow again", other(0, 0)),
        ("nothing said", other(4, 0)),
        ("a byte that is not used", other(7, 1)),
        ("a fifth foot", other(6, 0x10)),
        ("a tenth way", other(8, 0x0A)),
        ("one missing", good[..at].to_vec()),
        ("out of order", plan(Head::default(), 3, &[(2, one), (0, one)])),
    ] {
        assert_eq!(load(&mut Plans::mount(blank()), &bytes), Err(Refusal::PlanBroken), "{why}");
    }
}

/// A blind day tells no lengths; what else is known of a cow it tells.
#[test]
fn limits_are_the_plans_and_a_blind_day_tells_none() {
    let hers = Particulars::NONE
        .with_floor(Floor::HalfMm(160))
        .with_growth(16)
        .with_lesion_of_foot(Foot::LeftHind);
    for blinding in [Blinding::Open, Blinding::Blind] {
        let head = Head { floor: 150, heels: 6, blinding, ..Head::default() };
        let mut plans = Plans::mount(blank());
        load(&mut plans, &plan(head, 2, &[(1, hers)])).unwrap();
        let open = blinding == Blinding::Open;
        let mm = |mm| open.then(|| Nanometres::from_mm(mm));
        let cow = plans.listing(None, herd(6)).unwrap().particulars;
        assert_eq!(plans.floor(cow.floor()), mm(80));
        assert_eq!(plans.floor(Floor::OfPlan), mm(75));
        assert_eq!(plans.floor(Floor::None), None);
        assert_eq!(plans.heel_difference(), mm(3));
        assert_eq!(cow.growth().is_some(), open);
        assert_eq!(cow.open_feet(), 0b0100, "told in any case");
        assert_eq!(plans.listing(None, herd(7)), None);
        assert_eq!(plans.listing(Some(2), herd(6)), None, "another farm's");
    }
}

/// The second worked example in `PLAN.md`.
#[test]
fn a_bank_of_version_3_is_as_the_page_says() {
    let hers = Particulars::NONE
        .with_wrap(Foot::LeftHind)
        .with_floor(Floor::HalfMm(160))
        .with_lesion_of_foot(Foot::LeftHind);
    let order = hornrule_protocol::plan::Order::EMPTY;
    let order = order.then(hornrule_protocol::Dimension::DORSAL_WALL, 2).unwrap();
    let needs = Needs::NONE.with(Need::BlockOff(Foot::LeftHind));
    let head = Head { farms: 0b10, animals: 1, order, particulars: 1, heels: 6, ..Head::default() };
    let row = Row::new(1, herd(3), needs).to_bytes();
    let plan = [&head.to_bytes()[..], &row, &hers.to_bytes(0)].concat();
    let expected = worked(include_str!("../PLAN.md"), "bank-3").unwrap();
    let mut plans = Plans::mount(Flash::<1024>::blank(2));
    load(&mut plans, &plan).unwrap();
    assert_eq!(plans.into_flash().image()[..expected.len()], expected);
}
