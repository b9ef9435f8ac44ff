//! Which cows of the plan were in the chute at this visit.

/// Rows of the plan that are remembered: the first ones.
const ROWS: u16 = 512;
const WORDS: usize = ROWS as usize / 32;

/// A bit for each of the first rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Seen([u32; WORDS]);

impl Seen {
    pub(super) const fn new() -> Self {
        Self([0; WORDS])
    }

    fn word(&mut self, row: u16) -> Option<(&mut u32, u32)> {
        let word = self.0.get_mut(usize::from(row / 32))?;
        Some((word, 1 << (row % 32)))
    }

    /// The cow of this row is in the chute. Says whether she was before.
    pub(super) fn enter(&mut self, row: u16) -> bool {
        let Some((word, bit)) = self.word(row) else { return false };
        let was = *word & bit != 0;
        *word |= bit;
        was
    }

    /// She never was.
    pub(super) fn forget(&mut self, row: u16) {
        if let Some((word, bit)) = self.word(row) {
            *word &= !bit;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_row_is_one_cow_and_rows_beyond_are_none() {
        let mut seen = Seen::new();
        for row in 0..ROWS {
            assert!(!seen.enter(row), "{row}");
        }
        for row in 0..ROWS {
            assert!(seen.enter(row), "{row}");
        }
        seen.forget(17);
        assert!(!seen.enter(17) && seen.enter(16) && seen.enter(18));
        for row in [ROWS, ROWS + 17, u16::MAX] {
            assert!(!seen.enter(row) && !seen.enter(row));
            seen.forget(row);
        }
    }
}
