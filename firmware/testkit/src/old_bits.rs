//! Bit scripts of the two rarer outputs, which the core reads only once proved: to draw them, and
//! to show that otherwise a clip of one ends as a fault and never as a length.
//!
//! ```text
//! clock __|‾|_|‾|_|‾|_ ...      idle low, data counts at the fall
//! ```

use hornrule_core::calliper::{Edge, Level};
use hornrule_core::time::Micros;

use crate::bits::Script;

/// Draws two 24-bit words, each least significant bit first. Times in microseconds from one
/// builder: clock cycle 14 (7 and 7), high 52 before the first word, 110 between, 80 at the end,
/// about 860 in all.
#[must_use]
pub fn words48(absolute: u32, relative: u32, at: Micros) -> Script {
    let mut pen = Pen::new(at);
    for (word, first_high) in [(absolute, 52), (relative, 110)] {
        for place in 0..24 {
            let high = if place == 0 { first_high } else { 7 };
            pen.bit(word >> place & 1 == 1, high, 7);
        }
    }
    pen.rest()
}

/// Draws seven nibbles, each least significant bit first. Times from one builder, rounded to whole
/// microseconds: a nibble's first bit takes 60, the others 13. How a bit's time is divided between
/// high and low is not published: the low is drawn as 6.
#[must_use]
pub fn nibbles28(nibbles: [u8; 7], at: Micros) -> Script {
    let mut pen = Pen::new(at);
    for nibble in nibbles {
        for place in 0..4 {
            let high = if place == 0 { 54 } else { 7 };
            pen.bit(nibble >> place & 1 == 1, high, 6);
        }
    }
    pen.rest()
}

struct Pen {
    changes: Vec<(Micros, Edge)>,
    now: Micros,
}

impl Pen {
    const fn new(now: Micros) -> Self {
        Self { changes: Vec::new(), now }
    }

    fn mark(&mut self, clock: Level, data: Level, us: u64) {
        self.changes.push((self.now, Edge { clock, data }));
        self.now = self.now.after_us(us);
    }

    /// The data is there from the rise on, and counts at the fall.
    fn bit(&mut self, one: bool, high_us: u64, low_us: u64) {
        let data = if one { Level::High } else { Level::Low };
        self.mark(Level::High, data, high_us);
        self.mark(Level::Low, data, low_us);
    }

    /// The clock rises once more. Its final fall is not a bit, and is not drawn.
    fn rest(mut self) -> Script {
        self.mark(Level::High, Level::Low, 0);
        Script::of(self.changes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The published totals: 860 us is right; 782 us for the seven nibbles does not follow from
    // their published bit times, which add up to less. The page on that output says so.
    #[test]
    fn packets_last_as_long_as_their_bits() {
        let words = words48(0, 0, Micros(0));
        assert!((words.end().0 + 80).abs_diff(860) <= 60, "{:?}", words.end());
        let nibbles = nibbles28([0; 7], Micros(0));
        assert_eq!(nibbles.end().0, 7 * (60 + 3 * 13));
        assert!(nibbles.end().0 < 782);
    }
}
