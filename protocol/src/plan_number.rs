//! The first row of a plan: which plan it is, for the office alone.
//!
//! Two days may have the same cows with the same needs under the same keys, at other farms. With a
//! number in its bytes each plan has another checksum, so the `PlanLoaded` record, which seals the
//! checksum, says which of the office's plans it was. The head has no room that firmware 0.1.0
//! would take; a row of farm 0 it takes, and never finds, because nobody can key farm 0.

use crate::plan::{ROW, Row};

/// Bits of the needs, all 0 here.
const NEED_BITS: u32 = 15;
const NUMBER_BITS: u32 = 28;
const DAY_BITS: u32 = 16;

/// A plan's number and day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlanNumber {
    number: u32,
    day: u16,
}

impl PlanNumber {
    /// The highest number.
    pub const MAX: u32 = (1 << NUMBER_BITS) - 1;

    /// A number from 1 to [`Self::MAX`], as its office counts, and the day the plan is for, in days
    /// since 1970-01-01. `None` for any other number.
    #[must_use]
    pub const fn new(number: u32, day: u16) -> Option<Self> {
        if number == 0 || number > Self::MAX { None } else { Some(Self { number, day }) }
    }

    /// The number.
    #[must_use]
    pub const fn number(self) -> u32 {
        self.number
    }

    /// The day, in days since 1970-01-01.
    #[must_use]
    pub const fn day(self) -> u16 {
        self.day
    }

    /// As a row: it stands before every cow.
    #[must_use]
    pub fn row(self) -> Row {
        let bits = u64::from(self.day) << NUMBER_BITS | u64::from(self.number);
        Row::from_bytes((bits << NEED_BITS).to_le_bytes())
    }

    /// From a plan's first row; `None` where that is a cow.
    #[must_use]
    pub fn of(row: Row) -> Option<Self> {
        let bytes: [u8; ROW] = row.to_bytes();
        let bits = u64::from_le_bytes(bytes);
        let who = bits >> NEED_BITS;
        if who >> (NUMBER_BITS + DAY_BITS) != 0 || who << NEED_BITS != bits {
            return None;
        }
        // Cut to their bits above and below.
        let (number, day) = ((who & u64::from(Self::MAX)) as u32, (who >> NUMBER_BITS) as u16);
        Self::new(number, day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Need, Needs};
    use crate::{AnimalNumber, HerdNumber};

    #[test]
    fn a_number_is_read_back_and_stands_before_every_cow() {
        let first = Row::new(1, AnimalNumber::Herd(HerdNumber::new(1).unwrap()), Needs::NONE);
        for (number, day) in [(1, 0), (1, u16::MAX), (PlanNumber::MAX, 20_515)] {
            let one = PlanNumber::new(number, day).unwrap();
            assert_eq!(PlanNumber::of(one.row()), Some(one));
            assert!(one.row() < first && one.row().who() < first.who());
            assert_eq!(one.row().needs(), Needs::NONE);
        }
        assert_eq!(PlanNumber::new(0, 1), None);
        assert_eq!(PlanNumber::new(PlanNumber::MAX + 1, 1), None);
    }

    #[test]
    fn a_cow_is_no_number() {
        let number = AnimalNumber::Herd(HerdNumber::new(412).unwrap());
        for farm in 1..=9 {
            assert_eq!(PlanNumber::of(Row::new(farm, number, Needs::NONE)), None);
        }
        let tag = AnimalNumber::Tag(crate::Iso11784::from_decimal(276_000_312_312_345).unwrap());
        assert_eq!(PlanNumber::of(Row::new(1, tag, Needs::NONE)), None);
        // Of farm 0, but with needs: nothing that an office writes.
        assert_eq!(PlanNumber::of(Row::new(0, number, Needs::NONE.with(Need::Vet))), None);
    }
}
