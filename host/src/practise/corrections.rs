//! Exercises that begin with a slip: what must stand at the end leaves it out.

use hornrule_papers::words::{Say, Words};
use hornrule_protocol::{Bundle, Claw, Entry, Lesion, Place, Side};

use super::bundles::{parts, with_bundles};
use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{animal, claw, cow, done, found};
use super::speech::{capital, entry, place};
use hornrule_facts::Habits;
use hornrule_facts::codes::TRIMMED;
use hornrule_line::keying::{Spelling, Stroke, read_strokes};

pub(super) fn exercises(words: &Words, habits: &Habits, chance: &mut Chance) -> Vec<Exercise> {
    let mut all = vec![wrong_cow(words, chance)];
    all.extend(wrong_grade(words, chance));
    all.extend(wrong_claw(words, chance));
    all.extend(wrong_word(words, chance));
    all.extend(wrong_feet(words, chance));
    all.extend(wrong_bundle(words, habits, chance));
    all
}

/// `before` and `wrong` were said; `wrong` is to become `right`.
fn slip(say: String, before: &[Entry], wrong: &[Entry], right: Entry) -> Exercise {
    let mut spelling = Spelling::default();
    let given = before.iter().chain(wrong).flat_map(|e| spelling.spell(e)).collect();
    let mut answer = undo();
    answer.extend(spelling.spell(&right));
    let wants = before.iter().copied().chain([right]).collect();
    exercise(say, given, wants, answer)
}

fn exercise(say: String, given: Vec<Stroke>, wants: Vec<Entry>, answer: Vec<Stroke>) -> Exercise {
    let lesson = Lesson::Corrections;
    Exercise { lesson, say, given, wants, answer, plan: Vec::new(), kind: None }
}

/// UNDO is a key: a test says every answer to the core.
fn undo() -> Vec<Stroke> {
    read_strokes("UNDO").unwrap_or_default()
}

fn wrong_cow(words: &Words, chance: &mut Chance) -> Exercise {
    // Two ranges, so that they are never the same.
    let (wrong, right) = (cow(chance), animal(chance.between(900, 999)));
    let (was, is) = (entry(words, &wrong).into(), entry(words, &right).into());
    slip(words.say(Say::SlipCow { was, is }), &[], &[wrong], right)
}

fn wrong_grade(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let (lesion, place) = (Lesion::from_code(13)?, Place::Claw(claw(chance)));
    let say = words.say(Say::SlipGrade {
        was: words.grade(lesion, 3)?.into(),
        lesion: words.lesion(lesion).into(),
        is: words.grade(lesion, 2)?.into(),
    });
    let (severe, moderate) = (found(lesion, place, 3, None), found(lesion, place, 2, None));
    Some(slip(say, &[cow(chance)], &[severe], moderate))
}

fn wrong_claw(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let at = claw(chance);
    let place = Place::Claw(at);
    let partner = Place::Claw(Claw { side: at.side.partner(), ..at });
    let sick = found(Lesion::from_code(13)?, place, 2, None);
    let say = words.say(match at.side {
        Side::Lateral => Say::SlipClawOuter,
        Side::Medial => Say::SlipClawInner,
    });
    Some(slip(say, &[cow(chance), sick], &[done(10, place, 0)?], done(10, partner, 0)?))
}

/// Half a sentence too many.
fn wrong_word(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let (cow, at) = (cow(chance), Place::Claw(claw(chance)));
    let sound = found(Lesion::from_code(0)?, at, 0, None);
    let mut spelling = Spelling::default();
    let mut given = spelling.spell(&cow);
    let mut rest = spelling.spell(&sound);
    // The foot is chosen before, so that only FIND 0 0 is left to say.
    given.extend(rest.drain(..rest.len().saturating_sub(3)));
    given.extend(read_strokes("FIND 1").ok()?);
    let mut answer = undo();
    answer.extend(rest);
    let cows = capital(&entry(words, &cow)).into();
    let say = words.say(Say::SlipHalf { cow: cows, place: place(words, at).into() });
    Some(exercise(say, given, vec![cow, sound], answer))
}

/// One sentence for all feet, where it was one foot.
fn wrong_feet(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let foot = claw(chance).foot;
    let say = words.say(Say::SlipFeet { foot: words.foot(foot).into() });
    let (all, one) = (done(TRIMMED, Place::Cow, 0)?, done(TRIMMED, Place::Foot(foot), 0)?);
    Some(slip(say, &[cow(chance)], &[all], one))
}

/// A bundle, where it was only its first part: one UNDO takes all of it back.
fn wrong_bundle(words: &Words, habits: &Habits, chance: &mut Chance) -> Option<Exercise> {
    let habits = with_bundles(habits);
    let (cow, claw) = (cow(chance), claw(chance));
    let bundle: Bundle = habits.bundles().find(|bundle| bundle.parts().count() > 1).copied()?;
    let parts = parts(&bundle, claw)?;
    let first = *parts.first()?;
    let count = u8::try_from(parts.len()).ok()?;
    let begun = Entry::Bundle { bundle: bundle.number(), parts: count };
    let sick = found(Lesion::from_code(13)?, Place::Claw(claw), 2, None);
    let said: Vec<Entry> = [begun].into_iter().chain(parts).collect();
    let say = words
        .say(Say::SlipBundle { bundle: bundle.number().into(), done: entry(words, &first).into() });
    Some(slip(say, &[cow, sick], &said, first).with(&habits))
}
