//! The words that several formats use for one thing.

use hornrule_protocol::record::{CalliperKind, UnitMode};

use hornrule_facts::observation::Certainty;

/// `anchored` or `bounded`.
pub(crate) const fn clock_word(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Anchored => "anchored",
        Certainty::Bounded => "bounded",
    }
}

/// What the calliper showed: `mm` or `inch`.
pub(crate) const fn unit_word(unit: UnitMode) -> &'static str {
    match unit {
        UnitMode::Millimetre => "mm",
        UnitMode::Inch => "inch",
    }
}

/// Its output: `24-bit`, `52-bit`, `48-bit` or `28-bit`.
pub(crate) const fn calliper_word(kind: CalliperKind) -> &'static str {
    match kind {
        CalliperKind::Sync24 => "24-bit",
        CalliperKind::Bcd52 => "52-bit",
        CalliperKind::Words48 => "48-bit",
        CalliperKind::Nibbles28 => "28-bit",
    }
}

/// `before` or `after` the claw was trimmed to form.
pub(crate) const fn moment_word(trimmed: bool) -> &'static str {
    if trimmed { "after" } else { "before" }
}

/// The last gauge check of that day and boot.
pub(crate) const fn gauge_word(passed: Option<bool>) -> &'static str {
    match passed {
        Some(true) => "passed",
        Some(false) => "failed",
        None => "none",
    }
}
