//! Why the handheld refused, in plain words: from what was keyed, and whether there was a cow and a
//! claw. The handheld has one sound for all of these, and a count when asked; the trainer says more.

use hornrule_core::keypad::Key;
use hornrule_protocol::codes::{About, Grades};
use hornrule_protocol::{Action, Lesion, Scale, Zone};

use hornrule_line::keying::legend;

/// What the handheld was speaking of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Spoken {
    /// A cow is in the chute.
    pub(super) cow: bool,
    /// A foot was chosen.
    pub(super) claw: bool,
}

const NO_COW: &str = "No cow is in the chute: say COW, her number, COW first.";
const NO_CLAW: &str = "No foot is chosen: press LF, RF, LH or RH first.";
const NO_LESION: &str = "No lesion has this code.";
const NO_ACTION: &str = "No action has this code.";
const NO_BUNDLE: &str = "The plan has no bundle of this number, or no foot is chosen for it.";

/// Why these keys, which are one sentence or its beginning, were refused.
pub(super) fn why(keys: &[Key], spoken: Spoken) -> String {
    let digits: Vec<u8> = keys.iter().filter_map(|key| key.digit()).collect();
    let misfit = || {
        let last = keys.last().map_or("That key", |key| legend(*key));
        format!("{last} does not fit there. What was half said is dropped: say it from its start.")
    };
    match (keys, digits.as_slice()) {
        ([Key::Size, Key::Size], _) => {
            "There is nothing to tell: no cow, or no foot that is due or to be measured.".to_owned()
        }
        ([Key::Undo], _) => "There is nothing of this cow to take back.".to_owned(),
        ([_], [_]) => {
            "A digit begins no sentence: begin with COW, a foot, FIND, DO, SIZE or SCORE."
                .to_owned()
        }
        ([Key::Cow, .., Key::Cow], digits) => number(digits, spoken),
        ([Key::Cow, .., last], digits) if last.digit().is_some() && digits.len() > 15 => {
            "No number has more than 15 digits.".to_owned()
        }
        ([Key::Find, _, _], [tens, ones]) => match Lesion::from_code(tens * 10 + ones) {
            None => NO_LESION.to_owned(),
            Some(_) => homeless(spoken, About::Claw),
        },
        ([Key::Find, _, _, _], [tens, ones, grade]) => found(tens * 10 + ones, *grade, spoken),
        ([Key::Find, _, _, Key::Find, _, _], [_, _, tens, ones]) => {
            match Zone::new(tens * 10 + ones) {
                None => "Zones go from 00 to 12.".to_owned(),
                Some(_) => misfit(),
            }
        }
        ([Key::Find, _, _, Key::Find, _, _, _], [tens, ones, _, _, grade]) => {
            found(tens * 10 + ones, *grade, spoken)
        }
        ([Key::Do, Key::Do | Key::Lf | Key::Rf | Key::Lh | Key::Rh], _) => {
            homeless(spoken, About::Cow)
        }
        ([Key::Do, _, _], [0, _]) if spoken.cow => NO_BUNDLE.to_owned(),
        ([Key::Do, _, _], [0, _]) => NO_COW.to_owned(),
        ([Key::Do, ..], [8, 2, 0, 0]) => "See again in 00 days says nothing.".to_owned(),
        ([Key::Do, ..], [tens, ones, ..]) => match Action::from_code(tens * 10 + ones) {
            None => NO_ACTION.to_owned(),
            Some(_) if keys.last().is_some_and(|key| key.digit().is_none()) => misfit(),
            Some(action) => homeless(spoken, action.about),
        },
        ([Key::Score, _], [_]) => "No scale has this digit.".to_owned(),
        ([Key::Score, _, _], [scale, value]) => match Scale::from_code(*scale) {
            Some(scale) if !scale.has(*value) => {
                format!("{} goes from {} to {}.", scale.name, scale.range.0, scale.range.1)
            }
            _ => homeless(spoken, About::Cow),
        },
        _ => misfit(),
    }
}

fn number(digits: &[u8], spoken: Spoken) -> String {
    match digits {
        [] if !spoken.cow => "No cow is in the chute that could leave.".to_owned(),
        [0, 0] => "Farms have the digits 1 to 9.".to_owned(),
        [0, ..] => "A herd number has no zero before it; 0 and one digit is a farm.".to_owned(),
        _ if digits.len() > 9 => {
            "A herd number has 1 to 9 digits; a tag number has 15, country before it.".to_owned()
        }
        _ => "No cow is called so.".to_owned(),
    }
}

fn found(code: u8, grade: u8, spoken: Spoken) -> String {
    let Some(lesion) = Lesion::from_code(code) else { return NO_LESION.to_owned() };
    if lesion.grades.has(grade) {
        return homeless(spoken, About::Claw);
    }
    let scale: Vec<String> = (0..10)
        .filter_map(|digit| lesion.grades.word(digit).map(|word| format!("{digit} {word}")))
        .collect();
    let what = if lesion.grades == Grades::Stage { "stage" } else { "severity" };
    format!("{}: the last digit is the {what}: {}.", lesion.name, scale.join(", "))
}

fn homeless(spoken: Spoken, about: About) -> String {
    match (spoken.cow, about) {
        (false, _) => NO_COW.to_owned(),
        (true, About::Claw | About::Foot) => NO_CLAW.to_owned(),
        (true, About::Cow | About::Tools) => "The handheld did not take it.".to_owned(),
    }
}
