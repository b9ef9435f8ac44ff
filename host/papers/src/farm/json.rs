//! A farm over time for scripts.
//!
//! Names of fields are a contract: fields are added, none is renamed.

use serde_json::{Value, json};

use crate::visit::{of_cow, place_json as place};
use hornrule_casebook::FORGOTTEN_DAYS;
use hornrule_facts::Day;
use hornrule_questions::farm::{
    FarmTrend, LEAST, LesionTally, Mind, Part, SMALL, Scored, Share, Tally,
};
use hornrule_questions::visit::due::Due;

/// All of it as one JSON value. Shares are 0 to 1, times days.
#[must_use]
pub fn json(trend: &FarmTrend) -> Value {
    let months = trend.months.iter().map(|one| {
        let mut value = tally(&one.tally);
        if let Value::Object(fields) = &mut value {
            fields.insert("month".to_owned(), month(one.first));
            fields.insert("herd_trimmed_so_far".to_owned(), json!(one.so_far.map(part)));
        }
        value
    });
    json!({
        "farm": trend.farm,
        "from": trend.period.from.to_string(),
        "through": trend.period.through.to_string(),
        "records_begin": trend.first_visit.map(|day| day.to_string()),
        "all_days": tally(&trend.whole),
        "months": months.collect::<Vec<_>>(),
        "healing": trend.healing,
        "blocks": trend.blocks,
        "derived_means": trend.derived,
        "left_on_as_of": trend.as_of.map(|day| day.to_string()),
        "left_on_too_long": trend.left_on.iter().map(|one| left_on(one, trend.as_of)).collect::<Vec<_>>(),
        "mind": trend.mind.iter().map(mind).collect::<Vec<_>>(),
        "least_cows_for_a_share": LEAST,
        "few_cows_below": SMALL,
        "another_case_after_days": FORGOTTEN_DAYS,
    })
}

/// A block or wrap that is on past its window.
fn left_on(due: &Due, as_of: Option<Day>) -> Value {
    let value = json!({
        "place": place(due.place),
        "what": due.duty.word(),
        "day": due.day.to_string(),
        "overdue_days": as_of.map(|day| due.overdue(day)),
        "harm_days": as_of.and_then(|day| due.harm(day)),
    });
    of_cow(&due.name, value)
}

/// "2026-03".
fn month(first: Day) -> Value {
    json!(first.date().strftime("%Y-%m").to_string())
}

fn share(share: &Share) -> Value {
    let refused = share.estimate.is_none().then(|| format!("fewer than {LEAST} cows"));
    json!({ "cases": share.cases, "of": share.of, "share": share.estimate, "refused": refused })
}

fn part(part: Part) -> Value {
    json!({ "cows": part.cases, "of": part.of, "share": part.share() })
}

fn tally(tally: &Tally) -> Value {
    json!({
        "visits": tally.visits,
        "cows_in_the_chute": tally.cows,
        "handhelds_with_findings": tally.finders,
        "cows_with_lesion_of_examined": share(&tally.with_lesion),
        "cows_not_examined": tally.not_examined,
        "cows_trimmed": tally.trimmed,
        "claws_with_horn_lesion_of_examined": share(&tally.claws),
        "lesions": tally.lesions.iter().map(lesion).collect::<Vec<_>>(),
        "new_cases": tally.new,
        "cases_again": tally.again,
        "blocks_glued": tally.blocks,
        "herd_trimmed": tally.herd.map(part),
        "gait": tally.gait.iter().map(gait).collect::<Vec<_>>(),
    })
}

fn lesion(one: &LesionTally) -> Value {
    json!({
        "letters": one.lesion.letters,
        "lesion": one.lesion.name,
        "cows_of_examined": share(&one.cows),
        "new_cases": one.new,
        "cases_again": one.again,
    })
}

fn gait(one: &Scored) -> Value {
    let cows: serde_json::Map<String, Value> =
        one.cows.iter().map(|(value, cows)| (value.to_string(), json!(cows))).collect();
    json!({ "scale": one.scale.name, "cows_by_value": cows, "lame": share(&one.lame) })
}

fn mind(mind: &Mind) -> Value {
    let months = |days: &[Day]| days.iter().map(|day| month(*day)).collect::<Vec<_>>();
    match mind {
        Mind::MostlyLame(days) => json!({ "what": "mostly lame cows", "months": months(days) }),
        Mind::MoreEyes(days) => json!({ "what": "more handhelds", "months": months(days) }),
        Mind::NotScored(days) => json!({ "what": "no cow scored", "months": months(days) }),
        Mind::Few(days) => json!({ "what": "few cows", "months": months(days) }),
        Mind::Chosen { low, high } => json!({
            "what": "cows chosen differently",
            "months": months(&[low.0, high.0]),
            "lame": [share(&low.1), share(&high.1)],
        }),
        Mind::HalfUnseen(it) => json!({ "what": "half of the herd unseen", "trimmed": part(*it) }),
        Mind::NoList => json!({ "what": "no herd list" }),
    }
}
