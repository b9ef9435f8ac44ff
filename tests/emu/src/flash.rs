//! The log's flash as a file of bytes: the same bytes that the virtual handheld keeps.

use std::fs;

use hornrule_board_sim::flash_file::PAGE;
use hornrule_board_sim::{FlashFile, Identity};
use hornrule_core::log::{AppendError, Log};
use hornrule_protocol::{Boot, Entry, LogId, Record, Seq, Uptime, open, seal};

use crate::image::{CALLIPER, LOG_LENGTH, PLAN};

/// The flash regions other than the log's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beside {
    /// The calliper's setting.
    pub calliper: Vec<u8>,
    /// The plan.
    pub plan: Vec<u8>,
}

impl Beside {
    /// As it leaves the factory.
    #[must_use]
    pub fn blank() -> Self {
        let erased = |(_, length): (u32, u32)| vec![0xFF; length as usize];
        Self { calliper: erased(CALLIPER), plan: erased(PLAN) }
    }
}

/// Blank flash.
#[must_use]
pub fn blank() -> Vec<u8> {
    vec![0xFF; LOG_LENGTH as usize]
}

/// The log in these bytes, mounted here with the same code as on the chip.
fn mounted(flash: &[u8], fresh: LogId) -> Log<FlashFile> {
    // Once open the file needs no name, and mounting a log only reads.
    let file = tempfile::NamedTempFile::new().unwrap();
    fs::write(file.path(), flash).unwrap();
    let chip = FlashFile::open(file.path(), flash.len() / PAGE);
    Log::mount(chip.unwrap(), fresh).expect("the log does not mount")
}

/// Every record in flash, in order.
///
/// # Panics
/// If a record does not open or a number does not rise.
#[must_use]
pub fn records(flash: &[u8], identity: Identity) -> Vec<Record> {
    let mut log = mounted(flash, identity.fresh_log);
    let mut records = Vec::new();
    let mut from = Seq::FIRST;
    while let Some(sealed) = log.read_from(from).unwrap() {
        assert!(sealed.seq() >= from, "numbers rise");
        from = sealed.seq().next();
        records.push(open(identity.device, log.id(), &sealed).expect("a record does not open"));
    }
    records
}

/// What the trimmer entered, without what handheld and office add.
#[must_use]
pub fn said(flash: &[u8], identity: Identity) -> Vec<Entry> {
    let by_hand = |entry: &Entry| !matches!(entry, Entry::Started(_) | Entry::Clock { .. });
    records(flash, identity).iter().map(|record| record.entry).filter(by_hand).collect()
}

/// A log with this many records, or as many as fit, and how many it has.
#[must_use]
pub fn filled(identity: Identity, most: u32) -> (Vec<u8>, u32) {
    let file = tempfile::NamedTempFile::new().unwrap();
    let pages = LOG_LENGTH as usize / PAGE;
    let chip = FlashFile::open(file.path(), pages).unwrap();
    let mut log = Log::mount(chip, identity.fresh_log).expect("a blank flash mounts");
    while log.next().0 <= most {
        let (seq, entry) = (log.next(), Entry::AnimalLeft);
        let record = Record { boot: Boot(1), uptime: Uptime(u64::from(seq.0)), entry };
        let sealed = seal(identity.device, log.id(), seq, &record).unwrap();
        match log.append(&sealed) {
            Ok(_) => {}
            Err(AppendError::Full) => break,
            Err(error) => panic!("{error}"),
        }
    }
    (fs::read(file.path()).unwrap(), log.next().previous().0)
}
