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
use hornrule_facts::Habits;
use hornrule_facts::plain as words;

pub(super) fn exercises(lesson: Lesson, habits: &Habits, chance: &mut Chance) -> Vec<Exercise> {
    match lesson {
        Lesson::Cows => cows(chance),
        Lesson::Findings => Lesion::all().map(|lesion| finding(lesion, chance)).collect(),
        Lesson::Zones => Lesion::all().flat_map(|lesion| zones(lesion, chance)).collect(),
        Lesson::Actions => Action::all().map(|action| self::action(action, chance)).collect(),
        Lesson::Lengths => Dimension::all().map(|dimension| length(dimension, chance)).collect(),
        Lesson::Scores => Scale::all().map(|scale| score(scale, chance)).collect(),
        Lesson::Corrections => corrections::exercises(chance),
        Lesson::Feet => feet::exercises(chance),
        Lesson::Bundles => bundles::exercises(habits, chance),
        Lesson::WholeCows => whole_cows(chance),
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

pub(super) fn here(cow: &Entry) -> String {
    format!("{} is in the chute. ", capital(&words::entry(cow)))
}

pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// "right hind, outer claw: sole ulcer, moderate (zone 04, ...)".
pub(super) fn finding_words(finding: &Finding) -> String {
    let grade = finding.lesion.grades.word(finding.grade);
    let grade = grade.map_or_else(String::new, |word| match finding.lesion.grades {
        Grades::Stage => format!(", stage {word}"),
        Grades::None | Grades::Severity => format!(", {word}"),
    });
    let zone = finding.zone.map_or_else(String::new, |zone| {
        format!(", in zone {:02} ({})", zone.number(), zone.region())
    });
    format!("{}: {}{grade}{zone}", words::place(finding.place), finding.lesion.name)
}

fn cows(chance: &mut Chance) -> Vec<Exercise> {
    let lesson = Lesson::Cows;
    let mut all = Vec::new();
    for digits in 1..=9u32 {
        let low = 10u32.pow(digits - 1);
        let one = animal(chance.between(low, low * 10 - 1));
        let say = format!("{} comes into the chute.", capital(&words::entry(&one)));
        all.push(Exercise::new(lesson, say, &[], &[one]));
    }
    let one = cow(chance);
    let say = format!("{}She leaves.", here(&one));
    all.push(Exercise::new(lesson, say, &[one], &[Entry::AnimalLeft]));
    let (one, next) = (cow(chance), cow(chance));
    let say = format!("{}{} comes in.", here(&one), capital(&words::entry(&next)));
    all.push(Exercise::new(lesson, say, &[one], &[next]));
    // A digit from 1 to 9 fits.
    let farm = chance.between(1, 9) as u8;
    let say = format!("You arrive at farm {farm} of the day's plan.");
    all.push(Exercise::new(lesson, say, &[], &[Entry::Visit { farm }]));
    all
}

fn finding(lesion: Lesion, chance: &mut Chance) -> Exercise {
    let cow = cow(chance);
    let grade = grade(lesion.grades, chance);
    let found = Finding { lesion, place: place_of(lesion, claw(chance)), grade, zone: None };
    let say = format!("{}{}.", here(&cow), capital(&finding_words(&found)));
    Exercise::new(Lesson::Findings, say, &[cow], &[Entry::Finding(found)])
}

fn zones(lesion: Lesion, chance: &mut Chance) -> Option<Exercise> {
    let zones = lesion.zones.get(1..)?;
    let zone = chance.one_of(zones).copied().and_then(Zone::new)?;
    let cow = cow(chance);
    let (grade, place) = (grade(lesion.grades, chance), place_of(lesion, claw(chance)));
    let found = Finding { lesion, place, grade, zone: Some(zone) };
    let say = format!("{}{}.", here(&cow), capital(&finding_words(&found)));
    Some(Exercise::new(Lesson::Zones, say, &[cow], &[Entry::Finding(found)]))
}

fn action(action: Action, chance: &mut Chance) -> Exercise {
    let (cow, claw) = (cow(chance), claw(chance));
    let place = match action.about {
        About::Claw => Place::Claw(claw),
        About::Foot => Place::Foot(claw.foot),
        About::Cow | About::Tools => Place::Cow,
    };
    // 1 to 42 days: two digits.
    let days = if action.takes_days { chance.between(1, 42) as u8 } else { 0 };
    let entry = Entry::Action(Done { action, place, days });
    let recheck = if action.kind == ActionKind::Healing { " At the recheck:" } else { "" };
    let say = format!("{}{}.", here(&cow), capital(&action_words(&entry, recheck.trim())));
    Exercise::new(Lesson::Actions, say, &[cow], &[entry])
}

/// "right hind, outer claw: block glued on, the usual way".
fn action_words(entry: &Entry, before: &str) -> String {
    let Entry::Action(done) = entry else { return words::entry(entry) };
    let days =
        if done.action.takes_days { format!(" in {} days", done.days) } else { String::new() };
    let before = if before.is_empty() { String::new() } else { format!("{before} ") };
    let place = words::place(done.place);
    format!("{before}{place}: {}{days}", done.action.name)
}

fn length(dimension: Dimension, chance: &mut Chance) -> Exercise {
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
        let say = "Before the first cow: check the calliper on the gauge block.".to_owned();
        return Exercise::new(Lesson::Lengths, say, &[], &[reading]);
    }
    let cow = cow(chance);
    let say = format!(
        "{}{}: measure {} ({}).",
        here(&cow),
        capital(&words::place(place)),
        dimension.name,
        dimension.landmarks
    );
    Exercise::new(Lesson::Lengths, say, &[cow], &[reading])
}

fn score(scale: Scale, chance: &mut Chance) -> Exercise {
    let (low, high) = scale.range;
    // A digit: the scales end at 9 at most.
    let value = chance.between(u32::from(low), u32::from(high)) as u8;
    let cow = cow(chance);
    let say = format!("{}Her {} score is {value}.", here(&cow), scale.name);
    Exercise::new(Lesson::Scores, say, &[cow], &[Entry::Score { scale, value }])
}

/// Cows as they come: a lesion in the horn with a block under the partner, skin with a wrap, a
/// recheck, and one that is only trimmed.
fn whole_cows(chance: &mut Chance) -> Vec<Exercise> {
    let horn: Vec<Lesion> = [13, 15, 21, 22].into_iter().filter_map(Lesion::from_code).collect();
    let mut all: Vec<Exercise> = horn.iter().filter_map(|one| blocked(*one, chance)).collect();
    all.extend(wrapped(chance));
    all.extend(rechecked(chance));
    all.extend(trimmed(chance));
    all
}

fn whole(story: &str, entries: &[Entry]) -> Exercise {
    Exercise::new(Lesson::WholeCows, story.to_owned(), &[], entries)
}

fn blocked(lesion: Lesion, chance: &mut Chance) -> Option<Exercise> {
    let (cow, at, grade) = (cow(chance), claw(chance), grade(lesion.grades, chance));
    let (sick, partner) = (Place::Claw(at), Place::Claw(Claw { side: at.side.partner(), ..at }));
    let found = Finding { lesion, place: sick, grade, zone: None };
    let say = format!(
        "{} comes in. {}. Loose horn opened and removed, block glued on the partner claw the usual \
         way. See the foot again in 14 days. She leaves.",
        capital(&words::entry(&cow)),
        capital(&finding_words(&found)),
    );
    let rest = [done(31, sick, 0)?, done(10, partner, 0)?, done(82, Place::Foot(at.foot), 14)?];
    let entries: Vec<Entry> =
        [cow, Entry::Finding(found)].into_iter().chain(rest).chain([Entry::AnimalLeft]).collect();
    Some(whole(&say, &entries))
}

fn wrapped(chance: &mut Chance) -> Option<Exercise> {
    let (cow, at) = (cow(chance), claw(chance));
    let foot = Place::Foot(at.foot);
    let found = Finding { lesion: Lesion::from_code(31)?, place: foot, grade: 2, zone: None };
    let say = format!(
        "{} comes in. {}. Cleaned, wrap put on. See the foot again in 7 days. She leaves.",
        capital(&words::entry(&cow)),
        capital(&finding_words(&found)),
    );
    let rest = [done(60, foot, 0)?, done(21, foot, 0)?, done(82, foot, 7)?, Entry::AnimalLeft];
    let entries: Vec<Entry> = [cow, Entry::Finding(found)].into_iter().chain(rest).collect();
    Some(whole(&say, &entries))
}

fn rechecked(chance: &mut Chance) -> Option<Exercise> {
    let (cow, at) = (cow(chance), claw(chance));
    let (sick, partner) = (Place::Claw(at), Place::Claw(Claw { side: at.side.partner(), ..at }));
    let say = format!(
        "{} comes in for her recheck. {}: healed, sound horn over all of it. The block on the \
         partner claw is taken off by us. She leaves.",
        capital(&words::entry(&cow)),
        capital(&words::place(sick)),
    );
    Some(whole(&say, &[cow, done(50, sick, 0)?, done(41, partner, 0)?, Entry::AnimalLeft]))
}

fn trimmed(chance: &mut Chance) -> Option<Exercise> {
    let (cow, foot) = (cow(chance), claw(chance).foot);
    let claw = |side| Place::Claw(Claw { foot, side });
    let locomotion = Entry::Score { scale: Scale::from_code(1)?, value: 1 };
    let say = format!(
        "{} comes in, locomotion score 1. {} foot: outer and inner claw trimmed to form. She leaves.",
        capital(&words::entry(&cow)),
        capital(words::foot(foot)),
    );
    let (outer, inner) = (done(30, claw(Side::Lateral), 0)?, done(30, claw(Side::Medial), 0)?);
    Some(whole(&say, &[cow, locomotion, outer, inner, Entry::AnimalLeft]))
}
