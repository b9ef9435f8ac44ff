//! The letter for scripts.

use serde_json::{Value, json};

use crate::visit;
use crate::words::Words;
use hornrule_facts::Language;
use hornrule_questions::vet::{Past, Referred, VetLetter};

/// The letter as one JSON value.
#[must_use]
pub fn json(letter: &VetLetter) -> Value {
    let words = Words::new(Language::English);
    let report = &letter.report;
    json!({
        "farm": report.farm,
        "day": report.day.date().to_string(),
        "to": report.settings.vet,
        "vet": report.vet.iter().map(|one| visit::vet_json(one, &words)).collect::<Vec<_>>(),
        "cows": letter.cows.iter().map(|one| cow(one, &words)).collect::<Vec<_>>(),
        "waiting": letter.waiting.iter().map(|one| visit::due_json(one, &words)).collect::<Vec<_>>(),
    })
}

fn cow(one: &Referred, words: &Words) -> Value {
    let mut value = visit::cow_json(&one.line, words);
    let listed = one.listed.as_ref();
    let date = |day: Option<hornrule_facts::Day>| day.map(|day| day.to_string());
    if let Value::Object(fields) = &mut value {
        for (key, value) in [
            ("ear_tag", json!(listed.and_then(|one| one.official.as_deref()))),
            ("tag", json!(one.tag)),
            ("born", json!(date(listed.and_then(|one| one.born)))),
            ("lactation", json!(listed.and_then(|one| one.lactation))),
            ("calved", json!(date(listed.and_then(|one| one.calved)))),
            ("history", one.history.iter().map(past).collect()),
        ] {
            fields.insert(key.to_owned(), value);
        }
    }
    value
}

fn past(past: &Past) -> Value {
    let (what, off) = match past {
        Past::Case(case) => return visit::case_json(case),
        Past::Block(block) => ("block", block.off.map(|(day, _)| day)),
        Past::Wrap(wrap) => ("wrap", wrap.off.map(|(day, _)| day)),
    };
    json!({
        "what": what,
        "place": visit::place_json(past.place()),
        "on": past.since().to_string(),
        "off": off.map(|day| day.to_string()),
    })
}
