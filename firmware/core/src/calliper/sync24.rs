//! The 24-bit synchronous output: bits to value.
//!
//! ```text
//! sent first                                             sent last
//! bit  0 ....................... 19 | 20    | 21    | 22    | 23
//!      magnitude, lowest bit first  | sign  | zero  | zero  | 1 = inch
//!                                     (or 21)
//! millimetres: 1 count = 0.01 mm      inches: 1 count = 0.0005 in
//! ```
//!
//! Layout as published by several people who measured it; the makers publish none.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperFault, CalliperKind, UnitMode};

use super::settings::{Settings, SignBit};
use super::shown::Shown;

/// Bits in a packet.
pub const BITS: u8 = 24;

const MAGNITUDE: u32 = 0x000F_FFFF;
const UNUSED_OR_SIGN: u32 = 0x0070_0000;
const INCH: u32 = 0x0080_0000;

/// The magnitude formed by the first 24 bits of a 52-bit packet: four digits F, then a plus. The
/// price is that 655.35 mm and 32.7675 in are never read, which is beyond a hand calliper's reach.
const HEAD_OF_BCD52: u32 = 0x0000_FFFF;

/// Nanometres per count: 0.01 mm.
const STEP_MM: i32 = 10_000;
/// Nanometres per count: 0.0005 in of 25.4 mm.
const STEP_INCH: i32 = 12_700;

/// Decodes the bits of a packet, bit 0 sent first.
///
/// # Errors
///
/// [`CalliperFault::WrongBits`] if a bit above the 24th is set, or if these are the first 24 bits
/// of a 52-bit packet cut short at a digit's end; [`CalliperFault::Nonsense`] if an unused bit is
/// set or the length is beyond two metres. The unused bits reveal a wrong polarity, because
/// inverted they are ones, and a wrong sign position.
pub fn decode(bits: u64, settings: &Settings) -> Result<Shown, CalliperFault> {
    let word = u32::try_from(bits).map_err(|_| CalliperFault::WrongBits)?;
    if word >> BITS != 0 || word & MAGNITUDE == HEAD_OF_BCD52 {
        return Err(CalliperFault::WrongBits);
    }
    let sign = match settings.sign {
        SignBit::Bit20 => 1 << 20,
        SignBit::Bit21 => 1 << 21,
    };
    if word & UNUSED_OR_SIGN & !sign != 0 {
        return Err(CalliperFault::Nonsense);
    }
    let (unit, step) = if word & INCH == 0 {
        (UnitMode::Millimetre, STEP_MM)
    } else {
        (UnitMode::Inch, STEP_INCH)
    };
    let magnitude = (word & MAGNITUDE).cast_signed();
    let length = magnitude.checked_mul(step).ok_or(CalliperFault::Nonsense)?;
    // Minus zero is zero: an integer has only one zero.
    let length = Nanometres(if word & sign == 0 { length } else { -length });
    Ok(Shown { length, unit, kind: CalliperKind::Sync24, step: step.unsigned_abs() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calliper::tests::bits;

    const BIT_21: Settings = Settings { sign: SignBit::Bit21, ..Settings::DEFAULT };

    fn read(sent: &str) -> Result<(i32, UnitMode), CalliperFault> {
        decode(bits(sent), &Settings::DEFAULT).map(|shown| (shown.length.0, shown.unit))
    }

    // Worked examples, computed by hand from the bit layout that several people published.
    #[test]
    fn worked_examples() {
        use UnitMode::{Inch, Millimetre};
        for (sent, word, nm, unit) in [
            ("0000 0000 0000 0000 0000 0000", 0x00_0000, 0, Millimetre),
            ("1000 0000 0000 0000 0000 0000", 0x00_0001, 10_000, Millimetre),
            ("0011 0110 1011 1000 0000 0000", 0x00_1D6C, 75_320_000, Millimetre),
            ("0001 1001 0101 1100 0000 0000", 0x00_3A98, 150_000_000, Millimetre),
            ("1100 0110 0000 0000 0000 1000", 0x10_0063, -990_000, Millimetre),
            ("1101 0100 1110 1000 0000 0001", 0x80_172B, 75_323_700, Inch),
            ("0111 0010 0000 0000 0000 1001", 0x90_004E, -990_600, Inch),
        ] {
            assert_eq!(bits(sent), word, "{sent}");
            assert_eq!(read(sent), Ok((nm, unit)), "{sent}");
        }
    }

    #[test]
    fn sign_one_place_later() {
        let sent = "1100 0110 0000 0000 0000 0100";
        assert_eq!(bits(sent), 0x20_0063);
        assert_eq!(decode(bits(sent), &BIT_21).map(|s| s.length.0), Ok(-990_000));
        // With the other setting each is refused, not read as a positive length.
        assert_eq!(read(sent), Err(CalliperFault::Nonsense));
        assert_eq!(decode(0x10_0063, &BIT_21), Err(CalliperFault::Nonsense));
    }

    #[test]
    fn minus_zero_is_zero() {
        assert_eq!(decode(0x10_0000, &Settings::DEFAULT).map(|s| s.length.0), Ok(0));
        assert_eq!(decode(0x20_0000, &BIT_21).map(|s| s.length.0), Ok(0));
    }

    #[test]
    fn refuses_what_no_calliper_sends() {
        let read = |word| decode(word, &Settings::DEFAULT).map(|s| s.length.0);
        assert_eq!(read(0x40_0000), Err(CalliperFault::Nonsense), "unused bit 22");
        assert_eq!(read(0x0F_FFFF), Err(CalliperFault::Nonsense), "10 m");
        // The longest that fits 31 bits of nanometres, and one count more.
        assert_eq!(read(214_748), Ok(2_147_480_000));
        assert_eq!(read(214_749), Err(CalliperFault::Nonsense));
        // The head of a 52-bit packet, and its neighbours.
        assert_eq!(read(0xFFFF), Err(CalliperFault::WrongBits));
        assert_eq!(read(0x80_FFFF), Err(CalliperFault::WrongBits));
        assert_eq!(read(0xFFFE), Ok(655_340_000));
        assert_eq!(read(0x01_0000), Ok(655_360_000));
        assert_eq!(read(1 << 24), Err(CalliperFault::WrongBits));
        assert_eq!(read(u64::MAX), Err(CalliperFault::WrongBits));
    }

    #[test]
    fn inverted_is_always_refused() {
        for word in (0..1 << 24).step_by(257) {
            if decode(word, &Settings::DEFAULT).is_ok() {
                let inverted = !word & 0xFF_FFFF;
                assert!(decode(inverted, &Settings::DEFAULT).is_err(), "{word:#x}");
            }
        }
    }
}
