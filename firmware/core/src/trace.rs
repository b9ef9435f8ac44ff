//! Log lines for the firmware's makers, through one door. Without the feature `defmt` every call is
//! nothing.

/// What is worth a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) enum Note {
    /// An entry is in flash under this number.
    Committed(u32),
    /// The log was full.
    Refused,
    /// The flash did not do as told.
    FlashFault,
    /// A frame did not hold together; how many by now.
    BadFrame(u32),
    /// A clip gave no value; how many by now.
    CalliperFault(u32),
}

/// Sends a line.
#[cfg(feature = "defmt")]
pub(crate) fn note(note: Note) {
    defmt::info!("{}", note);
}

/// Sends nothing.
#[cfg(not(feature = "defmt"))]
pub(crate) fn note(_note: Note) {}
