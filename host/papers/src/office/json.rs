//! The office page for scripts. Lengths are millimetres.

use hornrule_protocol::Nanometres;
use serde_json::{Value, json};

use crate::visit;
use hornrule_questions::notices::{Notice, Noticed, Sole, Target, sole};
use hornrule_questions::visit::{RemarkLine, VisitReport};

/// All of it as one JSON value.
#[must_use]
pub fn json(report: &VisitReport) -> Value {
    let remarks = |lines: &[RemarkLine]| lines.iter().map(remark).collect::<Vec<_>>();
    json!({
        "farm": report.farm,
        "day": report.day.date().to_string(),
        "notices": report.notices.iter().map(notice).collect::<Vec<_>>(),
        "flagged": remarks(&report.flagged),
        "held": remarks(&report.held),
        "settled": remarks(&report.settled),
        "entries_of_no_known_farm": report.unplaced,
        "handhelds": report.handhelds.iter().map(|one| format!("{:016x}", one.0)).collect::<Vec<_>>(),
        "gauge_checks": report.gauges.iter().map(visit::gauge_json).collect::<Vec<_>>(),
        "readings_without_passed_check": report.unchecked_readings,
        "times_estimated": report.summary.times_estimated,
        "target_mm": report.settings.target.map(Nanometres::as_mm),
    })
}

pub(crate) fn remark(line: &RemarkLine) -> Value {
    json!({ "rule": line.rule, "sentence": line.sentence, "times": line.times })
}

/// What was noticed, on whom and where; the fields that follow are those of its kind.
pub(crate) fn notice(one: &Notice) -> Value {
    let mut value = match &one.what {
        Noticed::BlockOnLesion { on, case } => json!({
            "notice": "block on the lesion",
            "block_since": on.to_string(),
            "case": case.id.to_string(),
            "letters": case.lesion.letters,
        }),
        Noticed::WrapOnUlcer { case } => json!({
            "notice": "wrap on an ulcer",
            "case": case.id.to_string(),
            "letters": case.lesion.letters,
        }),
        Noticed::ShortWall { length, target } => json!({
            "notice": "short wall",
            "mm": length.as_mm(),
            "target_mm": target.length().as_mm(),
            "target_of": match target {
                Target::Farm(_) => "farm",
                Target::Holstein(_) => "mature Holstein",
            },
            "sole_mm": sole(one.place, *length).map(Sole::mm),
        }),
        Noticed::Regrown { length, days, most } => json!({
            "notice": "more horn than grows",
            "mm": length.as_mm(),
            "days": days,
            "most_mm": most.as_mm(),
        }),
    };
    if let Value::Object(fields) = &mut value {
        fields.insert("place".to_owned(), visit::place_json(one.place));
        fields.insert("for_the_farmer".to_owned(), json!(one.what.is_for_the_farmer()));
    }
    visit::of_cow(&one.name, value)
}
