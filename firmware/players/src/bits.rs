//! Bit scripts: what a calliper does to its two lines, and what happens to it on the way.
//!
//! ```text
//!            low  high        gap
//! clock ‾‾‾‾|____|‾‾|____|‾‾|____|‾‾‾‾‾‾‾‾|____|      idle high
//! data  ====X=======X=======X=============X=====      stable around each fall
//!                   ^ moves: this long after the fall
//! ```
//!
//! A script is drawn clean, then spoiled: jittered, inverted, cut, with edges lost or added.

use hornrule_core::calliper::{Edge, Level};
use hornrule_core::time::Micros;

use crate::seeded::Seeded;

/// How a calliper times its packet, in microseconds.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    /// Clock low, from the fall at which the data counts.
    pub low_us: u64,
    /// Clock high between the bits of a digit.
    pub high_us: u64,
    /// Clock high between digits (after every four bits).
    pub gap_us: u64,
    /// How long after the fall the data changes to the next bit.
    pub moves_us: u64,
}

impl Shape {
    /// 24 bits as measured by one builder: nibble 1.12 ms, rest between nibbles 0.385 ms, longest
    /// time from bit to bit 0.605 ms, packet 8.66 ms. The low level and the period (0.3 ms) are
    /// worked out from those; which level is the longer one is not known.
    pub const SYNC24_QUICK: Self = Self { low_us: 220, high_us: 80, gap_us: 385, moves_us: 240 };
    /// 24 bits as measured by another: nibble period 2.2 ms, rest 0.7 ms, clock cycle 0.45 ms,
    /// packet about 13 ms.
    pub const SYNC24_SLOW: Self = Self { low_us: 150, high_us: 300, gap_us: 700, moves_us: 170 };
    /// 52 bits from an instrument maker's manual: clock period 428 µs, one clock left out between
    /// digits, 2.14 ms per digit, 27.8 ms per reading, data valid while the clock is low. The
    /// printed 124 µs is taken as the low level.
    pub const BCD52: Self = Self { low_us: 124, high_us: 304, gap_us: 732, moves_us: 144 };
}

/// Pin changes with their times, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Script(Vec<(Micros, Edge)>);

impl Script {
    /// Draws one packet of a 24-bit calliper, with its first fall at `at`.
    #[must_use]
    pub fn sync24(word: u32, shape: Shape, at: Micros) -> Self {
        let bits: Vec<bool> = (0..24).map(|place| word >> place & 1 == 1).collect();
        Self::draw(&bits, shape, at)
    }

    /// Draws one packet of a 52-bit calliper from its digits d1 to d13, with its first fall at
    /// `at`.
    #[must_use]
    pub fn bcd52(digits: [u8; 13], shape: Shape, at: Micros) -> Self {
        let bits: Vec<bool> = digits
            .iter()
            .flat_map(|digit| (0..4).map(move |place| digit >> place & 1 == 1))
            .collect();
        Self::draw(&bits, shape, at)
    }

    /// Pin changes drawn elsewhere, in order.
    #[must_use]
    pub const fn of(changes: Vec<(Micros, Edge)>) -> Self {
        Self(changes)
    }

    /// Draws any bits. Data rests high, like a pulled-up line.
    #[must_use]
    pub fn draw(bits: &[bool], shape: Shape, at: Micros) -> Self {
        let level = |one: bool| if one { Level::High } else { Level::Low };
        // (time, which pin, level), sorted afterwards: data may change before the rise.
        let mut clock = Vec::new();
        let mut data = Vec::new();
        if let Some(first) = bits.first() {
            data.push((Micros(at.0.saturating_sub(50)), level(*first)));
        }
        let mut fall = at;
        for (place, _) in bits.iter().enumerate() {
            clock.push((fall, Level::Low));
            clock.push((fall.after_us(shape.low_us), Level::High));
            let next = bits.get(place + 1).copied().unwrap_or(true);
            data.push((fall.after_us(shape.moves_us), level(next)));
            let high = if place % 4 == 3 { shape.gap_us } else { shape.high_us };
            fall = fall.after_us(shape.low_us + high);
        }
        let mut changes: Vec<(Micros, Option<Level>, Option<Level>)> = Vec::new();
        changes.extend(clock.into_iter().map(|(t, level)| (t, Some(level), None)));
        changes.extend(data.into_iter().map(|(t, level)| (t, None, Some(level))));
        changes.sort_by_key(|(t, ..)| *t);
        let mut now = Edge { clock: Level::High, data: Level::High };
        let mut script = Vec::new();
        for (t, clock, data) in changes {
            let next = Edge { clock: clock.unwrap_or(now.clock), data: data.unwrap_or(now.data) };
            if next != now {
                script.push((t, next));
                now = next;
            }
        }
        Self(script)
    }

    /// The pin changes, in order.
    #[must_use]
    pub fn edges(&self) -> &[(Micros, Edge)] {
        &self.0
    }

    /// The time of the last one; the start of time if there is none.
    #[must_use]
    pub fn end(&self) -> Micros {
        self.0.last().map_or(Micros(0), |(t, _)| *t)
    }

    /// Each change up to `most_us` late, but still in order.
    #[must_use]
    pub fn jittered(mut self, most_us: u64, seeded: &mut Seeded) -> Self {
        let mut before = Micros(0);
        for (t, _) in &mut self.0 {
            *t = t.after_us(seeded.below(most_us + 1)).max(before);
            before = *t;
        }
        self
    }

    /// Both lines inverted, as after one-transistor level shifters.
    #[must_use]
    pub fn inverted(mut self) -> Self {
        for (_, edge) in &mut self.0 {
            *edge = Edge { clock: edge.clock.opposite(), data: edge.data.opposite() };
        }
        self
    }

    /// Only the first `n` changes: the plug was pulled out.
    #[must_use]
    pub fn cut(mut self, n: usize) -> Self {
        self.0.truncate(n);
        self
    }

    /// Without change number `n`: it was missed.
    #[must_use]
    pub fn without(mut self, n: usize) -> Self {
        if n < self.0.len() {
            self.0.remove(n);
        }
        self
    }

    /// Only changes of the clock: a board that watches one pin and reads the other.
    #[must_use]
    pub fn clock_only(mut self) -> Self {
        let mut clock = Level::High;
        self.0.retain(|(_, edge)| core::mem::replace(&mut clock, edge.clock) != edge.clock);
        self
    }

    /// With a spike on the clock, `width_us` long, starting at `at`. Changes within the spike are
    /// seen with the clock inverted.
    #[must_use]
    pub fn with_spike(mut self, at: Micros, width_us: u64) -> Self {
        let rest = Edge { clock: Level::High, data: Level::High };
        let level_at = |script: &[(Micros, Edge)], t: Micros| {
            script.iter().rev().find(|(s, _)| *s <= t).map_or(rest, |(_, edge)| *edge)
        };
        let upside_down = |edge: Edge| Edge { clock: edge.clock.opposite(), ..edge };
        let end = at.after_us(width_us);
        let starts = (at, upside_down(level_at(&self.0, at)));
        let ends = (end, level_at(&self.0, end));
        for (t, edge) in &mut self.0 {
            if at < *t && *t < end {
                *edge = upside_down(*edge);
            }
        }
        let first = self.0.partition_point(|(t, _)| *t <= at);
        self.0.insert(first, starts);
        let last = self.0.partition_point(|(t, _)| *t <= end);
        self.0.insert(last, ends);
        self
    }

    /// This one and then another.
    #[must_use]
    pub fn then(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }
}

/// Digits d1 to d13 of a 52-bit packet: sign 0 or 8, the six digits of a number, decimal places,
/// unit.
#[must_use]
pub fn digits(sign: u8, number: u32, places: u8, unit: u8) -> [u8; 13] {
    let mut digits = [0xF; 13];
    digits[4] = sign;
    let mut rest = number;
    for place in (5..=10).rev() {
        digits[place] = (rest % 10) as u8;
        rest /= 10;
    }
    digits[11] = places;
    digits[12] = unit;
    digits
}

#[cfg(test)]
mod tests {
    use super::*;

    fn falls(script: &Script) -> Vec<Micros> {
        let mut clock = Level::High;
        let mut falls = Vec::new();
        for (t, edge) in script.edges() {
            if edge.clock == Level::Low && clock == Level::High {
                falls.push(*t);
            }
            clock = edge.clock;
        }
        falls
    }

    // The published times from which the shapes were worked out.
    #[test]
    fn shapes_keep_the_published_times() {
        let quick = Script::sync24(0x00_1D6C, Shape::SYNC24_QUICK, Micros(1_000)).clock_only();
        assert!(quick.end().since(Micros(1_000)).abs_diff(8_660) < 20, "packet 8.66 ms");
        let falls_quick = falls(&quick);
        assert_eq!(falls_quick.len(), 24);
        assert_eq!(falls_quick[3].since(falls_quick[0]) + 220, 1_120, "nibble 1.12 ms");
        assert_eq!(falls_quick[4].since(falls_quick[3]), 605, "longest bit to bit 0.605 ms");

        let slow = Script::sync24(0x00_1D6C, Shape::SYNC24_SLOW, Micros(1_000)).clock_only();
        assert_eq!(falls(&slow)[4].since(falls(&slow)[0]), 2_200, "nibble period 2.2 ms");
        assert!(slow.end().since(Micros(1_000)).abs_diff(13_000) < 600, "about 13 ms");

        let number = digits(8, 12_345, 3, 0);
        assert_eq!(number, [15, 15, 15, 15, 8, 0, 1, 2, 3, 4, 5, 3, 0]);
        let long = Script::bcd52(number, Shape::BCD52, Micros(1_000)).clock_only();
        assert_eq!(falls(&long).len(), 52);
        assert_eq!(falls(&long)[4].since(falls(&long)[0]), 2_140, "digit 2.14 ms");
        assert!(long.end().since(Micros(1_000)).abs_diff(27_800) < 800, "27.8 ms");
    }

    #[test]
    fn a_spike_turns_the_clock_over_and_back() {
        let clean = Script::sync24(0, Shape::SYNC24_SLOW, Micros(1_000)).clock_only();
        let spiked = clean.clone().with_spike(Micros(1_050), 10);
        assert_eq!(spiked.edges().len(), clean.edges().len() + 2);
        assert_eq!(
            spiked.edges()[1],
            (Micros(1_050), Edge { clock: Level::High, data: Level::Low })
        );
        assert_eq!(spiked.edges()[2].0, Micros(1_060));
        assert_eq!(spiked.edges()[2].1.clock, Level::Low);
        assert!(spiked.edges().windows(2).all(|pair| pair[0].0 <= pair[1].0));
    }
}
