//! Scales for scoring a whole cow. Scores are stored with their scale and never converted.

use super::{Code, Row};

/// A scale from the table.
pub type Scale = Code<ScaleRow>;

/// One scale.
#[derive(Debug)]
pub struct ScaleRow {
    /// The digit keyed after SCORE.
    pub code: u8,
    /// English name.
    pub name: &'static str,
    /// Lowest and highest value.
    pub range: (u8, u8),
    /// The value from which a cow counts as lame, if the scale defines one. Locomotion: Sprecher
    /// 1997, usual cut; mobility: from memory.
    pub lame_from: Option<u8>,
}

const fn row(code: u8, name: &'static str, range: (u8, u8), lame_from: Option<u8>) -> ScaleRow {
    ScaleRow { code, name, range, lame_from }
}

impl Row for ScaleRow {
    const WHAT: &'static str = "scale";
    const TABLE: &'static [Self] = &[
        row(1, "locomotion", (1, 5), Some(3)),
        row(2, "mobility", (0, 3), Some(2)),
        row(3, "leg cleanliness", (1, 4), None),
        row(4, "toeing out", (0, 2), None),
    ];

    fn code(&self) -> u8 {
        self.code
    }
}

impl ScaleRow {
    /// Whether a value is on this scale.
    #[must_use]
    pub const fn has(&self, value: u8) -> bool {
        self.range.0 <= value && value <= self.range.1
    }
}
