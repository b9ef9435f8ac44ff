//! Rules over grades and scores.

use hornrule_protocol::codes::Grades;
use hornrule_protocol::record::Entry;

use super::{Check, Rule};
use hornrule_facts::Severity::Held;

/// A grade off its scale.
pub(super) const GRADE: Rule = Rule {
    id: "off-grade",
    severity: Held,
    looks_for: "a severity or stage that its scale does not have",
    check: Check::Moment(|moment| {
        let Entry::Finding(finding) = moment.entry else { return None };
        let scale = match finding.lesion.grades {
            Grades::None => "it takes no digit",
            Grades::Severity => "1 is slight, 2 moderate, 3 severe",
            Grades::Stage => "1 to 4 are M1 to M4, 5 is M4.1, 0 is healed",
        };
        (!finding.lesion.grades.has(finding.grade)).then(|| {
            format!(
                "{}: {} was keyed with {}, but {scale}. Say in the office which it was.",
                moment.subject(),
                finding.lesion.name,
                finding.grade
            )
        })
    }),
};

/// A score off its scale.
pub(super) const SCORE: Rule = Rule {
    id: "off-scale",
    severity: Held,
    looks_for: "a score that its scale does not have",
    check: Check::Moment(|moment| {
        let Entry::Score { scale, value } = moment.entry else { return None };
        (!scale.has(*value)).then(|| {
            format!(
                "{}: a {} score of {value} was keyed, but that scale goes from {} to {}. Say in \
                 the office which it was.",
                moment.subject(),
                scale.name,
                scale.range.0,
                scale.range.1
            )
        })
    }),
};
