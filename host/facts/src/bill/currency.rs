//! Currencies: three letters, and how many digits their minor unit has.

/// Digits of the minor unit, and the codes with that number.
///
/// ISO 4217, list one, as published on 2026-01-01, without precious metals, funds of international
/// bodies and test codes, which have no minor unit. Compared with the Python package `iso4217`
/// 1.16.20260101, which carries that list.
const CODES: &[(u8, &str)] = &[
    (0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"),
    (
        2,
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD \
         CAD CDF CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP \
         GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK \
         LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO \
         NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS \
         SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST \
         XAD XCD XCG YER ZAR ZMW ZWG",
    ),
    (3, "BHD IQD JOD KWD LYD OMR TND"),
    (4, "CLF UYW"),
];

/// A currency of ISO 4217.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency {
    code: [u8; 3],
    digits: u8,
}

impl Currency {
    /// What bills are in where nobody said otherwise.
    pub const EURO: Self = Self { code: *b"EUR", digits: 2 };

    /// The currency of three capital letters; `None` where the standard lists none.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let letters: [u8; 3] = code.as_bytes().try_into().ok()?;
        let found = CODES.iter().find(|(_, codes)| codes.split(' ').any(|one| one == code))?;
        Some(Self { code: letters, digits: found.0 })
    }

    /// Its three letters.
    #[must_use]
    pub fn code(&self) -> &str {
        // Made of a code in the table, which is ASCII.
        core::str::from_utf8(&self.code).unwrap_or_default()
    }

    /// How many decimal digits its minor unit has: 2 for the euro, 0 for the yen.
    #[must_use]
    pub const fn digits(self) -> u8 {
        self.digits
    }
}

impl core::fmt::Display for Currency {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minor_units_are_the_standards() {
        let digits = |code| Currency::from_code(code).map(Currency::digits);
        let all = ["EUR", "JPY", "KWD", "CLF", "CHF", "ISK", "HUF"].map(digits);
        assert_eq!(all, [Some(2), Some(0), Some(3), Some(4), Some(2), Some(0), Some(2)]);
        for wrong in ["", "EU", "EURO", "eur", "XXX", "XAU", "DEM", "E R", "EUR ", "AED AFN"] {
            assert_eq!(Currency::from_code(wrong), None, "{wrong}");
        }
        assert_eq!(Currency::from_code("EUR"), Some(Currency::EURO));
    }

    #[test]
    fn every_code_is_three_letters_and_stands_once() {
        let mut all: Vec<&str> = CODES.iter().flat_map(|(_, codes)| codes.split(' ')).collect();
        assert!(
            all.iter().all(|code| code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase()))
        );
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!((all.len(), count), (165, 165));
    }
}
