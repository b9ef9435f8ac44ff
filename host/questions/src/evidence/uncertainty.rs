//! What a single reading is uncertain by: one budget for reports and data sets.
//!
//! ```text
//! repeats of one person --> landmarks and hand     (type A, with its degrees of freedom)
//! half of the step shown --> what the display hides (type B)
//! permitted error -------> the calliper itself     (type B)
//! ```

use hornrule_protocol::record::UnitMode;

use hornrule_insight::agree::{Repeat, repeat};
use hornrule_insight::chart::{Budget, Part, budget};
use hornrule_insight::{Level, Refusal};

/// Permitted error of an ordinary digital calliper, mm (from memory of tolerance tables; the
/// maker's own figure goes first).
pub(crate) const PERMITTED: f64 = 0.03;

/// Half of the step that a calliper shows, mm: 0.01 mm or 0.0005 inch.
pub(crate) const fn half_step(unit: UnitMode) -> f64 {
    match unit {
        UnitMode::Millimetre => 0.005,
        UnitMode::Inch => 0.000_25 * 25.4,
    }
}

/// The budget of a single reading from groups of readings of one claw by one person (JCGM
/// 100:2008). The difference between people is not in it.
///
/// # Errors
/// [`Refusal`] with fewer than five spare readings, or readings all alike.
pub fn of_reading(groups: &[Vec<f64>], unit: UnitMode) -> Result<Budget, Refusal> {
    of_repeat(&repeat(groups, Level::P95)?, unit)
}

/// The same from what the groups say.
///
/// # Errors
/// As [`of_reading`].
pub(super) fn of_repeat(repeat: &Repeat, unit: UnitMode) -> Result<Budget, Refusal> {
    let df = (repeat.readings - repeat.tem.n) as f64;
    let parts = [
        Part::even("calliper's step", half_step(unit)),
        Part::even("calliper's permitted error", PERMITTED),
        Part::repeated("landmarks and hand, single reading", repeat.tem.value, df, 1),
    ];
    budget(&parts, Level::P95)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn near(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want} within {within}");
    }

    /// Six pairs 0.4 mm apart: error sqrt(6 * 0.16 / 12) with 6 degrees. With 0.005 and 0.03 mm over
    /// root 3 the combined one is 0.283_388; Welch and Satterthwaite give 6.04, cut to 6; t is
    /// 2.446_912 (scipy).
    #[test]
    fn a_reading_has_the_guides_uncertainty() {
        let pairs = vec![vec![80.0, 80.4]; 6];
        let got = of_reading(&pairs, UnitMode::Millimetre).unwrap();
        near(got.combined, (0.08f64 + 0.000_025 / 3.0 + 0.0009 / 3.0).sqrt(), 1e-12);
        near(got.df, 6.0, 0.0);
        near(got.expanded, 2.446_912 * got.combined, 1e-6);
        let inch = of_reading(&pairs, UnitMode::Inch).unwrap();
        near(inch.parts[0].standard, 0.006_35 / 3f64.sqrt(), 1e-12);
        assert!(of_reading(&pairs[..4], UnitMode::Inch).is_err());
    }
}
