//! Log lines for the firmware's developers, all in one place. Without the feature `defmt` every
//! call does nothing.

/// What gets a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) enum Note {
    /// An entry is in flash under this number.
    Committed(u32),
    /// The log was full.
    Refused,
    /// The flash did not do what it was told.
    FlashFault,
    /// A damaged frame, with the count so far.
    BadFrame(u32),
    /// A clip that gave no value, with the count so far.
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
