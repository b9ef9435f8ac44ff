//! A calliper on the bench: sends what its display shows, continuously or on request.
//!
//! ```text
//! "sync24,inverted" --parse--> Make --+
//! "75.00 mm" --show--> display -------+--draw--> edges --> Handheld
//! ```

use std::str::FromStr;

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::time::Micros;
use hornrule_players::bits::{Script, Shape};
use hornrule_players::seeded::Seeded;
use hornrule_protocol::Nanometres;
use hornrule_protocol::calliper::{InchCode, SignBit, WordOrder};
use hornrule_protocol::record::{CalliperKind, UnitMode};

use crate::handheld::Handheld;
use crate::player::{BCD52_ANSWER_US, JITTER_US, SYNC24_PERIOD_US, bcd52_digits, sync24_word};

/// Interval between packets of the fast ones, microseconds (measured by builders: 320 and 330 ms).
const QUICK_PERIOD_US: u64 = 320_000;
/// Jitter per edge of a fast clock: a seventh of its shortest level.
const QUICK_JITTER_US: u64 = 1;
/// Two words and seven nibbles, from the published times of one builder each.
const WORDS48: Shape = Shape { low_us: 7, high_us: 7, gap_us: 60, moves_us: 9 };
const NIBBLES28: Shape = Shape { low_us: 6, high_us: 7, gap_us: 54, moves_us: 8 };
/// What a two-word calliper counted between power-up and pressing zero.
const BEFORE_ZERO: i64 = 0x1234;

/// What is wrong with a calliper, if anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// Nothing.
    None,
    /// Its plug is loose: about one edge in twelve is lost.
    Loose,
    /// Its display is never still: every other packet is a tenth of a millimetre off.
    Restless,
}

/// How a calliper is made and wired.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Make {
    /// Its output.
    pub kind: CalliperKind,
    /// Whether shifters invert its lines.
    pub inverted: bool,
    /// Where a 24-bit one puts its sign.
    pub sign: SignBit,
    /// The inch code of a 52-bit one.
    pub inch: InchCode,
    /// Which of two words counts from zero.
    pub words: WordOrder,
    /// What is wrong.
    pub trouble: Trouble,
}

impl Make {
    /// With this output, as most are made, wired straight, and with nothing wrong.
    #[must_use]
    pub const fn usual(kind: CalliperKind) -> Self {
        Self {
            kind,
            inverted: false,
            sign: SignBit::Bit20,
            inch: InchCode::One,
            words: WordOrder::ZeroedLast,
            trouble: Trouble::None,
        }
    }
}

impl FromStr for Make {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (kind, parts) = text.split_once(',').unwrap_or((text, ""));
        let mut make = Self::usual(match kind {
            "sync24" => CalliperKind::Sync24,
            "bcd52" => CalliperKind::Bcd52,
            "words48" => CalliperKind::Words48,
            "nibbles28" => CalliperKind::Nibbles28,
            other => {
                return Err(format!(
                    "`{other}` is no output; they are sync24, bcd52, words48, nibbles28"
                ));
            }
        });
        for part in parts.split(',').filter(|part| !part.is_empty()) {
            match part {
                "inverted" => make.inverted = true,
                "sign21" => make.sign = SignBit::Bit21,
                "inch8" => make.inch = InchCode::Eight,
                "zeroed-first" => make.words = WordOrder::ZeroedFirst,
                "loose" => make.trouble = Trouble::Loose,
                "restless" => make.trouble = Trouble::Restless,
                other => {
                    return Err(format!(
                        "`{other}` is nothing a calliper has; there are inverted, sign21, inch8, \
                         zeroed-first, loose, restless"
                    ));
                }
            }
        }
        Ok(make)
    }
}

/// A calliper whose display is set by a person or a test.
#[derive(Clone, Debug)]
pub struct Bench {
    make: Make,
    /// `None`: switched off.
    shown: Option<(Nanometres, UnitMode)>,
    next_us: u64,
    odd: bool,
    chance: Seeded,
}

impl Bench {
    /// Closed, zeroed, in millimetres.
    #[must_use]
    pub fn new(make: Make, seed: u64) -> Self {
        let shown = Some((Nanometres(0), UnitMode::Millimetre));
        Self { make, shown, next_us: 0, odd: false, chance: Seeded::new(seed) }
    }

    /// Sets what the display shows: "75.00 mm", "-2.9525 in", "off".
    ///
    /// # Errors
    /// What is wrong with it; the display stays as it was.
    pub fn show(&mut self, text: &str) -> Result<(), String> {
        let shown = match text.split_whitespace().collect::<Vec<_>>().as_slice() {
            ["off"] => None,
            [value, unit] => Some(crate::story::length(value, unit)?),
            _ => return Err(format!("`{text}` is not like 75.00 mm")),
        };
        match shown {
            Some((length, unit)) => self.show_length(length, unit)?,
            None => self.shown = None,
        }
        Ok(())
    }

    /// Sets what the display shows.
    ///
    /// # Errors
    /// A length that this calliper cannot show; the display stays as it was.
    pub fn show_length(&mut self, length: Nanometres, unit: UnitMode) -> Result<(), String> {
        self.bits(length, unit)?;
        self.shown = Some((length, unit));
        Ok(())
    }

    /// How it is made.
    #[must_use]
    pub const fn make(&self) -> Make {
        self.make
    }

    /// Sends whatever is due by then, and advances the handheld's time with it.
    pub fn run_until<F: NorFlash>(&mut self, handheld: &mut Handheld<F>, to_us: u64) {
        while self.next_us <= to_us {
            handheld.run_until(self.next_us);
            let asked = self.make.kind != CalliperKind::Bcd52 || handheld.requests();
            if asked && let Some(script) = self.packet() {
                let start = handheld.now_us();
                for (at, edge) in script.edges() {
                    handheld.run_until(start + at.0);
                    let lost = self.make.trouble == Trouble::Loose && self.chance.once_in(12);
                    if !lost {
                        handheld.edge(*edge);
                    }
                }
            }
            self.next_us = handheld.now_us() + self.period();
        }
        handheld.run_until(to_us);
    }

    const fn period(&self) -> u64 {
        match self.make.kind {
            CalliperKind::Sync24 => SYNC24_PERIOD_US,
            CalliperKind::Bcd52 => BCD52_ANSWER_US,
            CalliperKind::Words48 | CalliperKind::Nibbles28 => QUICK_PERIOD_US,
        }
    }

    /// What it sends next, on both lines, starting a little after zero; `None` while it is switched
    /// off.
    pub fn packet(&mut self) -> Option<Script> {
        let (length, unit) = self.shown?;
        self.odd = !self.odd;
        let step = match unit {
            UnitMode::Millimetre => 100_000,
            UnitMode::Inch => 127_000,
        };
        let off = if self.make.trouble == Trouble::Restless && self.odd { step } else { 0 };
        // `show` refused what cannot be drawn; a tenth more may be too long, and then it is silent.
        let bits = self.bits(Nanometres(length.0.saturating_add(off)), unit).ok()?;
        let (shape, jitter) = match self.make.kind {
            CalliperKind::Sync24 => (Shape::SYNC24_SLOW, JITTER_US),
            CalliperKind::Bcd52 => (Shape::BCD52, JITTER_US),
            CalliperKind::Words48 => (WORDS48, QUICK_JITTER_US),
            CalliperKind::Nibbles28 => (NIBBLES28, QUICK_JITTER_US),
        };
        // A little after its own zero, because data settles before the first edge.
        let script = Script::draw(&bits, shape, Micros(1_000)).jittered(jitter, &mut self.chance);
        Some(if self.make.inverted { script.inverted() } else { script })
    }

    /// In sending order.
    fn bits(&self, length: Nanometres, unit: UnitMode) -> Result<Vec<bool>, String> {
        let low_first = |number: u64, count: u32| (0..count).map(move |at| number >> at & 1 == 1);
        Ok(match self.make.kind {
            CalliperKind::Sync24 => {
                let word = sync24_word(length, unit)?;
                let sign = word & 1 << 20;
                let word = match self.make.sign {
                    SignBit::Bit20 => word,
                    SignBit::Bit21 => word - sign + (sign << 1),
                };
                low_first(u64::from(word), 24).collect()
            }
            CalliperKind::Bcd52 => {
                let mut digits = bcd52_digits(length, unit)?;
                if unit == UnitMode::Inch && self.make.inch == InchCode::Eight {
                    digits[12] = 8;
                }
                digits.into_iter().flat_map(|digit| low_first(u64::from(digit), 4)).collect()
            }
            CalliperKind::Words48 => {
                // 20,480 counts per inch, two's complement of 24 bits.
                let scaled = f64::from(length.0) * 20_480.0 / 25.4e6;
                let zeroed = scaled.round() as i64;
                let word = |counts: i64| counts.cast_unsigned() & 0xFF_FFFF;
                let (first, last) = match self.make.words {
                    WordOrder::ZeroedLast => (word(zeroed + BEFORE_ZERO), word(zeroed)),
                    WordOrder::ZeroedFirst => (word(zeroed), word(zeroed + BEFORE_ZERO)),
                };
                low_first(first, 24).chain(low_first(last, 24)).collect()
            }
            CalliperKind::Nibbles28 => low_first(nibbles28(length, unit)?, 28).collect(),
        })
    }
}

/// Six digits, lowest first, then negative, half, metric.
fn nibbles28(length: Nanometres, unit: UnitMode) -> Result<u64, String> {
    let step = match unit {
        UnitMode::Millimetre => 10_000,
        UnitMode::Inch => 12_700,
    };
    let size = length.0.unsigned_abs();
    if !size.is_multiple_of(step) {
        return Err("a calliper of seven nibbles cannot show this length".to_owned());
    }
    let steps = size / step;
    let (mut number, flags) = match unit {
        UnitMode::Millimetre => (steps, 1 << 26),
        UnitMode::Inch => (steps / 2, u64::from(steps % 2) << 25),
    };
    let mut bits = flags | u64::from(length.0 < 0) << 24;
    for place in 0..6 {
        bits |= u64::from(number % 10) << (4 * place);
        number /= 10;
    }
    if number > 0 {
        return Err("a calliper of seven nibbles has six digits".to_owned());
    }
    Ok(bits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bench(make: &str) -> Bench {
        Bench::new(make.parse().unwrap(), 1)
    }

    fn sent(make: &str, shown: &str) -> String {
        let mut bench = bench(make);
        bench.show(shown).unwrap();
        let (length, unit) = bench.shown.unwrap();
        let bits = bench.bits(length, unit).unwrap();
        bits.into_iter().map(|bit| if bit { '1' } else { '0' }).collect()
    }

    // The published and worked examples used to test the decoders.
    #[test]
    fn what_is_sent_is_what_was_published() {
        assert_eq!(sent("sync24", "75.32 mm"), "001101101011100000000000");
        assert_eq!(sent("sync24", "-0.99 mm"), "110001100000000000001000");
        assert_eq!(sent("sync24,sign21", "-0.99 mm"), "110001100000000000000100");
        assert_eq!(sent("nibbles28", "9.8015 in"), "1000000000011001000000000100");
        let words = sent("words48", "75.32 mm");
        assert_eq!(&words[24..], "010111001011011100000000");
        assert_eq!(&sent("words48,zeroed-first", "75.32 mm")[..24], &words[24..]);
        let digits = sent("bcd52,inch8", "2.9655 in");
        assert_eq!(&digits[48..], "0001", "unit 8");
    }

    #[test]
    fn nonsense_is_refused() {
        assert!("sync25".parse::<Make>().is_err());
        assert!("sync24,upside-down".parse::<Make>().is_err());
        let mut bench = bench("sync24");
        for wrong in ["75.00", "75.00 cm", "75.005 mm", "x mm"] {
            assert!(bench.show(wrong).is_err(), "{wrong}");
        }
        assert_eq!(bench.shown, Some((Nanometres(0), UnitMode::Millimetre)), "as it was");
    }
}
