//! A time known only between two looks.
//!
//! ```text
//! glued        seen: still on         seen: gone
//!   0 ------------- 13 ==================== 27        (13, 27]: after the first, by the second
//!   0 --------------------------- 28 ====> ...        (28, inf): taken off by us, still on
//! ```

use serde::Serialize;

use super::estimate::Refusal;

/// Later than `after`, no later than `by`, which may be infinite. Half open: what was still there
/// at a look had not happened yet, and what was gone had.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Between {
    after: f64,
    by: f64,
}

impl Between {
    /// `after` zero or more, `by` above it; any unit of time.
    ///
    /// # Errors
    /// [`Refusal::Impossible`].
    pub fn new(after: f64, by: f64) -> Result<Self, Refusal> {
        if !(after.is_finite() && after >= 0.0) {
            return Err(Refusal::Impossible { what: "the last look before", value: after });
        }
        if by > after {
            Ok(Self { after, by })
        } else {
            Err(Refusal::Impossible { what: "the first look after", value: by })
        }
    }

    /// Had not happened by the last look.
    ///
    /// # Errors
    /// [`Refusal::Impossible`].
    pub fn later_than(after: f64) -> Result<Self, Refusal> {
        Self::new(after, f64::INFINITY)
    }

    /// The last look before it happened.
    #[must_use]
    pub const fn after(self) -> f64 {
        self.after
    }

    /// The first look after it happened; infinite where there was none.
    #[must_use]
    pub const fn by(self) -> f64 {
        self.by
    }

    /// Whether it was seen to have happened.
    #[must_use]
    pub const fn happened(self) -> bool {
        self.by.is_finite()
    }
}

#[cfg(test)]
pub(crate) mod cosmesis {
    //! Time to cosmetic deterioration of the breast, months (Finkelstein and Wolfe 1985, Biometrics
    //! 41:933-945), the 94 patients as in the R package interval 1.1-1.0 (`bcos`).

    use super::Between;

    const NEVER: f64 = f64::INFINITY;
    const RADIATION: [(f64, f64); 39] = [
        (0.0, 5.0),
        (0.0, 7.0),
        (0.0, 8.0),
        (4.0, 11.0),
        (5.0, 11.0),
        (5.0, 12.0),
        (6.0, 10.0),
        (7.0, 14.0),
        (7.0, 16.0),
        (11.0, 15.0),
        (11.0, 18.0),
        (15.0, NEVER),
        (17.0, 25.0),
        (17.0, 25.0),
        (17.0, NEVER),
        (18.0, NEVER),
        (19.0, 26.0),
        (19.0, 35.0),
        (22.0, NEVER),
        (24.0, NEVER),
        (24.0, NEVER),
        (25.0, 37.0),
        (26.0, 40.0),
        (27.0, 34.0),
        (32.0, NEVER),
        (33.0, NEVER),
        (34.0, NEVER),
        (36.0, 44.0),
        (36.0, 48.0),
        (36.0, NEVER),
        (36.0, NEVER),
        (37.0, 44.0),
        (37.0, NEVER),
        (37.0, NEVER),
        (37.0, NEVER),
        (38.0, NEVER),
        (40.0, NEVER),
        (45.0, NEVER),
        (46.0, NEVER),
    ];
    const BOTH: [(f64, f64); 48] = [
        (0.0, 5.0),
        (0.0, 22.0),
        (4.0, 8.0),
        (4.0, 9.0),
        (5.0, 8.0),
        (8.0, 12.0),
        (8.0, 21.0),
        (10.0, 17.0),
        (10.0, 35.0),
        (11.0, 13.0),
        (11.0, 17.0),
        (11.0, 20.0),
        (11.0, NEVER),
        (11.0, NEVER),
        (12.0, 20.0),
        (13.0, 39.0),
        (13.0, NEVER),
        (13.0, NEVER),
        (13.0, NEVER),
        (14.0, 17.0),
        (14.0, 19.0),
        (15.0, 22.0),
        (16.0, 20.0),
        (16.0, 24.0),
        (16.0, 24.0),
        (16.0, 60.0),
        (17.0, 23.0),
        (17.0, 26.0),
        (17.0, 27.0),
        (18.0, 24.0),
        (18.0, 25.0),
        (19.0, 32.0),
        (21.0, NEVER),
        (22.0, 32.0),
        (23.0, NEVER),
        (24.0, 30.0),
        (24.0, 31.0),
        (30.0, 34.0),
        (30.0, 36.0),
        (31.0, NEVER),
        (32.0, NEVER),
        (33.0, 40.0),
        (34.0, NEVER),
        (34.0, NEVER),
        (35.0, 39.0),
        (35.0, NEVER),
        (44.0, 48.0),
        (48.0, NEVER),
    ];

    fn made(pairs: &[(f64, f64)]) -> Vec<Between> {
        pairs.iter().map(|(after, by)| Between::new(*after, *by).unwrap()).collect()
    }

    /// Radiation alone, 46 patients: the last interval of the list is that of eight.
    pub(crate) fn radiation() -> Vec<Between> {
        let mut all = made(&RADIATION);
        all.extend(made(&[(46.0, NEVER); 7]));
        all
    }

    /// Radiation and chemotherapy, 48 patients.
    pub(crate) fn both() -> Vec<Between> {
        made(&BOTH)
    }
}
