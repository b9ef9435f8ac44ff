//! The older two-word output, 48 bits: bits to value.
//!
//! ```text
//! sent first                                            sent last
//! | 24 bits, lowest first: since power-up | 24 bits: since zero was pressed |
//! two's complement; 20,480 counts per inch, whatever the display shows
//! ```
//!
//! Layout as published by several people who measured it; the makers publish none. One of them has
//! the words the other way round: a setting, proved by pressing zero. Three versions of the coding
//! are published as well; this is the one whose examples agree with one another.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperFault, CalliperKind, UnitMode};

use super::settings::{Settings, WordOrder};
use super::shown::Shown;

/// Bits in a packet.
pub const BITS: u8 = 48;

const WORD: u32 = 24;
/// A count is 25,400,000 / 20,480 nm = 79,375 / 64 nm.
const NUMERATOR: i64 = 79_375;
const DENOMINATOR: i64 = 64;
/// One count, rounded up, nanometres.
const STEP: u32 = 1_241;

/// Decodes the bits of a packet, bit 0 sent first.
///
/// # Errors
///
/// [`CalliperFault::WrongBits`] if a bit above the 48th is set; [`CalliperFault::Nonsense`] for a
/// length beyond two metres.
pub fn decode(bits: u64, settings: &Settings) -> Result<Shown, CalliperFault> {
    if bits >> BITS != 0 {
        return Err(CalliperFault::WrongBits);
    }
    let word = match settings.words {
        WordOrder::ZeroedLast => bits >> WORD,
        WordOrder::ZeroedFirst => bits & ((1 << WORD) - 1),
    };
    // The sign is bit 23: shifting up and back copies it into the bits above.
    let counts = ((word << (64 - WORD)) as i64) >> (64 - WORD);
    let scaled = counts * NUMERATOR;
    // To the nearest nanometre, halves away from zero.
    let half = if scaled < 0 { -DENOMINATOR / 2 } else { DENOMINATOR / 2 };
    let nm = i32::try_from((scaled + half) / DENOMINATOR).map_err(|_| CalliperFault::Nonsense)?;
    // Counted in fractions of an inch: the display's unit is not reported.
    Ok(Shown {
        length: Nanometres(nm),
        unit: UnitMode::Inch,
        kind: CalliperKind::Words48,
        step: STEP,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calliper::tests::bits;

    fn read(word: u64, settings: &Settings) -> Result<i32, CalliperFault> {
        decode(word, settings).map(|shown| shown.length.0)
    }

    // Worked by hand from the published scale: 25.4 mm / 20,480 per count, two's complement.
    #[test]
    fn worked_examples() {
        assert_eq!(bits("0101 1100 1011 0111 0000 0000"), 0x00_ED3A);
        for (word, counts, nm) in [
            (0x00_0000, 0, 0),
            (0x00_5000, 20_480, 25_400_000),
            (0x00_ED3A, 60_730, 75_319_434),
            (0xFF_FCDA, -806, -999_629),
            (0xFF_FFFF, -1, -1_240),
        ] {
            let exact = f64::from(counts) * 25.4e6 / 20_480.0;
            assert!((exact - f64::from(nm)).abs() <= 0.5, "{counts}");
            assert_eq!(read(word << 24, &Settings::DEFAULT), Ok(nm), "{counts}");
            // The word since power-up does not count.
            assert_eq!(read(word << 24 | 0x12_3456, &Settings::DEFAULT), Ok(nm), "{counts}");
            let first = Settings { words: WordOrder::ZeroedFirst, ..Settings::DEFAULT };
            assert_eq!(read(word | 0x12_3456 << 24, &first), Ok(nm), "{counts}");
        }
    }

    #[test]
    fn refuses_what_no_calliper_sends() {
        assert_eq!(read(1 << 48, &Settings::DEFAULT), Err(CalliperFault::WrongBits));
        assert_eq!(read(0x7F_FFFF << 24, &Settings::DEFAULT), Err(CalliperFault::Nonsense));
    }
}
