//! For tests: a number is what a source says, within what is stated.

/// Fails where two numbers are further apart than `within`.
#[track_caller]
pub(crate) fn near(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got} is not {want} within {within}");
}
