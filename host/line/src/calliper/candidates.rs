//! Every way in which a calliper may have to be read, the commonest first.

use hornrule_protocol::calliper::{CalliperSetting, InchCode, Level, SignBit, Slope, WordOrder};
use hornrule_protocol::record::CalliperKind;

/// Straight, behind inverting shifters, and the two that only some builders saw.
const WIRINGS: [(Slope, Level); 4] = [
    (Slope::Falling, Level::High),
    (Slope::Rising, Level::Low),
    (Slope::Rising, Level::High),
    (Slope::Falling, Level::Low),
];

/// All settings. Parts that a kind does not have are at their first.
#[must_use]
pub fn candidates() -> Vec<CalliperSetting> {
    let plain = CalliperSetting::usual(CalliperKind::Sync24);
    let makes = [
        plain,
        CalliperSetting { sign: SignBit::Bit21, ..plain },
        CalliperSetting { kind: CalliperKind::Bcd52, ..plain },
        CalliperSetting { kind: CalliperKind::Bcd52, inch: InchCode::Eight, ..plain },
        CalliperSetting { kind: CalliperKind::Words48, ..plain },
        CalliperSetting { kind: CalliperKind::Words48, words: WordOrder::ZeroedFirst, ..plain },
        CalliperSetting { kind: CalliperKind::Nibbles28, ..plain },
    ];
    let wired = |make| WIRINGS.map(|(slope, one)| CalliperSetting { slope, one, ..make });
    makes.into_iter().flat_map(wired).collect()
}
