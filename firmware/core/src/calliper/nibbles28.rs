//! The seven-nibble output: bits to value.
//!
//! ```text
//! sent first                                               sent last
//! | digit 1 | digit 2 | .. | digit 6 | N  H  M  ?  |   lowest digit first, lowest bit first
//! N negative, H half a step of the last inch digit more, M millimetres
//! millimetres: hundredths      inches: thousandths, and 0.0005 with H
//! ```
//!
//! Layout as published by one person who measured it. Values follow the display's unit.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperFault, CalliperKind, UnitMode};

use super::shown::Shown;

/// Bits in a packet.
pub const BITS: u8 = 28;

const DIGITS: u32 = 6;
const NEGATIVE: u64 = 1 << 24;
const HALF: u64 = 1 << 25;
const METRIC: u64 = 1 << 26;
const UNKNOWN: u64 = 1 << 27;

const STEP_MM: i32 = 10_000;
const THOUSANDTH_INCH: i32 = 25_400;
const HALF_INCH_STEP: i32 = 12_700;

/// Decodes the bits of a packet, bit 0 sent first.
///
/// # Errors
///
/// [`CalliperFault::WrongBits`] if a bit above the 28th is set; [`CalliperFault::Nonsense`] if a
/// digit is above nine, the bit of unknown meaning is set, a half step comes in millimetres, or the
/// length is beyond two metres. 99t the bit of unknown meaning
pub fn decode(bits: u64) -> Result<Shown, CalliperFault> {
    if bits >> BITS != 0 {
        return Err(CalliperFault::WrongBits);
    }
    let has = |flag: u64| bits & flag != 0;
    if has(UNKNOWN) || (has(METRIC) && has(HALF)) {
        return Err(CalliperFault::Nonsense);
    }
    let mut number = 0_i32;
    for place in (0..DIGITS).rev() {
        let digit = (bits >> (4 * place) & 0xF) as u8;
        if digit > 9 {
            return Err(CalliperFault::Nonsense);
        }
        // Six digits: at most 999,999.
        number = number * 10 + i32::from(digit);
    }
    let (unit, scale, step) = if has(METRIC) {
        (UnitMode::Millimetre, STEP_MM, STEP_MM)
    } else {
        (UnitMode::Inch, THOUSANDTH_INCH, HALF_INCH_STEP)
    };
    let half = if has(HALF) { HALF_INCH_STEP } else { 0 };
    let length = number
        .checked_mul(scale)
        .and_then(|length| length.checked_add(half))
        .ok_or(CalliperFault::Nonsense)?;
    let length = Nanometres(if has(NEGATIVE) { -length } else { length });
    Ok(Shown { length, unit, kind: CalliperKind::Nibbles28, step: step.unsigned_abs() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calliper::tests::bits;

    fn read(sent: &str) -> Result<(i32, UnitMode), CalliperFault> {
        decode(bits(sent)).map(|shown| (shown.length.0, shown.unit))
    }

    // 9.8015 in is the published example (digits sent 1 0 8 9 0 0, H set); the others were worked
    // by hand from its layout.
    #[test]
    fn worked_examples() {
        use UnitMode::{Inch, Millimetre};
        for (sent, nm, unit) in [
            ("1000 0000 0001 1001 0000 0000 0100", 248_958_100, Inch),
            ("1000 0000 0001 1001 0000 0000 0000", 248_945_400, Inch),
            ("0100 1100 1010 1110 0000 0000 0010", 75_320_000, Millimetre),
            ("1001 1001 0000 0000 0000 0000 1010", -990_000, Millimetre),
            ("0000 0000 0000 0000 0000 0000 1010", 0, Millimetre),
        ] {
            assert_eq!(read(sent), Ok((nm, unit)), "{sent}");
        }
    }

    #[test]
    fn refuses_what_no_calliper_sends() {
        for sent in [
            "0101 0000 0000 0000 0000 0000 0010", // a digit of ten
            "0000 0000 0000 0000 0000 1111 0010",
            "1000 0000 0000 0000 0000 0000 0110", // a half step in millimetres
            "1000 0000 0000 0000 0000 0000 0001", // the bit nobody knows
            "1001 1001 1001 1001 1001 1001 0010", // ten metres
        ] {
            assert_eq!(read(sent), Err(CalliperFault::Nonsense), "{sent}");
        }
        assert_eq!(decode(1 << 28), Err(CalliperFault::WrongBits));
        assert_eq!(decode(u64::MAX), Err(CalliperFault::WrongBits));
    }
}
