//! The day's plan, as the office writes it and the handheld keeps it.
//!
//! ```text
//! 0                                72            then
//! +--------------------------------+-------------+---------+---------+ ... +
//! | head: farms, order, limits,    | bundle 16 B | cow 8 B | cow 8 B |     |   ascending,
//! | gauge block, first claws       | 0 to 9      |         |         |     |   none twice
//! +--------------------------------+-------------+---------+---------+ ... +
//!
//! cow, one 64-bit number, little-endian:   | 1 tag? | 48 who | 15 needs |
//! ```
//!
//! Fixed positions, not postcard: the handheld finds a cow on flash by binary search without
//! reading the rest. A cow takes eight bytes, so a bank of 16 KiB holds two thousand.

use crate::bundle::{BUNDLE, MAX_BUNDLE};
use crate::{AnimalNumber, Dimension, Foot, Nanometres, Side};

/// Newest version of these bytes: with bundles, and with the claw at which work starts. A plan that
/// has neither is written as [`FIRST_VERSION`], which older handhelds read.
pub const VERSION: u8 = 2;
/// The version without bundles, in which work starts at the outer claw.
pub const FIRST_VERSION: u8 = 1;
/// Bytes of the head.
pub const HEAD: usize = 72;
/// Bytes of a cow.
pub const ROW: usize = 8;
/// Most steps in the measuring order.
pub const MAX_STEPS: usize = 16;
/// Most clips in one step.
pub const MAX_REPEATS: u8 = 15;
/// Most farms in a day: they are numbered 1 to 9.
pub const MAX_FARM: u8 = 9;

const NEED_BITS: u32 = 15;
const TAG: u64 = 1 << 63;
/// Position of the farm within the 48 bits of a herd number, which takes 30.
const FARM_BITS: u32 = 44;
const LIMITS: usize = 9;
const AT_ORDER: usize = 16;
const AT_LIMITS: usize = AT_ORDER + MAX_STEPS;
const HUNDREDTH_NM: i32 = 10_000;

const _: () = assert!(AT_LIMITS + 4 * LIMITS <= HEAD);

/// Why bytes are not a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// Another version of these bytes.
    Version(u8),
    /// A number with no meaning, or a length that does not match the count of cows.
    Malformed,
}

impl core::fmt::Display for PlanError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Version(version) => {
                write!(f, "a plan of version {version}; this program reads up to {VERSION}")
            }
            Self::Malformed => f.write_str("these bytes are no plan"),
        }
    }
}

impl core::error::Error for PlanError {}

/// One thing a cow needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// A lesion on this foot needs a recheck.
    Recheck(Foot),
    /// The block or wrap on this foot has to come off.
    BlockOff(Foot),
    /// This foot needs trimming.
    TrimFoot(Foot),
    /// She must not be trimmed.
    DoNotTrim,
    /// She is for the vet.
    Vet,
    /// Something is due with no foot named: a trim, or a look at her.
    WholeCow,
}

impl Need {
    const fn bit(self) -> u16 {
        let place = match self {
            Self::Recheck(foot) => foot.number(),
            Self::BlockOff(foot) => 4 + foot.number(),
            Self::TrimFoot(foot) => 8 + foot.number(),
            Self::DoNotTrim => 12,
            Self::Vet => 13,
            Self::WholeCow => 14,
        };
        1 << place
    }
}

/// What a cow needs: a set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Needs(u16);

impl Needs {
    /// Nothing.
    pub const NONE: Self = Self(0);
    const OF_FEET: u16 = 0x0FFF;

    /// From the 15 bits of a row; a sixteenth is dropped.
    #[must_use]
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits & ((1 << NEED_BITS) - 1))
    }

    /// The 15 bits of a row.
    #[must_use]
    pub const fn bits(self) -> u16 {
        self.0
    }

    /// With this need added.
    #[must_use]
    pub const fn with(self, need: Need) -> Self {
        Self(self.0 | need.bit())
    }

    /// Whether this need is in the set.
    #[must_use]
    pub const fn has(self, need: Need) -> bool {
        self.0 & need.bit() != 0
    }

    /// Whether anything is due on this foot.
    #[must_use]
    pub const fn is_due(self, foot: Foot) -> bool {
        self.has(Need::Recheck(foot))
            || self.has(Need::BlockOff(foot))
            || self.has(Need::TrimFoot(foot))
    }

    /// Whether anything is due at all: on a foot, or on the whole cow.
    #[must_use]
    pub const fn is_any_due(self) -> bool {
        self.0 & Self::OF_FEET != 0 || self.has(Need::WholeCow)
    }
}

/// A cow of the plan, ordered as on flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Row(u64);

impl Row {
    /// A cow of this farm. A tag number is hers on any farm, so it does not contain the farm.
    #[must_use]
    pub fn new(farm: u8, number: AnimalNumber, needs: Needs) -> Self {
        let who = match number {
            AnimalNumber::Herd(number) => {
                u64::from(farm & 0xF) << FARM_BITS | u64::from(number.get())
            }
            AnimalNumber::Tag(tag) => tag.code() & ((1 << 48) - 1),
        };
        let kind = if matches!(number, AnimalNumber::Tag(_)) { TAG } else { 0 };
        Self(kind | who << NEED_BITS | u64::from(needs.0))
    }

    /// Who she is, without her needs: rows are sorted by this, and no two are equal.
    #[must_use]
    pub const fn who(self) -> u64 {
        self.0 >> NEED_BITS
    }

    /// What she needs.
    #[must_use]
    pub const fn needs(self) -> Needs {
        Needs::from_bits((self.0 & 0x7FFF) as u16)
    }

    /// As on flash.
    #[must_use]
    pub const fn to_bytes(self) -> [u8; ROW] {
        self.0.to_le_bytes()
    }

    /// From flash. Every number is a valid row; a cow nobody can key is simply never found.
    #[must_use]
    pub const fn from_bytes(bytes: [u8; ROW]) -> Self {
        Self(u64::from_le_bytes(bytes))
    }
}

/// The order in which clips are assigned to dimensions on a claw.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Order {
    /// Dimension in the low half of each byte, clips in the high half; zero after the last.
    steps: [u8; MAX_STEPS],
}

impl Order {
    /// No step.
    pub const EMPTY: Self = Self { steps: [0; MAX_STEPS] };

    /// With one more step. `None` for a gauge block, for no clips or more than 15, or for a 17th
    /// step.
    #[must_use]
    pub fn then(mut self, dimension: Dimension, clips: u8) -> Option<Self> {
        if dimension.is_gauge() || clips == 0 || clips > MAX_REPEATS {
            return None;
        }
        let free = self.steps.iter_mut().find(|step| **step == 0)?;
        *free = clips << 4 | dimension.code();
        Some(self)
    }

    /// The steps: dimension, clips.
    pub fn steps(&self) -> impl Iterator<Item = (Dimension, u8)> + '_ {
        let used = self.steps.iter().take_while(|step| **step != 0);
        used.filter_map(|step| Some((Dimension::from_code(step & 0xF)?, step >> 4)))
    }

    /// The dimension of the next clip after this many; `None` when all are made.
    #[must_use]
    pub fn at(&self, clips: u8) -> Option<Dimension> {
        let mut before = 0u16;
        for (dimension, count) in self.steps() {
            before += u16::from(count);
            if u16::from(clips) < before {
                return Some(dimension);
            }
        }
        None
    }

    /// The last dimension: further clips go to it.
    #[must_use]
    pub fn last(&self) -> Option<Dimension> {
        self.steps().last().map(|(dimension, _)| dimension)
    }

    /// Whether there is no step.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.steps[0] == 0
    }

    fn from_bytes(steps: [u8; MAX_STEPS]) -> Option<Self> {
        let mut order = Self::EMPTY;
        let used = steps.iter().take_while(|step| **step != 0);
        for step in used {
            order = order.then(Dimension::from_code(step & 0xF)?, step >> 4)?;
        }
        // Nothing may follow the first empty step.
        (order.steps == steps).then_some(order)
    }
}

/// A gauge block: size, and how far off a reading may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gauge {
    /// Its size.
    pub size: Nanometres,
    /// The most that a reading may differ.
    pub tolerance: Nanometres,
}

impl Gauge {
    /// Whether a reading of the block is acceptable.
    #[must_use]
    pub fn passes(self, length: Nanometres) -> bool {
        i64::from(length.distance(self.size)) <= i64::from(self.tolerance.0)
    }
}

/// Whether limits are signalled by a cue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Blinding {
    /// A length outside its limits has a cue of its own.
    #[default]
    Open,
    /// Every length has the same cue: the person measuring does not learn whether it was usual.
    Blind,
}

/// Shortest and longest usual length of each dimension, in hundredths of a millimetre; (0, 0) means
/// the usual limits of the code table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Limits([(u16, u16); LIMITS]);

impl Limits {
    /// Sets a dimension's limits; `None` for the gauge block and for limits out of order or absent.
    #[must_use]
    pub fn with(mut self, dimension: Dimension, (low, high): (u16, u16)) -> Option<Self> {
        let place = self.0.get_mut(usize::from(dimension.code()).checked_sub(1)?)?;
        if low >= high {
            return None;
        }
        *place = (low, high);
        Some(self)
    }

    /// The limits of a dimension.
    #[must_use]
    pub fn of(&self, dimension: Dimension) -> (Nanometres, Nanometres) {
        let place = usize::from(dimension.code()).checked_sub(1);
        let hundredth = |value: u16| Nanometres(i32::from(value) * HUNDREDTH_NM);
        match place.and_then(|place| self.0.get(place)) {
            None | Some((0, 0)) => {
                let (low, high) = dimension.usual_mm;
                (Nanometres::from_mm(i32::from(low)), Nanometres::from_mm(i32::from(high)))
            }
            Some((low, high)) => (hundredth(*low), hundredth(*high)),
        }
    }
}

/// At which claw of each foot work starts; the outer one unless it is said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FirstClaws(u8);

impl FirstClaws {
    /// Work starts at the outer claw of every foot.
    pub const OUTER: Self = Self(0);

    /// With this foot started at this claw.
    #[must_use]
    pub const fn with(self, foot: Foot, side: Side) -> Self {
        let bit = 1 << foot.number();
        Self(match side {
            Side::Medial => self.0 | bit,
            Side::Lateral => self.0 & !bit,
        })
    }

    /// The claw at which work on this foot starts.
    #[must_use]
    pub const fn of(self, foot: Foot) -> Side {
        if self.0 >> foot.number() & 1 == 1 { Side::Medial } else { Side::Lateral }
    }
}

/// Everything in a plan except its bundles and cows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Head {
    /// Bit d is set for farm d.
    pub farms: u16,
    /// How many cows follow.
    pub animals: u16,
    /// Whether limits are signalled.
    pub blinding: Blinding,
    /// The handheld's gauge block, if one is known.
    pub gauge: Option<Gauge>,
    /// The measuring order.
    pub order: Order,
    /// The limits.
    pub limits: Limits,
    /// At which claws work starts.
    pub first_claws: FirstClaws,
    /// How many bundles follow, before the cows.
    pub bundles: u8,
}

impl Head {
    /// Bytes of the whole plan.
    #[must_use]
    pub const fn length(&self) -> usize {
        self.cows_at() + ROW * self.animals as usize
    }

    /// Where the first cow is.
    #[must_use]
    pub const fn cows_at(&self) -> usize {
        HEAD + BUNDLE * self.bundles as usize
    }

    /// The oldest version that can say this.
    #[must_use]
    pub const fn version(&self) -> u8 {
        if self.bundles == 0 && self.first_claws.0 == 0 { FIRST_VERSION } else { VERSION }
    }

    /// Whether this farm is part of the day.
    #[must_use]
    pub const fn has_farm(&self, farm: u8) -> bool {
        farm >= 1 && farm <= MAX_FARM && self.farms & 1 << farm != 0
    }

    /// The day's only farm, if there is just one.
    #[must_use]
    pub fn only_farm(&self) -> Option<u8> {
        (self.farms.count_ones() == 1).then(|| self.farms.trailing_zeros() as u8)
    }

    /// As on flash.
    #[must_use]
    pub fn to_bytes(&self) -> [u8; HEAD] {
        let mut bytes = [0; HEAD];
        bytes[0] = self.version();
        bytes[1] = u8::from(self.blinding == Blinding::Blind);
        bytes[2..4].copy_from_slice(&self.farms.to_le_bytes());
        bytes[4..6].copy_from_slice(&self.animals.to_le_bytes());
        bytes[6] = self.first_claws.0;
        bytes[7] = self.bundles;
        if let Some(gauge) = self.gauge {
            bytes[8..12].copy_from_slice(&gauge.size.0.to_le_bytes());
            bytes[12..16].copy_from_slice(&gauge.tolerance.0.to_le_bytes());
        }
        bytes[AT_ORDER..AT_LIMITS].copy_from_slice(&self.order.steps);
        for (place, (low, high)) in bytes[AT_LIMITS..].chunks_exact_mut(4).zip(self.limits.0) {
            place[..2].copy_from_slice(&low.to_le_bytes());
            place[2..].copy_from_slice(&high.to_le_bytes());
        }
        bytes
    }

    /// From flash.
    ///
    /// # Errors
    /// [`PlanError`].
    pub fn from_bytes(bytes: &[u8; HEAD]) -> Result<Self, PlanError> {
        if !matches!(bytes[0], FIRST_VERSION | VERSION) {
            return Err(PlanError::Version(bytes[0]));
        }
        let short = |at: usize| u16::from_le_bytes([bytes[at], bytes[at + 1]]);
        let long = |at: usize| {
            i32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
        };
        let blinding = match bytes[1] {
            0 => Blinding::Open,
            1 => Blinding::Blind,
            _ => return Err(PlanError::Malformed),
        };
        let gauge = match (long(8), long(12)) {
            (0, 0) => None,
            (size, tolerance) if size > 0 && tolerance >= 0 => {
                Some(Gauge { size: Nanometres(size), tolerance: Nanometres(tolerance) })
            }
            _ => return Err(PlanError::Malformed),
        };
        let mut steps = [0; MAX_STEPS];
        steps.copy_from_slice(&bytes[AT_ORDER..AT_LIMITS]);
        let mut limits = Limits::default();
        for (place, limit) in limits.0.iter_mut().enumerate() {
            let at = AT_LIMITS + 4 * place;
            *limit = (short(at), short(at + 2));
            if limit.0 >= limit.1 && *limit != (0, 0) {
                return Err(PlanError::Malformed);
            }
        }
        let head = Self {
            farms: short(2),
            animals: short(4),
            blinding,
            gauge,
            order: Order::from_bytes(steps).ok_or(PlanError::Malformed)?,
            limits,
            first_claws: FirstClaws(bytes[6]),
            bundles: bytes[7],
        };
        // Nothing else may be set: anything a newer office means by it would be lost unnoticed.
        // That also refuses a first version with parts of the second, and the other way round.
        let known = head.farms & !0x3FE == 0 && bytes[6] < 16 && bytes[7] <= MAX_BUNDLE;
        if head.to_bytes() != *bytes || !known {
            return Err(PlanError::Malformed);
        }
        Ok(head)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{HerdNumber, Iso11784};

    fn herd(number: u32) -> AnimalNumber {
        AnimalNumber::Herd(HerdNumber::new(number).unwrap())
    }

    #[test]
    fn rows_tell_farms_numbers_and_tags_apart() {
        let tag = AnimalNumber::Tag(Iso11784::from_decimal(999_274_877_906_943).unwrap());
        let rows = [
            Row::new(1, herd(1), Needs::NONE),
            Row::new(1, herd(999_999_999), Needs::NONE),
            Row::new(2, herd(1), Needs::NONE),
            Row::new(9, herd(999_999_999), Needs::NONE),
            Row::new(9, tag, Needs::NONE),
        ];
        assert!(rows.is_sorted() && rows.windows(2).all(|pair| pair[0].who() < pair[1].who()));
        assert_eq!(Row::new(1, tag, Needs::NONE), rows[4], "a tag is hers on every farm");
        for row in rows {
            assert_eq!(Row::from_bytes(row.to_bytes()), row);
        }
    }

    #[test]
    fn needs_do_not_change_who_she_is() {
        let mut all = Needs::NONE;
        for foot in Foot::ALL {
            for need in [Need::Recheck(foot), Need::BlockOff(foot), Need::TrimFoot(foot)] {
                assert!(!all.has(need));
                all = all.with(need);
                assert!(all.has(need) && all.is_due(foot) && all.is_any_due());
            }
        }
        let cow = Needs::NONE.with(Need::DoNotTrim).with(Need::Vet);
        assert!(!cow.is_any_due() && cow.with(Need::WholeCow).is_any_due());
        let all = all.with(Need::DoNotTrim).with(Need::Vet).with(Need::WholeCow);
        assert_eq!(all.bits(), 0x7FFF, "fifteen needs, fifteen bits");
        let row = Row::new(3, herd(412), all);
        assert_eq!((row.who(), row.needs()), (Row::new(3, herd(412), Needs::NONE).who(), all));
    }

    fn dimension(code: u8) -> Dimension {
        Dimension::from_code(code).unwrap()
    }

    #[test]
    fn clips_walk_through_the_order() {
        let order = Order::EMPTY.then(dimension(1), 2).and_then(|o| o.then(dimension(3), 1));
        let order = order.unwrap();
        let walked: [Option<u8>; 5] =
            [0, 1, 2, 3, 255].map(|clips| order.at(clips).map(Dimension::code));
        assert_eq!(walked, [Some(1), Some(1), Some(3), None, None]);
        assert_eq!(order.last(), Some(dimension(3)));
        assert_eq!(Order::EMPTY.at(0), None);
        for wrong in [(0, 1), (1, 0), (1, 16)] {
            assert_eq!(Order::EMPTY.then(dimension(wrong.0), wrong.1), None, "{wrong:?}");
        }
        let mut full = Order::EMPTY;
        for _ in 0..MAX_STEPS {
            full = full.then(dimension(2), 15).unwrap();
        }
        assert_eq!(full.then(dimension(2), 1), None, "a seventeenth step");
        assert_eq!(full.at(239), Some(dimension(2)));
        assert_eq!(full.at(240), None);
    }

    #[test]
    fn heads_are_read_back_and_others_refused() {
        let head = Head {
            farms: 0b110,
            animals: 2_000,
            blinding: Blinding::Blind,
            gauge: Some(Gauge { size: Nanometres(75_000_000), tolerance: Nanometres(30_000) }),
            order: Order::EMPTY.then(dimension(1), 3).unwrap(),
            limits: Limits::default().with(dimension(9), (0, 6_000)).unwrap(),
            ..Head::default()
        };
        let bytes = head.to_bytes();
        assert_eq!(Head::from_bytes(&bytes), Ok(head));
        assert_eq!((bytes[0], head.length()), (FIRST_VERSION, 72 + 16_000));
        let second = Head {
            bundles: 9,
            first_claws: FirstClaws::OUTER.with(Foot::LeftHind, Side::Medial),
            ..head
        };
        assert_eq!(Head::from_bytes(&second.to_bytes()), Ok(second));
        assert_eq!((second.to_bytes()[0], second.length()), (VERSION, 72 + 9 * 16 + 16_000));
        assert_eq!(head.limits.of(dimension(9)), (Nanometres(0), Nanometres(60_000_000)));
        assert_eq!(
            head.limits.of(dimension(1)),
            (Nanometres::from_mm(60), Nanometres::from_mm(120))
        );
        // Any other first byte is another version; any other changed bit gives another plan, or
        // none.
        for version in (0..=255).filter(|version| *version == 0 || *version > VERSION) {
            let mut other = bytes;
            other[0] = version;
            assert_eq!(Head::from_bytes(&other), Err(PlanError::Version(version)));
        }
        for head in [head, second] {
            for bit in 0..8 * HEAD {
                let mut other = head.to_bytes();
                other[bit / 8] ^= 1 << (bit % 8);
                assert_ne!(Head::from_bytes(&other), Ok(head), "bit {bit}");
            }
        }
        // What one version cannot say is not read from it.
        for (version, one) in [(VERSION, head), (FIRST_VERSION, second)] {
            let mut other = one.to_bytes();
            other[0] = version;
            assert_eq!(Head::from_bytes(&other), Err(PlanError::Malformed));
        }
        for (at, value) in [(6, 16), (7, 10)] {
            let mut other = second.to_bytes();
            other[at] = value;
            assert_eq!(Head::from_bytes(&other), Err(PlanError::Malformed));
        }
    }

    #[test]
    fn work_starts_at_the_outer_claw_unless_it_is_said() {
        for foot in Foot::ALL {
            assert_eq!(FirstClaws::default().of(foot), Side::Lateral);
            let inner = FirstClaws::OUTER.with(foot, Side::Medial);
            for other in Foot::ALL {
                let expected = if other == foot { Side::Medial } else { Side::Lateral };
                assert_eq!(inner.of(other), expected);
            }
            assert_eq!(inner.with(foot, Side::Lateral), FirstClaws::OUTER);
        }
    }

    #[test]
    fn a_gauge_block_passes_within_its_tolerance() {
        let gauge = Gauge { size: Nanometres(75_000_000), tolerance: Nanometres(30_000) };
        assert!(gauge.passes(Nanometres(75_030_000)) && gauge.passes(Nanometres(74_970_000)));
        assert!(!gauge.passes(Nanometres(75_030_001)) && !gauge.passes(Nanometres(i32::MIN)));
    }
}
