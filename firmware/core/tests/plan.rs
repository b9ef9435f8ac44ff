//! The plan on flash: loads, look-ups, and power failing at every step of a load.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::chute::{DayPlan, Standing};
use hornrule_core::plan::{PlanShelf, Plans};
use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::message::{PlanName, Refusal};
use hornrule_protocol::part::MAX_PART;
use hornrule_protocol::plan::{Blinding, FirstClaws, Head, Need, Needs, Order, Row};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{
    Action, AnimalNumber, Bundle, Dimension, Foot, HerdNumber, Iso11784, Part, PlanNumber, Side,
};
use hornrule_testkit::flash::{Fault, Flash, HalfErase};
use hornrule_testkit::keyed::load;
use hornrule_testkit::page::worked;

/// Flash of the emulated board's plan region: 32 pages of 1 KiB, two banks of 16.
fn blank() -> Flash<1024> {
    Flash::blank(32)
}

fn herd(number: u32) -> AnimalNumber {
    AnimalNumber::Herd(HerdNumber::new(number).unwrap())
}

fn head(animals: u16) -> Head {
    let order = Order::EMPTY.then(Dimension::DORSAL_WALL, 2).unwrap();
    Head { farms: 0b10, animals, order, ..Head::default() }
}

/// Cows 3, 6, 9, ... of farm 1; `needs` gives each one's needs from her number.
fn plan(cows: u16, needs: impl Fn(u32) -> Needs) -> Vec<u8> {
    let rows = (1..=u32::from(cows)).map(|n| Row::new(1, herd(3 * n), needs(3 * n)));
    bytes(head(cows), rows)
}

fn bytes(head: Head, rows: impl Iterator<Item = Row>) -> Vec<u8> {
    head.to_bytes().into_iter().chain(rows.flat_map(Row::to_bytes)).collect()
}

fn recheck(_: u32) -> Needs {
    Needs::NONE.with(Need::Recheck(Foot::RightHind))
}

fn vet(_: u32) -> Needs {
    Needs::NONE.with(Need::Vet)
}

fn name(plan: &[u8]) -> u32 {
    CRC.checksum(plan)
}

fn in_force<const PAGE: usize>(flash: Flash<PAGE>) -> Option<u32> {
    Plans::mount(flash).plan_state().in_force.map(|plan| plan.plan)
}

#[test]
fn a_plan_is_found_again_after_the_power_was_off() {
    let plan = plan(200, recheck);
    let mut plans = Plans::mount(blank());
    assert_eq!(plans.plan_state().in_force, None);
    assert_eq!(plans.standing(Some(1), herd(3)), Standing::NoPlan);
    let loaded = PlanName { plan: name(&plan), animals: 200 };
    assert_eq!(load(&mut plans, &plan), Ok(loaded));
    let mut plans = Plans::mount(plans.into_flash());
    assert_eq!(plans.plan_state().in_force, Some(loaded));
    for n in 0..=700 {
        let listed = n > 0 && n % 3 == 0 && n <= 600;
        let Some(number) = HerdNumber::new(n) else { continue };
        let expected = if listed { Standing::Listed(recheck(n)) } else { Standing::NotListed };
        assert_eq!(plans.standing(None, AnimalNumber::Herd(number)), expected, "{n}");
    }
    assert_eq!(plans.standing(Some(2), herd(3)), Standing::FarmUnknown);
    assert_eq!(plans.order().unwrap().at(2), None);
}

/// The office numbers its plans in a row of farm 0: it is taken like any other and found for nobody,
/// also where bundles stand before it.
#[test]
fn a_plans_number_is_taken_and_never_found() {
    let part = BundlePart::new(Action::from_code(20).unwrap(), At::Foot, 0).unwrap();
    let bundle = Bundle::new(3).unwrap().then(part).unwrap();
    for bundles in [vec![], vec![bundle]] {
        let numbered = |number| {
            let rows =
                [PlanNumber::new(number, 20_515).unwrap().row(), Row::new(1, herd(412), vet(0))];
            let head = Head { bundles: u8::try_from(bundles.len()).unwrap(), ..head(2) };
            let bundles = bundles.iter().flat_map(Bundle::to_bytes);
            let rows = rows.into_iter().flat_map(Row::to_bytes);
            head.to_bytes().into_iter().chain(bundles).chain(rows).collect::<Vec<u8>>()
        };
        let plan = numbered(412);
        let mut plans = Plans::mount(blank());
        let loaded = PlanName { plan: name(&plan), animals: 2 };
        assert_eq!(load(&mut plans, &plan), Ok(loaded));
        assert_eq!(plans.bundle(3).is_some(), !bundles.is_empty());
        assert_eq!(plans.standing(None, herd(412)), Standing::Listed(vet(0)));
        assert_eq!(plans.standing(Some(0), herd(412)), Standing::FarmUnknown);
        assert_eq!(plans.standing(Some(1), herd(1)), Standing::NotListed);
        assert_ne!(name(&numbered(413)), loaded.plan);
    }
}

/// 2,000 cows fit the emulated board, and any of them is found with eleven reads of eight bytes
/// (2^11 = 2,048).
#[test]
fn two_thousand_cows_fit_and_a_look_up_reads_eleven_times_at_worst() {
    let mut plans = Plans::mount(blank());
    let room = usize::from(plans.plan_state().room);
    assert!(head(2_000).length() <= room, "{room}");
    let most = u16::try_from((room - 72) / 8).unwrap();
    assert_eq!(most, 2_031);
    load(&mut plans, &plan(2_000, recheck)).unwrap();
    let mut worst = 0;
    for n in 1..=6_001 {
        let before = plans.flash().reads();
        let listed = plans.standing(None, herd(n)) == Standing::Listed(recheck(n));
        assert_eq!(listed, n % 3 == 0 && n <= 6_000, "{n}");
        worst = worst.max(plans.flash().reads() - before);
    }
    assert_eq!(worst, 11);
}

#[test]
fn farms_and_tags_are_told_apart() {
    let tag = AnimalNumber::Tag(Iso11784::from_decimal(276_000_312_312_345).unwrap());
    let mut rows = [
        Row::new(1, herd(12), recheck(0)),
        Row::new(2, herd(12), vet(0)),
        Row::new(2, tag, recheck(0)),
    ];
    rows.sort();
    let two = Head { farms: 0b110, animals: 3, blinding: Blinding::Blind, ..Head::default() };
    let mut plans = Plans::mount(blank());
    load(&mut plans, &bytes(two, rows.into_iter())).unwrap();
    assert_eq!(plans.standing(Some(1), herd(12)), Standing::Listed(recheck(0)));
    assert_eq!(plans.standing(Some(2), herd(12)), Standing::Listed(vet(0)));
    assert_eq!(plans.standing(None, herd(12)), Standing::FarmUnknown, "which of two farms?");
    assert_eq!(plans.standing(None, tag), Standing::Listed(recheck(0)), "hers on every farm");
    assert_eq!(plans.limits(Dimension::DORSAL_WALL), None, "blind");
    assert_eq!(plans.order(), None);
}

/// What two banks promise: if power fails at any step of a load, in any way that an erase can be
/// left half done, either the old plan is in force or the new one. A further load then works.
#[test]
fn power_cut_at_every_step_of_a_load() {
    let (old, new) = (plan(150, recheck), plan(140, vet));
    // Both banks hold a plan, so that the load overwrites an older one.
    let mut plans = Plans::mount(Flash::<1024>::blank(4));
    load(&mut plans, &plan(100, vet)).unwrap();
    load(&mut plans, &old).unwrap();
    let prepared = plans.into_flash();
    let start = prepared.steps();
    let mut whole = Plans::mount(prepared.clone());
    load(&mut whole, &new).unwrap();
    let length = whole.into_flash().steps() - start;
    assert!(length > new.len() as u64, "every byte is a step");
    let (mut kept, mut changed) = (0, 0);
    for half_erase in HalfErase::ALL {
        for at in 0..=length {
            let mut flash = prepared.clone();
            flash.seed(at + 1);
            flash.half_erase(half_erase);
            flash.dies_after(at);
            let mut plans = Plans::mount(flash);
            let told = load(&mut plans, &new);
            assert_eq!(told.is_ok(), at == length);
            let mut flash = plans.into_flash();
            flash.revive();
            match in_force(flash.clone()) {
                Some(plan) if plan == name(&old) => kept += 1,
                Some(plan) if plan == name(&new) => changed += 1,
                other => panic!("cut at {at}: {other:?} is in force"),
            }
            if at % 16 == 0 || at > length - 24 {
                let mut again = Plans::mount(flash);
                load(&mut again, &new).unwrap();
                assert_eq!(in_force(again.into_flash()), Some(name(&new)));
            }
        }
    }
    // The new one can only be in force once its mark's last word is being written.
    assert!(kept >= 4 * (length - 4) && changed >= 4, "{kept} {changed} {length}");
}

#[test]
fn what_does_not_come_whole_leaves_the_old_plan_in_force() {
    let (old, new) = (plan(20, recheck), plan(21, vet));
    let mut plans = Plans::mount(blank());
    load(&mut plans, &old).unwrap();
    let length = u16::try_from(new.len()).unwrap();
    let piece = |from: usize| Part::new(&new[from..from + MAX_PART]).unwrap();
    // Half a load, pieces out of order, pieces beyond the end, a commit before the end.
    assert_eq!(plans.plan_part(0, &piece(0)), Err(Refusal::PlanOrder));
    assert_eq!(plans.plan_begin(length, name(&new)), Ok(0));
    assert_eq!(plans.plan_part(0, &piece(0)), Ok(48));
    assert_eq!(plans.plan_part(0, &piece(0)), Ok(48), "said again: nothing happens");
    assert_eq!(plans.plan_part(96, &piece(96)), Err(Refusal::PlanOrder));
    assert_eq!(plans.plan_part(50, &piece(48)), Err(Refusal::PlanOrder));
    assert_eq!(plans.plan_part(length - 4, &piece(0)), Err(Refusal::PlanOrder));
    assert_eq!(plans.plan_commit(name(&new)), Err(Refusal::PlanOrder));
    assert_eq!(plans.plan_part(48, &piece(48)), Err(Refusal::PlanOrder), "that ended the load");
    assert_eq!(plans.plan_state().in_force.unwrap().plan, name(&old));
    // Repeated after the answer was lost: done once.
    let turned = load(&mut plans, &new);
    assert_eq!(plans.plan_commit(name(&new)), turned);
    assert_eq!(in_force(plans.into_flash()), Some(name(&new)));
}

#[test]
fn bytes_that_are_no_plan_are_refused() {
    let old = plan(20, recheck);
    let good = plan(3, vet);
    let row = |n| Row::new(1, herd(n), Needs::NONE);
    let other = |at: usize, byte: u8| {
        let mut bytes = good.clone();
        bytes[at] = byte;
        bytes
    };
    let refused = [
        (other(0, 4), Refusal::PlanVersion),
        (other(0, 3), Refusal::PlanBroken),
        (other(0, 2), Refusal::PlanBroken),
        (other(0, 0), Refusal::PlanVersion),
        (other(4, 4), Refusal::PlanBroken),
        (other(16, 0x1A), Refusal::PlanBroken),
        (good[..72].to_vec(), Refusal::PlanBroken),
        (good[..40].to_vec(), Refusal::PlanBroken),
        (bytes(head(2), [row(5), row(5)].into_iter()), Refusal::PlanBroken),
        (bytes(head(2), [row(6), row(5)].into_iter()), Refusal::PlanBroken),
    ];
    for (bytes, refusal) in refused {
        let mut plans = Plans::mount(blank());
        load(&mut plans, &old).unwrap();
        assert_eq!(load(&mut plans, &bytes), Err(refusal));
        assert_eq!(plans.plan_state().in_force.unwrap().plan, name(&old));
        assert_eq!(in_force(plans.into_flash()), Some(name(&old)));
    }
    let mut plans = Plans::mount(blank());
    load(&mut plans, &old).unwrap();
    let room = plans.plan_state().room;
    assert_eq!(plans.plan_begin(room + 4, 1), Err(Refusal::PlanTooLong));
    assert_eq!(plans.plan_begin(90, 1), Err(Refusal::PlanBroken), "no whole words");
    // Bytes that do not match the name.
    assert_eq!(plans.plan_begin(96, 1), Ok(0));
    for at in [0, 48] {
        plans
            .plan_part(at, &Part::new(&good[usize::from(at)..usize::from(at) + 48]).unwrap())
            .unwrap();
    }
    assert_eq!(plans.plan_commit(1), Err(Refusal::PlanBroken));
    assert_eq!(in_force(plans.into_flash()), Some(name(&old)));
}

/// Each bit of the bank in force: once flipped, it is no longer that plan, and the older one
/// counts.
#[test]
fn a_bent_bit_is_never_a_plan() {
    let (old, new) = (plan(4, vet), plan(5, recheck));
    let mut plans = Plans::mount(Flash::<1024>::blank(2));
    load(&mut plans, &old).unwrap();
    load(&mut plans, &new).unwrap();
    let flash = plans.into_flash();
    assert_eq!(in_force(flash.clone()), Some(name(&new)));
    let mark = 1024..1024 + 20;
    let body = 1024 + 64..1024 + 64 + new.len();
    for byte in mark.chain(body) {
        for bit in 0..8 {
            let mut bent = flash.clone();
            bent.flip_bit(byte, bit);
            assert_eq!(in_force(bent), Some(name(&old)), "bit {bit} of byte {byte}");
        }
    }
}

/// A flash that fails, or lies, with the power on.
#[test]
fn a_failing_flash_leaves_the_old_plan_in_force_or_says_so() {
    let (old, new) = (plan(40, recheck), plan(41, vet));
    for fault in [Fault::Refused, Fault::Torn, Fault::SaidToFail, Fault::SaidToWork] {
        for nth in 1..14 {
            let mut plans = Plans::mount(Flash::<1024>::blank(2));
            load(&mut plans, &old).unwrap();
            let mut flash = plans.into_flash();
            flash.faults_in(nth, fault);
            let mut plans = Plans::mount(flash);
            let told = load(&mut plans, &new);
            let found = in_force(plans.into_flash());
            if told.is_ok() {
                assert_eq!(found, Some(name(&new)), "{fault:?} {nth}");
            } else {
                // Reported as failed in its last word, yet all there: the office loads again.
                let last = fault == Fault::SaidToFail && found == Some(name(&new));
                assert!(found == Some(name(&old)) || last, "{fault:?} {nth}: {found:?}");
            }
        }
    }
}

/// Bundles stand between the head and the cows, and both are found.
#[test]
fn bundles_and_first_claws_are_read_from_flash() {
    let bundle = |number: u8| {
        let part = BundlePart::new(Action::from_code(20).unwrap(), At::Foot, 0).unwrap();
        Bundle::new(number).unwrap().then(part).unwrap()
    };
    let inner = FirstClaws::OUTER.with(Foot::LeftHind, Side::Medial);
    let second = Head { bundles: 2, first_claws: inner, ..head(200) };
    let with = |bundles: [Bundle; 2]| {
        let rows = (1..=200).map(|n| Row::new(1, herd(3 * n), recheck(n)).to_bytes());
        let mut bytes = second.to_bytes().to_vec();
        bytes.extend(bundles.iter().flat_map(Bundle::to_bytes));
        bytes.extend(rows.flatten());
        bytes
    };
    let mut plans = Plans::mount(blank());
    assert_eq!(plans.bundle(2), None);
    assert_eq!(plans.first_claw(Foot::LeftHind), Side::Lateral);
    load(&mut plans, &with([bundle(2), bundle(7)])).unwrap();
    let mut plans = Plans::mount(plans.into_flash());
    for number in 0..=10 {
        let expected = [2, 7].contains(&number).then(|| bundle(number));
        assert_eq!(plans.bundle(number), expected, "{number}");
    }
    assert_eq!(plans.first_claw(Foot::LeftHind), Side::Medial);
    assert_eq!(plans.first_claw(Foot::RightHind), Side::Lateral);
    for n in 1..=600 {
        let listed = plans.standing(None, herd(n)) == Standing::Listed(recheck(n));
        assert_eq!(listed, n % 3 == 0, "{n}");
    }
    // Numbers twice, or out of order: no plan.
    for bundles in [[bundle(7), bundle(2)], [bundle(2), bundle(2)]] {
        assert_eq!(load(&mut plans, &with(bundles)), Err(Refusal::PlanBroken));
    }
}

#[test]
fn pages_of_four_kibibytes_work_alike() {
    let mut plans = Plans::mount(Flash::<4096>::blank(8));
    let plan = plan(2_000, recheck);
    load(&mut plans, &plan).unwrap();
    assert_eq!(in_force(plans.into_flash()), Some(name(&plan)));
    // One page cannot hold two banks.
    let mut plans = Plans::mount(Flash::<4096>::blank(1));
    assert_eq!(plans.plan_state().room, 0);
    assert_eq!(plans.plan_begin(72, 1), Err(Refusal::NoPlans));
}

/// The worked example in `PLAN.md`.
#[test]
fn a_bank_is_as_the_page_says() {
    let expected = worked(include_str!("../PLAN.md"), "bank").unwrap();
    let mut plans = Plans::mount(Flash::<1024>::blank(2));
    load(&mut plans, &plan(1, vet)).unwrap();
    assert_eq!(plans.into_flash().image()[..expected.len()], expected);
}
