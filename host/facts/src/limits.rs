//! The numbers that rules go by: what each is, its default and where that comes from.
//!
//! ```text
//! hornrule.toml --exchange--> Limits --set_limits--> threshold table --> Seen, Moment, History
//! ```
//!
//! They are kept in the database, because the herd tables are a function of them too (promise P6):
//! other numbers mean that everything is derived again. Values are whole thousandths of their unit.

use hornrule_protocol::{Dimension, Nanometres};

/// How many thousandths a unit has.
pub const PER_UNIT: i64 = 1000;
/// No threshold is larger: in units.
pub const MOST: i64 = 100_000;
/// Where a default has no source.
const NO_SOURCE: &str = "common practice, no source";
/// Of the limits of a dimension.
const PROPOSED: &str = "proposal made from published means of claw dimensions";

/// One number of one rule.
#[derive(Clone, Copy)]
pub struct Threshold {
    /// The rule's id; the heading in the file.
    pub rule: &'static str,
    /// Its name below that heading.
    pub key: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Where its default comes from.
    pub source: &'static str,
    at: fn(&mut Limits) -> &mut i64,
}

impl Threshold {
    /// The value in thousandths.
    #[must_use]
    pub fn value(&self, limits: &Limits) -> i64 {
        *(self.at)(&mut { *limits })
    }

    /// Sets the value, in thousandths.
    pub fn set(&self, limits: &mut Limits, value: i64) {
        *(self.at)(limits) = value;
    }

    /// "rule.key", as the database names it.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}.{}", self.rule, self.key)
    }
}

/// All of them. Thousandths of seconds, millimetres or cows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Within this time the same sentence again is likely a slip.
    pub twice_s: i64,
    /// How many near numbers are named for a cow that is not listed.
    pub near_numbers: i64,
    /// A dorsal wall below this after trimming is short.
    pub short_mm: i64,
    /// How far from this claw's last reading a reading may be at once.
    pub history_mm: i64,
    /// How much further with each month between them.
    pub history_mm_month: i64,
    /// How far from the middle of the same claws of the three other feet.
    pub feet_mm: i64,
    /// By dimension number: what is usual, both ends allowed.
    pub usual_mm: [(i64, i64); 10],
}

impl Default for Limits {
    fn default() -> Self {
        let mut usual_mm = [(0, 0); 10];
        for dimension in Dimension::all() {
            let (low, high) = dimension.usual_mm;
            // The table's numbers are 0 to 9.
            if let Some(place) = usual_mm.get_mut(usize::from(dimension.code())) {
                *place = (i64::from(low) * PER_UNIT, i64::from(high) * PER_UNIT);
            }
        }
        Self {
            twice_s: 5 * PER_UNIT,
            near_numbers: 3 * PER_UNIT,
            short_mm: 70 * PER_UNIT,
            history_mm: 5 * PER_UNIT,
            history_mm_month: 10 * PER_UNIT,
            feet_mm: 15 * PER_UNIT,
            usual_mm,
        }
    }
}

impl Limits {
    /// A limit in nanometres.
    #[must_use]
    pub fn nm(thousandths_mm: i64) -> Nanometres {
        let nm = thousandths_mm.saturating_mul(1000);
        Nanometres(i32::try_from(nm).unwrap_or(if nm < 0 { i32::MIN } else { i32::MAX }))
    }
}

/// "72.5": thousandths as people write them.
#[must_use]
pub fn shown(thousandths: i64) -> String {
    let (whole, rest) = (thousandths / PER_UNIT, (thousandths % PER_UNIT).abs());
    let text = format!("{whole}.{rest:03}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

const fn usual(key: &'static str, at: fn(&mut Limits) -> &mut i64) -> Threshold {
    Threshold { rule: "unusual-length", key, unit: "mm", source: PROPOSED, at }
}

const fn of(
    rule: &'static str,
    key: &'static str,
    unit: &'static str,
    source: &'static str,
    at: fn(&mut Limits) -> &mut i64,
) -> Threshold {
    Threshold { rule, key, unit, source, at }
}

/// Every threshold, by rule.
pub const THRESHOLDS: &[Threshold] = &[
    usual("dorsal-wall-length-least", |l| &mut l.usual_mm[1].0),
    usual("dorsal-wall-length-most", |l| &mut l.usual_mm[1].1),
    usual("heel-height-least", |l| &mut l.usual_mm[2].0),
    usual("heel-height-most", |l| &mut l.usual_mm[2].1),
    usual("claw-width-least", |l| &mut l.usual_mm[3].0),
    usual("claw-width-most", |l| &mut l.usual_mm[3].1),
    usual("claw-length-least", |l| &mut l.usual_mm[4].0),
    usual("claw-length-most", |l| &mut l.usual_mm[4].1),
    usual("toe-height-least", |l| &mut l.usual_mm[5].0),
    usual("toe-height-most", |l| &mut l.usual_mm[5].1),
    usual("sole-thickness-least", |l| &mut l.usual_mm[6].0),
    usual("sole-thickness-most", |l| &mut l.usual_mm[6].1),
    usual("horn-regrown-least", |l| &mut l.usual_mm[7].0),
    usual("horn-regrown-most", |l| &mut l.usual_mm[7].1),
    usual("lesion-length-least", |l| &mut l.usual_mm[8].0),
    usual("lesion-length-most", |l| &mut l.usual_mm[8].1),
    usual("lesion-width-least", |l| &mut l.usual_mm[9].0),
    usual("lesion-width-most", |l| &mut l.usual_mm[9].1),
    of(
        "short-after-trimming",
        "least",
        "mm",
        "claws with a dorsal wall below 70 mm had 3.8 to 4.0 mm of sole at the apex on average \
         (computed tomography of 800 hind claws; Tsuka et al. 2014, authors from memory)",
        |l| &mut l.short_mm,
    ),
    of("said-twice", "within", "s", NO_SOURCE, |l| &mut l.twice_s),
    of("not-listed", "numbers", "cows", NO_SOURCE, |l| &mut l.near_numbers),
    of("far-from-history", "at-once", "mm", NO_SOURCE, |l| &mut l.history_mm),
    of(
        "far-from-history",
        "each-month",
        "mm",
        "twice and more what horn was seen to grow: 3.2 to 4.6 mm a month in beef heifers \
         (Greenough, Petrie and Todd 1998)",
        |l| &mut l.history_mm_month,
    ),
    of("far-from-feet", "most", "mm", NO_SOURCE, |l| &mut l.feet_mm),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_threshold_is_a_number_of_its_own() {
        let mut limits = Limits::default();
        for (value, threshold) in (1..).zip(THRESHOLDS) {
            threshold.set(&mut limits, value);
        }
        for (value, threshold) in (1..).zip(THRESHOLDS) {
            assert_eq!(threshold.value(&limits), value, "{} is shared", threshold.name());
            let same = THRESHOLDS.iter().filter(|other| other.name() == threshold.name()).count();
            assert_eq!(same, 1, "{}", threshold.name());
        }
    }

    /// Their names are the dimensions' own.
    #[test]
    fn every_dimension_but_the_gauge_has_both_ends() {
        for dimension in Dimension::all().filter(|dimension| !dimension.is_gauge()) {
            let name = dimension.name.replace(' ', "-");
            for (end, value) in [("least", dimension.usual_mm.0), ("most", dimension.usual_mm.1)] {
                let key = format!("{name}-{end}");
                let found = THRESHOLDS.iter().find(|threshold| threshold.key == key);
                let value = i64::from(value) * PER_UNIT;
                assert_eq!(found.map(|one| one.value(&Limits::default())), Some(value), "{key}");
            }
        }
    }

    #[test]
    fn thousandths_are_shown_as_people_write_them() {
        let all = [72_500, 70_000, 5, -1_250, 0].map(shown);
        assert_eq!(all, ["72.5", "70", "0.005", "-1.25", "0"]);
    }
}
