//! What identifies a cow: the farm's herd number, or the number of her electronic tag.

use serde::{Deserialize, Serialize};

/// A herd number of one to nine digits, 1 to 999,999,999, without leading zeros.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u32", into = "u32")]
pub struct HerdNumber(u32);

impl HerdNumber {
    /// The largest herd number: nine digits.
    pub const MAX: u32 = 999_999_999;

    /// `None` for zero and for more than nine digits.
    #[must_use]
    pub const fn new(number: u32) -> Option<Self> {
        if number == 0 || number > Self::MAX { None } else { Some(Self(number)) }
    }

    /// The number itself.
    #[must_use]
    pub const fn get(self) -> u32 {
        self.0
    }
}

/// Why a number cannot be an animal number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberError {
    /// A herd number of zero or of more than nine digits.
    HerdNumber,
    /// A country or manufacturer code of more than three digits.
    Country,
    /// A national code that does not fit 38 bits (274,877,906,943).
    National,
    /// The animal bit of a 64-bit code is not set.
    NotAnAnimal,
    /// Not 15 decimal digits.
    Digits,
}

impl core::fmt::Display for NumberError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(match self {
            Self::HerdNumber => "a herd number has one to nine digits and is not zero",
            Self::Country => "a country code has three digits",
            Self::National => "a national code is at most 274877906943",
            Self::NotAnAnimal => "the code is not an animal's",
            Self::Digits => "an electronic tag number has 15 digits",
        })
    }
}

impl core::error::Error for NumberError {}

impl TryFrom<u32> for HerdNumber {
    type Error = NumberError;
    fn try_from(number: u32) -> Result<Self, NumberError> {
        Self::new(number).ok_or(NumberError::HerdNumber)
    }
}

impl From<HerdNumber> for u32 {
    fn from(number: HerdNumber) -> u32 {
        number.0
    }
}

/// An ISO 11784 animal number: country or manufacturer (3 digits) and national code (12 digits).
///
/// Held as the two fields that identify the animal. The retagging counter, user field and data flag
/// of the 64-bit code do not, and [`Iso11784::from_code`] drops them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u64", into = "u64")]
pub struct Iso11784 {
    country: u16,
    national: u64,
}

impl Iso11784 {
    /// Largest national code: 38 bits.
    pub const MAX_NATIONAL: u64 = (1 << 38) - 1;
    const COUNTRY_BITS: u32 = 38;
    const ANIMAL_BIT: u64 = 1 << 63;
    /// Twelve decimal digits of national code.
    const NATIONAL_DIGITS: u64 = 1_000_000_000_000;

    /// # Errors
    /// `Country` above 999, `National` above 38 bits.
    pub const fn new(country: u16, national: u64) -> Result<Self, NumberError> {
        if country > 999 {
            return Err(NumberError::Country);
        }
        if national > Self::MAX_NATIONAL {
            return Err(NumberError::National);
        }
        Ok(Self { country, national })
    }

    /// From the 15 digits as printed, read as one decimal number.
    ///
    /// # Errors
    /// `Digits` above 15 digits, `National` if the last twelve exceed 38 bits.
    pub const fn from_decimal(number: u64) -> Result<Self, NumberError> {
        if number >= 1000 * Self::NATIONAL_DIGITS {
            return Err(NumberError::Digits);
        }
        // Below 1,000 by the line above, so the cast keeps every digit.
        Self::new((number / Self::NATIONAL_DIGITS) as u16, number % Self::NATIONAL_DIGITS)
    }

    /// From the 64-bit ISO 11784 code (the most significant bit is ISO bit 1, the animal bit).
    ///
    /// # Errors
    /// `NotAnAnimal`, `Country`.
    pub const fn from_code(code: u64) -> Result<Self, NumberError> {
        if code & Self::ANIMAL_BIT == 0 {
            return Err(NumberError::NotAnAnimal);
        }
        let country = ((code >> Self::COUNTRY_BITS) & 0x3FF) as u16;
        Self::new(country, code & Self::MAX_NATIONAL)
    }

    /// The 64-bit code with the animal bit set and counters and flags zero.
    #[must_use]
    pub const fn code(self) -> u64 {
        Self::ANIMAL_BIT | ((self.country as u64) << Self::COUNTRY_BITS) | self.national
    }

    /// The 15 digits as one decimal number.
    #[must_use]
    pub const fn decimal(self) -> u64 {
        self.country as u64 * Self::NATIONAL_DIGITS + self.national
    }

    /// ISO 3166-1 numeric country, or 900 to 998 for a manufacturer, 999 for tests.
    #[must_use]
    pub const fn country(self) -> u16 {
        self.country
    }
}

impl TryFrom<u64> for Iso11784 {
    type Error = NumberError;
    fn try_from(number: u64) -> Result<Self, NumberError> {
        Self::from_decimal(number)
    }
}

impl From<Iso11784> for u64 {
    fn from(number: Iso11784) -> u64 {
        number.decimal()
    }
}

impl core::fmt::Display for Iso11784 {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:015}", self.decimal())
    }
}

/// How the trimmer identified the cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum AnimalNumber {
    /// By the farm's own number.
    Herd(HerdNumber),
    /// By the number of her electronic tag.
    Tag(Iso11784),
}

impl core::fmt::Display for AnimalNumber {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Herd(number) => write!(f, "{}", number.get()),
            Self::Tag(number) => number.fmt(f),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 15 digits and the 64-bit code, MSB first. Row 1 is published (R package ISO11784Tools
    /// 1.2.0, README); the others were computed from the ISO 11784 bit layout (country in bits
    /// 17 to 26, national code in bits 27 to 64, animal bit 1).
    const VECTORS: [(u64, u64); 7] = [
        (999_123_456_789_012, 0x8000_F9DC_BE99_1A14),
        (276_000_312_312_345, 0x8000_4500_129D_8219),
        (826_230_011_200_123, 0x8000_CEB5_8DBC_627B),
        (840_003_123_456_789, 0x8000_D200_BA2C_2B15),
        (985_113_007_399_202, 0x8000_F65A_4FC4_1122),
        (999_000_000_000_001, 0x8000_F9C0_0000_0001),
        (999_274_877_906_943, 0x8000_F9FF_FFFF_FFFF),
    ];

    #[test]
    fn iso_11784_vectors_both_ways() {
        for (decimal, code) in VECTORS {
            let number = Iso11784::from_decimal(decimal).unwrap();
            assert_eq!(number.code(), code, "{decimal}");
            assert_eq!(Iso11784::from_code(code), Ok(number), "{code:016X}");
            assert_eq!(number.decimal(), decimal);
        }
    }

    #[test]
    fn retag_user_and_flag_bits_are_not_identity() {
        // Retag 1, user field 4, data flag 1 of 276000312312345, same source.
        assert_eq!(
            Iso11784::from_code(0x9201_4500_129D_8219).map(Iso11784::decimal),
            Ok(276_000_312_312_345)
        );
    }

    #[test]
    fn what_is_no_animal_number_is_refused() {
        assert_eq!(Iso11784::from_decimal(999_274_877_906_944), Err(NumberError::National));
        assert_eq!(Iso11784::from_decimal(1_000_000_000_000_000), Err(NumberError::Digits));
        assert_eq!(Iso11784::from_code(0x0000_F9DC_BE99_1A14), Err(NumberError::NotAnAnimal));
        assert_eq!(Iso11784::from_code(0x8000_FFFF_FFFF_FFFF), Err(NumberError::Country));
        assert_eq!(HerdNumber::new(0), None);
        assert_eq!(HerdNumber::new(1_000_000_000), None);
        assert_eq!(HerdNumber::new(999_999_999).map(HerdNumber::get), Some(999_999_999));
    }
}
