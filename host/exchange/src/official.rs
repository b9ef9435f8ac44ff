//! Official ear tag numbers.
//!
//! ```text
//! 276000312312345      15 digits: country (ISO 3166-1), 12 digits of the country's own
//! DE 03 123 12345      two letters of the country, up to 12 digits; blanks do not count
//! UK 230011 2 00123    herd, check digit, animal
//! ```
//!
//! A check digit is looked at where its scheme is known here: cattle of the United Kingdom, check =
//! (herd and animal as one number) mod 7 + 1 (from memory; it agrees with published examples).
//! Numbers of other countries are held to their length and country alone.

use hornrule_protocol::Iso11784;

use super::countries::{is_country, number_of};

/// The United Kingdom.
const UK: u16 = 826;

/// An official number without blanks and hyphens, in capitals.
///
/// # Errors
/// Why it is invalid, to follow the number in a sentence.
pub fn official(text: &str) -> Result<String, &'static str> {
    let plain: String =
        text.chars().filter(|c| !matches!(c, ' ' | '-')).map(|c| c.to_ascii_uppercase()).collect();
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let (country, own) = if digits(&plain) {
        if plain.len() != 15 {
            return Err("has not 15 digits; write it like 276000312312345 or DE0312312345");
        }
        let number = plain.parse().ok().and_then(|number| Iso11784::from_decimal(number).ok());
        let number =
            number.ok_or("has more behind its country than 274877906943, which no tag holds")?;
        if !is_country(number.country()) {
            return Err("does not begin with the three digits of a country (ISO 3166-1)");
        }
        (number.country(), plain[3..].to_owned())
    } else {
        let letters = plain.get(..2).and_then(number_of);
        let country = letters.ok_or("does not begin with the letters of a country, like DE")?;
        let own = plain.get(2..).unwrap_or_default();
        if !digits(own) || own.len() > 12 {
            return Err("has not up to 12 digits behind its country; write it like DE0312312345");
        }
        (country, own.to_owned())
    };
    if country == UK && own.len() == 12 && !uk_holds(&own) {
        return Err("has a wrong check digit, the seventh of its 12 digits; look for a slip");
    }
    Ok(plain)
}

/// Herd (6 digits), check digit, animal (5 digits).
fn uk_holds(own: &str) -> bool {
    let part = |range: core::ops::Range<usize>| -> Option<u64> { own.get(range)?.parse().ok() };
    match (part(0..6), part(6..7), part(7..12)) {
        (Some(herd), Some(check), Some(animal)) => (herd * 100_000 + animal) % 7 + 1 == check,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_hold() {
        for (text, plain) in [
            ("276 0003 1231 2345", "276000312312345"),
            ("de 03 123 12345", "DE0312312345"),
            // UK 230011 2 00123: (23001100123 mod 7) + 1 = 2.
            ("UK 230011 2 00123", "UK230011200123"),
            ("826230011200123", "826230011200123"),
            ("IE-372-1", "IE3721"),
        ] {
            assert_eq!(official(text).as_deref(), Ok(plain), "{text}");
        }
    }

    /// Every single slip in herd, check or animal number of a British number is seen, but for one
    /// that moves it by 7.
    #[test]
    fn slips_are_seen() {
        for wrong in [
            "",
            "27600031231234",
            "2760003123123450",
            "123000312312345",
            "985113007399202",
            "276999999999999",
            "DE",
            "XX0312312345",
            "DE03A2312345",
            "DE0312312345678",
            "D0312312345",
            "UK230011300123",
            "UK230011200124",
            "826230011300123",
            "ÄÖ0312312345",
        ] {
            assert!(official(wrong).is_err(), "{wrong}");
        }
        let right = "230011200123";
        let mut seen = 0;
        for (at, was) in right.char_indices() {
            for digit in ('0'..='9').filter(|digit| *digit != was) {
                let mut slip = right.to_owned();
                slip.replace_range(at..=at, &digit.to_string());
                let by_seven = at != 6 && (digit as i32 - was as i32).abs() == 7;
                let told = official(&format!("UK{slip}"));
                assert_eq!(told.is_err(), !by_seven, "{slip}");
                seen += 1;
            }
        }
        assert_eq!(seen, 12 * 9);
    }
}
