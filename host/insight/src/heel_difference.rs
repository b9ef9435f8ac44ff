//! Heel height of the outer claw less that of the inner. Rules: `DERIVED.md`.

use super::derived::{Derived, Hands, Length, Refused, propagate};

/// outer - inner, mm: above zero where the outer heel stands higher.
///
/// # Errors
/// [`Refused::OutsideRange`] for numbers that are no lengths.
pub fn heel_difference(outer: Length, inner: Length) -> Result<Derived, Refused> {
    propagate(outer.mm - inner.mm, &[(1.0, outer), (-1.0, inner)], Hands::One)
}
