//! Writes records into a log of three pages of 4 KiB, by `hornrule-core` of version 0.1.0.
//!
//!     large RECORDS IMAGE
//!
//! A line a record: number, tab, sealed bytes in hexadecimal. Released while it goes on, so that the
//! ring comes to its second lap, and started anew every hundred records. No part of the project is built
//! from this file.

use hornrule_core::log::Log;
use hornrule_protocol::{LogId, Sealed, Seq};
use hornrule_testkit::flash::LargePages;

fn main() {
    let mut args = std::env::args().skip(1);
    let (from, to) = (args.next().unwrap(), args.next().unwrap());
    let mut log = Log::mount(LargePages::blank(3), LogId(0xa1de0002)).map_err(|_| ()).unwrap();
    for (at, line) in std::fs::read_to_string(from).unwrap().lines().enumerate() {
        let hex = line.split('\t').nth(1).unwrap();
        let bytes: Vec<u8> =
            (0..hex.len() / 2).map(|i| u8::from_str_radix(&hex[2 * i..][..2], 16).unwrap()).collect();
        log.append(&Sealed::from_bytes(&bytes).unwrap()).unwrap();
        if at % 40 == 39 {
            log.release_through(Seq(log.next().0 - 11)).unwrap();
        }
        if at % 100 == 99 {
            // A start in between.
            log = Log::mount(log.into_flash(), LogId(7)).map_err(|_| ()).unwrap();
        }
    }
    println!("first {} next {} waiting {}", log.first().0, log.next().0, log.waiting());
    std::fs::write(to, log.into_flash().image()).unwrap();
}
