//! Exercises in which many claws are said at once.

use hornrule_papers::words::{Say, Words};
use hornrule_protocol::record::Finding;
use hornrule_protocol::{Entry, Lesion, Place};

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{claw, cow, done};
use super::speech::{ask_found, here};
use hornrule_facts::codes::{NOT_TRIMMED, TRIMMED};

pub(super) fn exercises(words: &Words, chance: &mut Chance) -> Vec<Exercise> {
    let all = [
        all_feet(words, chance),
        one_foot(words, chance),
        hind_feet(words, chance),
        none(words, chance),
        beside_a_lesion(words, chance),
    ];
    all.into_iter().flatten().collect()
}

fn exercise(words: &Words, cow: Entry, say: &str, said: &[Entry]) -> Exercise {
    Exercise::new(Lesson::Feet, format!("{} {say}", here(words, &cow)), &[cow], said)
}

fn all_feet(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let say = words.say(Say::AskAllFeet);
    Some(exercise(words, cow(chance), &say, &[done(TRIMMED, Place::Cow, 0)?]))
}

fn one_foot(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let foot = claw(chance).foot;
    let say = words.say(Say::AskOneFoot { foot: words.foot(foot).into() });
    Some(exercise(words, cow(chance), &say, &[done(TRIMMED, Place::Foot(foot), 0)?]))
}

fn hind_feet(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    use hornrule_protocol::Foot::{LeftHind, RightHind};
    let feet =
        [done(TRIMMED, Place::Foot(LeftHind), 0)?, done(TRIMMED, Place::Foot(RightHind), 0)?];
    Some(exercise(words, cow(chance), &words.say(Say::AskHindFeet), &feet))
}

fn none(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let say = words.say(Say::AskNotTrimmed);
    Some(exercise(words, cow(chance), &say, &[done(NOT_TRIMMED, Place::Cow, 0)?]))
}

fn beside_a_lesion(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let (cow, place) = (cow(chance), Place::Claw(claw(chance)));
    let found = Finding { lesion: Lesion::from_code(12)?, place, grade: 1, zone: None };
    let say = format!("{}. {}", ask_found(words, &found), words.say(Say::AskAllFeetBut));
    Some(exercise(words, cow, &say, &[Entry::Finding(found), done(TRIMMED, Place::Cow, 0)?]))
}
