//! For tests: a number equals that of a source within a tolerance.

/// Fails if two numbers are further apart than `within`.
#[track_caller]
pub(crate) fn near(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got} is not {want} within {within}");
}
