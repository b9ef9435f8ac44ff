//! `FLASH.md` against the code. Its hex was computed independently of this project's code, with the
//! CRC-32 of zlib (Python's `zlib.crc32` and `struct`).

use hornrule_core::log::Log;
use hornrule_protocol::{Sealed, Seq};
use hornrule_testkit::flash::{LargePages, SmallPages};

use crate::{LOG, mounted};

const PAGE_HEADER: usize = 16;
const SLOT: usize = 48;

/// The hex lines of the block after `<!-- name -->`.
fn worked(name: &str) -> Vec<u8> {
    let text = include_str!("../../FLASH.md");
    let (_, after) = text.split_once(&format!("<!-- {name} -->\n```text\n")).unwrap();
    let (block, _) = after.split_once("```").unwrap();
    let hex = |line: &str| -> Vec<u8> {
        let (_, bytes) = line.split_once(": ").unwrap();
        bytes.split(' ').map(|b| u8::from_str_radix(b, 16).unwrap()).collect()
    };
    block.lines().flat_map(hex).collect()
}

fn slot(flash: &SmallPages, slot: usize) -> &[u8] {
    &flash.image()[PAGE_HEADER + SLOT * slot..][..SLOT]
}

#[test]
fn the_worked_bytes_are_the_written_ones() {
    let mut log = mounted(SmallPages::blank(3));
    let bytes = [1, 3, 1, 0, 0, 0, 0x10, 0x20, 0x30, 0xA1, 0xB2, 0xC3, 0xD4];
    log.append(&Sealed::from_bytes(&bytes).unwrap()).unwrap();
    let flash = log.into_flash();
    assert_eq!(&flash.image()[..PAGE_HEADER], worked("header"));
    assert_eq!(slot(&flash, 0), worked("mark"));
    assert_eq!(slot(&flash, 1), [0xFF; SLOT], "one slot is left out at each start");
    assert_eq!(slot(&flash, 2), worked("record"));
}

#[test]
fn the_worked_bytes_are_read() {
    let mut image = vec![0xFF; 3 * 1024];
    image[..PAGE_HEADER].copy_from_slice(&worked("header"));
    image[PAGE_HEADER..PAGE_HEADER + SLOT].copy_from_slice(&worked("mark"));
    image[PAGE_HEADER + 2 * SLOT..][..SLOT].copy_from_slice(&worked("record"));
    let mut log = Log::mount(SmallPages::load(&image), hornrule_protocol::LogId(5)).unwrap();
    assert_eq!((log.id(), log.first(), log.next()), (LOG, Seq(1), Seq(2)));
    let sealed = log.read_from(Seq(1)).unwrap().unwrap();
    assert_eq!(sealed.as_bytes()[9..], [0xA1, 0xB2, 0xC3, 0xD4]);
}

#[test]
fn pages_hold_as_many_slots_as_written_down() {
    assert_eq!(mounted(SmallPages::blank(190)).capacity(), 3_948);
    assert_eq!(mounted(SmallPages::blank(128)).capacity(), 2_646);
    assert_eq!(mounted(LargePages::blank(64)).capacity(), 5_270);
}

/// The wear figures in `FLASH.md`: 47.6 erases per 1,000 records with 1 KiB pages, 11.8 with 4 KiB.
#[test]
fn a_thousand_records_take_as_many_erases_as_written_down() {
    fn erases<const PAGE: usize>() -> u32 {
        let mut log = mounted(hornrule_testkit::flash::Flash::<PAGE>::blank(8));
        let before: u32 = 8 + u32::from(PAGE == 0);
        for _ in 0..100 {
            crate::append(&mut log, 100);
            log.release_through(log.next().previous()).unwrap();
        }
        log.into_flash().erases().iter().sum::<u32>() - before
    }
    // 10,000 records and 100 marks, two slots skipped or used by the format.
    assert_eq!(erases::<1024>(), (10_000 + 100 + 2) / 21);
    assert_eq!(erases::<4096>(), (10_000 + 100 + 2) / 85);
}
