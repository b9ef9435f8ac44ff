//! Exercises on the claw where work starts. The plan says it for each foot; the first press of a foot
//! key means that claw, and clips walk through the claws in the order of the work.

use hornrule_papers::words::{Say, Words};
use hornrule_protocol::plan::FirstClaws;
use hornrule_protocol::record::{CalliperKind, Finding, Reading, UnitMode};
use hornrule_protocol::{Claw, Dimension, Entry, Foot, Lesion, Nanometres, Place, Side};

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{cow, done};
use super::speech::{ask_found, capital, here};
use hornrule_facts::Habits;

/// Those of the plan; where it says nothing, those of the five-step method: hind feet start with the
/// inner claw, front feet with the outer one (source: `firmware/core/SENTENCES.md`).
pub(super) fn exercises(words: &Words, habits: &Habits, chance: &mut Chance) -> Vec<Exercise> {
    let mut habits = *habits;
    if habits.first_claws == FirstClaws::OUTER {
        let inner = |claws: FirstClaws, foot| claws.with(foot, Side::Medial);
        habits.first_claws =
            [Foot::LeftHind, Foot::RightHind].into_iter().fold(FirstClaws::OUTER, inner);
    }
    let all = [
        at(words, &habits, hind(chance), true, chance),
        at(words, &habits, hind(chance), false, chance),
        at(words, &habits, fore(chance), true, chance),
        partner(words, &habits, hind(chance), chance),
        walls(words, &habits, hind(chance), chance),
        walls(words, &habits, fore(chance), chance),
    ];
    all.into_iter().flatten().map(|exercise| exercise.with(&habits)).collect()
}

fn hind(chance: &mut Chance) -> Foot {
    chance.one_of(&[Foot::LeftHind, Foot::RightHind]).copied().unwrap_or(Foot::RightHind)
}

fn fore(chance: &mut Chance) -> Foot {
    chance.one_of(&[Foot::LeftFore, Foot::RightFore]).copied().unwrap_or(Foot::RightFore)
}

/// "Work starts at hind feet with the inner claw, at front feet with the outer claw."
fn starts(words: &Words, habits: &Habits) -> String {
    let side = |foot| words.side(habits.first_claws.of(foot)).into();
    words.say(Say::AskStarts { hind: side(Foot::LeftHind), front: side(Foot::LeftFore) })
}

fn exercise(words: &Words, habits: &Habits, cow: Entry, say: &str, said: &[Entry]) -> Exercise {
    let say = format!("{} {} {say}", starts(words, habits), here(words, &cow));
    Exercise::new(Lesson::Order, say, &[cow], said)
}

fn claw(habits: &Habits, foot: Foot, first: bool) -> Claw {
    let side = habits.first_claws.of(foot);
    Claw { foot, side: if first { side } else { side.partner() } }
}

/// A lesion on the claw where work starts, or on its partner.
fn at(
    words: &Words,
    habits: &Habits,
    foot: Foot,
    first: bool,
    chance: &mut Chance,
) -> Option<Exercise> {
    let place = Place::Claw(claw(habits, foot, first));
    let found = Finding { lesion: Lesion::from_code(11)?, place, grade: 1, zone: None };
    let say = format!("{}.", ask_found(words, &found));
    Some(exercise(words, habits, cow(chance), &say, &[Entry::Finding(found)]))
}

/// From the sick claw to its partner: the foot key once.
fn partner(words: &Words, habits: &Habits, foot: Foot, chance: &mut Chance) -> Option<Exercise> {
    let (sick, sound) = (claw(habits, foot, false), claw(habits, foot, true));
    let place = Place::Claw(sick);
    let found = Finding { lesion: Lesion::from_code(13)?, place, grade: 2, zone: None };
    let say = format!("{}. {}", ask_found(words, &found), words.say(Say::AskPartnerBlock));
    let said = [Entry::Finding(found), done(10, Place::Claw(sound), 0)?];
    Some(exercise(words, habits, cow(chance), &say, &said))
}

/// Both walls of a foot, in the order of the work.
fn walls(words: &Words, habits: &Habits, foot: Foot, chance: &mut Chance) -> Option<Exercise> {
    let wall = |first, hundredths: u32| {
        // Hundredths of a millimetre, below 10,000.
        let length = Nanometres(i32::try_from(hundredths).unwrap_or(0).saturating_mul(10_000));
        let place = Place::Claw(claw(habits, foot, first));
        let (unit, kind) = (UnitMode::Millimetre, CalliperKind::Sync24);
        Entry::Reading(Reading { length, dimension: Dimension::DORSAL_WALL, place, unit, kind })
    };
    let said = [wall(true, chance.between(7500, 8500)), wall(false, chance.between(7500, 8500))];
    let say = words.say(Say::AskWalls { foot: capital(&words.foot(foot)).into() });
    Some(exercise(words, habits, cow(chance), &say, &said))
}
