//! The flash log, as the link wants to see it.

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::message::Refusal;
use hornrule_protocol::{DeviceId, LogId, Sealed, Seq};

use crate::link::Shelf;
use crate::log::{Log, ReadError, ReleaseError};

/// A log and the handheld it belongs to.
pub(super) struct LogShelf<'a, F: NorFlash> {
    pub(super) device: DeviceId,
    pub(super) log: &'a mut Log<F>,
}

impl<F: NorFlash> Shelf for LogShelf<'_, F> {
    fn device(&self) -> DeviceId {
        self.device
    }

    fn log(&self) -> LogId {
        self.log.id()
    }

    fn first(&self) -> Seq {
        self.log.first()
    }

    fn next(&self) -> Seq {
        self.log.next()
    }

    fn released(&self) -> Seq {
        self.log.released()
    }

    fn read_from(&mut self, from: Seq) -> Result<Option<Sealed>, Refusal> {
        self.log.read_from(from).map_err(|error| match error {
            ReadError::Gone { .. } => Refusal::Gone,
            ReadError::Flash(_) => Refusal::FlashFault,
        })
    }

    fn release_through(&mut self, through: Seq) -> Result<Seq, Refusal> {
        self.log.release_through(through).map_err(|error| match error {
            ReleaseError::Beyond { .. } => Refusal::NotYet,
            ReleaseError::NotKept | ReleaseError::Flash(_) => Refusal::FlashFault,
        })
    }
}
