//! The receiving side of the line: bytes in, whole frames out.
//!
//! After a frame that is damaged or too long, everything up to the next zero is dropped, so the
//! tail of an over-long frame is never taken for a frame of its own. That is why this is our own
//! reader and not a general one.

use crate::frame::{Frame, FrameError};

/// Collects the bytes of one frame. `N` is the longest frame before COBS is undone, without zeros.
pub struct Deframer<const N: usize> {
    buffer: [u8; N],
    length: usize,
    too_long: bool,
}

impl<const N: usize> Default for Deframer<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> Deframer<N> {
    /// A reader with nothing received yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { buffer: [0; N], length: 0, too_long: false }
    }

    /// Takes one byte. Gives a frame, or what was wrong with it, at each zero that ends something;
    /// repeated zeros mean nothing.
    pub fn push(&mut self, byte: u8) -> Option<Result<Frame<'_>, FrameError>> {
        if byte != 0 {
            match self.buffer.get_mut(self.length) {
                Some(place) => {
                    *place = byte;
                    self.length += 1;
                }
                None => self.too_long = true,
            }
            return None;
        }
        let length = core::mem::take(&mut self.length);
        if core::mem::take(&mut self.too_long) {
            return Some(Err(FrameError::TooLong));
        }
        if length == 0 {
            return None;
        }
        let decoded = cobs::decode_in_place(&mut self.buffer[..length]);
        Some(match decoded {
            Ok(plain) => Frame::check(&self.buffer[..plain]),
            Err(_) => Err(FrameError::Damaged),
        })
    }
}
