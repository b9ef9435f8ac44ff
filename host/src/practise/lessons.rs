//! The exercises of each lesson, one for each row of the code tables: a new row is a new exercise.

use hornrule_protocol::codes::{About, ActionKind, Grades, Seat};
use hornrule_protocol::record::{CalliperKind, Done, Finding, Reading, UnitMode};
use hornrule_protocol::{
    Action, AnimalNumber, Claw, Dimension, Entry, Foot, HerdNumber, Lesion, Nanometres, Place,
    Scale, Side, Zone,
};

use super::bundles;
use super::chance::Chance;
use super::corrections;
use super::exercise::{Exercise, Lesson};
use super::feet;
use super::order;
use super::speech::{ask_done, ask_found, capital, entry, here, place};
use hornrule_facts::Habits;
use hornrule_papers::words::{Say, Words};

pub(super) fn exercises(
    lesson: Lesson,
    habits: &Habits,
    words: &Words,
    chance: &mut Chance,
) -> Vec<Exercise> {
    match lesson {
        Lesson::Cows => cows(words, chance),
        Lesson::Findings => Lesion::all().map(|lesion| finding(words, lesion, chance)).collect(),
        Lesson::Zones => Lesion::all().flat_map(|lesion| zones(words, lesion, chance)).collect(),
        Lesson::Actions => {
            Action::all().map(|action| self::action(words, action, chance)).collect()
        }
        Lesson::Lengths => {
            Dimension::all().map(|dimension| length(words, dimension, chance)).collect()
        }
        Lesson::Scores => Scale::all().map(|scale| score(words, scale, chance)).collect(),
        Lesson::Corrections => corrections::exercises(words, habits, chance),
        Lesson::Feet => feet::exercises(words, chance),
        Lesson::Bundles => bundles::exercises(words, habits, chance),
        Lesson::Order => order::exercises(words, habits, chance),
        Lesson::WholeCows => whole_cows(words, chance),
        // Dealt by itself.
        Lesson::Day => Vec::new(),
    }
}

pub(super) fn cow(chance: &mut Chance) -> Entry {
    animal(chance.between(2, 899))
}

/// Herd number 1 for zero and for more than nine digits, which no caller asks for.
pub(super) fn animal(number: u32) -> Entry {
    let herd = HerdNumber::new(number).or(HerdNumber::new(1));
    herd.map_or(Entry::AnimalLeft, |herd| Entry::Animal(AnimalNumber::Herd(herd)))
}

pub(super) fn claw(chance: &mut Chance) -> Claw {
    let foot = chance.one_of(&Foot::ALL).copied().unwrap_or(Foot::RightHind);
    let side = if chance.between(0, 2) < 2 { Side::Lateral } else { Side::Medial };
    Claw { foot, side }
}

fn grade(grades: Grades, chance: &mut Chance) -> u8 {
    let on_scale: Vec<u8> = (0..10).filter(|digit| grades.has(*digit)).collect();
    chance.one_of(&on_scale).copied().unwrap_or(0)
}

fn place_of(lesion: Lesion, claw: Claw) -> Place {
    match lesion.seat {
        Seat::Claw => Place::Claw(claw),
        Seat::Foot => Place::Foot(claw.foot),
    }
}

pub(super) fn found(lesion: Lesion, place: Place, grade: u8, zone: Option<Zone>) -> Entry {
    Entry::Finding(Finding { lesion, place, grade, zone })
}

pub(super) fn done(code: u8, place: Place, days: u8) -> Option<Entry> {
    Action::from_code(code).map(|action| Entry::Action(Done { action, place, days }))
}

fn cows(words: &Words, chance: &mut Chance) -> Vec<Exercise> {
    let lesson = Lesson::Cows;
    let mut all = Vec::new();
    for digits in 1..=9u32 {
        let low = 10u32.pow(digits - 1);
        let one = animal(chance.between(low, low * 10 - 1));
        let say = words.say(Say::AskComes { cow: capital(&entry(words, &one)).into() });
        all.push(Exercise::new(lesson, say, &[], &[one]));
    }
    let one = cow(chance);
    let say = format!("{} {}", here(words, &one), words.say(Say::AskLeaves));
    all.push(Exercise::new(lesson, say, &[one], &[Entry::AnimalLeft]));
    let (one, next) = (cow(chance), cow(chance));
    let say = format!("{} {}", here(words, &one), comes_in(words, &next));
    all.push(Exercise::new(lesson, say, &[one], &[next]));
    // A digit from 1 to 9 fits.
    let farm = chance.between(1, 9) as u8;
    let say = words.say(Say::AskFarm { farm: farm.into() });
    all.push(Exercise::new(lesson, say, &[], &[Entry::Visit { farm }]));
    all
}

fn finding(words: &Words, lesion: Lesion, chance: &mut Chance) -> Exercise {
    let cow = cow(chance);
    let grade = grade(lesion.grades, chance);
    let found = Finding { lesion, place: place_of(lesion, claw(chance)), grade, zone: None };
    let say = format!("{} {}.", here(words, &cow), ask_found(words, &found));
    Exercise::new(Lesson::Findings, say, &[cow], &[Entry::Finding(found)])
}

fn zones(words: &Words, lesion: Lesion, chance: &mut Chance) -> Option<Exercise> {
    let zones = lesion.zones.get(1..)?;
    let zone = chance.one_of(zones).copied().and_then(Zone::new)?;
    let cow = cow(chance);
    let (grade, place) = (grade(lesion.grades, chance), place_of(lesion, claw(chance)));
    let found = Finding { lesion, place, grade, zone: Some(zone) };
    let say = format!("{} {}.", here(words, &cow), ask_found(words, &found));
    Some(Exercise::new(Lesson::Zones, say, &[cow], &[Entry::Finding(found)]))
}

fn action(words: &Words, action: Action, chance: &mut Chance) -> Exercise {
    let (cow, claw) = (cow(chance), claw(chance));
    let place = match action.about {
        About::Claw => Place::Claw(claw),
        About::Foot => Place::Foot(claw.foot),
        About::Cow | About::Tools => Place::Cow,
    };
    // 1 to 42 days: two digits.
    let days = if action.takes_days { chance.between(1, 42) as u8 } else { 0 };
    let done = Done { action, place, days };
    let asked = capital(&ask_done(words, &done));
    let asked = match action.kind {
        ActionKind::Healing => words.say(Say::AskRecheck { done: asked.into() }),
        _ => asked,
    };
    let say = format!("{} {asked}.", here(words, &cow));
    Exercise::new(Lesson::Actions, say, &[cow], &[Entry::Action(done)])
}

fn length(words: &Words, dimension: Dimension, chance: &mut Chance) -> Exercise {
    let (low, high) = dimension.usual_mm;
    // Hundredths of a millimetre, as the calliper shows them; at most 15,000.
    let hundredths = chance.between(u32::from(low) * 100 + 50, u32::from(high) * 100 - 50);
    let length = Nanometres(i32::try_from(hundredths).unwrap_or(0).saturating_mul(10_000));
    let claw = claw(chance);
    let gauge = dimension.is_gauge();
    let place = if gauge { Place::Cow } else { Place::Claw(claw) };
    let (unit, kind) = (UnitMode::Millimetre, CalliperKind::Sync24);
    let reading = Entry::Reading(Reading { length, dimension, place, unit, kind });
    if gauge {
        return Exercise::new(Lesson::Lengths, words.say(Say::AskGauge), &[], &[reading]);
    }
    let cow = cow(chance);
    let measure = words.say(Say::AskMeasure {
        place: capital(&self::place(words, place)).into(),
        what: words.dimension(dimension).into(),
        landmarks: words.landmarks(dimension).into(),
    });
    let say = format!("{} {measure}", here(words, &cow));
    Exercise::new(Lesson::Lengths, say, &[cow], &[reading])
}

fn score(words: &Words, scale: Scale, chance: &mut Chance) -> Exercise {
    let (low, high) = scale.range;
    // A digit: the scales end at 9 at most.
    let value = chance.between(u32::from(low), u32::from(high)) as u8;
    let cow = cow(chance);
    let asked = words.say(Say::AskScore { scale: words.scale(scale).into(), value: value.into() });
    let say = format!("{} {asked}", here(words, &cow));
    Exercise::new(Lesson::Scores, say, &[cow], &[Entry::Score { scale, value }])
}

/// Cows as they come: a lesion in the horn with a block under the partner, skin with a wrap, a
/// recheck, and one that is only trimmed.
fn whole_cows(words: &Words, chance: &mut Chance) -> Vec<Exercise> {
    let horn: Vec<Lesion> = [13, 15, 21, 22].into_iter().filter_map(Lesion::from_code).collect();
    let mut all: Vec<Exercise> =
        horn.iter().filter_map(|one| blocked(words, *one, chance)).collect();
    all.extend(wrapped(words, chance));
    all.extend(rechecked(words, chance));
    all.extend(trimmed(words, chance));
    all
}

/// "Cow 412 comes in."
fn comes_in(words: &Words, cow: &Entry) -> String {
    words.say(Say::AskNext { cow: capital(&entry(words, cow)).into() })
}

fn whole(words: &Words, story: &str, entries: &[Entry]) -> Exercise {
    let story = format!("{story} {}", words.say(Say::AskLeaves));
    Exercise::new(Lesson::WholeCows, story, &[], entries)
}

fn blocked(words: &Words, lesion: Lesion, chance: &mut Chance) -> Option<Exercise> {
    let (cow, at, grade) = (cow(chance), claw(chance), grade(lesion.grades, chance));
    let (sick, partner) = (Place::Claw(at), Place::Claw(Claw { side: at.side.partner(), ..at }));
    let found = Finding { lesion, place: sick, grade, zone: None };
    let (comes, asked) = (comes_in(words, &cow), ask_found(words, &found));
    let say = format!("{comes} {asked}. {}", words.say(Say::AskBlocked));
    let rest = [done(31, sick, 0)?, done(10, partner, 0)?, done(82, Place::Foot(at.foot), 14)?];
    let entries: Vec<Entry> =
        [cow, Entry::Finding(found)].into_iter().chain(rest).chain([Entry::AnimalLeft]).collect();
    Some(whole(words, &say, &entries))
}

fn wrapped(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let (cow, at) = (cow(chance), claw(chance));
    let foot = Place::Foot(at.foot);
    let found = Finding { lesion: Lesion::from_code(31)?, place: foot, grade: 2, zone: None };
    let (comes, asked) = (comes_in(words, &cow), ask_found(words, &found));
    let say = format!("{comes} {asked}. {}", words.say(Say::AskWrapped));
    let rest = [done(60, foot, 0)?, done(21, foot, 0)?, done(82, foot, 7)?, Entry::AnimalLeft];
    let entries: Vec<Entry> = [cow, Entry::Finding(found)].into_iter().chain(rest).collect();
    Some(whole(words, &say, &entries))
}

fn rechecked(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let (cow, at) = (cow(chance), claw(chance));
    let (sick, partner) = (Place::Claw(at), Place::Claw(Claw { side: at.side.partner(), ..at }));
    let comes = words.say(Say::AskComesRecheck { cow: capital(&entry(words, &cow)).into() });
    let healed = words.say(Say::AskHealed { place: capital(&place(words, sick)).into() });
    let entries = [cow, done(50, sick, 0)?, done(41, partner, 0)?, Entry::AnimalLeft];
    Some(whole(words, &format!("{comes} {healed}"), &entries))
}

fn trimmed(words: &Words, chance: &mut Chance) -> Option<Exercise> {
    let (cow, foot) = (cow(chance), claw(chance).foot);
    let claw = |side| Place::Claw(Claw { foot, side });
    let locomotion = Entry::Score { scale: Scale::from_code(1)?, value: 1 };
    let cows = capital(&entry(words, &cow)).into();
    let comes = words.say(Say::AskComesScored { cow: cows, value: 1.into() });
    let trimmed = words.say(Say::AskClawsTrimmed { foot: capital(&words.foot(foot)).into() });
    let (outer, inner) = (done(30, claw(Side::Lateral), 0)?, done(30, claw(Side::Medial), 0)?);
    let entries = [cow, locomotion, outer, inner, Entry::AnimalLeft];
    Some(whole(words, &format!("{comes} {trimmed}"), &entries))
}
