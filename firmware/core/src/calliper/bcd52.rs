//! The thirteen-digit BCD output, 52 bits: bits to value.
//!
//! ```text
//! sent first                                                         sent last
//! d1 d2 d3 d4 | d5            | d6 ............. d11 | d12            | d13
//!  F  F  F  F | 0 plus        | six digits, highest  | decimal places | 0 millimetres
//!             | 8 minus       | first                | 0 to 5         | 1 (or 8) inches
//! each digit four bits, least bit first
//! ```
//!
//! Layout as printed in several instrument makers' manuals.

use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperFault, CalliperKind, UnitMode};

use super::settings::{InchCode, Settings};
use super::shown::Shown;

/// Bits in a packet.
pub const BITS: u8 = 52;

/// Nanometres of the last digit in millimetres, by decimal places.
const LAST_DIGIT_MM: [i32; 6] = [1_000_000, 100_000, 10_000, 1_000, 100, 10];
/// Nanometres of the last digit in inches of 25.4 mm, by decimal places. All six are whole numbers,
/// so nothing is ever rounded.
const LAST_DIGIT_INCH: [i32; 6] = [25_400_000, 2_540_000, 254_000, 25_400, 2_540, 254];

/// Decodes the bits of a packet, bit 0 sent first.
///
/// # Errors
///
/// [`CalliperFault::WrongBits`] if a bit above the 52nd is set; [`CalliperFault::Nonsense`] if one
/// of the first four digits is not F, if the sign, a digit, the decimal places or the unit is
/// invalid, or if the length is beyond two metres. Units 2 to 7 carry a tolerance result on some
/// instruments: refused, since the handheld cannot show it.
pub fn decode(bits: u64, settings: &Settings) -> Result<Shown, CalliperFault> {
    if bits >> BITS != 0 {
        return Err(CalliperFault::WrongBits);
    }
    if bits & 0xFFFF != 0xFFFF {
        return Err(CalliperFault::Nonsense);
    }
    let minus = match digit(bits, 5) {
        0 => false,
        8 => true,
        _ => return Err(CalliperFault::Nonsense),
    };
    let mut magnitude = 0_i32;
    for place in 6..=11 {
        let digit = digit(bits, place);
        if digit > 9 {
            return Err(CalliperFault::Nonsense);
        }
        // Six digits: at most 999,999.
        magnitude = magnitude * 10 + i32::from(digit);
    }
    let places = usize::from(digit(bits, 12));
    let (unit, last_digits) = match (digit(bits, 13), settings.inch) {
        (0, _) => (UnitMode::Millimetre, &LAST_DIGIT_MM),
        (1, InchCode::One) | (8, InchCode::Eight) => (UnitMode::Inch, &LAST_DIGIT_INCH),
        _ => return Err(CalliperFault::Nonsense),
    };
    let last_digit = *last_digits.get(places).ok_or(CalliperFault::Nonsense)?;
    let length = magnitude.checked_mul(last_digit).ok_or(CalliperFault::Nonsense)?;
    // Minus zero is zero: an integer has only one zero.
    let length = Nanometres(if minus { -length } else { length });
    let step = last_digit.unsigned_abs() * last_digits_in_a_step(unit, places);
    Ok(Shown { length, unit, kind: CalliperKind::Bcd52, step })
}

/// Digit d1 to d13 of a packet.
fn digit(bits: u64, place: u8) -> u8 {
    (bits >> (4 * (place - 1)) & 0xF) as u8
}

/// Inch displays with four or five places count in fives (0.0005 in, 0.00005 in): from memory. A
/// display that counts in ones is then allowed five of its steps, at most 12.7 µm.
fn last_digits_in_a_step(unit: UnitMode, places: usize) -> u32 {
    match unit {
        UnitMode::Inch if places >= 4 => 5,
        UnitMode::Inch | UnitMode::Millimetre => 1,
    }
}

#[cfg(test)]
mod tests {
    use std::format;
    use std::string::String;

    use super::*;
    use crate::calliper::tests::bits;

    const EIGHT: Settings = Settings { inch: InchCode::Eight, ..Settings::DEFAULT };

    /// Thirteen hexadecimal digits, d1 first, to bits in sending order.
    fn packet(digits: &str) -> u64 {
        let sent: String = digits
            .chars()
            .filter(|c| *c != ' ')
            .map(|c| format!("{:04b}", c.to_digit(16).unwrap().reverse_bits() >> 28))
            .collect();
        assert_eq!(sent.len(), 52, "{digits}");
        bits(&sent)
    }

    fn read(digits: &str) -> Result<(i32, UnitMode, u32), CalliperFault> {
        decode(packet(digits), &Settings::DEFAULT).map(|s| (s.length.0, s.unit, s.step))
    }

    // −12.345 mm and +21.0765 mm are printed, with their bits, in two instrument makers' manuals;
    // the others were computed by hand from the layout in those manuals.
    #[test]
    fn worked_examples() {
        use UnitMode::{Inch, Millimetre};
        let ones = "1111 1111 1111 1111";
        for (digits, sent, nm, unit, step) in [
            (
                "FFFF 0 007532 2 0",
                "0000 0000 0000 1110 1010 1100 0100 0100 0000",
                75_320_000,
                Millimetre,
                10_000,
            ),
            (
                "FFFF 8 012345 3 0",
                "0001 0000 1000 0100 1100 0010 1010 1100 0000",
                -12_345_000,
                Millimetre,
                1_000,
            ),
            (
                "FFFF 0 210765 4 0",
                "0000 0100 1000 0000 1110 0110 1010 0010 0000",
                21_076_500,
                Millimetre,
                100,
            ),
            (
                "FFFF 0 029655 4 1",
                "0000 0000 0100 1001 0110 1010 1010 0010 1000",
                75_323_700,
                Inch,
                12_700,
            ),
            (
                "FFFF 8 000099 2 0",
                "0001 0000 0000 0000 0000 1001 1001 0100 0000",
                -990_000,
                Millimetre,
                10_000,
            ),
        ] {
            assert_eq!(bits(&format!("{ones} {sent}")), packet(digits), "{digits}");
            assert_eq!(read(digits), Ok((nm, unit, step)), "{digits}");
        }
    }

    #[test]
    fn every_number_of_places_is_exact() {
        for (places, nm) in [1_000_000, 100_000, 10_000, 1_000, 100, 10].into_iter().enumerate() {
            let read = read(&format!("FFFF 0 000001 {places} 0")).unwrap();
            assert_eq!(read.0, nm, "{places}");
        }
        // 25.4 mm is exactly one inch (definition of 1959). 191t not a digit 193t not a number of
        // places 195t a tolerance result
        assert_eq!(read("FFFF 0 000001 0 1").unwrap().0, 25_400_000);
        assert_eq!(read("FFFF 0 000001 5 1").unwrap().0, 254);
        assert_eq!(read("FFFF 0 000001 3 1").unwrap(), (25_400, UnitMode::Inch, 25_400));
        assert_eq!(read("FFFF 8 999999 5 1").unwrap(), (-253_999_746, UnitMode::Inch, 1_270));
    }

    #[test]
    fn minus_zero_is_zero() {
        assert_eq!(read("FFFF 8 000000 2 0").map(|s| s.0), Ok(0));
    }

    #[test]
    fn the_other_inch_code() {
        let eight = packet("FFFF 0 029655 4 8");
        assert_eq!(decode(eight, &EIGHT).map(|s| s.length.0), Ok(75_323_700));
        assert_eq!(decode(eight, &Settings::DEFAULT), Err(CalliperFault::Nonsense));
        assert_eq!(decode(packet("FFFF 0 029655 4 1"), &EIGHT), Err(CalliperFault::Nonsense));
    }

    #[test]
    fn refuses_what_no_calliper_sends() {
        for digits in [
            "EFFF 0 007532 2 0", // a first digit that is not F
            "FFF7 0 007532 2 0",
            "FFFF 1 007532 2 0", // no sign
            "FFFF 9 007532 2 0",
            "FFFF 0 A07532 2 0", // no digit
            "FFFF 0 00753F 2 0",
            "FFFF 0 007532 6 0", // no number of places
            "FFFF 0 007532 F 0",
            "FFFF 0 007532 2 2", // a judgement of tolerance
            "FFFF 0 007532 2 7",
            "FFFF 0 002148 0 0", // beyond two metres
            "FFFF 8 999999 0 1",
        ] {
            assert_eq!(read(digits), Err(CalliperFault::Nonsense), "{digits}");
        }
        assert_eq!(read("FFFF 0 002147 0 0").map(|s| s.0), Ok(2_147_000_000));
        assert_eq!(decode(1 << 52, &Settings::DEFAULT), Err(CalliperFault::WrongBits));
        assert_eq!(decode(u64::MAX, &Settings::DEFAULT), Err(CalliperFault::WrongBits));
    }
}
