//! How fast the dorsal wall grows, net of wear: from after one trimming to before the next.

use std::collections::BTreeMap;

use hornrule_protocol::{Claw, Place};
use serde::Serialize;

use super::Answer;
use crate::derived::{AverageLine, Averages, values_of};
use crate::notices::REGROWN_MM;
use hornrule_casebook::{Casebook, Cow};
use hornrule_facts::codes::{DORSAL_WALL, HORN_OPENED, REGROWN};
use hornrule_facts::{Day, Fact, HerdId, What};
use hornrule_insight::Level;
use hornrule_insight::growth::{Gain, Growth, growth};
use hornrule_insight::mixed::{Mixed, mixed};

/// Days of a mean month of the Gregorian calendar.
const MONTH_DAYS: f64 = 30.436_875;
/// Shorter than this, the error of reading outweighs growth.
const LEAST_DAYS: i32 = 28;

/// A claw that will pass the length it is to be trimmed at.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Passing {
    /// Her number.
    pub cow: i64,
    /// The herd's number.
    pub herd: i64,
    /// Which claw.
    pub claw: String,
    /// Length after the last trimming, mm.
    pub mm: f64,
    /// The day on which mean growth brings it past the length.
    pub day: String,
    /// Earliest and latest of so many cows as the level says, by the spread between them.
    pub between: (String, String),
}

/// How the claws of one cow grew.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CowGrowth {
    /// The herd's number.
    pub herd: i64,
    /// Her number.
    pub cow: i64,
    /// Months of each time of growing, and what was gained in it, mm.
    pub gains: Vec<(f64, f64)>,
    /// Her own slope, mm a month: as the mixed model predicts it, or plainly through her gains.
    pub slope: f64,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Horn {
    /// Net growth, mm a month of 30.44 days; n is cows.
    pub growth: Answer<Growth>,
    /// How much claws of one cow differ, standard deviation, mm a month; only by the mixed model.
    pub claws: Option<f64>,
    /// By cow, what it rests on.
    pub cows: Vec<CowGrowth>,
    /// Lengths left out because a rule doubts them.
    pub doubted: u64,
    /// The length at which a claw is to be trimmed again, mm, where one was given.
    pub trim_at_mm: Option<f64>,
    /// Claws by the day on which they pass it, the soonest first.
    pub passing: Vec<Passing>,
    /// Claws left shorter than the length to trim to, of all measured after trimming; only with
    /// one.
    pub cut_short: Option<(u64, u64)>,
    /// Means of what is derived from the lengths.
    pub derived_means: Vec<AverageLine>,
    /// Regrown horn at rechecks up to 20 days: readings above what can form, of all.
    pub regrown_above: (u64, u64),
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

/// Where a claw was left by its last trimming.
#[derive(Clone, Copy)]
struct Left {
    day: Day,
    mm: f64,
}

/// Walls gathered cow by cow.
#[derive(Default)]
pub struct WallsSeen {
    gains: Vec<Gain>,
    /// Whose they are, by the gains' number of their bearer.
    cows: Vec<Cow>,
    left: Vec<(Cow, Claw, Left)>,
    doubted: u64,
    /// What each claw measured after trimming was left at.
    after: Vec<(HerdId, f64)>,
    regrown: (u64, u64),
    derived: Averages,
}

impl WallsSeen {
    /// Takes a cow: her facts, and her casebook of them.
    pub fn take(&mut self, cow: Cow, facts: &[Fact], book: &Casebook) {
        let bearer = self.cows.len() as u64;
        self.cows.push(cow);
        let mut left: BTreeMap<(u8, u8), (Claw, Left)> = BTreeMap::new();
        for one in &book.claws {
            let claw = (one.claw.foot.number(), one.claw.side.number());
            if !one.trimmed {
                continue;
            }
            // Cut now: what was measured before it ends the time of growing.
            let was = left.remove(&claw);
            let now = one.before.and_then(|wall| wall.mean_mm());
            if let (Some((_, was)), Some(now)) = (was, now) {
                let days = one.day.0 - was.day.0;
                if days >= LEAST_DAYS {
                    let (time, gained) = (f64::from(days) / MONTH_DAYS, now - was.mm);
                    let part = u64::from(u8::from(Place::Claw(one.claw)));
                    self.gains.push(Gain { bearer, part, time, gained });
                }
            }
            if let Some(mm) = one.after.and_then(|wall| wall.mean_mm()) {
                self.after.push((cow.0, mm));
                left.insert(claw, (one.claw, Left { day: one.day, mm }));
            }
        }
        self.left.extend(left.into_values().map(|(claw, left)| (cow, claw, left)));
        let wall = |fact: &&Fact| matches!(fact.what, What::Reading(clip) if clip.dimension.code() == DORSAL_WALL);
        self.doubted += facts.iter().filter(wall).filter(|fact| fact.doubted).count() as u64;
        self.derived.take(&values_of(facts));
        let (above, all) = regrown(facts);
        self.regrown = (self.regrown.0 + above, self.regrown.1 + all);
    }

    /// What they say. `trim_at_mm`: the length at which a claw is to be trimmed again; `trim_to_mm`:
    /// the length to which it is cut, by herd.
    #[must_use]
    pub fn answer(self, trim_at_mm: Option<f64>, trim_to_mm: &BTreeMap<HerdId, f64>) -> Horn {
        Horn::of(&self, trim_at_mm, trim_to_mm)
    }
}

/// Regrown horn within 20 days of opening: above what can form, and all.
fn regrown(facts: &[Fact]) -> (u64, u64) {
    let mut opened: BTreeMap<Place, Day> = BTreeMap::new();
    let (mut above, mut all) = (0, 0);
    for fact in facts.iter().filter(|fact| !fact.doubted) {
        match fact.what {
            What::Action(done) if done.action.code() == HORN_OPENED => {
                opened.insert(fact.place, fact.day);
            }
            What::Reading(clip) if clip.dimension.code() == REGROWN => {
                let days = opened.get(&fact.place).map_or(0, |then| fact.day.0 - then.0);
                if (1..=20).contains(&days) {
                    all += 1;
                    above += u64::from(clip.length.as_mm() > REGROWN_MM * f64::from(days) / 14.0);
                }
            }
            _ => {}
        }
    }
    (above, all)
}

impl Horn {
    fn of(walls: &WallsSeen, trim_at_mm: Option<f64>, trim_to_mm: &BTreeMap<HerdId, f64>) -> Self {
        // Where cows or second times of a claw are too few for the mixed model, in two stages.
        let fit = mixed(&walls.gains, Level::P95).ok();
        let growth = match &fit {
            Some(fit) => Ok(fit.growth),
            None => growth(&walls.gains, Level::P95),
        };
        let mut passing = Vec::new();
        if let (Some(target), Ok(growth)) = (trim_at_mm, &growth) {
            passing = passings(&walls.left, target, growth);
        }
        let cautions = vec![
            "Growth is net of wear; floor, pasture and season all affect it.",
            "Only claws measured after one trimming and before the next count.",
        ];
        Self {
            growth: growth.into(),
            claws: fit.as_ref().and_then(|fit| fit.claws),
            cows: by_cow(walls, fit.as_ref()),
            doubted: walls.doubted,
            trim_at_mm,
            passing,
            cut_short: cut_short(&walls.after, trim_to_mm),
            derived_means: walls.derived.clone().answer(),
            regrown_above: walls.regrown,
            cautions,
        }
    }
}

fn by_cow(walls: &WallsSeen, fit: Option<&Mixed>) -> Vec<CowGrowth> {
    let mut cows: BTreeMap<u64, Vec<(f64, f64)>> = BTreeMap::new();
    for gain in &walls.gains {
        cows.entry(gain.bearer).or_default().push((gain.time, gain.gained));
    }
    let own: BTreeMap<u64, f64> =
        fit.map(|fit| fit.own.iter().copied().collect()).unwrap_or_default();
    let told = cows.into_iter().filter_map(|(bearer, gains)| {
        let (herd, cow) = walls.cows.get(bearer as usize)?;
        let above: f64 = gains.iter().map(|(time, gained)| time * gained).sum();
        let squares: f64 = gains.iter().map(|(time, _)| time * time).sum();
        let slope = own.get(&bearer).copied().unwrap_or(above / squares);
        Some(CowGrowth { herd: herd.number(), cow: cow.number(), gains, slope })
    });
    told.collect()
}

/// Claws left shorter than their herd's length, of those of herds that have one.
fn cut_short(after: &[(HerdId, f64)], to: &BTreeMap<HerdId, f64>) -> Option<(u64, u64)> {
    if to.is_empty() {
        return None;
    }
    let known = || after.iter().filter_map(|(herd, mm)| Some((*mm, *to.get(herd)?)));
    let short = known().filter(|(mm, target)| mm < target).count();
    Some((short as u64, known().count() as u64))
}

fn passings(left: &[(Cow, Claw, Left)], target: f64, growth: &Growth) -> Vec<Passing> {
    let mut all: Vec<(i32, Passing)> = Vec::new();
    for (whose, claw, last) in left {
        let after = |slope: f64| {
            let months = (target - last.mm) / slope;
            // Ten years from now is as good as never.
            let days = if slope > 0.0 { (months * MONTH_DAYS).clamp(0.0, 3650.0) } else { 3650.0 };
            Day(last.day.0 + days.round() as i32)
        };
        let day = after(growth.slope.value);
        let between = (after(growth.next.1).to_string(), after(growth.next.0).to_string());
        let (herd, cow) = (whose.0.number(), whose.1.number());
        let (claw, mm) = (Place::Claw(*claw).to_string(), last.mm);
        all.push((day.0, Passing { cow, herd, claw, mm, day: day.to_string(), between }));
    }
    all.sort_by_key(|(day, passing)| (*day, passing.herd, passing.cow));
    all.into_iter().map(|(_, passing)| passing).collect()
}
