//! What is in flash and what is asked, in the words of a language.

use hornrule_protocol::codes::{About, Grades};
use hornrule_protocol::record::{Done, Finding, UnitMode};
use hornrule_protocol::{AnimalNumber, Entry, Place, Side};

use hornrule_facts::plain;
use hornrule_papers::words::{Say, Words};

/// "sole ulcer, moderate, right hind, outer claw": an entry as it stands in flash.
#[must_use]
pub fn entry(words: &Words, entry: &Entry) -> String {
    match entry {
        Entry::Visit { farm } => words.say(Say::SaidVisit { farm: (*farm).into() }),
        Entry::Animal(AnimalNumber::Herd(number)) => {
            words.say(Say::SaidCow { number: number.get().to_string().into() })
        }
        Entry::Animal(AnimalNumber::Tag(tag)) => {
            words.say(Say::SaidTag { tag: format!("{:015}", tag.decimal()).into() })
        }
        Entry::AnimalLeft => words.say(Say::SaidLeft),
        Entry::Reading(reading) => {
            let what = words.dimension(reading.dimension).into();
            let length = words.decimal(reading.length.as_mm(), 2).into();
            let place = place(words, reading.place).into();
            match reading.unit {
                UnitMode::Millimetre => words.say(Say::SaidReading { what, length, place }),
                UnitMode::Inch => words.say(Say::SaidReadingInches { what, length, place }),
            }
        }
        Entry::Finding(finding) => found(words, finding),
        Entry::Action(done) => {
            let (action, place) = (words.action(done.action).into(), acted(words, done).into());
            if done.action.takes_days {
                words.say(Say::SaidDoneDays { action, place, days: done.days.into() })
            } else {
                words.say(Say::SaidDone { action, place })
            }
        }
        Entry::Score { scale, value } => {
            let scale = words.scale(*scale).into();
            words.say(Say::SaidScore { scale, value: (*value).into() })
        }
        Entry::Bundle { bundle, parts } => {
            words.say(Say::SaidBundle { bundle: (*bundle).into(), n: (*parts).into() })
        }
        // What no trainee says: the handheld's own.
        other => plain::entry(other),
    }
}

/// "right hind, outer claw"; "right hind foot"; "the cow".
pub(super) fn place(words: &Words, place: Place) -> String {
    let Some(foot) = place.foot() else { return words.say(Say::SaidCowHerself) };
    let foot = words.foot(foot).into();
    match place.side() {
        None => words.say(Say::SaidFoot { foot }),
        Some(Side::Lateral) => words.say(Say::SaidClawOuter { foot }),
        Some(Side::Medial) => words.say(Say::SaidClawInner { foot }),
    }
}

/// The place of an action, and of one that is said wider, what it is said of.
fn acted(words: &Words, done: &Done) -> String {
    match done.place {
        Place::Cow if done.action.spreads() => words.say(Say::SaidAllFeet),
        Place::Foot(foot) if done.action.spreads() && done.action.about == About::Claw => {
            words.say(Say::SaidBothClaws { foot: words.foot(foot).into() })
        }
        other => place(words, other),
    }
}

fn found(words: &Words, finding: &Finding) -> String {
    let lesion = words.lesion(finding.lesion).into();
    let place = place(words, finding.place).into();
    let said = match words.grade(finding.lesion, finding.grade) {
        Some(grade) => words.say(Say::SaidGraded { lesion, grade: grade.into(), place }),
        None => words.say(Say::SaidFound { lesion, place }),
    };
    match finding.zone {
        None => said,
        Some(zone) => words.say(Say::SaidInZone { found: said.into(), zone: zone.number().into() }),
    }
}

/// "Right hind, outer claw: sole ulcer, moderate, in zone 04 (...)": a lesion to be keyed.
pub(super) fn ask_found(words: &Words, finding: &Finding) -> String {
    let lesion = words.lesion(finding.lesion).into();
    let place = place(words, finding.place).into();
    let asked = match (words.grade(finding.lesion, finding.grade), finding.lesion.grades) {
        (None, _) | (_, Grades::None) => words.say(Say::AskFound { lesion, place }),
        (Some(grade), Grades::Stage) => {
            words.say(Say::AskStaged { lesion, grade: grade.into(), place })
        }
        (Some(grade), Grades::Severity) => {
            words.say(Say::AskGraded { lesion, grade: grade.into(), place })
        }
    };
    capital(&match finding.zone {
        None => asked,
        Some(zone) => words.say(Say::AskInZone {
            found: asked.into(),
            zone: format!("{:02}", zone.number()).into(),
            region: words.zone(zone).into(),
        }),
    })
}

/// "right hind, outer claw: block glued on, the usual way".
pub(super) fn ask_done(words: &Words, done: &Done) -> String {
    let (action, place) = (words.action(done.action).into(), place(words, done.place).into());
    if done.action.takes_days {
        words.say(Say::AskDoneDays { action, place, days: done.days.into() })
    } else {
        words.say(Say::AskDone { action, place })
    }
}

/// "Cow 412 is in the chute."
pub(super) fn here(words: &Words, cow: &Entry) -> String {
    words.say(Say::AskHere { cow: capital(&entry(words, cow)).into() })
}

/// With a large letter at its beginning.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use hornrule_facts::Language;
    use hornrule_protocol::{Action, Foot, Lesion, Zone};

    use super::*;

    /// The office words the same entries: the trainer's English says nothing else.
    #[test]
    fn english_is_the_offices_own() {
        let words = Words::new(Language::English);
        let foot = Foot::RightHind;
        for action in Action::all() {
            for place in [Place::Cow, Place::Foot(foot)] {
                let done = Entry::Action(Done { action, place, days: 14 });
                assert_eq!(entry(&words, &done), plain::entry(&done));
            }
        }
        for lesion in Lesion::all().filter(|one| one.grades != Grades::None) {
            for zone in [None, Zone::new(4)] {
                let found = Finding { lesion, place: Place::Foot(foot), grade: 2, zone };
                let found = Entry::Finding(found);
                assert_eq!(entry(&words, &found), plain::entry(&found));
            }
        }
    }

    /// Nothing of the English tables shows through.
    #[test]
    fn german_is_german() {
        let words = Words::new(Language::German);
        let foot = Foot::RightHind;
        let wall = Lesion::from_code(13).unwrap();
        let found =
            Finding { lesion: wall, place: Place::Foot(foot), grade: 2, zone: Zone::new(4) };
        assert_eq!(
            entry(&words, &Entry::Finding(found)),
            "Sohlengeschwür (Rusterholz), mittel, Fuß hinten rechts, Zone 4"
        );
        assert_eq!(
            ask_found(&words, &found),
            "Fuß hinten rechts: Sohlengeschwür (Rusterholz), mittel, in Zone 04 (Übergang \
             Sohle–Ballen)"
        );
        let trimmed = Action::from_code(30).unwrap();
        let done = Entry::Action(Done { action: trimmed, place: Place::Foot(foot), days: 0 });
        assert_eq!(entry(&words, &done), "geschnitten, beide Klauen hinten rechts");
        let again = Action::from_code(82).unwrap();
        let done = Entry::Action(Done { action: again, place: Place::Cow, days: 14 });
        assert_eq!(entry(&words, &done), "in 14 Tagen zur Kontrolle, die Kuh");
    }
}
