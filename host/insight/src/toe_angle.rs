//! Toe angle from toe height and dorsal wall. Rules: `DERIVED.md`.

use super::derived::{Derived, Hands, Length, Refused, propagate};

/// Angles that are told, degrees, both included: beyond, the arcsine passes errors on in no straight
/// line, and no claw stands so.
pub const TOLD_DEGREES: (f64, f64) = (15.0, 70.0);

/// asin(height / wall), degrees: for a flat sole and a straight wall.
///
/// # Errors
/// [`Refused::HeightAboveWall`], or [`Refused::OutsideRange`] outside [`TOLD_DEGREES`].
pub fn toe_angle(height: Length, wall: Length) -> Result<Derived, Refused> {
    let (h, l) = (height.mm, wall.mm);
    if h > l {
        return Err(Refused::HeightAboveWall);
    }
    let degrees = (h / l).asin().to_degrees();
    if !(TOLD_DEGREES.0..=TOLD_DEGREES.1).contains(&degrees) {
        return Err(Refused::OutsideRange);
    }
    // sqrt(L² - h²), without losing digits.
    let along = ((l - h) * (l + h)).sqrt();
    let slopes = ((1.0 / along).to_degrees(), (-h / (l * along)).to_degrees());
    propagate(degrees, &[(slopes.0, height), (slopes.1, wall)], Hands::Two)
}
