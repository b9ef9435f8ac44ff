//! Blank, torn, not ours and newer are four different answers, and no flipped bit makes a value.

use hornrule_core::log::{Log, MountError};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{LogId, Seq};
use hornrule_testkit::flash::{Flash, SmallPages};
use hornrule_testkit::seeded::Seeded;

use crate::{LOG, all, append, mounted, mounted_twice};

fn refused<const PAGE: usize>(
    flash: Flash<PAGE>,
) -> MountError<hornrule_testkit::flash::FlashError> {
    let image = flash.image().to_vec();
    let (flash, error) = Log::mount(flash, LOG).expect_err("there is no log here");
    assert!(flash.image() == image, "a refused mount wrote");
    assert!(flash.erases().iter().all(|n| *n == 0), "a refused mount erased");
    let formatted = Log::format(flash, LOG).unwrap();
    assert_eq!(formatted.next(), Seq(1), "a format on command takes over");
    error
}

#[test]
fn p5_bytes_of_others_are_not_ours() {
    let mut seeded = Seeded::new(7);
    let garbage: Vec<u8> = (0..4096).map(|_| seeded.any() as u8).collect();
    assert_eq!(refused(SmallPages::load(&garbage)), MountError::NotOurs);
    for page in 0..4 {
        let mut image = vec![0xFF; 4096];
        image[page * 1024..][..4].copy_from_slice(b"FILE");
        assert_eq!(refused(SmallPages::load(&image)), MountError::NotOurs, "page {page}");
        let mut image = vec![0xFF; 4096];
        image[page * 1024 + 500] = 0x7F;
        assert_eq!(refused(SmallPages::load(&image)), MountError::NotOurs, "page {page}");
    }
}

#[test]
fn p5_a_newer_format_is_newer_and_stays() {
    let mut log = mounted(SmallPages::blank(4));
    append(&mut log, 40);
    let mut image = log.into_flash().image().to_vec();
    image[1024 + 2] = 9;
    let check = CRC.checksum(&image[1024..1024 + 12]).to_le_bytes();
    image[1024 + 12..1024 + 16].copy_from_slice(&check);
    assert_eq!(refused(SmallPages::load(&image)), MountError::Newer { version: 9 });
    // Damage does not look like a newer version: the same version with a wrong checksum.
    image[1024 + 12] ^= 1;
    let mut log = mounted(SmallPages::load(&image));
    assert_eq!(all(&mut log).len(), 40, "a damaged header loses no record");
}

#[test]
fn p5_a_log_without_a_whole_header_is_torn() {
    let mut log = mounted(SmallPages::blank(4));
    append(&mut log, 5);
    let flash = log.into_flash();
    for bit in 3 * 8..16 * 8 {
        let mut flash = SmallPages::load(flash.image());
        flash.flip_bit(bit / 8, (bit % 8) as u8);
        assert_eq!(refused(flash), MountError::Torn, "bit {bit}");
    }
}

/// A log whose ring has gone round, with waiting records in three pages and marks among them.
fn well_used() -> (SmallPages, Vec<hornrule_protocol::Sealed>) {
    let mut log = mounted(SmallPages::blank(4));
    for _ in 0..7 {
        append(&mut log, 17);
        log.release_through(log.next().previous()).unwrap();
    }
    append(&mut log, 30);
    let records = all(&mut log);
    (log.into_flash(), records)
}

/// After one flipped bit, each record is there unchanged or not at all, at most one is missing, and
/// no number is used twice.
#[test]
fn p5_every_flipped_bit_is_detected() {
    let (flash, records) = well_used();
    let whole = mounted(flash.clone());
    let (next, released) = (whole.next(), whole.released());
    let mut vanished = 0;
    for byte in (0..flash.image().len()).filter(|b| b % 1024 < 16 || b % 3 == 0) {
        let mut flash = flash.clone();
        flash.flip_bit(byte, (byte % 8) as u8);
        let mut log = mounted(flash);
        assert_eq!(log.id(), LOG);
        assert!(log.next() >= next && log.next() <= next.next(), "byte {byte}: {:?}", log.next());
        assert!(log.released() <= released, "byte {byte}: {:?}", log.released());
        let found = all(&mut log);
        let there = found.iter().filter(|r| records.contains(r)).count();
        assert_eq!(there, found.len(), "byte {byte}: another value");
        assert!(there + 1 >= records.len(), "byte {byte}: {there} records left");
        vanished += usize::from(there < records.len());
        let in_header = byte % 1024 < 16;
        assert!(!in_header || there == records.len(), "byte {byte}: a header loses nothing");
    }
    assert!(vanished > records.len(), "no flip was ever noticed: this test tests nothing");
}

#[test]
fn p5_every_bit_of_one_slot_and_one_header() {
    let (flash, records) = well_used();
    let head = head_page(&flash);
    for bit in 0..(16 + 48 * 2) * 8 {
        let mut flash = flash.clone();
        flash.flip_bit(head * 1024 + bit / 8, (bit % 8) as u8);
        let mut log = mounted_twice(flash);
        let found = all(&mut log);
        assert!(found.iter().all(|r| records.contains(r)), "bit {bit}: another value");
        assert!(found.len() + 1 >= records.len(), "bit {bit}");
    }
}

fn head_page(flash: &SmallPages) -> usize {
    let first = |page: usize| {
        let at = page * 1024 + 8;
        u32::from_le_bytes(flash.image()[at..at + 4].try_into().unwrap())
    };
    (0..4).max_by_key(|page| first(*page)).unwrap()
}

/// The log's last record is damaged: its number must not go to another record, since the office may
/// already have the damaged one.
#[test]
fn p5_the_number_of_a_damaged_last_record_is_not_given_again() {
    let mut log = mounted(SmallPages::blank(4));
    append(&mut log, 7);
    let flash = log.into_flash();
    let last = 16 + 48 * (2 + 6);
    for byte in (0..8).chain(44..48) {
        let mut flash = flash.clone();
        flash.flip_bit(last + byte, 3);
        let mut log = mounted_twice(flash);
        assert_eq!((log.next(), log.torn(), log.waiting()), (Seq(8), 1, 7));
        assert_eq!(all(&mut log).len(), 6);
        append(&mut log, 2);
        let numbers: Vec<u32> = all(&mut log).iter().map(|r| r.seq().0).collect();
        assert_eq!(numbers, [1, 2, 3, 4, 5, 6, 8, 9], "the gap shows");
    }
}

#[test]
fn two_whole_logs_are_torn() {
    let build = |id| {
        let mut log = Log::mount(SmallPages::blank(4), LogId(id)).unwrap();
        append(&mut log, 30);
        log.into_flash().image().to_vec()
    };
    let mut image = build(1);
    image[1024..].copy_from_slice(&build(2)[1024..]);
    assert_eq!(refused(SmallPages::load(&image)), MountError::Torn);
}

#[test]
fn a_format_replaces_the_log_under_a_new_id() {
    let (flash, _) = well_used();
    let (flash, error) = Log::format(flash, LOG).expect_err("the same id");
    assert_eq!(error, MountError::SameLog);
    let log = Log::format(flash, LogId(9)).unwrap();
    assert_eq!((log.id(), log.next(), log.waiting()), (LogId(9), Seq(1), 0));
    let mut log = mounted_twice(log.into_flash());
    let sealed = append(&mut log, 100 - 60);
    assert_eq!(all(&mut mounted_twice(log.into_flash())), sealed);
}
