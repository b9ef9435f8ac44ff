//! How a calliper is read, and which raw packets the office can ask for. SPEC.md, section 13.
//!
//! ```text
//! CalliperHear --> handheld listens for a while --> CalliperHeard { packets, last }
//!                  clock, data, both slopes           the office works out what they mean
//! CalliperStore { setting } --> flash --> in force at once and after every start
//! ```

use serde::{Deserialize, Serialize};

use crate::record::CalliperKind;

/// What a pin reads, as the handheld's pin sees it: high is the supply. Behind an inverting level
/// shifter the calliper's own line has the opposite level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Near ground.
    Low,
    /// Near the supply.
    High,
}

impl Level {
    /// The other level.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Low => Self::High,
            Self::High => Self::Low,
        }
    }
}

/// Which way the clock went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slope {
    /// From high to low.
    Falling,
    /// From low to high.
    Rising,
}

/// Which bit of a 24-bit packet is the sign, counted from 0 in sending order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignBit {
    /// Most callipers.
    Bit20,
    /// One source has it one place later.
    Bit21,
}

/// Which unit digit of a 52-bit packet means inch. Zero always means millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InchCode {
    /// Most callipers.
    One,
    /// As one maker prints it.
    Eight,
}

/// Which of two words counts from where zero was pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WordOrder {
    /// The second, according to most who measured it.
    ZeroedLast,
    /// The first, according to one.
    ZeroedFirst,
}

/// How the calliper on this plug is read.
///
/// Every part has a value; parts that the kind does not have keep their first one. It travels as
/// its six bytes: the same bytes as a row of enums would be, and a small chip needs only one
/// reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(into = "[u8; 6]", try_from = "[u8; 6]")]
pub struct CalliperSetting {
    /// Which output it has.
    pub kind: CalliperKind,
    /// The slope of the clock, as the pin sees it, at which the data counts.
    pub slope: Slope,
    /// The level of the data, as the pin sees it, that means one.
    pub one: Level,
    /// Where a 24-bit calliper puts its sign.
    pub sign: SignBit,
    /// Which unit digit of a 52-bit calliper means inch.
    pub inch: InchCode,
    /// Which word of a two-word calliper is zeroed by its zero button.
    pub words: WordOrder,
}

impl CalliperSetting {
    /// The usual setting for this kind, wired straight. Parts that the kind does not have keep
    /// their first value.
    #[must_use]
    pub const fn usual(kind: CalliperKind) -> Self {
        Self {
            kind,
            slope: Slope::Falling,
            one: Level::High,
            sign: SignBit::Bit20,
            inch: InchCode::One,
            words: WordOrder::ZeroedLast,
        }
    }

    /// As bytes on flash: one for each part, in this order.
    #[must_use]
    pub const fn to_bytes(self) -> [u8; 6] {
        [
            self.kind as u8,
            self.slope as u8,
            self.one as u8,
            self.sign as u8,
            self.inch as u8,
            self.words as u8,
        ]
    }

    /// The inverse of [`Self::to_bytes`]; `None` if a byte is not a value of its part.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 6]) -> Option<Self> {
        let [kind, slope, one, sign, inch, words] = bytes;
        Some(Self {
            kind: CalliperKind::ALL.into_iter().find(|value| *value as u8 == kind)?,
            slope: pick([Slope::Falling, Slope::Rising], slope)?,
            one: pick([Level::Low, Level::High], one)?,
            sign: pick([SignBit::Bit20, SignBit::Bit21], sign)?,
            inch: pick([InchCode::One, InchCode::Eight], inch)?,
            words: pick([WordOrder::ZeroedLast, WordOrder::ZeroedFirst], words)?,
        })
    }
}

impl From<CalliperSetting> for [u8; 6] {
    fn from(setting: CalliperSetting) -> Self {
        setting.to_bytes()
    }
}

/// Bytes that are not a setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoSetting;

impl core::fmt::Display for NoSetting {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("no setting of a calliper")
    }
}

impl TryFrom<[u8; 6]> for CalliperSetting {
    type Error = NoSetting;

    fn try_from(bytes: [u8; 6]) -> Result<Self, NoSetting> {
        Self::from_bytes(bytes).ok_or(NoSetting)
    }
}

fn pick<T>(values: [T; 2], place: u8) -> Option<T> {
    values.into_iter().nth(usize::from(place))
}

/// How fast a calliper sends its bits. A handheld listens for one pace at a time: a bit at one pace
/// is a spike at the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Pace {
    /// Tenths of a millisecond from bit to bit: 24 and 52 bits.
    Usual,
    /// Hundredths: two words, seven nibbles. Not every board can see them.
    Quick,
}

/// The data line at each clock edge of one slope: a high level is a one, bit 0 came first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sampled {
    /// At most the last 64 of them.
    pub bits: u64,
    /// How many there were, 255 for 255 and more.
    pub count: u8,
}

/// What came between two rests of the clock, before anything is made of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct RawPacket {
    /// At each fall.
    pub fall: Sampled,
    /// At each rise.
    pub rise: Sampled,
    /// Whether two bits came closer together than any known calliper sends them.
    pub hurried: bool,
}

impl RawPacket {
    /// The bits as seen with this wiring, if there are this many and none came too soon.
    #[must_use]
    pub fn bits(&self, slope: Slope, one: Level, wanted: u8) -> Option<u64> {
        let Sampled { bits, count } = match slope {
            Slope::Falling => self.fall,
            Slope::Rising => self.rise,
        };
        if count != wanted || self.hurried {
            return None;
        }
        let mask = u64::MAX.checked_shr(u32::from(64_u8.saturating_sub(count))).unwrap_or(0);
        Some(match one {
            Level::High => bits & mask,
            Level::Low => !bits & mask,
        })
    }
}

/// What the handheld has heard since it began listening.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heard {
    /// How many packets; starts again from zero after 65,535, and whenever listening does.
    pub packets: u16,
    /// The newest.
    pub last: Option<RawPacket>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_read_as_they_are_written() {
        let mut seen = 0;
        for kind in 0..8 {
            for parts in 0..32u8 {
                let part = |place: u8| parts >> place & 1;
                let bytes = [kind, part(0), part(1), part(2), part(3), part(4)];
                let Some(setting) = CalliperSetting::from_bytes(bytes) else {
                    assert!(kind >= 4, "{bytes:?}");
                    continue;
                };
                assert_eq!(setting.to_bytes(), bytes);
                seen += 1;
            }
        }
        assert_eq!(seen, 4 * 32);
        for place in 1..6 {
            let mut bytes = [0; 6];
            bytes[place] = 2;
            assert_eq!(CalliperSetting::from_bytes(bytes), None, "{bytes:?}");
        }
        assert_eq!(CalliperSetting::from_bytes([0xff; 6]), None, "erased flash is no setting");
    }

    #[test]
    fn bits_come_by_slope_and_polarity() {
        let packet = RawPacket {
            fall: Sampled { bits: 0b0110, count: 4 },
            rise: Sampled { bits: 0b101, count: 3 },
            hurried: false,
        };
        assert_eq!(packet.bits(Slope::Falling, Level::High, 4), Some(0b0110));
        assert_eq!(packet.bits(Slope::Falling, Level::Low, 4), Some(0b1001));
        assert_eq!(packet.bits(Slope::Rising, Level::High, 3), Some(0b101));
        assert_eq!(packet.bits(Slope::Rising, Level::High, 4), None);
        let hurried = RawPacket { hurried: true, ..packet };
        assert_eq!(hurried.bits(Slope::Falling, Level::High, 4), None);
        let all = RawPacket { fall: Sampled { bits: 5, count: 64 }, ..RawPacket::default() };
        assert_eq!(all.bits(Slope::Falling, Level::Low, 64), Some(!5));
        assert_eq!(RawPacket::default().bits(Slope::Rising, Level::Low, 0), Some(0));
    }
}
