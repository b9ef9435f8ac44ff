//! A setting in words.

use hornrule_protocol::calliper::{CalliperSetting, InchCode, Level, SignBit, Slope, WordOrder};
use hornrule_protocol::record::CalliperKind;

/// As stories and scripts name a kind.
#[must_use]
pub const fn kind_code(kind: CalliperKind) -> &'static str {
    match kind {
        CalliperKind::Sync24 => "sync24",
        CalliperKind::Bcd52 => "bcd52",
        CalliperKind::Words48 => "words48",
        CalliperKind::Nibbles28 => "nibbles28",
    }
}

/// "24-bit packets; data counts when the clock falls, high is one; sign in bit 20".
#[must_use]
pub fn setting_words(setting: &CalliperSetting) -> String {
    let kind = match setting.kind {
        CalliperKind::Sync24 => "24-bit packets",
        CalliperKind::Bcd52 => "13 digits in 52 bits, on request",
        CalliperKind::Words48 => "two words of 24 bits",
        CalliperKind::Nibbles28 => "seven nibbles",
    };
    let slope = match setting.slope {
        Slope::Falling => "falls",
        Slope::Rising => "rises",
    };
    let one = match setting.one {
        Level::High => "high",
        Level::Low => "low",
    };
    let of_kind = match (setting.kind, setting.sign, setting.inch, setting.words) {
        (CalliperKind::Sync24, SignBit::Bit20, _, _) => "; sign in bit 20",
        (CalliperKind::Sync24, SignBit::Bit21, _, _) => "; sign in bit 21",
        (CalliperKind::Bcd52, _, InchCode::One, _) => "; inch is unit 1",
        (CalliperKind::Bcd52, _, InchCode::Eight, _) => "; inch is unit 8",
        (CalliperKind::Words48, _, _, WordOrder::ZeroedLast) => "; zero counts in the second word",
        (CalliperKind::Words48, _, _, WordOrder::ZeroedFirst) => "; zero counts in the first word",
        (CalliperKind::Nibbles28, _, _, _) => "",
    };
    format!("{kind}; data counts when the clock {slope}, {one} is one{of_kind}")
}
