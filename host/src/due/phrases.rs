//! The due list's words, in each language.

use hornrule_protocol::{Foot, Place, Side};

use super::list::{DueLine, DueList};
use super::need::{Because, Kind, Need};
use crate::herd::{Day, Language};

/// Which of two.
const fn of(language: Language, english: &'static str, german: &'static str) -> &'static str {
    match language {
        Language::English => english,
        Language::German => german,
    }
}

/// What is to be done.
#[must_use]
pub const fn what(language: Language, need: &Need) -> &'static str {
    match (need.kind, need.because) {
        (Kind::Recheck, Because::Phlegmon) => of(
            language,
            "see again; vet if not better",
            "wieder ansehen; Tierarzt, wenn nicht besser",
        ),
        (Kind::Recheck, _) => of(language, "see again", "wieder ansehen"),
        (Kind::BlockOff, _) => of(language, "take the block off", "Klotz abnehmen"),
        (Kind::WrapOff, _) => of(language, "take the wrap off", "Verband abnehmen"),
        (Kind::Vet, _) => of(language, "ask what the vet found", "fragen, was der Tierarzt fand"),
        (Kind::Trim, _) => of(language, "trim", "Klauen schneiden"),
    }
}

/// Why, without its days.
#[must_use]
pub const fn reason(language: Language, because: Because) -> &'static str {
    match because {
        Because::Keyed => of(language, "keyed", "getippt"),
        Because::Phlegmon => of(language, "phlegmon", "Zwischenklauenphlegmone"),
        Because::Dermatitis => {
            of(language, "active digital dermatitis", "aktive Dermatitis digitalis")
        }
        Because::TreatedLesion => of(language, "treated lesion", "behandelte Veränderung"),
        Because::NotHealed => of(language, "not healed yet", "noch nicht geheilt"),
        Because::BlockGlued => of(language, "block glued", "Klotz geklebt"),
        Because::Wrapped => of(language, "wrap put on", "Verband angelegt"),
        Because::Trimmed => of(language, "trimmed to form", "in Form geschnitten"),
        Because::VetNow => of(language, "vet now", "Tierarzt sofort"),
        Because::VetToSee => of(language, "vet to see", "Tierarzt soll ansehen"),
        Because::ToeNecrosis => of(language, "toe necrosis", "Klauenspitzennekrose"),
        Because::Swelling => {
            of(language, "severe swelling above the horn", "starke Schwellung über dem Horn")
        }
    }
}

/// Why, with its days: "rule: block glued, 28 days*".
#[must_use]
pub fn why(language: Language, need: &Need) -> String {
    let days = days(language, need.days());
    if !need.because.is_rule() {
        return match language {
            Language::English => format!("keyed: in {days}"),
            Language::German => format!("getippt: in {days}"),
        };
    }
    let reason = reason(language, need.because);
    match language {
        Language::English => format!("rule: {reason}, {days}*"),
        // In the dative after "nach".
        Language::German => format!("Regel: {reason}, nach {days}*"),
    }
}

fn days(language: Language, days: i32) -> String {
    match (language, days) {
        (Language::English, 1) => "1 day".to_owned(),
        (Language::English, _) => format!("{days} days"),
        (Language::German, 1) => "1 Tag".to_owned(),
        (Language::German, _) => format!("{days} Tagen"),
    }
}

/// Which foot or claw; empty for the cow.
#[must_use]
pub fn place(language: Language, place: Place) -> String {
    let foot = |foot| match foot {
        Foot::LeftFore => of(language, "left fore", "vorne links"),
        Foot::RightFore => of(language, "right fore", "vorne rechts"),
        Foot::LeftHind => of(language, "left hind", "hinten links"),
        Foot::RightHind => of(language, "right hind", "hinten rechts"),
    };
    match place {
        Place::Cow => String::new(),
        Place::Foot(one) => foot(one).to_owned(),
        Place::Claw(claw) => {
            let side = match claw.side {
                Side::Lateral => of(language, "outer claw", "Außenklaue"),
                Side::Medial => of(language, "inner claw", "Innenklaue"),
            };
            format!("{}, {side}", foot(claw.foot))
        }
    }
}

/// The heading of a day, or of what is overdue.
#[must_use]
pub fn day_head(language: Language, list: &DueList, day: Option<Day>) -> String {
    match (language, day) {
        (Language::English, None) => format!("Overdue on {}", date(language, list.day)),
        (Language::German, None) => format!("Überfällig am {}", date(language, list.day)),
        (_, Some(day)) => date(language, day),
    }
}

/// Where a line comes from: its rule, and its day where that has gone by.
#[must_use]
pub fn since(language: Language, line: &DueLine) -> String {
    let why = why(language, &line.need);
    if !line.overdue {
        return why;
    }
    let day = date(language, line.need.day);
    match language {
        Language::English => format!("due {day}; {why}"),
        Language::German => format!("fällig {day}; {why}"),
    }
}

/// What stands below the list.
#[must_use]
pub fn foot(language: Language, list: &DueList) -> String {
    let mut text = String::new();
    let until = date(language, list.until);
    if list.lines.is_empty() {
        text += &match language {
            Language::English => format!("Nothing is due until {until}.\n"),
            Language::German => format!("Bis {until} ist nichts fällig.\n"),
        };
    }
    if list.later > 0 {
        text += &match (language, list.later) {
            (Language::English, 1) => format!("1 more is due after {until} (--until).\n"),
            (Language::English, n) => format!("{n} more are due after {until} (--until).\n"),
            (Language::German, 1) => format!("1 weiteres ist nach dem {until} fällig (--until).\n"),
            (Language::German, n) => {
                format!("{n} weitere sind nach dem {until} fällig (--until).\n")
            }
        };
    }
    if list.lines.iter().any(|line| line.need.because.is_rule()) {
        text += starred(language);
        text += "\n";
    }
    text
}

/// What the star behind a rule says.
#[must_use]
pub const fn starred(language: Language) -> &'static str {
    of(
        language,
        "* Common practice, no source. What the trimmer keyed goes before any rule.",
        "* Übliche Praxis, ohne Quelle. Was am Stand getippt wurde, geht vor.",
    )
}

/// "Tue 31 Mar 2026", "Di 31.03.2026".
#[must_use]
pub fn date(language: Language, day: Day) -> String {
    let date = day.date();
    match language {
        Language::English => date.strftime("%a %-d %b %Y").to_string(),
        Language::German => {
            let names = ["Mo", "Di", "Mi", "Do", "Fr", "Sa", "So"];
            let at = usize::from(date.weekday().to_monday_zero_offset().unsigned_abs());
            let name = names.get(at).copied().unwrap_or_default();
            format!("{name} {}", date.strftime("%d.%m.%Y"))
        }
    }
}

/// The calendar's name.
#[must_use]
pub const fn calendar(language: Language) -> &'static str {
    of(language, "Claws: what is due", "Klauen: was fällig ist")
}

/// A calendar entry's title: farm and how many things.
#[must_use]
pub fn entry_head(language: Language, lines: &[DueLine]) -> String {
    let farm = lines.first().map_or("", |line| line.farm.as_str());
    let overdue = lines.first().is_some_and(|line| line.overdue);
    let mut cows: Vec<_> = lines.iter().map(|line| line.need.animal).collect();
    cows.dedup();
    let (n, one) = (cows.len(), cows.len() == 1);
    match (language, overdue) {
        (Language::English, false) => {
            format!("{farm}: {n} {} due", if one { "cow" } else { "cows" })
        }
        (Language::English, true) => {
            format!("{farm}: {n} {} overdue", if one { "cow" } else { "cows" })
        }
        (Language::German, false) => {
            format!("{farm}: {n} {} fällig", if one { "Kuh" } else { "Kühe" })
        }
        (Language::German, true) => {
            format!("{farm}: {n} {} überfällig", if one { "Kuh" } else { "Kühe" })
        }
    }
}
