//! What went wrong with an entry that is in flash and was not asked for, in plain words.

use hornrule_papers::words::{Blank, Say, Words};
use hornrule_protocol::codes::Grades;
use hornrule_protocol::record::{Done, Finding, Reading};
use hornrule_protocol::{Entry, Place};

use super::speech;

/// Words for an entry too many, beside what is still missing.
pub(super) fn words(words: &Words, surplus: &Entry, missing: &[Entry]) -> String {
    let differences = |wanted| differences(words, surplus, wanted);
    let nearest = missing.iter().filter_map(differences).min_by_key(Vec::len);
    let said = || speech::entry(words, surplus).into();
    // How to go on from any slip.
    let take_back = words.say(Say::WrongTakeBack);
    match nearest {
        Some(found) if found.is_empty() => words.say(Say::WrongUndoBoth { said: said() }),
        Some(found) => format!("{} {take_back}", found.join(" ")),
        None => format!("{} {take_back}", words.say(Say::WrongNotAsked { said: said() })),
    }
}

/// What differs between two entries of a kind; `None` for two kinds, empty for no difference.
fn differences(words: &Words, said: &Entry, wanted: &Entry) -> Option<Vec<String>> {
    let told = |same: bool, say: Say<'_>| told(words, same, say);
    match (said, wanted) {
        (Entry::Animal(said), Entry::Animal(wanted)) => {
            let (was, asked) = (said.to_string().into(), wanted.to_string().into());
            Some(told(said == wanted, Say::WrongCow { was, asked }))
        }
        (Entry::Visit { farm: said }, Entry::Visit { farm: wanted }) => {
            let (was, asked) = ((*said).into(), (*wanted).into());
            Some(told(said == wanted, Say::WrongFarm { was, asked }))
        }
        (Entry::Finding(said), Entry::Finding(wanted)) => Some(finding(words, said, wanted)),
        (Entry::Action(said), Entry::Action(wanted)) => Some(action(words, said, wanted)),
        (Entry::Reading(said), Entry::Reading(wanted)) => Some(reading(words, said, wanted)),
        (Entry::Score { scale: said, value: v }, Entry::Score { scale: wanted, value }) => {
            let (was, asked) = (words.scale(*said).into(), words.scale(*wanted).into());
            let mut found = told(said == wanted, Say::WrongWhat { was, asked });
            let (was, asked) = ((*v).into(), (*value).into());
            found.extend(told(v == value, Say::WrongValue { was, asked }));
            Some(found)
        }
        (Entry::AnimalLeft, Entry::AnimalLeft) => Some(Vec::new()),
        _ => None,
    }
}

fn told(words: &Words, same: bool, difference: Say<'_>) -> Vec<String> {
    if same { Vec::new() } else { vec![words.say(difference)] }
}

fn place(words: &Words, said: Place, wanted: Place) -> Vec<String> {
    let (was, asked) = (speech::place(words, said).into(), speech::place(words, wanted).into());
    let mut found = told(words, said == wanted, Say::WrongPlace { was, asked });
    if let (Place::Claw(a), Place::Claw(b)) = (said, wanted) {
        found.extend(told(words, a.foot != b.foot || a == b, Say::WrongClaw));
    }
    // One difference: the place.
    if found.is_empty() { found } else { vec![found.join(" ")] }
}

fn finding(words: &Words, said: &Finding, wanted: &Finding) -> Vec<String> {
    let code = |finding: &Finding| -> Blank<'static> {
        format!("{:02} {}", finding.lesion.code(), words.lesion(finding.lesion)).into()
    };
    let same = said.lesion == wanted.lesion;
    let what = Say::WrongWhat { was: code(said), asked: code(wanted) };
    let mut found = told(words, same, what);
    found.extend(place(words, said.place, wanted.place));
    if same {
        let word = |grade| words.grade(said.lesion, grade).unwrap_or_else(|| "?".to_owned());
        let (was, asked) = (word(said.grade).into(), word(wanted.grade).into());
        let say = match said.lesion.grades {
            Grades::Stage => Say::WrongStage { was, asked },
            Grades::None | Grades::Severity => Say::WrongSeverity { was, asked },
        };
        found.extend(told(words, said.grade == wanted.grade, say));
    }
    let zone = |finding: &Finding| -> Blank<'static> {
        let said = finding.zone.map(|zone| format!("{:02}", zone.number()));
        words
            .say(said.map_or(Say::WrongUsualZone, |zone| Say::WrongZone { zone: zone.into() }))
            .into()
    };
    let what = Say::WrongWhat { was: zone(said), asked: zone(wanted) };
    found.extend(told(words, said.zone == wanted.zone, what));
    found
}

fn action(words: &Words, said: &Done, wanted: &Done) -> Vec<String> {
    let code = |done: &Done| -> Blank<'static> {
        format!("{} {}", done.action.code(), words.action(done.action)).into()
    };
    let what = Say::WrongWhat { was: code(said), asked: code(wanted) };
    let mut found = told(words, said.action == wanted.action, what);
    found.extend(place(words, said.place, wanted.place));
    let same = said.days == wanted.days || said.action != wanted.action;
    let days = Say::WrongDays { was: said.days.into(), asked: wanted.days.into() };
    found.extend(told(words, same, days));
    found
}

fn reading(words: &Words, said: &Reading, wanted: &Reading) -> Vec<String> {
    let (was, asked) = (said.dimension, wanted.dimension);
    let say = Say::WrongDimension {
        was: words.dimension(was).into(),
        asked: words.dimension(asked).into(),
        code: asked.code().into(),
    };
    let mut found = told(words, was == asked, say);
    if !asked.is_gauge() && !was.is_gauge() {
        found.extend(place(words, said.place, wanted.place));
    }
    found
}
