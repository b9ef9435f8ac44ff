//! Electronic tags: from a reader's output to an animal number.
//!
//! ```text
//! reader's line   [STX] 9 9 9 0 0 0 0 0 0 0 0 0 0 2 7 CR LF  --read_line-->  Iso11784
//! telegram        10 zeros, 1, then 13 bytes (8 code, 2 CRC, 3 trailer), each with a control bit
//!                                                              --read_telegram-->  Iso11784
//! ```
//!
//! A line is accepted if it holds 15 digits, or 16 with the animal flag first, once STX, ETX, CR,
//! LF and blanks are removed; anything else is refused. This is stricter than ISO 24631-6 is with
//! readers: a longer line cannot be told from two lines run together, and a wrong cow is worse than
//! none. The reader must be set to plain 15 digits.

use crc::{CRC_16_KERMIT, Crc};

use crate::animal::{Iso11784, NumberError};

/// Digits of a number as printed.
pub const DIGITS: usize = 15;
/// Bytes of a 128-bit telegram.
pub const TELEGRAM: usize = 16;
/// ISO 11785: polynomial 0x1021 reflected, initial 0, no final XOR.
const CHECK: Crc<u16> = Crc::<u16>::new(&CRC_16_KERMIT);

/// Why a reader's line is not an animal number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineError {
    /// Nothing but blanks and line ends.
    Empty,
    /// Neither digit nor blank: this byte.
    NotADigit(u8),
    /// Neither 15 digits nor 16: this many, 17 for more.
    Digits(u8),
    /// 16 digits whose first is neither 0 nor 1.
    Flag,
    /// No country or manufacturer: three zeros.
    NoCountry,
    /// 15 digits that ISO 11784 cannot hold.
    Number(NumberError),
}

impl core::fmt::Display for LineError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Empty => f.write_str("an empty line"),
            Self::NotADigit(byte) => {
                write!(f, "byte {byte:#04x} is no digit; set the reader to plain 15 digits")
            }
            Self::Digits(count @ 0..=16) => {
                write!(f, "{count} digits; an electronic tag number has 15")
            }
            Self::Digits(_) => f.write_str("more than 16 digits; a tag number has 15"),
            Self::Flag => f.write_str("16 digits whose first is no animal flag (0 or 1)"),
            Self::NoCountry => f.write_str("no country or manufacturer: it begins with 000"),
            Self::Number(error) => error.fmt(f),
        }
    }
}

impl core::error::Error for LineError {}

/// One line from a reader, with or without its STX, ETX and line end.
///
/// A sixteenth digit comes first: the animal flag (1), or a zero if the reader pads.
///
/// # Errors
/// [`LineError`].
pub fn read_line(line: &[u8]) -> Result<Iso11784, LineError> {
    let (mut number, mut count, mut first) = (0u64, 0u8, 0u64);
    for byte in line {
        match byte {
            // STX, ETX, tab, LF, CR, blank.
            0x02 | 0x03 | 0x09 | 0x0A | 0x0D | 0x20 => {}
            b'0'..=b'9' => {
                let digit = u64::from(byte - b'0');
                if count == 0 {
                    first = digit;
                }
                // 17 digits fit 64 bits; beyond that only the count matters.
                if usize::from(count) <= DIGITS {
                    number = number * 10 + digit;
                }
                count = count.saturating_add(1).min(17);
            }
            other => return Err(LineError::NotADigit(*other)),
        }
    }
    let decimal = match (usize::from(count), first) {
        (0, _) => return Err(LineError::Empty),
        (DIGITS, _) => number,
        // The flag is the sixteenth decimal place.
        (16, 0 | 1) => number % 1_000_000_000_000_000,
        (16, _) => return Err(LineError::Flag),
        _ => return Err(LineError::Digits(count)),
    };
    let number = Iso11784::from_decimal(decimal).map_err(LineError::Number)?;
    if number.country() == 0 { Err(LineError::NoCountry) } else { Ok(number) }
}

/// Why 128 bits are not an animal's telegram.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TelegramError {
    /// It does not begin with ten zeros and a one.
    Header,
    /// A control bit is zero.
    Control,
    /// The checksum is wrong.
    Checksum,
    /// The checksum is right, but the code is not an animal's.
    Number(NumberError),
}

impl core::fmt::Display for TelegramError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Header => f.write_str("no telegram begins so: ten zeros and a one are missing"),
            Self::Control => f.write_str("a control bit is zero"),
            Self::Checksum => f.write_str("the telegram's checksum does not hold"),
            Self::Number(error) => error.fmt(f),
        }
    }
}

impl core::error::Error for TelegramError {}

/// An FDX-B telegram of ISO 11785: 128 bits as received, the first bit in the top bit of byte 0.
///
/// # Errors
/// [`TelegramError`].
pub fn read_telegram(bits: &[u8; TELEGRAM]) -> Result<Iso11784, TelegramError> {
    let bits = u128::from_be_bytes(*bits);
    // Bit n as received, from 0.
    let bit = |n: usize| (bits >> (127 - n)) & 1 == 1;
    if bits >> 117 != 1 {
        return Err(TelegramError::Header);
    }
    let mut bytes = [0u8; 13];
    for (place, byte) in bytes.iter_mut().enumerate() {
        let start = 11 + place * 9;
        if !bit(start + 8) {
            return Err(TelegramError::Control);
        }
        // Each byte comes lowest bit first.
        *byte = (0..8).map(|n| u8::from(bit(start + n)) << n).sum();
    }
    let [c0, c1, c2, c3, c4, c5, c6, c7, low, high, ..] = bytes;
    let sent = [c0, c1, c2, c3, c4, c5, c6, c7];
    if checksum(sent) != u16::from_le_bytes([low, high]) {
        return Err(TelegramError::Checksum);
    }
    // The 64 bits come lowest first, so the bytes do too.
    Iso11784::from_code(u64::from_le_bytes(sent)).map_err(TelegramError::Number)
}

/// The checksum of a code's eight bytes, lowest first, as ISO 11785 sends them.
#[must_use]
pub const fn checksum(code: [u8; 8]) -> u16 {
    CHECK.checksum(&code)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 64-bit code (most significant bit first), bytes in sent order read as one number with each
    /// bit reversed, checksum. Row 1 is published (R package ISO11784Tools 1.2.0); the checksum of
    /// the fourth row was confirmed by decoding the pulse timings in an open-source reader's own
    /// unit test; the others were computed from the layout.
    const VECTORS: [(u64, u64, u64, u16); 7] = [
        (999_123_456_789_012, 0x8000_F9DC_BE99_1A14, 0x2858_997D_3B9F_0001, 0xB70B),
        (276_000_312_312_345, 0x8000_4500_129D_8219, 0x9841_B948_00A2_0001, 0x2D1B),
        (826_230_011_200_123, 0x8000_CEB5_8DBC_627B, 0xDE46_3DB1_AD73_0001, 0x28CE),
        (985_113_007_399_202, 0x8000_F65A_4FC4_1122, 0x4488_23F2_5A6F_0001, 0xFCDF),
        (840_003_123_456_789, 0x8000_D200_BA2C_2B15, 0xA8D4_345D_004B_0001, 0xC11F),
        (999_000_000_000_001, 0x8000_F9C0_0000_0001, 0x8000_0000_039F_0001, 0x2E44),
        (999_274_877_906_943, 0x8000_F9FF_FFFF_FFFF, 0xFFFF_FFFF_FF9F_0001, 0x250C),
    ];

    /// The whole telegram of the fourth row, from that reader's pulse timings.
    const TELEGRAM_985: &str = "00000000001010001001100010001001000111111100101010110101011011111\
                                000000001000000011111110111001111111000000001000000001000000001";
    /// 999123456789012, computed.
    const TELEGRAM_999: u128 = 0x0025_158C_CDF6_779F_8040_7A1E_D804_0201;

    fn number(decimal: u64) -> Iso11784 {
        Iso11784::from_decimal(decimal).unwrap()
    }

    /// The telegram of a code with three zero bytes after it.
    fn telegram(code: u64) -> [u8; TELEGRAM] {
        let mut bits: u128 = 1;
        let sent = code.to_le_bytes();
        let check = checksum(sent).to_le_bytes();
        for byte in sent.iter().chain(&check).chain(&[0, 0, 0]) {
            bits = bits << 9 | u128::from(byte.reverse_bits()) << 1 | 1;
        }
        bits.to_be_bytes()
    }

    #[test]
    fn checksum_is_the_published_one() {
        assert_eq!(CHECK.checksum(b"123456789"), 0x2189);
        for (decimal, code, sent, check) in VECTORS {
            assert_eq!(checksum(code.to_le_bytes()), check, "{decimal}");
            assert_eq!(code.reverse_bits(), sent, "{decimal}");
        }
        // Retag counter 1, user field 4, data flag 1 of 276000312312345.
        assert_eq!(checksum(0x9201_4500_129D_8219_u64.to_le_bytes()), 0x0750);
    }

    #[test]
    fn telegrams_are_read() {
        let bits = TELEGRAM_985.bytes().fold(0u128, |bits, b| bits << 1 | u128::from(b == b'1'));
        assert_eq!(read_telegram(&bits.to_be_bytes()), Ok(number(985_113_007_399_202)));
        assert_eq!(telegram(0x8000_F65A_4FC4_1122), bits.to_be_bytes());
        assert_eq!(read_telegram(&TELEGRAM_999.to_be_bytes()), Ok(number(999_123_456_789_012)));
        for (decimal, code, ..) in VECTORS {
            assert_eq!(read_telegram(&telegram(code)), Ok(number(decimal)));
        }
        assert_eq!(
            read_telegram(&telegram(0x0000_F65A_4FC4_1122)),
            Err(TelegramError::Number(NumberError::NotAnAnimal))
        );
    }

    #[test]
    fn a_turned_bit_is_never_another_cow() {
        let whole = u128::from_be_bytes(telegram(0x8000_F65A_4FC4_1122));
        // The 27 bits of the trailer, the last, are not in the checksum and mean nothing here.
        for bit in 27..128 {
            let read = read_telegram(&(whole ^ 1 << bit).to_be_bytes());
            assert!(read.is_err(), "bit {bit} gave {read:?}");
        }
    }

    #[test]
    fn lines_that_are_taken() {
        for line in [
            &b"999000000000027\r\n"[..],
            b"999000000000027",
            b"\x02999000000000027\x03",
            b"\x02999 000000000027\r",
            b"999 000000000027\n",
            b"1999000000000027\r\n",
            b"0999000000000027\r\n",
        ] {
            assert_eq!(read_line(line), Ok(number(999_000_000_000_027)), "{line:?}");
        }
        for (decimal, ..) in VECTORS {
            let digits: std::string::String = std::format!("\x02{decimal:015}\r\n");
            assert_eq!(read_line(digits.as_bytes()), Ok(number(decimal)));
        }
    }

    #[test]
    fn lines_that_are_refused() {
        for (line, error) in [
            (&b"\r\n"[..], LineError::Empty),
            (b"", LineError::Empty),
            (b"99900000000002", LineError::Digits(14)),
            (b"99900000000002799", LineError::Digits(17)),
            (b"999000000000027999000000000027", LineError::Digits(17)),
            (b"2999000000000027", LineError::Flag),
            (b"A00000000000027", LineError::NotADigit(b'A')),
            (b"8000F9C000000001", LineError::NotADigit(b'F')),
            (b"999000000000027;", LineError::NotADigit(b';')),
            (b"\xFF99900000000002", LineError::NotADigit(0xFF)),
            (b"000000000000027", LineError::NoCountry),
            (b"999274877906944", LineError::Number(NumberError::National)),
        ] {
            assert_eq!(read_line(line), Err(error), "{line:?}");
        }
    }
}
