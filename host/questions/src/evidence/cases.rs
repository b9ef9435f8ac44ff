//! Lesions followed from their finding to the last look, and healed claws to the next lesion.
//!
//! ```text
//! SU 2 found   DO 52 unchanged   DO 50 healed     DO 30 trimmed, sound    WLF 1 found
//!   day 0 --------- 14 ============= 28                 110 ================= 205
//!                    (14, 28]: healed         28 +      (82, 177]: again
//! ```

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::codes::{Grades, Seat};
use hornrule_protocol::{DeviceId, Foot, Lesion, LogId, Place, Seq};

use super::{Cow, cow};
use hornrule_facts::codes::{BLOCK_USUAL, HEALED, LESION_LENGTH, LESION_WIDTH, TRIMMED, WORSE};
use hornrule_herd::{Said, What};
use hornrule_insight::growth::Gain;
use hornrule_insight::interval::Between;

/// What is done about a lesion of a foot: a block on either claw (told by the usual way's number,
/// whichever way it was glued), left open, a wrap, loose horn opened, the claw lowered.
pub(super) const TREATMENTS: [u8; 5] = [BLOCK_USUAL, 20, 21, 31, 32];

/// A lesion of a claw.
pub(super) struct Case {
    number: u64,
    pub(super) cow: Cow,
    pub(super) lesion: Lesion,
    pub(super) grade: u8,
    /// What was done to the foot in the stay in which it was found.
    pub(super) done: BTreeSet<u8>,
    found: i32,
    open: i32,
    healed: Option<i32>,
    pub(super) again: bool,
    /// Day, length and width of the last measurements.
    size: [Option<(i32, f64)>; 2],
    last_area: Option<(i32, f64)>,
}

impl Case {
    /// What is known of its healing, days from finding.
    pub(super) fn between(&self) -> Option<Between> {
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
        Some(Gain { bearer: self.number, part: 0, time, gained: area - before.1 })
    }
}

/// A healed claw, watched for the next lesion.
struct Watched {
    healed: i32,
    /// The last day on which it was looked at without one, and the one before that.
    last: i32,
    before: i32,
}

impl Watched {
    fn looked(&mut self, day: i32) {
        if day > self.last {
            (self.before, self.last) = (self.last, day);
        }
    }

    /// Found with a lesion on a day. What was said of it on that day before the lesion was no look
    /// without.
    fn found(&self, day: i32) -> Option<Between> {
        let last = if self.last == day { self.before } else { self.last };
        Between::new(f64::from(last - self.healed), f64::from(day - self.healed)).ok()
    }

    fn not_found(&self) -> Option<Between> {
        let days = self.last - self.healed;
        (days > 0).then(|| Between::later_than(f64::from(days)).ok()).flatten()
    }
}

/// A claw of a cow.
type Claw = (Cow, Place);
/// A foot in one stay.
type Stay = (DeviceId, LogId, Seq, Foot);

/// Everything that was followed.
#[derive(Default)]
pub(super) struct Cases {
    pub(super) cases: Vec<Case>,
    /// Changes of ln(area) a week.
    pub(super) gains: Vec<Gain>,
    /// Healed claws, days from healing to the next lesion; `None` for one not looked at again.
    pub(super) recurred: Vec<(Cow, Option<Between>)>,
}

/// What was done to each foot in each stay.
fn treatments(said: &[Said]) -> BTreeMap<Stay, BTreeSet<u8>> {
    let mut done: BTreeMap<Stay, BTreeSet<u8>> = BTreeMap::new();
    for one in said.iter().filter(|one| !one.doubted) {
        let (What::Action(action), Some(stay)) = (one.what, stay(one)) else { continue };
        let action = if (10..=19).contains(&action) { BLOCK_USUAL } else { action };
        if TREATMENTS.contains(&action) {
            done.entry(stay).or_default().insert(action);
        }
    }
    done
}

fn stay(said: &Said) -> Option<Stay> {
    Some((said.key.0, said.key.1, said.presence, said.place.foot()?))
}

pub(super) fn follow(said: &[Said]) -> Cases {
    let treated = treatments(said);
    let mut open: BTreeMap<Claw, Case> = BTreeMap::new();
    let mut watched: BTreeMap<Claw, Watched> = BTreeMap::new();
    let mut healed_before: BTreeSet<Claw> = BTreeSet::new();
    let (mut all, mut number) = (Cases::default(), 0);
    for one in said.iter().filter(|one| !one.doubted) {
        let (claw, day) = ((cow(one), one.place), one.day.0);
        match one.what {
            What::Finding { lesion, grade } => {
                let Some(lesion) = Lesion::from_code(lesion) else { continue };
                let followed = lesion.seat == Seat::Claw && lesion.grades == Grades::Severity;
                if !followed {
                    if lesion.code == 0 {
                        watched.entry(claw).and_modify(|claw| claw.looked(day));
                    }
                    continue;
                }
                if let Some(claw_watched) = watched.remove(&claw) {
                    all.recurred.push((claw.0, claw_watched.found(day)));
                }
                // Found again at a recheck: the same case still. Another lesion before anybody
                // looked at the first again: what is rechecked from then on is the other.
                let same = |case: &Case| case.open > 0 || case.lesion == lesion;
                if open.get(&claw).is_some_and(same) {
                    continue;
                }
                all.cases.extend(open.remove(&claw));
                number += 1;
                let done = stay(one).and_then(|stay| treated.get(&stay)).cloned();
                let again = healed_before.contains(&claw);
                open.insert(claw, found(number, one, (lesion, grade), done, again));
            }
            What::Action(action @ HEALED..=WORSE) => {
                let Some(mut case) = open.remove(&claw) else { continue };
                let days = day - case.found;
                if action == HEALED {
                    case.healed = Some(days);
                    healed_before.insert(claw);
                    watched.insert(claw, Watched { healed: day, last: day, before: day });
                    all.cases.push(case);
                } else {
                    case.open = case.open.max(days);
                    open.insert(claw, case);
                }
            }
            What::Action(TRIMMED) => {
                watched.entry(claw).and_modify(|claw| claw.looked(day));
            }
            What::Length { dimension: dimension @ (LESION_LENGTH | LESION_WIDTH), mm, .. } => {
                if let Some(case) = open.get_mut(&claw) {
                    all.gains.extend(case.measured(dimension, day, mm));
                }
            }
            What::Action(_) | What::Length { .. } => {}
        }
    }
    all.cases.extend(open.into_values());
    all.recurred.extend(watched.into_iter().map(|(claw, one)| (claw.0, one.not_found())));
    all
}

fn found(
    number: u64,
    said: &Said,
    (lesion, grade): (Lesion, u8),
    done: Option<BTreeSet<u8>>,
    again: bool,
) -> Case {
    Case {
        number,
        cow: cow(said),
        lesion,
        grade,
        done: done.unwrap_or_default(),
        found: said.day.0,
        open: 0,
        healed: None,
        again,
        size: [None; 2],
        last_area: None,
    }
}
