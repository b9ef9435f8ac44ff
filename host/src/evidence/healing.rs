//! How long lesions take to be covered by sound horn, and how their area shrinks.

use std::collections::BTreeMap;

use hornrule_protocol::codes::{Grades, Seat};
use hornrule_protocol::{Lesion, Place};
use serde::Serialize;

use super::{Answer, Cow, cow};
use crate::herd::{Said, What};
use crate::insight::growth::{Gain, Growth, growth};
use crate::insight::interval::Between;
use crate::insight::turnbull::{Turnbull, turnbull};
use crate::insight::weibull::weibull;
use crate::insight::{Estimate, Level};

const HEALED: u8 = 50;
const WORSE: u8 = 53;
const LESION_LENGTH: u8 = 8;
const LESION_WIDTH: u8 = 9;

/// Cases that belong together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Group {
    /// Lesion letters or severity.
    pub what: String,
    /// Cases seen again.
    pub cases: u64,
    /// Of them, seen healed.
    pub healed: u64,
    /// Cases never seen again: they say nothing.
    pub unseen: u64,
    /// Days until half are healed.
    pub half_healed: Answer<Estimate>,
    /// Share not yet healed after 28 days.
    pub open_after_28_days: Answer<Estimate>,
    /// The curve without a form.
    pub curve: Answer<Turnbull>,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Healing {
    /// By lesion and by severity.
    pub groups: Vec<Group>,
    /// Change of ln(length * width) a week; below zero shrinks.
    pub area: Answer<Growth>,
    /// Cases found on a claw that had a healed one before, of all.
    pub again: (u64, u64),
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

/// A lesion of a claw from its finding to the last look.
struct Case {
    number: u64,
    lesion: Lesion,
    grade: u8,
    found: i32,
    open: i32,
    healed: Option<i32>,
    again: bool,
    /// Day, length and width of the last measurements.
    size: [Option<(i32, f64)>; 2],
    last_area: Option<(i32, f64)>,
}

impl Case {
    fn between(&self) -> Option<Between> {
        match self.healed {
            Some(healed) => Between::new(f64::from(self.open), f64::from(healed)).ok(),
            None if self.open > 0 => Between::later_than(f64::from(self.open)).ok(),
            None => None,
        }
    }

    /// A length or width; where both are of one day, the area's change since the last.
    fn measured(&mut self, dimension: u8, day: i32, mm: f64) -> Option<Gain> {
        self.size[usize::from(dimension == LESION_WIDTH)] = Some((day, mm));
        let [Some((one, length)), Some((other, width))] = self.size else { return None };
        if one != other || length <= 0.0 || width <= 0.0 {
            return None;
        }
        let area = (length * width).ln();
        let before = self.last_area.replace((day, area)).filter(|(then, _)| *then < day)?;
        let time = f64::from(day - before.0) / 7.0;
        Some(Gain { bearer: self.number, time, gained: area - before.1 })
    }
}

/// A claw of a cow.
type Claw = (Cow, Place);

fn follow(said: &[Said]) -> (Vec<Case>, Vec<Gain>) {
    let mut open: BTreeMap<Claw, Case> = BTreeMap::new();
    let mut healed_before: BTreeMap<Claw, u32> = BTreeMap::new();
    let (mut done, mut gains, mut number) = (Vec::new(), Vec::new(), 0);
    for one in said.iter().filter(|one| !one.doubted) {
        let claw = (cow(one), one.place);
        match one.what {
            What::Finding { lesion, grade } => {
                let Some(lesion) = Lesion::from_code(lesion) else { continue };
                let followed = lesion.seat == Seat::Claw && lesion.grades == Grades::Severity;
                // Found again at a recheck: the same case still. Another lesion before anybody
                // looked at the first again: what is rechecked from then on is the other.
                let same = |case: &Case| case.open > 0 || case.lesion == lesion;
                if !followed || open.get(&claw).is_some_and(same) {
                    continue;
                }
                done.extend(open.remove(&claw));
                number += 1;
                let (found, again) = (one.day.0, healed_before.contains_key(&claw));
                let (healed, size, last_area) = (None, [None; 2], None);
                let case =
                    Case { number, lesion, grade, found, open: 0, healed, again, size, last_area };
                open.insert(claw, case);
            }
            What::Action(action @ HEALED..=WORSE) => {
                let Some(mut case) = open.remove(&claw) else { continue };
                let days = one.day.0 - case.found;
                if action == HEALED {
                    case.healed = Some(days);
                    *healed_before.entry(claw).or_default() += 1;
                    done.push(case);
                } else {
                    case.open = case.open.max(days);
                    open.insert(claw, case);
                }
            }
            What::Length { dimension: dimension @ (LESION_LENGTH | LESION_WIDTH), mm, .. } => {
                if let Some(case) = open.get_mut(&claw) {
                    gains.extend(case.measured(dimension, one.day.0, mm));
                }
            }
            What::Action(_) | What::Length { .. } => {}
        }
    }
    done.extend(open.into_values());
    (done, gains)
}

impl Healing {
    /// From everything said, of one herd or several.
    #[must_use]
    pub fn of(said: &[Said]) -> Self {
        let (cases, gains) = follow(said);
        let mut groups: BTreeMap<(u8, String), Vec<&Case>> = BTreeMap::new();
        for case in &cases {
            let severity = Grades::Severity.word(case.grade).unwrap_or("").to_owned();
            groups.entry((case.grade, severity)).or_default().push(case);
            let letters = case.lesion.letters.to_owned();
            groups.entry((10 + case.lesion.code, letters)).or_default().push(case);
        }
        let groups = groups.into_iter().map(|((_, what), cases)| group(what, &cases)).collect();
        let again = cases.iter().filter(|case| case.again).count() as u64;
        let cautions = vec![
            "Treated and untreated cows differ for reasons the records do not know: this is how long \
             it took, not what made it heal.",
            "Healed is what was keyed at a recheck; nobody looked in between.",
        ];
        let area = growth(&gains, Level::P95).into();
        Self { groups, area, again: (again, cases.len() as u64), cautions }
    }
}

fn group(what: String, cases: &[&Case]) -> Group {
    let seen: Vec<Between> = cases.iter().filter_map(|case| case.between()).collect();
    let curve = weibull(&seen);
    Group {
        what,
        cases: seen.len() as u64,
        healed: seen.iter().filter(|one| one.happened()).count() as u64,
        unseen: (cases.len() - seen.len()) as u64,
        half_healed: curve.map(|curve| curve.time_of(0.5, Level::P95)).into(),
        open_after_28_days: curve.map(|curve| curve.still(28.0, Level::P95)).into(),
        curve: turnbull(&seen).into(),
    }
}
