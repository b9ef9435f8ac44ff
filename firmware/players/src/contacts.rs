//! Key contacts: what a matrix of switches looks like when scanned.
//!
//! ```text
//! finger     |==========================|
//! contact  __|‾|_|‾‾|_|‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾|_|‾|______
//!            bounce                     bounce
//! ```

use hornrule_core::time::Micros;

use crate::seeded::Seeded;

/// Columns of the matrix; a mask's bit is row * 4 + column.
const COLUMNS: u8 = 4;
/// Rows of the matrix.
const ROWS: u8 = 5;

/// Contacts that open and close over time.
#[derive(Clone, Debug, Default)]
pub struct Contacts {
    /// (when, which mask bit, closed).
    toggles: Vec<(Micros, u8, bool)>,
}

impl Contacts {
    /// All open, always.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The contact of this mask bit is closed from `down` to `up`, bouncing for up to `bounce_us`
    /// after each.
    pub fn press(
        &mut self,
        bit: u8,
        down: Micros,
        up: Micros,
        bounce_us: u64,
        chance: &mut Seeded,
    ) {
        self.bounce(bit, down, bounce_us, chance);
        self.toggles.push((down.after_us(bounce_us), bit, true));
        self.bounce(bit, up, bounce_us, chance);
        self.toggles.push((up.after_us(bounce_us), bit, false));
        self.toggles.sort_by_key(|(t, ..)| *t);
    }

    /// The contact closes for `width_us` and opens again.
    pub fn spike(&mut self, bit: u8, at: Micros, width_us: u64) {
        self.toggles.push((at, bit, true));
        self.toggles.push((at.after_us(width_us), bit, false));
        self.toggles.sort_by_key(|(t, ..)| *t);
    }

    fn bounce(&mut self, bit: u8, from: Micros, bounce_us: u64, chance: &mut Seeded) {
        let mut at = from;
        // Each bounce or touch lasts up to 1.5 ms.
        while at < from.after_us(bounce_us) {
            self.toggles.push((at, bit, chance.once_in(2)));
            at = at.after_us(1 + chance.below(1_500));
        }
    }

    /// When any contact changes, in order.
    #[must_use]
    pub fn changes(&self) -> Vec<Micros> {
        self.toggles.iter().map(|(t, ..)| *t).collect()
    }

    /// The contacts closed at a time, as a mask.
    #[must_use]
    pub fn mask_at(&self, at: Micros) -> u32 {
        self.toggles.iter().take_while(|(t, ..)| *t <= at).fold(0, |mask, (_, bit, closed)| {
            if *closed { mask | 1 << bit } else { mask & !(1 << bit) }
        })
    }

    /// What a scan every `every_us` sees, from zero to `until`.
    #[must_use]
    pub fn scans(&self, every_us: u64, until: Micros) -> Vec<(Micros, u32)> {
        (0..=until.0 / every_us)
            .map(|n| Micros(n * every_us))
            .map(|t| (t, self.mask_at(t)))
            .collect()
    }
}

/// What a matrix without diodes shows for the keys really down: current finds a way through closed
/// contacts, so every crossing of a row and a column joined in any way appears closed.
#[must_use]
pub fn ghosted(mask: u32) -> u32 {
    // Lines as numbers: rows 0 to 4, columns 5 to 8. Two joined lines get the same net.
    let mut net: Vec<u8> = (0..ROWS + COLUMNS).collect();
    for bit in (0..ROWS * COLUMNS).filter(|bit| mask >> bit & 1 == 1) {
        let row = net[usize::from(bit / COLUMNS)];
        let column = net[usize::from(ROWS + bit % COLUMNS)];
        for line in &mut net {
            if *line == column {
                *line = row;
            }
        }
    }
    (0..ROWS * COLUMNS)
        .filter(|bit| net[usize::from(bit / COLUMNS)] == net[usize::from(ROWS + bit % COLUMNS)])
        .fold(0, |seen, bit| seen | 1 << bit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_corners_show_the_fourth() {
        // Rows 0 and 2, columns 1 and 3: bits 1, 3, 9 show 11.
        assert_eq!(ghosted(1 << 1 | 1 << 3 | 1 << 9), 1 << 1 | 1 << 3 | 1 << 9 | 1 << 11);
        for mask in [0, 1, 1 << 19, 1 | 1 << 5, 1 | 1 << 1, 1 | 1 << 4] {
            assert_eq!(ghosted(mask), mask, "one or two keys show no other");
        }
    }

    #[test]
    fn bounces_and_settles() {
        let mut contacts = Contacts::new();
        let chance = &mut Seeded::new(3);
        contacts.press(5, Micros(10_000), Micros(200_000), 10_000, chance);
        assert_eq!(contacts.mask_at(Micros(9_999)), 0);
        assert_eq!(contacts.mask_at(Micros(20_000)), 1 << 5);
        assert_eq!(contacts.mask_at(Micros(199_999)), 1 << 5);
        assert_eq!(contacts.mask_at(Micros(210_000)), 0);
        let seen = contacts.scans(100, Micros(20_000));
        assert!(seen.windows(2).filter(|pair| pair[0].1 != pair[1].1).count() > 2, "it bounces");
    }
}
