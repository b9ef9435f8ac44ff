//! How thick the sole at the toe of a hind claw is on average, by its dorsal wall. Rules and
//! source: `DERIVED.md`.

use super::derived::{Derived, Hands, Length, Refused, propagate};

/// Which claw of a hind foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HindClaw {
    /// The medial one.
    Inner,
    /// The lateral one.
    Outer,
}

impl HindClaw {
    /// Dorsal wall and mean thickness of the sole at the toe, mm (abstract of the computed
    /// tomography of 800 untrimmed claws; Tsuka and others 2014, authors from memory).
    #[must_use]
    pub const fn rows(self) -> [(f64, f64); 3] {
        match self {
            Self::Inner => [(72.1, 5.0), (75.0, 6.1), (79.8, 7.0)],
            Self::Outer => [(72.7, 5.0), (75.0, 6.4), (78.4, 7.0)],
        }
    }

    /// The mean of claws whose wall is shorter than [`SHORT_MM`], mm: a mean of a group and no
    /// point of the line (the same abstract).
    #[must_use]
    pub const fn mean_of_short(self) -> f64 {
        match self {
            Self::Inner => 3.8,
            Self::Outer => 4.0,
        }
    }
}

/// Below this a wall is of that group, mm.
pub const SHORT_MM: f64 = 70.0;

/// Straight lines between the rows, mm: a mean of many claws. The uncertainty is that of the wall's
/// reading alone and so always "at least": how much single claws differ, the source does not say.
///
/// # Errors
/// [`Refused::OutsideRange`] for a wall outside the rows.
pub fn sole_estimate(claw: HindClaw, wall: Length) -> Result<Derived, Refused> {
    let (sole, slope) = sole_of(claw, wall.mm).ok_or(Refused::OutsideRange)?;
    let by_the_wall = propagate(sole, &[(slope, wall)], Hands::Two)?;
    Ok(Derived { at_least: true, ..by_the_wall })
}

/// The line at a wall of so many mm: the sole, mm, and the slope; `None` outside the rows.
#[must_use]
pub fn sole_of(claw: HindClaw, wall_mm: f64) -> Option<(f64, f64)> {
    claw.rows().windows(2).find_map(|pair| {
        let [(from, thin), (to, thick)] = *pair else { return None };
        let slope = (thick - thin) / (to - from);
        (from..=to).contains(&wall_mm).then_some((thin + slope * (wall_mm - from), slope))
    })
}
