//! The code tables: lesions, actions, dimensions, scales.
//!
//! One table each, and nothing else: keypad, office, card and exports read the same rows. A
//! [`Code`] can only come from its table, so a new row is complete or absent, and no second list
//! can be forgotten. Once shipped, a row keeps its number for ever.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

mod action;
mod atlas;
mod burden;
mod dimension;
mod lesion;
pub mod named;
mod scale;

pub use action::{About, Action, ActionKind, ActionRow};
pub use atlas::{AtlasLetters, ReadIn};
pub use burden::Burden;
pub use dimension::{Dimension, DimensionRow};
pub use lesion::{Grades, Lesion, LesionRow, Says, Seat};
pub use scale::{Scale, ScaleRow};

/// A row of a code table.
pub trait Row: Sized + 'static {
    /// What a row is called in an error: "lesion", "action", ….
    const WHAT: &'static str;
    /// Every row, in ascending order of code.
    const TABLE: &'static [Self];
    /// The number keyed and stored.
    fn code(&self) -> u8;
}

/// A code from its table. Dereferences to its row.
pub struct Code<R: 'static>(&'static R);

impl<R: Row> Code<R> {
    /// The row with this number; `None` if the table has none.
    #[must_use]
    pub fn from_code(code: u8) -> Option<Self> {
        R::TABLE.iter().find(|row| row.code() == code).map(Self)
    }

    /// Every code, in the table's order.
    pub fn all() -> impl Iterator<Item = Self> {
        R::TABLE.iter().map(Self)
    }

    /// The number keyed and stored.
    #[must_use]
    pub fn code(self) -> u8 {
        self.0.code()
    }
}

// Written out because derives would require the same traits of the row.
impl<R> Clone for Code<R> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<R> Copy for Code<R> {}
impl<R: Row> PartialEq for Code<R> {
    fn eq(&self, other: &Self) -> bool {
        self.0.code() == other.0.code()
    }
}
impl<R: Row> Eq for Code<R> {}
impl<R: Row> core::fmt::Debug for Code<R> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} {:02}", R::WHAT, self.0.code())
    }
}
impl<R> core::ops::Deref for Code<R> {
    type Target = R;
    fn deref(&self) -> &R {
        self.0
    }
}
impl<R: Row> Serialize for Code<R> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(self.0.code())
    }
}
impl<'de, R: Row> Deserialize<'de> for Code<R> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let code = u8::deserialize(deserializer)?;
        Self::from_code(code).ok_or_else(|| de::Error::custom("no such code in its table"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ascends<R: Row>() {
        for pair in R::TABLE.windows(2) {
            assert!(
                pair[0].code() < pair[1].code(),
                "{} {} stands before {}",
                R::WHAT,
                pair[0].code(),
                pair[1].code()
            );
        }
        for code in Code::<R>::all() {
            assert_eq!(Code::<R>::from_code(code.code()), Some(code));
        }
    }

    #[test]
    fn every_table_ascends_and_finds_its_rows() {
        ascends::<LesionRow>();
        ascends::<ActionRow>();
        ascends::<DimensionRow>();
        ascends::<ScaleRow>();
    }
}
