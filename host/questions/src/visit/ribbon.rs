//! The day as a ribbon: a mark a cow, in the order of the chute. Rules: `RIBBON.md`.

use std::collections::BTreeMap;

use hornrule_casebook::{Case, Class};
use hornrule_facts::{AnimalId, Day, Fact, What};
use hornrule_protocol::Scale;
use hornrule_protocol::codes::{ActionKind, Grades};

use super::due::Vet;
use super::{CowLine, Name};
use crate::due::decide::is_active;

/// How deep a lesion is cut into the ribbon.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// Slight; dermatitis in no active stage.
    Shallow,
    /// Moderate; active dermatitis.
    Middle,
    /// Severe, and whatever has no grade.
    Deep,
}

impl Depth {
    /// Of a case at the end of a day.
    #[must_use]
    pub fn of(case: &Case, day: Day) -> Self {
        let grade = case.grade_on(day);
        match case.lesion.grades {
            Grades::Severity if grade <= 1 => Self::Shallow,
            Grades::Severity if grade == 2 => Self::Middle,
            Grades::Stage if is_active(case.lesion, grade) => Self::Middle,
            Grades::Stage => Self::Shallow,
            Grades::Severity | Grades::None => Self::Deep,
        }
    }

    /// 1, 2 or 3.
    #[must_use]
    pub const fn steps(self) -> u8 {
        match self {
            Self::Shallow => 1,
            Self::Middle => 2,
            Self::Deep => 3,
        }
    }
}

/// A cow's gait on a scale that says who is lame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gait {
    /// The scale.
    pub scale: Scale,
    /// Her score on it.
    pub value: u8,
}

impl Gait {
    /// How far up its scale: 0 for the best walk, 1 for the worst.
    #[must_use]
    pub fn height(self) -> f64 {
        let (least, most) = self.scale.range;
        let above = f64::from(self.value.saturating_sub(least));
        (above / f64::from(most.saturating_sub(least).max(1))).min(1.0)
    }

    /// Whether her scale calls her lame.
    #[must_use]
    pub fn is_lame(self) -> bool {
        self.scale.lame_from.is_some_and(|from| self.value >= from)
    }
}

/// A cow's mark on the ribbon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Who.
    pub name: Name,
    /// Her class of the day.
    pub class: Class,
    /// How she walks, where she was scored.
    pub gait: Option<Gait>,
    /// The deepest of her new lesions.
    pub new: Option<Depth>,
    /// The deepest of those from before.
    pub open: Option<Depth>,
    /// Blocks glued on.
    pub blocks: usize,
    /// Whether she stands in the vet's list of the day.
    pub vet: bool,
}

impl Mark {
    /// Whether there is anything to see: a lesion, a lame walk, a block, the vet.
    #[must_use]
    pub fn tells(&self) -> bool {
        let lesion = self.new.is_some() || self.open.is_some();
        lesion || self.gait.is_some_and(Gait::is_lame) || self.blocks > 0 || self.vet
    }
}

/// The marks of a day, in the order in which the cows came.
pub(super) fn ribbon(facts: &[Fact], cows: &[CowLine], vet: &[Vet], day: Day) -> Vec<Mark> {
    let mut came: BTreeMap<AnimalId, _> = BTreeMap::new();
    let mut blocks: BTreeMap<AnimalId, usize> = BTreeMap::new();
    for fact in facts {
        let Some(animal) = fact.animal else { continue };
        match fact.what {
            What::Stay { .. } => {
                let (device, log, seq) = fact.key;
                let at = (fact.when.at_ms, device, log, seq);
                let first = came.entry(animal).or_insert(at);
                *first = at.min(*first);
            }
            What::Action(done) if done.action.kind == ActionKind::BlockOn && !fact.doubted => {
                *blocks.entry(animal).or_default() += 1;
            }
            What::Action(_) | What::Reading(_) | What::Finding(_) | What::Score { .. } => {}
        }
    }
    let mark = |cow: &CowLine| {
        let deepest = |new: bool| {
            let those = cow.cases.iter().filter(|case| (case.found == day) == new);
            those.map(|case| Depth::of(case, day)).max()
        };
        Mark {
            name: cow.name.clone(),
            class: cow.class,
            gait: gait(&cow.scores),
            new: deepest(true),
            open: deepest(false),
            blocks: blocks.get(&cow.name.animal).copied().unwrap_or_default(),
            vet: vet.iter().any(|one| one.name.animal == cow.name.animal),
        }
    };
    let mut marks: Vec<Mark> = cows.iter().map(mark).collect();
    marks.sort_by_key(|mark| came.get(&mark.name.animal).copied());
    marks
}

/// A lame score before one that is not, then the one further up its scale, then the scale with the
/// smaller number.
fn gait(scores: &[(Scale, u8)]) -> Option<Gait> {
    let of_gait = scores.iter().filter(|(scale, _)| scale.lame_from.is_some());
    let all = of_gait.map(|(scale, value)| Gait { scale: *scale, value: *value });
    all.max_by(|one, other| {
        let lame = one.is_lame().cmp(&other.is_lame());
        let height = one.height().total_cmp(&other.height());
        lame.then(height).then(other.scale.code().cmp(&one.scale.code()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(code: u8, value: u8) -> (Scale, u8) {
        (Scale::from_code(code).unwrap(), value)
    }

    /// Locomotion 1 to 5, lame from 3; mobility 0 to 3, lame from 2; leg cleanliness says nothing.
    #[test]
    fn a_lame_score_goes_before_a_high_one() {
        let read = |scores: &[(Scale, u8)]| {
            gait(scores).map(|one| (one.scale.code(), one.value, one.is_lame(), one.height()))
        };
        assert_eq!(read(&[]), None);
        assert_eq!(read(&[on(3, 4)]), None);
        assert_eq!(read(&[on(1, 1)]), Some((1, 1, false, 0.0)));
        assert_eq!(read(&[on(1, 5), on(2, 1)]), Some((1, 5, true, 1.0)));
        // 2 of 0 to 3 is lame, 2 of 1 to 5 is not.
        assert_eq!(read(&[on(1, 2), on(2, 2)]), Some((2, 2, true, 2.0 / 3.0)));
        // Nothing between them.
        assert_eq!(read(&[on(2, 0), on(1, 1)]), Some((1, 1, false, 0.0)));
        // Both are lame: the worse of them.
        assert_eq!(read(&[on(2, 2), on(1, 4)]), Some((1, 4, true, 0.75)));
    }
}
