//! An exercise for each bundle of the plan.

use hornrule_papers::words::{Say, Words};
use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::record::Finding;
use hornrule_protocol::{Bundle, Claw, Entry, Lesion, Place};

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons::{claw, cow};
use super::speech::{ask_found, here};
use hornrule_facts::Habits;

/// Those of the plan; of an example where the plan has none.
pub(super) fn exercises(words: &Words, habits: &Habits, chance: &mut Chance) -> Vec<Exercise> {
    let habits = with_bundles(habits);
    let all: Vec<Bundle> = habits.bundles().copied().collect();
    all.iter().filter_map(|bundle| one(words, bundle, &habits, chance)).collect()
}

/// The same habits, with bundles of an example where they have none.
pub(super) fn with_bundles(habits: &Habits) -> Habits {
    let mut habits = *habits;
    if habits.bundles().next().is_none() {
        Habits::EXAMPLE.into_iter().for_each(|(key, parts)| {
            // Each is a bundle: a test says so.
            let _set = habits.set(key, parts);
        });
    }
    habits
}

/// What a bundle says with this claw in hand; `None` if a part has no place there.
pub(super) fn parts(bundle: &Bundle, claw: Claw) -> Option<Vec<Entry>> {
    bundle.parts().map(|part| part.done(Some(claw)).map(Entry::Action)).collect()
}

/// "31 this", "82 foot, 14 days".
fn listed(words: &Words, part: &BundlePart) -> String {
    let code = part.action().code().into();
    let said = match part.at() {
        At::ThisClaw => words.say(Say::AskPartThis { code }),
        At::Partner => words.say(Say::AskPartPartner { code }),
        At::Foot => words.say(Say::AskPartFoot { code }),
        At::Cow => words.say(Say::AskPartCow { code }),
    };
    match part.days() {
        0 => said,
        days => words.say(Say::AskPartDays { part: said.into(), days: days.into() }),
    }
}

fn one(words: &Words, bundle: &Bundle, habits: &Habits, chance: &mut Chance) -> Option<Exercise> {
    let (cow, claw): (Entry, Claw) = (cow(chance), claw(chance));
    let found =
        Finding { lesion: Lesion::from_code(13)?, place: Place::Claw(claw), grade: 2, zone: None };
    let parts = parts(bundle, claw)?;
    // By number: in words, seven parts do not fit the screen.
    let listed: Vec<String> = bundle.parts().map(|part| listed(words, &part)).collect();
    let count = u8::try_from(parts.len()).ok()?;
    let begun = Entry::Bundle { bundle: bundle.number(), parts: count };
    let then = words
        .say(Say::AskBundle { bundle: bundle.number().into(), parts: listed.join(", ").into() });
    let say = format!("{} {}. {then}", here(words, &cow), ask_found(words, &found));
    let said: Vec<Entry> = [Entry::Finding(found), begun].into_iter().chain(parts).collect();
    Some(Exercise::new(Lesson::Bundles, say, &[cow], &said).with(habits))
}
