//! The due list as values, for scripts.

use hornrule_protocol::Side;
use serde::Serialize;

use hornrule_facts::Day;
use hornrule_questions::due::{Back, Because, Case, DueLine};

/// A line of the due list, for scripts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DueRow {
    /// Whether its day has gone by.
    pub overdue: bool,
    /// The day it is due.
    pub day: String,
    /// The farm's name.
    pub farm: String,
    /// The cow's number.
    pub cow: i64,
    /// Her name.
    pub name: Option<String>,
    /// LF, RF, LH, RH.
    pub foot: Option<&'static str>,
    /// outer or inner.
    pub claw: Option<&'static str>,
    /// What is due, one word.
    pub what: &'static str,
    /// keyed, or which rule.
    pub why: &'static str,
    /// The day it comes from.
    pub since: String,
    /// Days overdue; 0 where it is not.
    pub overdue_days: u32,
    /// Days that a block or wrap has been on past its window; null where it does no harm.
    pub harm_days: Option<u32>,
    /// The day of the visit on which it is to be done.
    pub visit: String,
    /// trimmer, farmer, vet or office.
    pub who: &'static str,
    /// Her group.
    pub group: Option<String>,
    /// The lesions that it is about.
    pub lesions: Vec<LesionRow>,
    /// How often she was not brought since a recheck or block of hers was due.
    pub not_brought: usize,
    /// Whether the page tells her once, and not with the visits.
    pub told_once: bool,
}

/// A lesion of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LesionRow {
    /// Its letters.
    pub letters: &'static str,
    /// How bad it was when it was last found; null for lesions without a grade.
    pub grade: Option<&'static str>,
    /// LF, RF, LH, RH.
    pub foot: Option<&'static str>,
    /// lateral or medial.
    pub claw: Option<&'static str>,
    /// The case, as in the answers about a visit and a cow.
    pub case: String,
}

impl LesionRow {
    fn of(case: &Case) -> Self {
        Self {
            letters: case.lesion.letters,
            grade: case.lesion.grades.word(case.last_grade),
            foot: case.place.foot().map(|foot| foot.letters()),
            claw: case.place.side().map(Side::name),
            case: case.id.to_string(),
        }
    }
}

/// A cow that was noted as sold or dead and was in the chute later, for scripts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BackRow {
    /// The farm's name.
    pub farm: String,
    /// The cow's number.
    pub cow: i64,
    /// Her name.
    pub name: Option<String>,
    /// sold or dead.
    pub noted: &'static str,
    /// The day noted.
    pub day: String,
    /// Who says so.
    pub who: String,
    /// Why.
    pub why: String,
    /// The first later day on which she was in the chute.
    pub seen: String,
}

impl BackRow {
    /// Of what the list says.
    #[must_use]
    pub fn of(one: &Back) -> Self {
        Self {
            farm: one.farm.clone(),
            cow: one.note.animal.number(),
            name: one.name.clone(),
            noted: one.note.what.word(),
            day: one.note.day.to_string(),
            who: one.note.who.clone(),
            why: one.note.why.clone(),
            seen: one.seen.to_string(),
        }
    }
}

impl DueRow {
    /// Of a line, as asked on a day.
    #[must_use]
    pub fn of(line: &DueLine, asked: Day) -> Self {
        let need = &line.need;
        Self {
            overdue: line.overdue > 0,
            day: need.day.to_string(),
            farm: line.farm.clone(),
            cow: need.animal.number(),
            name: line.name.clone(),
            foot: need.place.foot().map(|foot| foot.letters()),
            claw: need.place.side().map(Side::name),
            what: need.duty.word(),
            why: why(need.because),
            since: need.since.to_string(),
            overdue_days: line.overdue,
            harm_days: need.harm(asked),
            visit: line.visit.to_string(),
            who: need.duty.who().word(),
            group: line.pen.clone(),
            lesions: need.cases.iter().map(LesionRow::of).collect(),
            not_brought: line.missed,
            told_once: line.is_told_once(),
        }
    }
}

/// The reason in one word, for scripts.
const fn why(because: Because) -> &'static str {
    match because {
        Because::Keyed => "keyed",
        Because::Phlegmon => "phlegmon",
        Because::Dermatitis => "dermatitis",
        Because::Found => "found",
        Because::TreatedLesion => "treated-lesion",
        Because::NotHealed => "not-healed",
        Because::BlockGlued => "block-glued",
        Because::Wrapped => "wrapped",
        Because::Trimmed => "trimmed",
        Because::VetNow => "vet-now",
        Because::VetToSee => "vet-to-see",
        Because::ToeNecrosis => "toe-necrosis",
        Because::Swelling => "swelling",
        Because::OneSided => "one-sided-swelling",
        Because::BoneOrJoint => "bone-or-joint",
        Because::Gait => "gait",
        Because::PhlegmonVet => "phlegmon",
        Because::Worse => "worse",
        Because::Unanswered => "unanswered",
        Because::Office => "office",
    }
}
