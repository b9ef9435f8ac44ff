//! The calliper's setting on flash: stores, and power failing at every step of one.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::plan::{CalliperShelf, Plans};
use hornrule_protocol::calliper::{CalliperSetting, InchCode, Level, SignBit, Slope, WordOrder};
use hornrule_protocol::message::Refusal;
use hornrule_protocol::record::CalliperKind;
use hornrule_testkit::flash::{Fault, Flash, HalfErase};
use hornrule_testkit::page::worked;

type Chip = Flash<1024>;

/// The worked example in the format document.
const BCD: CalliperSetting = CalliperSetting {
    kind: CalliperKind::Bcd52,
    slope: Slope::Rising,
    one: Level::Low,
    sign: SignBit::Bit20,
    inch: InchCode::Eight,
    words: WordOrder::ZeroedLast,
};
const SYNC: CalliperSetting = CalliperSetting {
    kind: CalliperKind::Sync24,
    slope: Slope::Falling,
    one: Level::High,
    sign: SignBit::Bit21,
    inch: InchCode::One,
    words: WordOrder::ZeroedLast,
};

fn mounted(calliper: Chip) -> Plans<Chip> {
    Plans::mount(Flash::blank(4)).with_calliper(calliper)
}

fn in_force(calliper: Chip) -> Option<CalliperSetting> {
    mounted(calliper).calliper()
}

fn stored(settings: &[CalliperSetting]) -> Chip {
    let mut plans = mounted(Flash::blank(2));
    settings.iter().for_each(|setting| plans.calliper_store(*setting).unwrap());
    plans.into_calliper_flash().unwrap()
}

#[test]
fn the_newest_setting_is_found_again_and_not_written_twice() {
    assert_eq!(in_force(Flash::blank(2)), None);
    assert_eq!(in_force(stored(&[BCD])), Some(BCD));
    assert_eq!(in_force(stored(&[BCD, SYNC])), Some(SYNC));
    assert_eq!(in_force(stored(&[BCD, SYNC, BCD])), Some(BCD));
    let once = stored(&[SYNC]);
    let steps = once.steps();
    let mut again = mounted(once);
    again.calliper_store(SYNC).unwrap();
    assert_eq!(again.into_calliper_flash().unwrap().steps(), steps, "nothing was written");
}

#[test]
fn power_cut_at_every_step_of_a_store() {
    for before in [&[][..], &[SYNC], &[BCD, SYNC], &[SYNC, BCD, SYNC]] {
        let prepared = stored(before);
        let start = prepared.steps();
        let mut whole = mounted(prepared.clone());
        whole.calliper_store(BCD).unwrap();
        let length = whole.into_calliper_flash().unwrap().steps() - start;
        assert!(length > 20, "every byte is a step");
        let (mut kept, mut changed) = (0, 0);
        for half_erase in HalfErase::ALL {
            for at in 0..=length {
                let mut flash = prepared.clone();
                flash.seed(at + 1);
                flash.half_erase(half_erase);
                flash.dies_after(at);
                let mut plans = mounted(flash);
                let told = plans.calliper_store(BCD);
                assert_eq!(told.is_ok(), at == length);
                if told.is_err() {
                    assert_eq!(told, Err(Refusal::FlashFault));
                    assert_eq!(plans.calliper(), before.last().copied(), "the old one, at once");
                }
                let mut flash = plans.into_calliper_flash().unwrap();
                flash.revive();
                match in_force(flash.clone()) {
                    found if found == before.last().copied() => kept += 1,
                    Some(BCD) => changed += 1,
                    other => panic!("cut at {at}: {other:?} is in force"),
                }
                let mut again = mounted(flash);
                again.calliper_store(BCD).unwrap();
                assert_eq!(in_force(again.into_calliper_flash().unwrap()), Some(BCD));
            }
        }
        // The new one can only be in force once its checksum's last byte is being written.
        assert!(kept >= 4 * (length - 4) && changed >= 4, "{kept} {changed} {length}");
    }
}

#[test]
fn a_handheld_without_a_place_for_it_says_so() {
    let mut none = Plans::mount(Chip::blank(4));
    assert_eq!(none.calliper_store(BCD), Err(Refusal::NotKept));
    let mut small = mounted(Flash::blank(1));
    assert_eq!(small.calliper_store(BCD), Err(Refusal::NotKept));
    assert_eq!(small.calliper(), None);
}

/// Each operation of a store fails in each way; what is reported is what is found afterwards.
#[test]
fn a_flash_that_does_not_take_it_leaves_the_old_one() {
    for fault in [Fault::Refused, Fault::Torn, Fault::SaidToFail, Fault::SaidToWork] {
        for nth in 1..=3 {
            let mut flash = stored(&[SYNC]);
            flash.faults_in(nth, fault);
            let mut plans = mounted(flash);
            let expected = match plans.calliper_store(BCD) {
                Ok(()) => BCD,
                Err(refusal) => {
                    assert_eq!(refusal, Refusal::FlashFault);
                    SYNC
                }
            };
            assert_eq!(plans.calliper(), Some(expected), "{fault:?} {nth}");
            let flash = plans.into_calliper_flash().unwrap();
            assert_eq!(in_force(flash), Some(expected), "{fault:?} {nth}");
        }
    }
}

/// The document's own bytes are what is written.
#[test]
fn the_worked_bytes_are_those_on_flash() {
    let bytes = worked(include_str!("../PLAN.md"), "calliper").unwrap();
    assert_eq!(bytes.len(), 20);
    assert_eq!(stored(&[BCD]).image()[..20], bytes[..]);
    // A newer version, or a setting this firmware does not know, counts as none.
    for (at, byte) in [(2, 2), (8, 4)] {
        let mut other = bytes.clone();
        other[at] = byte;
        let check = hornrule_protocol::seal::CRC.checksum(&other[..16]);
        other[16..].copy_from_slice(&check.to_le_bytes());
        let mut flash = Chip::blank(2);
        embedded_storage::nor_flash::NorFlash::write(&mut flash, 0, &other).unwrap();
        assert_eq!(in_force(flash), None);
    }
}
