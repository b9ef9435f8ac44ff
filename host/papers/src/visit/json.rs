//! The report for scripts: JSON, lengths in millimetres, places and codes in the trade's letters.
//!
//! Names of fields are a contract: fields are added, none is renamed.

use hornrule_protocol::{Nanometres, Place, Side};
use serde_json::{Value, json};

use crate::words::Words;
use crate::{derived, office, terms};
use hornrule_casebook::{Case, Class, End};
use hornrule_facts::{Day, Language};
use hornrule_questions::visit::due::{Due, Urgency, Vet};
use hornrule_questions::visit::{
    ClawLine, Clean, CowLine, Earlier, Found, Gait, GaugeLine, LengthLine, LesionLine, Mark, Name,
    Short, SignLine, Spot, Spread, Summary, VisitReport,
};

/// All of the report as one JSON value.
#[must_use]
pub fn json(report: &VisitReport) -> Value {
    // Values and not a page: their few words are English in every language.
    let words = Words::new(Language::English);
    json!({
        "farm": report.farm,
        "day": report.day.date().to_string(),
        "summary": summary(&report.summary),
        "vet": report.vet.iter().map(|one| vet(one, &words)).collect::<Vec<_>>(),
        "due": report.due.iter().map(|one| due_after(one, &words, report.day)).collect::<Vec<_>>(),
        "lesions": report.lesions.iter().map(lesion).collect::<Vec<_>>(),
        "signs": report.signs.iter().map(sign).collect::<Vec<_>>(),
        "washing_before": report.clean.iter().map(clean).collect::<Vec<_>>(),
        "cows": report.cows.iter().map(|one| cow(one, &words)).collect::<Vec<_>>(),
        "lengths": report.lengths.iter().map(length).collect::<Vec<_>>(),
        "derived": report.derived.lines.iter().filter(|one| one.1.is_said()).map(derived::named_json).collect::<Vec<_>>(),
        "derived_means": report.derived.averages,
        "gauge_checks": report.gauges.iter().map(gauge).collect::<Vec<_>>(),
        "readings_without_passed_check": report.unchecked_readings,
        "notices": report.notices.iter().map(office::notice_json).collect::<Vec<_>>(),
        "flagged": report.flagged.iter().map(office::remark_json).collect::<Vec<_>>(),
        "held": report.held.iter().map(office::remark_json).collect::<Vec<_>>(),
        "settled": report.settled.iter().map(office::remark_json).collect::<Vec<_>>(),
        "handhelds": report.handhelds.iter().map(|one| format!("{:016x}", one.0)).collect::<Vec<_>>(),
        "target_mm": report.settings.target.map(Nanometres::as_mm),
        "claws_measured_after_trimming": report.walls_after,
        "shorter_than_target": report.short.iter().map(short).collect::<Vec<_>>(),
        "zones": report.spots.iter().map(spot).collect::<Vec<_>>(),
        "chute_order": (1..).zip(&report.ribbon).map(mark).collect::<Vec<_>>(),
        "earlier_visits": report.earlier.iter().map(earlier).collect::<Vec<_>>(),
        "entries_of_no_known_farm": report.unplaced,
    })
}

fn summary(summary: &Summary) -> Value {
    json!({
        "cows": summary.cows,
        "listed_seen": summary.listed.map(|(seen, _)| seen),
        "listed": summary.listed.map(|(_, size)| size),
        "claws_trimmed": summary.claws_trimmed,
        "cows_examined": summary.classes.of(),
        "cows_with_lesion": summary.classes.with_lesion(),
        "cows_with_new_lesion": summary.classes.new,
        "cows_with_open_lesion": summary.classes.open,
        "cows_sound": summary.classes.sound,
        "cows_not_examined": summary.classes.not_examined,
        "blocks_glued": summary.blocks,
        "cows_scored_for_gait": summary.scored,
        "cows_lame": summary.lame,
        "times_estimated": summary.times_estimated,
    })
}

/// Number and name of a cow, merged into a value of hers.
pub(crate) fn of_cow(name: &Name, mut value: Value) -> Value {
    if let Value::Object(fields) = &mut value {
        fields.insert("cow".to_owned(), json!(name.animal.number()));
        fields.insert("name".to_owned(), json!(name.name));
    }
    value
}

pub(crate) fn place(place: Place) -> Value {
    json!({
        "foot": place.foot().map(|foot| foot.letters()),
        "claw": place.side().map(|side| side.name()),
    })
}

pub(crate) fn vet(vet: &Vet, words: &Words) -> Value {
    let urgency = match vet.urgency {
        Urgency::Now => "now",
        Urgency::ToSee => "to see",
    };
    of_cow(
        &vet.name,
        json!({ "urgency": urgency, "place": place(vet.place), "why": terms::vet_why(words, vet) }),
    )
}

/// Something due, and how late it is at the end of a visit's day.
fn due_after(due: &Due, words: &Words, visit: Day) -> Value {
    let mut value = self::due(due, words);
    value["overdue_days"] = json!(due.overdue(visit));
    value["harm_days"] = json!(due.harm(visit));
    value
}

pub(crate) fn due(due: &Due, words: &Words) -> Value {
    let value = json!({
        "day": due.day.date().to_string(),
        "place": place(due.place),
        "what": terms::what(words, due),
        "rule": terms::why(words, due),
        "cases": due.cases.iter().map(|case| case.id.to_string()).collect::<Vec<_>>(),
        "lesions": due.cases.iter().map(|case| case.lesion.letters).collect::<Vec<_>>(),
    });
    of_cow(&due.name, value)
}

fn lesion(line: &LesionLine) -> Value {
    let grades: serde_json::Map<String, Value> = line
        .grades
        .iter()
        .map(|(digit, count)| {
            let grade = line.lesion.grades.word(*digit).unwrap_or_default();
            (grade.to_owned(), json!(count))
        })
        .collect();
    json!({
        "letters": line.lesion.letters,
        "lesion": line.lesion.name,
        "cows": line.cows,
        "claws_or_feet": line.places,
        "new_cases": line.new,
        "open_cases": line.open,
        "grades": grades,
    })
}

fn sign(line: &SignLine) -> Value {
    json!({
        "letters": line.sign.letters,
        "sign": line.sign.name,
        "cows": line.cows,
        "claws_or_feet": line.places,
    })
}

/// Whether washing was keyed between the farm before and this one; the farm before is not told.
fn clean(one: &Clean) -> Value {
    json!({
        "handheld": format!("{:016x}", one.device.0),
        "keyed": one.washed_ms.is_some(),
    })
}

pub(crate) fn cow(line: &CowLine, words: &Words) -> Value {
    let only_trimmed: Vec<Value> =
        line.only_trimmed.iter().map(|claw| place(Place::Claw(*claw))).collect();
    let value = json!({
        "class": class(line.class),
        "cases": line.cases.iter().map(case).collect::<Vec<_>>(),
        "scores": line.scores.iter().map(|one| terms::score(words, *one)).collect::<Vec<_>>(),
        "places": line.claws.iter().map(|one| claw(one, words)).collect::<Vec<_>>(),
        "only_trimmed": only_trimmed,
    });
    of_cow(&line.name, value)
}

/// A cow's class in one word.
const fn class(class: Class) -> &'static str {
    match class {
        Class::New => "new",
        Class::Open => "open",
        Class::Sound => "sound",
        Class::NotExamined => "not examined",
    }
}

/// A case: the record that opened it, and what it is.
pub(crate) fn case(case: &Case) -> Value {
    let how = |end: End| match end {
        End::Healed => "healed",
        End::Sound => "sound",
        End::OutOfSight => "out of sight",
        End::Amputated => "amputated",
    };
    json!({
        "case": case.id.to_string(),
        "letters": case.lesion.letters,
        "place": place(case.place),
        "found": case.found.to_string(),
        "again": case.again,
        "grade_found": case.grade,
        "grade_last": case.last_grade,
        "last_spoken_of": case.last_word().to_string(),
        "ended": case.ended.map(|ended| ended.day.to_string()),
        "ended_how": case.ended.map(|ended| how(ended.how)),
    })
}

fn claw(line: &ClawLine, words: &Words) -> Value {
    json!({
        "place": place(line.place),
        "found": line.found.iter().map(found).collect::<Vec<_>>(),
        "done": line.done.iter().map(|one| terms::done(words, one)).collect::<Vec<_>>(),
        "lesion_length_mm": line.lesion_length.map(Nanometres::as_mm),
        "lesion_width_mm": line.lesion_width.map(Nanometres::as_mm),
        "dorsal_wall_before_mm": line.wall_before.map(Nanometres::as_mm),
        "dorsal_wall_after_mm": line.wall_after.map(Nanometres::as_mm),
    })
}

fn found(found: &Found) -> Value {
    json!({
        "letters": found.lesion.letters,
        "grade": found.grade,
        "zone": found.zone,
        "zone_keyed": found.zone_keyed,
    })
}

fn length(line: &LengthLine) -> Value {
    json!({
        "dimension": line.dimension.name,
        "before_trimming": line.before.as_ref().map(spread),
        "after_trimming": line.after.as_ref().map(spread),
    })
}

fn spread(spread: &Spread) -> Value {
    json!({
        "readings": spread.readings,
        "least_mm": spread.least.as_mm(),
        "median_mm": spread.median.as_mm(),
        "most_mm": spread.most.as_mm(),
    })
}

pub(crate) fn gauge(line: &GaugeLine) -> Value {
    let readings = line
        .readings
        .iter()
        .map(|(length, passed)| json!({ "mm": length.as_mm(), "passed": passed }));
    json!({
        "handheld": format!("{:016x}", line.device.0),
        "readings": readings.collect::<Vec<_>>(),
    })
}

fn short(short: &Short) -> Value {
    let value = json!({ "place": place(Place::Claw(short.claw)), "mm": short.length.as_mm() });
    of_cow(&short.name, value)
}

fn spot(spot: &Spot) -> Value {
    json!({
        "foot": spot.foot.letters(),
        "claw": spot.side.map(Side::name),
        "zone": spot.zone,
        "count": spot.count,
    })
}

/// A cow's mark on the ribbon (`host/questions/src/visit/RIBBON.md`).
fn mark((nth, mark): (usize, &Mark)) -> Value {
    let gait = |gait: Gait| json!({ "scale": gait.scale.name, "value": gait.value, "lame": gait.is_lame() });
    let value = json!({
        "nth": nth,
        "class": class(mark.class),
        "gait": mark.gait.map(gait),
        "new_depth": mark.new.map(|depth| depth.steps()),
        "open_depth": mark.open.map(|depth| depth.steps()),
        "blocks": mark.blocks,
        "vet": mark.vet,
    });
    of_cow(&mark.name, value)
}

fn earlier(visit: &Earlier) -> Value {
    let lesions: serde_json::Map<String, Value> = visit
        .lesions
        .iter()
        .map(|(lesion, cows)| (lesion.letters.to_owned(), json!(cows)))
        .collect();
    json!({
        "day": visit.day.date().to_string(),
        "cows": visit.classes.of() + visit.classes.not_examined,
        "cows_examined": visit.classes.of(),
        "cows_with_lesion": visit.classes.with_lesion(),
        "cows_by_lesion": lesions,
    })
}
