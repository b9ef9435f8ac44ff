//! Why the handheld refused, in plain words: from what was keyed, and whether there was a cow and a
//! claw. The handheld has one sound for all of these, and a count when asked; the trainer says more.

use hornrule_core::keypad::Key;
use hornrule_protocol::codes::{About, Grades};
use hornrule_protocol::{Action, Lesion, Scale, Zone};

use hornrule_line::keying::legend;
use hornrule_papers::words::{Say, Words};

/// What the handheld was speaking of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Spoken {
    /// A cow is in the chute.
    pub(super) cow: bool,
    /// A foot was chosen.
    pub(super) claw: bool,
}

/// Why these keys, which are one sentence or its beginning, were refused.
pub(super) fn why(words: &Words, keys: &[Key], spoken: Spoken) -> String {
    let digits: Vec<u8> = keys.iter().filter_map(|key| key.digit()).collect();
    let misfit = || Say::RefusedMisfit { key: keys.last().map_or("?", |key| legend(*key)).into() };
    let say = match (keys, digits.as_slice()) {
        ([Key::Size, Key::Size], _) => Say::RefusedNothingToTell,
        ([Key::Undo], _) => Say::RefusedUndo,
        ([_], [_]) => Say::RefusedDigit,
        ([Key::Cow, .., Key::Cow], digits) => number(digits, spoken),
        ([Key::Cow, .., last], digits) if last.digit().is_some() && digits.len() > 15 => {
            Say::RefusedLong
        }
        ([Key::Find, _, _], [tens, ones]) => match Lesion::from_code(tens * 10 + ones) {
            None => Say::RefusedNoLesion,
            Some(_) => homeless(spoken, About::Claw),
        },
        ([Key::Find, _, _, _], [tens, ones, grade]) => {
            found(words, tens * 10 + ones, *grade, spoken)
        }
        ([Key::Find, _, _, Key::Find, _, _], [_, _, tens, ones]) => {
            match Zone::new(tens * 10 + ones) {
                None => Say::RefusedZone,
                Some(_) => misfit(),
            }
        }
        ([Key::Find, _, _, Key::Find, _, _, _], [tens, ones, _, _, grade]) => {
            found(words, tens * 10 + ones, *grade, spoken)
        }
        ([Key::Do, Key::Do | Key::Lf | Key::Rf | Key::Lh | Key::Rh], _) => {
            homeless(spoken, About::Cow)
        }
        ([Key::Do, _, _], [0, _]) if spoken.cow => Say::RefusedNoBundle,
        ([Key::Do, _, _], [0, _]) => Say::RefusedNoCow,
        ([Key::Do, ..], [8, 2, 0, 0]) => Say::RefusedDays,
        ([Key::Do, ..], [tens, ones, ..]) => match Action::from_code(tens * 10 + ones) {
            None => Say::RefusedNoAction,
            Some(_) if keys.last().is_some_and(|key| key.digit().is_none()) => misfit(),
            Some(action) => homeless(spoken, action.about),
        },
        ([Key::Score, _], [_]) => Say::RefusedScale,
        ([Key::Score, _, _], [scale, value]) => match Scale::from_code(*scale) {
            Some(scale) if !scale.has(*value) => Say::RefusedValue {
                scale: words.scale(scale).into(),
                low: scale.range.0.into(),
                high: scale.range.1.into(),
            },
            _ => homeless(spoken, About::Cow),
        },
        _ => misfit(),
    };
    words.say(say)
}

const fn number(digits: &[u8], spoken: Spoken) -> Say<'static> {
    match digits {
        [] if !spoken.cow => Say::RefusedLeaves,
        [0, 0] => Say::RefusedFarm,
        [0, ..] => Say::RefusedZero,
        _ if digits.len() > 9 => Say::RefusedDigits,
        _ => Say::RefusedNobody,
    }
}

fn found(words: &Words, code: u8, grade: u8, spoken: Spoken) -> Say<'static> {
    let Some(lesion) = Lesion::from_code(code) else { return Say::RefusedNoLesion };
    if lesion.grades.has(grade) {
        return homeless(spoken, About::Claw);
    }
    let scale: Vec<String> = (0..10)
        .filter_map(|digit| words.grade(lesion, digit).map(|word| format!("{digit} {word}")))
        .collect();
    let (name, digits) = (words.lesion(lesion).into(), scale.join(", ").into());
    match lesion.grades {
        Grades::Stage => Say::RefusedStage { lesion: name, digits },
        Grades::None | Grades::Severity => Say::RefusedSeverity { lesion: name, digits },
    }
}

const fn homeless(spoken: Spoken, about: About) -> Say<'static> {
    match (spoken.cow, about) {
        (false, _) => Say::RefusedNoCow,
        (true, About::Claw | About::Foot) => Say::RefusedNoClaw,
        (true, About::Cow | About::Tools) => Say::Refused,
    }
}
