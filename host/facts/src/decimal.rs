//! Decimal numbers as people write them, read exactly: never through a binary fraction.

use hornrule_protocol::Nanometres;

/// Text as a whole number of 10^-digits; `None` for signs, letters and more digits than that.
#[must_use]
pub fn decimal(text: &str, digits: u8) -> Option<i64> {
    let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
    let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let digits = usize::from(digits);
    // "12.00" in a currency without minor unit says nothing that would be lost.
    let (rest, lost) = rest.split_at_checked(digits).unwrap_or((rest, ""));
    if whole.is_empty() || !plain(whole) || !plain(rest) || lost.bytes().any(|b| b != b'0') {
        return None;
    }
    format!("{whole}{rest:0<digits$}").parse().ok()
}

/// "75.25": millimetres with up to six decimals; `None` for anything else, and for more than a length
/// holds (2.147 m).
#[must_use]
pub fn millimetres(text: &str) -> Option<Nanometres> {
    decimal(text, 6).and_then(|nm| i32::try_from(nm).ok()).map(Nanometres)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_read_exactly() {
        assert_eq!(decimal("12.5", 2), Some(1250));
        assert_eq!(decimal("12", 2), Some(1200));
        assert_eq!(decimal("0.05", 2), Some(5));
        assert_eq!(decimal("1200.00", 0), Some(1200));
        assert_eq!(decimal("1.234", 3), Some(1234));
        for wrong in ["", ".5", "-1", "1,5", "1.005", "1e3", "12.5.0", " 1"] {
            assert_eq!(decimal(wrong, 2), None, "{wrong}");
        }
        assert_eq!(decimal("12.5", 0), None);
    }

    #[test]
    fn lengths_are_exact_to_the_nanometre() {
        assert_eq!(millimetres("75"), Some(Nanometres(75_000_000)));
        assert_eq!(millimetres("75.25"), Some(Nanometres(75_250_000)));
        assert_eq!(millimetres("0.000001"), Some(Nanometres(1)));
        assert_eq!(millimetres("2147.483647"), Some(Nanometres(i32::MAX)));
        for wrong in ["2147.483648", "0.0000001", "7,5", "-1", "", ".5", "1e1", "75 mm"] {
            assert_eq!(millimetres(wrong), None, "{wrong}");
        }
    }
}
