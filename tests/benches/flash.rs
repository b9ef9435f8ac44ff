//! Our log compared with a general flash queue (`sequential-storage`) on the same fake flash, with
//! the same sealed records. Counts, not times: they are the same on every computer.
//!
//! `cargo bench -p hornrule-tests --bench flash`
//!
//! The queue's own way of releasing (`pop`) programs a word a second time, which flash with error
//! correction forbids and this fake refuses. So it releases by overwriting its oldest page.
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

use core::future::Future;
use core::pin::pin;
use core::task::{Context, Poll, Waker};

use embedded_storage::nor_flash::{ErrorType, NorFlash as _, ReadNorFlash as _};
use hornrule_core::log::Log;
use hornrule_protocol::record::{Finding, Reading};
use hornrule_protocol::{
    Boot, DeviceId, Dimension, Entry, Lesion, LogId, Nanometres, Place, Record, Sealed, Seq,
    Uptime, seal,
};
use hornrule_testkit::flash::Flash;
use sequential_storage::cache::Cache;
use sequential_storage::queue::{QueueConfig, QueueStorage};

type Chip = Flash<1024>;

const PAGES: usize = 64;
/// Records written in the steady state: many times around the ring.
const RECORDS: u32 = 20_000;
/// The office releases after this many: half a ring.
const DAY: u32 = 600;

fn sealed(seq: Seq) -> Sealed {
    let place = Place::try_from(4 + (seq.0 % 8) as u8).unwrap();
    let entry = if seq.0.is_multiple_of(2) {
        Entry::Finding(Finding {
            lesion: Lesion::from_code(13).unwrap(),
            place,
            grade: 2,
            zone: None,
        })
    } else {
        Entry::Reading(Reading {
            length: Nanometres::from_mm(75),
            dimension: Dimension::DORSAL_WALL,
            place,
            unit: hornrule_protocol::record::UnitMode::Millimetre,
            kind: hornrule_protocol::record::CalliperKind::Sync24,
        })
    };
    let record = Record { boot: Boot(1), uptime: Uptime(u64::from(seq.0) * 9_000), entry };
    seal(DeviceId(1), LogId(1), seq, &record).unwrap()
}

/// The fake, for a queue that awaits its flash.
struct Waited(Chip);

impl ErrorType for Waited {
    type Error = <Chip as ErrorType>::Error;
}

impl embedded_storage_async::nor_flash::ReadNorFlash for Waited {
    const READ_SIZE: usize = 1;
    async fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), Self::Error> {
        self.0.read(offset, bytes)
    }
    fn capacity(&self) -> usize {
        self.0.capacity()
    }
}

impl embedded_storage_async::nor_flash::NorFlash for Waited {
    const WRITE_SIZE: usize = 4;
    const ERASE_SIZE: usize = 1024;
    async fn erase(&mut self, from: u32, to: u32) -> Result<(), Self::Error> {
        self.0.erase(from, to)
    }
    async fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), Self::Error> {
        self.0.write(offset, bytes)
    }
}

/// Nothing here ever waits: one poll is enough.
fn at_once<T>(future: impl Future<Output = T>) -> T {
    match pin!(future).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(value) => value,
        Poll::Pending => unreachable!("the fake flash never waits"),
    }
}

fn row(what: &str, fit: u32, flash: &Chip, records: u32) {
    let per_thousand = |count: u64| count as f64 * 1000.0 / f64::from(records);
    let erases: u64 = flash.erases().iter().map(|count| u64::from(*count)).sum();
    println!(
        "| {what:<22} | {fit:>7} | {:>16.1} | {:>22.0} | {:>21.1} |",
        (PAGES * 1024) as f64 / f64::from(fit),
        per_thousand(flash.programs()),
        per_thousand(erases)
    );
}

fn ours() {
    let mut log = Log::format(Chip::blank(PAGES), LogId(1)).ok().unwrap();
    let mut fit = 0;
    while log.append(&sealed(log.next())).is_ok() {
        fit += 1;
    }
    let mut log = Log::format(Chip::blank(PAGES), LogId(1)).ok().unwrap();
    for count in 0..RECORDS {
        log.append(&sealed(log.next())).unwrap();
        if count % DAY == DAY - 1 {
            log.release_through(log.next().previous()).unwrap();
        }
    }
    row("hornrule log", fit, &log.into_flash(), RECORDS);
}

fn general_queue() {
    let config = || QueueConfig::new(0..(PAGES * 1024) as u32);
    let mut queue = QueueStorage::new(Waited(Chip::blank(PAGES)), config(), Cache::new_uncached());
    let mut fit = 0;
    while at_once(queue.push(sealed(Seq(fit + 1)).as_bytes(), false)).is_ok() {
        fit += 1;
    }
    let mut queue = QueueStorage::new(Waited(Chip::blank(PAGES)), config(), Cache::new_uncached());
    for count in 0..RECORDS {
        at_once(queue.push(sealed(Seq(count + 1)).as_bytes(), true)).unwrap();
    }
    let (flash, _cache) = queue.destroy();
    row("sequential-storage", fit, &flash.0, RECORDS);
}

fn main() {
    if std::env::args().any(|word| word == "--test") {
        return;
    }
    println!(
        "| {PAGES} pages of 1 KiB      | records | bytes per record | words per 1,000 records | pages erased per 1,000 |"
    );
    println!("| --- | --- | --- | --- | --- |");
    ours();
    general_queue();
}
