//! What the link needs from a log. The trait belongs to the link, so that the link knows nothing of
//! flash.

use hornrule_protocol::message::{Hello, Refusal};
use hornrule_protocol::{DeviceId, LogId, Sealed, Seq};

use super::Now;

/// Sealed records in the order of their numbers.
pub trait Shelf {
    /// The handheld.
    fn device(&self) -> DeviceId;
    /// The log.
    fn log(&self) -> LogId;
    /// Oldest record still there; `next` if there is none.
    fn first(&self) -> Seq;
    /// The number the next record will get.
    fn next(&self) -> Seq;
    /// Last released record.
    fn released(&self) -> Seq;

    /// First record with this number or higher; `None` at the end.
    ///
    /// # Errors
    /// `Gone` below [`Self::first`], `FlashFault`.
    fn read_from(&mut self, from: Seq) -> Result<Option<Sealed>, Refusal>;

    /// Releases records through this one. Old and repeated calls change nothing. Returns what is
    /// now released.
    ///
    /// # Errors
    /// `NotYet` for a record that does not exist, `FlashFault`.
    fn release_through(&mut self, through: Seq) -> Result<Seq, Refusal>;

    /// Who this is and what it holds.
    fn hello(&self, now: Now) -> Hello {
        Hello {
            device: self.device(),
            log: self.log(),
            firmware: now.firmware,
            boot: now.boot,
            first: self.first(),
            next: self.next(),
            released: self.released(),
        }
    }
}
