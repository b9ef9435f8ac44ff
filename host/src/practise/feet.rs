//! Exercises in which many claws are said at once.

use hornrule_protocol::record::Finding;
use hornrule_protocol::{Entry, Lesion, Place};

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{capital, claw, cow, done, finding_words, here};
use hornrule_facts::codes::{NOT_TRIMMED, TRIMMED};
use hornrule_facts::plain as words;

pub(super) fn exercises(chance: &mut Chance) -> Vec<Exercise> {
    let all = [all_feet(chance), one_foot(chance), hind_feet(chance), none(chance)];
    let mut all: Vec<Exercise> = all.into_iter().flatten().collect();
    all.extend(beside_a_lesion(chance));
    all
}

fn exercise(cow: Entry, say: &str, said: &[Entry]) -> Exercise {
    Exercise::new(Lesson::Feet, format!("{}{say}", here(&cow)), &[cow], said)
}

fn all_feet(chance: &mut Chance) -> Option<Exercise> {
    let say = "All four feet are trimmed to form, and sound.";
    Some(exercise(cow(chance), say, &[done(TRIMMED, Place::Cow, 0)?]))
}

fn one_foot(chance: &mut Chance) -> Option<Exercise> {
    let foot = claw(chance).foot;
    let say = format!("Only the {} foot is trimmed to form, both claws.", words::foot(foot));
    Some(exercise(cow(chance), &say, &[done(TRIMMED, Place::Foot(foot), 0)?]))
}

fn hind_feet(chance: &mut Chance) -> Option<Exercise> {
    use hornrule_protocol::Foot::{LeftHind, RightHind};
    let feet =
        [done(TRIMMED, Place::Foot(LeftHind), 0)?, done(TRIMMED, Place::Foot(RightHind), 0)?];
    Some(exercise(cow(chance), "Both hind feet are trimmed to form.", &feet))
}

fn none(chance: &mut Chance) -> Option<Exercise> {
    let say = "All four feet are looked at, none is trimmed.";
    Some(exercise(cow(chance), say, &[done(NOT_TRIMMED, Place::Cow, 0)?]))
}

fn beside_a_lesion(chance: &mut Chance) -> Option<Exercise> {
    let (cow, place) = (cow(chance), Place::Claw(claw(chance)));
    let found = Finding { lesion: Lesion::from_code(12)?, place, grade: 1, zone: None };
    let say = format!(
        "{}. All four feet are trimmed to form; the other claws are sound.",
        capital(&finding_words(&found))
    );
    Some(exercise(cow, &say, &[Entry::Finding(found), done(TRIMMED, Place::Cow, 0)?]))
}
