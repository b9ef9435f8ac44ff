//! What went wrong with an entry that is in flash and was not asked for, in plain words.

use hornrule_protocol::codes::Grades;
use hornrule_protocol::record::{Done, Finding, Reading};
use hornrule_protocol::{Entry, Place};

use hornrule_facts::plain as words;

/// How to go on from any slip.
const TAKE_BACK: &str = "UNDO takes it back.";

/// Words for an entry too many, beside what is still missing.
pub(super) fn words(surplus: &Entry, missing: &[Entry]) -> String {
    let nearest =
        missing.iter().filter_map(|wanted| differences(surplus, wanted)).min_by_key(Vec::len);
    match nearest {
        Some(found) if found.is_empty() => {
            format!(
                "{} is right, but something before it is not: UNDO both.",
                words::entry(surplus)
            )
        }
        Some(found) => format!("{} {TAKE_BACK}", found.join(" ")),
        None => format!("Not asked for: {}. {TAKE_BACK}", words::entry(surplus)),
    }
}

/// What differs between two entries of a kind; `None` for two kinds, empty for no difference.
fn differences(said: &Entry, wanted: &Entry) -> Option<Vec<String>> {
    match (said, wanted) {
        (Entry::Animal(said), Entry::Animal(wanted)) => {
            Some(told(said == wanted, format!("Keyed was cow {said}; asked is cow {wanted}.")))
        }
        (Entry::Visit { farm: said }, Entry::Visit { farm: wanted }) => {
            Some(told(said == wanted, format!("Keyed was farm {said}; asked is farm {wanted}.")))
        }
        (Entry::Finding(said), Entry::Finding(wanted)) => Some(finding(said, wanted)),
        (Entry::Action(said), Entry::Action(wanted)) => Some(action(said, wanted)),
        (Entry::Reading(said), Entry::Reading(wanted)) => Some(reading(said, wanted)),
        (Entry::Score { scale: said, value: v }, Entry::Score { scale: wanted, value: asked }) => {
            let mut found =
                told(said == wanted, format!("Keyed was {}; asked is {}.", said.name, wanted.name));
            found.extend(told(v == asked, format!("Keyed was the value {v}; asked is {asked}.")));
            Some(found)
        }
        (Entry::AnimalLeft, Entry::AnimalLeft) => Some(Vec::new()),
        _ => None,
    }
}

fn told(same: bool, difference: String) -> Vec<String> {
    if same { Vec::new() } else { vec![difference] }
}

fn place(said: Place, wanted: Place) -> Vec<String> {
    let again = match (said, wanted) {
        (Place::Claw(a), Place::Claw(b)) if a.foot == b.foot => {
            " The foot key again changes the claw."
        }
        _ => "",
    };
    let (said_words, wanted_words) = (words::place(said), words::place(wanted));
    told(said == wanted, format!("That went to: {said_words}; asked is: {wanted_words}.{again}"))
}

fn finding(said: &Finding, wanted: &Finding) -> Vec<String> {
    let code = |finding: &Finding| format!("{:02} {}", finding.lesion.code(), finding.lesion.name);
    let same = said.lesion == wanted.lesion;
    let mut found = told(same, format!("Keyed was {}; asked is {}.", code(said), code(wanted)));
    found.extend(place(said.place, wanted.place));
    if same {
        let what = if said.lesion.grades == Grades::Stage { "stage" } else { "severity" };
        let word = |grade| said.lesion.grades.word(grade).unwrap_or("?");
        let (was, asked) = (word(said.grade), word(wanted.grade));
        let sentence = format!("Keyed was {what} {was}; asked is {asked}.");
        found.extend(told(said.grade == wanted.grade, sentence));
    }
    let zone = |finding: &Finding| match finding.zone {
        None => "the usual zone".to_owned(),
        Some(zone) => format!("zone {:02}", zone.number()),
    };
    let sentence = format!("Keyed was {}; asked is {}.", zone(said), zone(wanted));
    found.extend(told(said.zone == wanted.zone, sentence));
    found
}

fn action(said: &Done, wanted: &Done) -> Vec<String> {
    let code = |done: &Done| format!("{} {}", done.action.code(), done.action.name);
    let mut found = told(
        said.action == wanted.action,
        format!("Keyed was {}; asked is {}.", code(said), code(wanted)),
    );
    found.extend(place(said.place, wanted.place));
    let sentence = format!("Keyed was {} days; asked is {}.", said.days, wanted.days);
    found.extend(told(said.days == wanted.days || said.action != wanted.action, sentence));
    found
}

fn reading(said: &Reading, wanted: &Reading) -> Vec<String> {
    let (was, asked) = (said.dimension, wanted.dimension);
    let mut found = told(
        was == asked,
        format!(
            "The length went to {}; asked is {} (SIZE {}).",
            was.name,
            asked.name,
            asked.code()
        ),
    );
    if !asked.is_gauge() && !was.is_gauge() {
        found.extend(place(said.place, wanted.place));
    }
    found
}
