//! The keys and their positions.
//!
//! ```text
//!          column 0  1      2     3
//! row 0           LF RF     FIND  UNDO
//! row 1           LH RH     DO    SIZE
//! row 2           1  2      3     COW
//! row 3           4  5      6     SCORE
//! row 4           7  8      9     0
//! ```
//!
//! A key's position is row * 4 + column, which is its bit in a [`Mask`].

/// Columns of the matrix.
pub const COLUMNS: u8 = 4;
/// Rows of the matrix.
pub const ROWS: u8 = 5;
/// Keys of the matrix.
pub const KEYS: usize = (ROWS * COLUMNS) as usize;

/// A key by its legend. Its meaning is not known here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[repr(u8)]
pub enum Key {
    /// Left fore.
    Lf,
    /// Right fore.
    Rf,
    /// FIND.
    Find,
    /// UNDO.
    Undo,
    /// Left hind.
    Lh,
    /// Right hind.
    Rh,
    /// DO.
    Do,
    /// SIZE.
    Size,
    /// 1.
    One,
    /// 2.
    Two,
    /// 3.
    Three,
    /// COW.
    Cow,
    /// 4.
    Four,
    /// 5.
    Five,
    /// 6.
    Six,
    /// SCORE.
    Score,
    /// 7.
    Seven,
    /// 8.
    Eight,
    /// 9.
    Nine,
    /// 0.
    Zero,
}

impl Key {
    /// All keys in the order of their positions.
    pub const ALL: [Self; KEYS] = [
        Self::Lf,
        Self::Rf,
        Self::Find,
        Self::Undo,
        Self::Lh,
        Self::Rh,
        Self::Do,
        Self::Size,
        Self::One,
        Self::Two,
        Self::Three,
        Self::Cow,
        Self::Four,
        Self::Five,
        Self::Six,
        Self::Score,
        Self::Seven,
        Self::Eight,
        Self::Nine,
        Self::Zero,
    ];

    /// Row * 4 + column.
    #[must_use]
    pub const fn position(self) -> u8 {
        self as u8
    }

    /// The key at a position; `None` from 20 up.
    #[must_use]
    pub fn at(position: u8) -> Option<Self> {
        Self::ALL.get(usize::from(position)).copied()
    }

    /// The digit on it.
    #[must_use]
    pub const fn digit(self) -> Option<u8> {
        match self {
            Self::Zero => Some(0),
            Self::One => Some(1),
            Self::Two => Some(2),
            Self::Three => Some(3),
            Self::Four => Some(4),
            Self::Five => Some(5),
            Self::Six => Some(6),
            Self::Seven => Some(7),
            Self::Eight => Some(8),
            Self::Nine => Some(9),
            Self::Lf
            | Self::Rf
            | Self::Find
            | Self::Undo
            | Self::Lh
            | Self::Rh
            | Self::Do
            | Self::Size
            | Self::Cow
            | Self::Score => None,
        }
    }
}

/// Which contacts appear closed in one scan: bit = position. Bits from 20 up mean nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Mask(u32);

impl Mask {
    const ROW: u32 = (1 << COLUMNS) - 1;

    /// From raw bits.
    #[must_use]
    pub const fn new(bits: u32) -> Self {
        Self(bits & ((1 << KEYS) - 1))
    }

    /// Whether this key appears down.
    #[must_use]
    pub const fn has(self, key: Key) -> bool {
        self.0 >> key.position() & 1 == 1
    }

    /// What appears down in both.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Whether four contacts appear closed at the corners of a rectangle. Without diodes any three
    /// of them make the fourth appear closed, so it is impossible to tell which are really down.
    #[must_use]
    pub fn is_doubtful(self) -> bool {
        let row = |n: u8| self.0 >> (n * COLUMNS) & Self::ROW;
        (0..ROWS).any(|a| (0..a).any(|b| (row(a) & row(b)).count_ones() >= 2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_go_both_ways() {
        for (position, key) in (0..).zip(Key::ALL) {
            assert_eq!(key.position(), position);
            assert_eq!(Key::at(position), Some(key));
        }
        assert_eq!(Key::at(20), None);
        assert_eq!(Key::at(255), None);
        // Row 2, column 3, and row 4, column 3 of the legend.
        assert_eq!(Key::at(2 * 4 + 3), Some(Key::Cow));
        assert_eq!(Key::at(4 * 4 + 3), Some(Key::Zero));
    }

    #[test]
    fn ten_digits() {
        let mut digits: std::vec::Vec<u8> = Key::ALL.into_iter().filter_map(Key::digit).collect();
        digits.sort_unstable();
        assert_eq!(digits, [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
        assert_eq!(Key::Three.digit(), Some(3));
        assert_eq!(Key::Cow.digit(), None);
    }

    #[test]
    fn bits_beyond_the_matrix_mean_nothing() {
        assert_eq!(Mask::new(u32::MAX), Mask::new(0xF_FFFF));
        assert_eq!(Mask::new(1 << 20), Mask::default());
    }
}
