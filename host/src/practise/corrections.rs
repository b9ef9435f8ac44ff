//! Exercises that begin with a slip: what must stand at the end leaves it out.

use hornrule_protocol::{Claw, Entry, Lesion, Place};

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{animal, claw, cow, done, found};
use hornrule_facts::plain as words;
use hornrule_line::keying::{Spelling, Stroke, read_strokes};

pub(super) fn exercises(chance: &mut Chance) -> Vec<Exercise> {
    let mut all = vec![wrong_cow(chance)];
    all.extend(wrong_grade(chance));
    all.extend(wrong_claw(chance));
    all.extend(wrong_word(chance));
    all
}

/// `before` and `wrong` were said; `wrong` is to become `right`.
fn slip(say: String, before: &[Entry], wrong: Entry, right: Entry) -> Exercise {
    let mut spelling = Spelling::default();
    let mut given: Vec<Stroke> = before.iter().flat_map(|e| spelling.spell(e)).collect();
    given.extend(spelling.spell(&wrong));
    let mut answer = undo();
    answer.extend(spelling.spell(&right));
    let wants = before.iter().copied().chain([right]).collect();
    Exercise { lesson: Lesson::Corrections, say, given, wants, answer, plan: Vec::new() }
}

/// UNDO is a key: a test says every answer to the core.
fn undo() -> Vec<Stroke> {
    read_strokes("UNDO").unwrap_or_default()
}

fn wrong_cow(chance: &mut Chance) -> Exercise {
    // Two ranges, so that they are never the same.
    let (wrong, right) = (cow(chance), animal(chance.between(900, 999)));
    let (was, is) = (words::entry(&wrong), words::entry(&right));
    slip(
        format!("You keyed {was}, but it is {is}. Take it back, and say it right."),
        &[],
        wrong,
        right,
    )
}

fn wrong_grade(chance: &mut Chance) -> Option<Exercise> {
    let (lesion, place) = (Lesion::from_code(13)?, Place::Claw(claw(chance)));
    let say = format!(
        "You said severe, but the {} is moderate. Take it back, and say it right.",
        lesion.name
    );
    let (severe, moderate) = (found(lesion, place, 3, None), found(lesion, place, 2, None));
    Some(slip(say, &[cow(chance)], severe, moderate))
}

fn wrong_claw(chance: &mut Chance) -> Option<Exercise> {
    let at = claw(chance);
    let place = Place::Claw(at);
    let partner = Place::Claw(Claw { side: at.side.partner(), ..at });
    let sick = found(Lesion::from_code(13)?, place, 2, None);
    let say = format!(
        "You said the block is on the {}, the sick one; it is on the partner claw. Put it right.",
        words::side(at.side)
    );
    Some(slip(say, &[cow(chance), sick], done(10, place, 0)?, done(10, partner, 0)?))
}

/// Half a sentence too many.
fn wrong_word(chance: &mut Chance) -> Option<Exercise> {
    let (cow, place) = (cow(chance), Place::Claw(claw(chance)));
    let sound = found(Lesion::from_code(0)?, place, 0, None);
    let mut spelling = Spelling::default();
    let mut given = spelling.spell(&cow);
    let mut rest = spelling.spell(&sound);
    // The foot is chosen before, so that only FIND 0 0 is left to say.
    given.extend(rest.drain(..rest.len().saturating_sub(3)));
    given.extend(read_strokes("FIND 1").ok()?);
    let mut answer = undo();
    answer.extend(rest);
    let say = format!(
        "{}, {}. You keyed FIND 1, but the claw is sound. Drop what is half said, and say: looked \
         at, sound.",
        words::entry(&cow),
        words::place(place)
    );
    let wants = vec![cow, sound];
    let plan = Vec::new();
    Some(Exercise { lesson: Lesson::Corrections, say, given, wants, answer, plan })
}
