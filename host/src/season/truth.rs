//! What is put into a season, as values.
//!
//! Healing times lean on Lischer and others 2001 (74 cows, 105 sole ulcers: closed horn after 25,
//! 33 and 42 days on average for slight, moderate and severe damage). Growth lies between the 3.2
//! and 4.6 mm a month of two groups of beef heifers (winter, summer). All else is invented.

use hornrule_protocol::Claw;

use hornrule_facts::Day;

/// Days of a mean month of the Gregorian calendar.
pub const MONTH_DAYS: f64 = 30.436_875;

/// A way of gluing a block, and how long blocks glued this way stay on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// The action keyed.
    pub action: u8,
    /// What is done, in words.
    pub what: &'static str,
    /// Of all blocks, the share glued this way.
    pub share: f64,
    /// Shape of the Weibull distribution of the days on the claw.
    pub shape: f64,
    /// Its scale: days after which 63 % are gone.
    pub scale_days: f64,
}

impl Way {
    /// The share still on after so many days, were none taken off.
    #[must_use]
    pub fn still_on(&self, days: f64) -> f64 {
        (-(days / self.scale_days).powf(self.shape)).exp()
    }
}

/// The ways.
pub const WAYS: [Way; 3] = [
    Way { action: 10, what: "the usual way", share: 0.4, shape: 1.6, scale_days: 38.0 },
    Way {
        action: 11,
        what: "sole rasped rough and dried with warm air",
        share: 0.3,
        shape: 1.6,
        scale_days: 75.0,
    },
    Way { action: 12, what: "sole wiped with spirit", share: 0.3, shape: 1.6, scale_days: 42.0 },
];

/// Net growth of the dorsal wall over all cows, mm a month.
pub const GROWTH_MEAN: f64 = 4.0;
/// Its spread between cows (standard deviation), mm a month.
pub const GROWTH_SPREAD: f64 = 0.7;
/// What a repeated reading of the same claw differs by (standard deviation), mm: landmarks, not
/// calliper.
pub const READING_SD: f64 = 0.5;
/// The same for the second person.
pub const SECOND_SD: f64 = 0.6;
/// How much longer the second person reads, mm.
pub const SECOND_BIAS: f64 = 0.4;
/// Shape of the Weibull distribution of healing.
pub const HEALING_SHAPE: f64 = 2.2;
/// Mean days to sound horn by severity: slight, moderate, severe.
pub const HEALING_MEAN_DAYS: [f64; 3] = [25.0, 33.0, 42.0];
/// Gamma(1 + 1 / shape) for that shape: mean over scale.
const HEALING_MEAN_OVER_SCALE: f64 = 0.885_624_7;
/// Part of a lesion's area that goes each week, on the logarithm's scale.
pub const SHRINK_PER_WEEK: f64 = 0.35;

/// Scale of the Weibull distribution of healing, days; grades are 1 to 3.
#[must_use]
pub fn healing_scale(grade: u8) -> f64 {
    let grade = usize::from(grade.clamp(1, 3)) - 1;
    HEALING_MEAN_DAYS[grade] / HEALING_MEAN_OVER_SCALE
}

/// A block that was glued.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// The farm's digit.
    pub farm: u8,
    /// The cow.
    pub cow: u32,
    /// The claw it is on.
    pub claw: Claw,
    /// How: the action keyed.
    pub way: u8,
    /// The day.
    pub glued: Day,
    /// After how many days it comes off by itself, were it left on.
    pub lasts_days: f64,
}

/// A lesion that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sore {
    /// The farm's digit.
    pub farm: u8,
    /// The cow.
    pub cow: u32,
    /// The claw.
    pub claw: Claw,
    /// Its number.
    pub lesion: u8,
    /// Its severity.
    pub grade: u8,
    /// The day.
    pub found: Day,
    /// After how many days sound horn covers it.
    pub heals_days: f64,
}

/// A cow's horn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// The farm's digit.
    pub farm: u8,
    /// The cow.
    pub cow: u32,
    /// Net growth of her dorsal walls, mm a month.
    pub mm_month: f64,
}

/// Mistakes that were made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Slips {
    /// A wrong cow keyed and taken back at once.
    pub undone: u32,
    /// A cow keyed whose number no list has.
    pub not_listed: u32,
    /// A heel clipped as a dorsal wall.
    pub wrong_dimension: u32,
    /// A sentence said twice.
    pub twice: u32,
    /// A claw's outcome said with no claw chosen.
    pub no_claw: u32,
}

/// All that was put in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Truth {
    /// Every block.
    pub blocks: Vec<Block>,
    /// Every horn lesion that is followed.
    pub sores: Vec<Sore>,
    /// Every cow.
    pub growth: Vec<Growth>,
    /// Every mistake.
    pub slips: Slips,
    /// Trimmings: cows trimmed, each time counted.
    pub trimmings: u32,
}
