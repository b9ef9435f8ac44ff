//! Countries: the letters and numbers that animal numbers begin with.

/// Two letters and three digits of each country.
///
/// ISO 3166-1, as the Python package `pycountry` 26.2.16 carries it.
const COUNTRIES: &str = "AD020 AE784 AF004 AG028 AI660 AL008 AM051 AO024 AQ010 AR032 AS016 AT040 AU036 AW533 AX248 \
    AZ031 BA070 BB052 BD050 BE056 BF854 BG100 BH048 BI108 BJ204 BL652 BM060 BN096 BO068 BQ535 \
    BR076 BS044 BT064 BV074 BW072 BY112 BZ084 CA124 CC166 CD180 CF140 CG178 CH756 CI384 CK184 \
    CL152 CM120 CN156 CO170 CR188 CU192 CV132 CW531 CX162 CY196 CZ203 DE276 DJ262 DK208 DM212 \
    DO214 DZ012 EC218 EE233 EG818 EH732 ER232 ES724 ET231 FI246 FJ242 FK238 FM583 FO234 FR250 \
    GA266 GB826 GD308 GE268 GF254 GG831 GH288 GI292 GL304 GM270 GN324 GP312 GQ226 GR300 GS239 \
    GT320 GU316 GW624 GY328 HK344 HM334 HN340 HR191 HT332 HU348 ID360 IE372 IL376 IM833 IN356 \
    IO086 IQ368 IR364 IS352 IT380 JE832 JM388 JO400 JP392 KE404 KG417 KH116 KI296 KM174 KN659 \
    KP408 KR410 KW414 KY136 KZ398 LA418 LB422 LC662 LI438 LK144 LR430 LS426 LT440 LU442 LV428 \
    LY434 MA504 MC492 MD498 ME499 MF663 MG450 MH584 MK807 ML466 MM104 MN496 MO446 MP580 MQ474 \
    MR478 MS500 MT470 MU480 MV462 MW454 MX484 MY458 MZ508 NA516 NC540 NE562 NF574 NG566 NI558 \
    NL528 NO578 NP524 NR520 NU570 NZ554 OM512 PA591 PE604 PF258 PG598 PH608 PK586 PL616 PM666 \
    PN612 PR630 PS275 PT620 PW585 PY600 QA634 RE638 RO642 RS688 RU643 RW646 SA682 SB090 SC690 \
    SD729 SE752 SG702 SH654 SI705 SJ744 SK703 SL694 SM674 SN686 SO706 SR740 SS728 ST678 SV222 \
    SX534 SY760 SZ748 TC796 TD148 TF260 TG768 TH764 TJ762 TK772 TL626 TM795 TN788 TO776 TR792 \
    TT780 TV798 TW158 TZ834 UA804 UG800 UM581 US840 UY858 UZ860 VA336 VC670 VE862 VG092 VI850 \
    VN704 VU548 WF876 WS882 YE887 YT175 ZA710 ZM894 ZW716";

/// Codes of makers of tags, where the country is not said, and 999 for tests (ISO 11784, from
/// memory).
const MAKERS: core::ops::RangeInclusive<u16> = 900..=999;

/// The number of a country's two letters; UK is taken for GB, as its ear tags say it.
#[must_use]
pub fn number_of(letters: &str) -> Option<u16> {
    let letters = if letters == "UK" { "GB" } else { letters };
    let row = COUNTRIES.split(' ').find(|row| row.get(..2) == Some(letters))?;
    row.get(2..)?.parse().ok()
}

/// Whether a country has that number.
#[must_use]
pub fn is_country(number: u16) -> bool {
    let digits = format!("{number:03}");
    COUNTRIES.split(' ').any(|row| row.get(2..) == Some(digits.as_str()))
}

/// Whether the first three digits of an electronic tag can be: a country's, a maker's, a test's.
#[must_use]
pub fn is_tag_code(number: u16) -> bool {
    is_country(number) || MAKERS.contains(&number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_and_numbers_of_the_standard() {
        assert_eq!(COUNTRIES.split(' ').count(), 249);
        assert!(COUNTRIES.split(' ').all(|row| row.len() == 5));
        let numbers = ["DE", "FR", "IE", "UK", "GB", "US", "AT", "XX", "de", ""].map(number_of);
        let expected = [
            Some(276),
            Some(250),
            Some(372),
            Some(826),
            Some(826),
            Some(840),
            Some(40),
            None,
            None,
            None,
        ];
        assert_eq!(numbers, expected);
        assert!(is_country(40) && is_country(826) && !is_country(900) && !is_country(0));
        assert!(is_tag_code(985) && is_tag_code(999) && !is_tag_code(123) && !is_tag_code(0));
    }
}
