//! An exercise for each bundle of the plan.

use hornrule_protocol::record::Finding;
use hornrule_protocol::{Bundle, Claw, Entry, Lesion, Place};

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{capital, claw, cow, finding_words, here};
use hornrule_facts::Habits;

/// Those of the plan; of an example where the plan has none.
pub(super) fn exercises(habits: &Habits, chance: &mut Chance) -> Vec<Exercise> {
    let mut habits = *habits;
    if habits.bundles().next().is_none() {
        Habits::EXAMPLE.into_iter().for_each(|(key, parts)| {
            // Each is a bundle: a test says so.
            let _set = habits.set(key, parts);
        });
    }
    let all: Vec<Bundle> = habits.bundles().copied().collect();
    all.iter().filter_map(|bundle| one(bundle, &habits, chance)).collect()
}

fn one(bundle: &Bundle, habits: &Habits, chance: &mut Chance) -> Option<Exercise> {
    let (cow, claw): (Entry, Claw) = (cow(chance), claw(chance));
    let found =
        Finding { lesion: Lesion::from_code(13)?, place: Place::Claw(claw), grade: 2, zone: None };
    let parts: Option<Vec<Entry>> =
        bundle.parts().map(|part| part.done(Some(claw)).map(Entry::Action)).collect();
    let parts = parts?;
    // By number: in words, seven parts do not fit the screen.
    let listed: Vec<String> = bundle.parts().map(|part| part.to_string()).collect();
    let count = u8::try_from(parts.len()).ok()?;
    let begun = Entry::Bundle { bundle: bundle.number(), parts: count };
    let say = format!(
        "{}{}. Then do what bundle {} does: {}.",
        here(&cow),
        capital(&finding_words(&found)),
        bundle.number(),
        listed.join(", ")
    );
    let said: Vec<Entry> = [Entry::Finding(found), begun].into_iter().chain(parts).collect();
    Some(Exercise::new(Lesson::Bundles, say, &[cow], &said).with(habits))
}
