//! The ring log, on flash that fails on purpose.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]
#![expect(clippy::panic, reason = "a failed step is a failed test")]
#![expect(clippy::expect_used, reason = "a failed step is a failed test")]

mod cuts;
mod damage;
mod format;
mod model;
mod ring;

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::log::Log;
use hornrule_protocol::{LogId, Sealed, Seq};
use hornrule_testkit::flash::Flash;

const LOG: LogId = LogId(0x0A1B_2C3D);

/// A record of the right shape; its length and contents come from the salt. The log looks only at
/// length and number.
fn record(seq: Seq, salt: u8) -> Sealed {
    let body = 1 + salt % 30;
    let mut bytes = vec![1, body];
    bytes.extend(seq.0.to_le_bytes());
    bytes.extend((0..body + 4).map(|i| i.wrapping_mul(7).wrapping_add(salt)));
    Sealed::from_bytes(&bytes).unwrap()
}

fn mounted<const PAGE: usize>(flash: Flash<PAGE>) -> Log<Flash<PAGE>> {
    Log::mount(flash, LOG).unwrap_or_else(|(_, e)| panic!("cannot mount: {e}"))
}

fn append<F: NorFlash>(log: &mut Log<F>, count: u32) -> Vec<Sealed> {
    (0..count)
        .map(|_| {
            let sealed = record(log.next(), log.next().0 as u8);
            assert_eq!(log.append(&sealed).unwrap(), sealed.seq());
            sealed
        })
        .collect()
}

/// Every record from the oldest on, read the way the link reads.
fn all<F: NorFlash>(log: &mut Log<F>) -> Vec<Sealed> {
    let mut from = log.first();
    let mut records: Vec<Sealed> = Vec::new();
    while let Some(sealed) = log.read_from(from).unwrap() {
        assert!(sealed.seq() >= from, "numbers go back: {:?} after {from:?}", sealed.seq());
        from = sealed.seq().next();
        records.push(sealed);
    }
    records
}

/// Everything a log reports about itself.
fn state<F: NorFlash>(log: &Log<F>) -> [u32; 8] {
    let numbers = [log.id().0, log.first().0, log.next().0, log.released().0];
    let counts = [log.waiting(), log.free(), log.torn(), log.capacity()];
    [numbers, counts].concat().try_into().unwrap()
}

/// Mounts twice, offering a different id, and checks that nothing differs.
fn mounted_twice<const PAGE: usize>(flash: Flash<PAGE>) -> Log<Flash<PAGE>> {
    let once = mounted(flash);
    let before = state(&once);
    let flash = once.into_flash();
    let image = flash.image().to_vec();
    let again = Log::mount(flash, LogId(77)).unwrap();
    assert_eq!(state(&again), before, "mounting twice differs");
    let flash = again.into_flash();
    assert!(flash.image() == image, "the second mount wrote");
    mounted(flash)
}
