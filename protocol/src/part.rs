//! A piece of a plan on its way to the handheld.

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Most bytes in a piece: six cows. Two requests of that length still fit the receive queue of the
/// smallest board.
pub const MAX_PART: usize = 48;

/// Up to [`MAX_PART`] bytes. Owned, so that a request needs no lifetime; on the wire, the length
/// and then the bytes.
#[derive(Clone, Copy)]
pub struct Part {
    length: u8,
    bytes: [u8; MAX_PART],
}

impl Part {
    /// `None` for more than [`MAX_PART`] bytes.
    #[must_use]
    pub fn new(from: &[u8]) -> Option<Self> {
        let mut bytes = [0; MAX_PART];
        bytes.get_mut(..from.len())?.copy_from_slice(from);
        Some(Self { length: u8::try_from(from.len()).ok()?, bytes })
    }

    /// The bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8] {
        // `new` allows at most MAX_PART.
        &self.bytes[..usize::from(self.length)]
    }
}

impl PartialEq for Part {
    fn eq(&self, other: &Self) -> bool {
        self.as_bytes() == other.as_bytes()
    }
}

impl Eq for Part {}

impl core::fmt::Debug for Part {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} bytes", self.length)
    }
}

impl Serialize for Part {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_bytes(self.as_bytes())
    }
}

impl<'de> Deserialize<'de> for Part {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_bytes(Bytes)
    }
}

struct Bytes;

impl Visitor<'_> for Bytes {
    type Value = Part;

    fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "at most {MAX_PART} bytes")
    }

    fn visit_bytes<E: Error>(self, bytes: &[u8]) -> Result<Part, E> {
        Part::new(bytes).ok_or_else(|| E::invalid_length(bytes.len(), &self))
    }
}
