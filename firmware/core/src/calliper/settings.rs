//! What differs between callipers, and between the boards they are plugged into, as values.
//!
//! There is no official specification of the 24-bit output, and sources disagree on slope, polarity
//! and sign bit. These are therefore settings, proved once at set-up: close and zero (must read 0),
//! open to a known gauge, zero there and close (must read negative), switch between millimetres and
//! inches. A wrong slope shifts a 24-bit packet by one bit, which the packet itself cannot show:
//! only the known gauge does.

use hornrule_protocol::calliper::CalliperSetting;
pub use hornrule_protocol::calliper::{InchCode, SignBit, WordOrder};
use hornrule_protocol::record::CalliperKind;

use super::edge::{Level, Slope};

/// All the settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Time limits.
    pub timing: Timing,
    /// How the lines of a 24-bit calliper reach the pins.
    pub sync24: Wiring,
    /// How the lines of a 52-bit calliper reach the pins; also those with 28 and 48 bits.
    pub bcd52: Wiring,
    /// Where a 24-bit calliper puts its sign.
    pub sign: SignBit,
    /// Which unit digit of a 52-bit calliper means inch.
    pub inch: InchCode,
    /// Which outputs are read.
    pub outputs: Outputs,
    /// Which word of a two-word calliper is zeroed by its zero button.
    pub words: WordOrder,
}

impl Settings {
    /// What fits most callipers wired straight to the pins, or through shifters that do not invert.
    pub const DEFAULT: Self = Self {
        timing: Timing::DEFAULT,
        sync24: Wiring::STRAIGHT,
        bcd52: Wiring::STRAIGHT,
        sign: SignBit::Bit20,
        inch: InchCode::One,
        outputs: Outputs::Sync24AndBcd52,
        words: WordOrder::ZeroedLast,
    };

    /// From a proved setting. Everything it does not cover is as in [`Self::DEFAULT`].
    #[must_use]
    pub const fn proved(setting: CalliperSetting) -> Self {
        let CalliperSetting { kind, slope, one, sign, inch, words } = setting;
        let wiring = Wiring { slope, one };
        let usual = Self { sign, inch, words, ..Self::DEFAULT };
        match kind {
            CalliperKind::Sync24 => Self { sync24: wiring, ..usual },
            CalliperKind::Bcd52 => Self { bcd52: wiring, ..usual },
            CalliperKind::Words48 | CalliperKind::Nibbles28 => Self {
                bcd52: wiring,
                timing: Timing::QUICK,
                outputs: if let CalliperKind::Words48 = kind {
                    Outputs::Words48
                } else {
                    Outputs::Nibbles28
                },
                ..usual
            },
        }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self::DEFAULT
    }
}

/// Time limits, in microseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timing {
    /// A clock level shorter than this is a spike and is ignored.
    pub shortest_level_us: u64,
    /// Bits closer together than this come from no known calliper: the packet is spoiled.
    pub shortest_bit_us: u64,
    /// A clock that rests this long has ended its packet.
    pub longest_pause_us: u64,
    /// How long a clip waits, counted from the clip and again from its first good packet.
    pub longest_wait_us: u64,
    /// How long the request line is held low before it is released and pulled again: a calliper
    /// plugged in meanwhile has not seen it fall.
    pub longest_answer_us: u64,
    /// How long the request line then rests, so that its next fall is seen.
    pub request_rest_us: u64,
}

impl Timing {
    /// Fits every measured calliper with a margin on both sides.
    pub const DEFAULT: Self = Self {
        // Shortest measured level about 80 µs (24-bit, worked out from its published times).
        shortest_level_us: 30,
        // Shortest measured clock period about 300 µs: half of that.
        shortest_bit_us: 150,
        // Longest measured time from bit to bit 0.86 ms; shortest rest between packets 100 ms.
        longest_pause_us: 5_000,
        // Two seconds, common practice, no source. Measured: 210 ms from packet to packet, and a
        // request answered within 62.5 ms.
        longest_wait_us: 2_000_000,
        // Sixteen times the longest answer in a maker's manual, and half of the wait.
        longest_answer_us: 1_000_000,
        request_rest_us: 5_000,
    };

    /// For callipers with two words (clock period 14 µs) and with seven nibbles (13 µs per bit), on
    /// a board that stamps its pins finely enough. Published times, one builder each.
    pub const QUICK: Self = Self {
        shortest_level_us: 3,
        shortest_bit_us: 7,
        // Longest published pause within a packet about 0.11 ms (words) and 60 µs (nibbles).
        longest_pause_us: 2_000,
        ..Self::DEFAULT
    };
}

/// How lines reach the pins. A one-transistor level shifter inverts both lines, turning `STRAIGHT`
/// into `INVERTED`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wiring {
    /// The slope of the clock, as the pin sees it, at which the data counts.
    pub slope: Slope,
    /// The level of the data, as the pin sees it, that means one.
    pub one: Level,
}

impl Wiring {
    /// Data counts when the clock falls, high means one.
    pub const STRAIGHT: Self = Self { slope: Slope::Falling, one: Level::High };
    /// The same, after inverting shifters.
    pub const INVERTED: Self = Self { slope: Slope::Rising, one: Level::Low };
}

/// Which outputs are read. The rarer ones only once such a calliper has been proved: otherwise a
/// 52-bit packet cut short after 28 or 48 bits would pass for one of theirs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outputs {
    /// The usual two, told apart automatically.
    Sync24AndBcd52,
    /// Two 24-bit words, and nothing else.
    Words48,
    /// Seven nibbles, and nothing else.
    Nibbles28,
}
