//! The due list as values, for scripts.

use hornrule_protocol::Side;
use serde::Serialize;

use hornrule_questions::due::{Because, DueLine};

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
}

impl DueRow {
    /// Of a line.
    #[must_use]
    pub fn of(line: &DueLine) -> Self {
        let need = &line.need;
        Self {
            overdue: line.overdue,
            day: need.day.to_string(),
            farm: line.farm.clone(),
            cow: need.animal.number(),
            name: line.name.clone(),
            foot: need.place.foot().map(|foot| foot.letters()),
            claw: need.place.side().map(Side::name),
            what: need.duty.word(),
            why: why(need.because),
            since: need.since.to_string(),
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
    }
}
