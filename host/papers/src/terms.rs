//! What a visit, a cow's history and a letter say alike, in the language of the page.

use hornrule_protocol::codes::{Says, Seat};
use hornrule_protocol::record::Done;
use hornrule_protocol::{Lesion, Place, Scale};

use super::page::{Block, Caution, Notice, Page, Weight};
use crate::words::{Say, Words};
use hornrule_casebook::{Case, End, State};
use hornrule_facts::codes::SEE_AGAIN;
use hornrule_facts::{Day, Duty};
use hornrule_insight::{estimate::Level, proportion};
use hornrule_questions::due::Because;
use hornrule_questions::visit::due::{Due, Urgency, Vet};
use hornrule_questions::visit::{Found, LesionLine};

/// What every page says beside its numbers, the most urgent first. The signs follow published
/// advice on deep infection and early decision; knives and blades were shown to carry the germs of
/// digital dermatitis.
pub(super) fn cautions(words: &Words) -> Block {
    cautions_of(&CAUTIONS, words)
}

/// The same, where the page has said already when to call the vet.
pub(super) fn cautions_but_the_vet(words: &Words) -> Block {
    cautions_of(&CAUTIONS[1..], words)
}

const CAUTIONS: [(Say<'_>, Say<'_>); 5] = [
    (Say::HeadCautionVet, Say::CautionVet),
    (Say::HeadCautionMedicines, Say::CautionMedicines),
    (Say::HeadCautionHygiene, Say::CautionHygiene),
    (Say::HeadCautionTools, Say::CautionTools),
    (Say::HeadCautionNumbers, Say::CautionNumbers),
];

fn cautions_of(all: &[(Say<'static>, Say<'static>)], words: &Words) -> Block {
    let text = |say: &Say<'static>| words.say(say.clone());
    let caution = |(heading, said): &(Say<'static>, Say<'static>)| Caution {
        heading: text(heading),
        text: text(said),
    };
    Block::Cautions(all.iter().map(caution).collect())
}

/// "sole ulcer (SU)".
pub(super) fn lesion(words: &Words, lesion: Lesion) -> String {
    match lesion.says {
        // Letters of signs are for data: no standard has them, and nobody would look them up.
        Says::Sound | Says::Sign => words.lesion(lesion),
        Says::Lesion => format!("{} ({})", words.lesion(lesion), lesion.letters),
    }
}

/// "see again in 14 days", or the action's name.
pub(super) fn done(words: &Words, done: &Done) -> String {
    if done.action.code() == SEE_AGAIN {
        let days = words.say(Say::DaysN { n: done.days.into() });
        format!("{} {}", words.action(done.action), words.say(Say::InDays { days: days.into() }))
    } else {
        words.action(done.action)
    }
}

/// "locomotion 3 (lame)".
pub(super) fn score(words: &Words, (scale, value): (Scale, u8)) -> String {
    let name = words.scale(scale);
    if scale.lame_from.is_some_and(|from| value >= from) {
        words.say(Say::LameScore { scale: name.into(), value: value.into() })
    } else {
        words.say(Say::PlainScore { scale: name.into(), value: value.into() })
    }
}

/// The zone, in brackets where it was not keyed but is the usual one.
pub(super) fn zone(found: &Found) -> String {
    match (found.zone, found.zone_keyed) {
        (None, _) => String::new(),
        (Some(zone), true) => zone.to_string(),
        (Some(zone), false) => format!("({zone})"),
    }
}

/// "3 claws", "2 feet".
pub(super) fn places(words: &Words, line: &LesionLine) -> String {
    match line.lesion.seat {
        Seat::Claw => words.say(Say::ClawsN { n: line.places.into() }),
        Seat::Foot => words.say(Say::FeetN { n: line.places.into() }),
    }
}

/// "12 of 40, 30 % (18 % to 45 %)"; empty if no cow was examined.
pub(super) fn share(words: &Words, cases: usize, of: usize) -> String {
    let Ok(count) = proportion::Count::new(cases as u64, of as u64) else { return String::new() };
    let estimate = proportion::wilson(count, Level::P95);
    let share = words.say(Say::ShareWithRange {
        share: words.percent(estimate.value).into(),
        low: words.percent(estimate.low).into(),
        high: words.percent(estimate.high).into(),
    });
    format!("{}, {share}", counts(words, cases, of))
}

/// "12 of 40".
pub(super) fn counts(words: &Words, cases: usize, of: usize) -> String {
    words.say(Say::XOfY { x: cases.into(), y: of.into() })
}

/// The same of a share.
pub(super) fn counts_of(words: &Words, share: hornrule_questions::farm::Share) -> String {
    words.say(Say::XOfY { x: share.cases.into(), y: share.of.into() })
}

/// Who or what says so.
pub(super) fn reason(because: Because) -> Say<'static> {
    match because {
        Because::Keyed => Say::BecauseKeyedByTrimmer,
        Because::Phlegmon => Say::WhyPhlegmon,
        Because::Dermatitis => Say::WhyDermatitis,
        Because::Found => Say::WhyFound,
        Because::TreatedLesion => Say::WhyTreatedLesion,
        Because::NotHealed => Say::WhyNotHealed,
        Because::BlockGlued => Say::WhyBlockGlued,
        Because::Wrapped => Say::WhyWrapped,
        Because::Trimmed => Say::WhyTrimmed,
        Because::VetNow => Say::WhyVetNow,
        Because::VetToSee => Say::WhyVetToSee,
        Because::ToeNecrosis => Say::WhyToeNecrosis,
        Because::Swelling => Say::WhySwelling,
        Because::OneSided => Say::WhyOneSided,
        Because::BoneOrJoint => Say::WhyBoneOrJoint,
        Because::Gait => Say::WhyGait,
        Because::PhlegmonVet => Say::WhyPhlegmon,
        Because::Worse => Say::WhyWorse,
        Because::Unanswered => Say::WhyUnanswered,
        Because::Office => Say::WhyOffice,
    }
}

/// What is to be done.
pub(super) fn what(words: &Words, due: &Due) -> String {
    words.say(match (due.duty, due.because) {
        (Duty::Recheck, Because::Phlegmon) => Say::WhatSeeAgainVet,
        (Duty::Recheck, _) => Say::WhatSeeAgain,
        (Duty::BlockOff, _) => Say::WhatBlockOff,
        (Duty::WrapOff, _) => Say::WhatWrapOff,
        (Duty::Vet, _) => Say::WhatAskVet,
        (Duty::Trim, _) => Say::WhatTrim,
        (Duty::Office, _) => Say::WhatOffice,
    })
}

/// The lesions it is about, each once: "sole ulcer, digital dermatitis"; empty where it is about none.
pub(super) fn lesions(words: &Words, due: &Due) -> String {
    let mut all: Vec<String> = Vec::new();
    for case in &due.cases {
        let name = words.lesion(case.lesion);
        if !all.contains(&name) {
            all.push(name);
        }
    }
    all.join(", ")
}

/// What is to be done, with the lesions that it is about: "recheck: sole ulcer". A block or wrap comes
/// off whatever it was for.
pub(super) fn what_with_lesions(words: &Words, due: &Due) -> String {
    let about = matches!(due.duty, Duty::Recheck | Duty::Vet);
    let lesions = if about { lesions(words, due) } else { String::new() };
    if lesions.is_empty() { what(words, due) } else { format!("{}: {lesions}", what(words, due)) }
}

/// How a case stands at the end of a day.
pub(super) fn case_now(words: &Words, case: &Case, day: Day) -> String {
    match case.ended {
        Some(ended) => {
            let date = words.date(ended.day).into();
            words.say(match ended.how {
                End::Healed => Say::CaseHealed { date },
                End::Sound => Say::CaseSound { date },
                End::OutOfSight => Say::CaseReplaced { date },
                End::Amputated => Say::CaseAmputated { date },
            })
        }
        None if case.state_on(day) == Some(State::OutOfSight) => {
            words.say(Say::CaseOutOfSight { days: (day.0 - case.last_word().0).into() })
        }
        None => words.say(Say::CaseOpen),
    }
}

/// The rule that fired, with a star where it is one of thumb.
pub(super) fn why(words: &Words, due: &Due) -> String {
    let days = words.say(Say::DaysN { n: due.days.into() });
    if due.because.is_rule() {
        let why = words.say(reason(due.because));
        words.say(Say::BecauseRule { why: why.into(), days: days.into() })
    } else {
        words.say(Say::BecauseKeyed { days: days.into() })
    }
}

/// How late a duty is on a day, and what harm that does; `None` where it is not late.
pub(super) fn late(words: &Words, due: &Due, on: Day) -> Option<String> {
    let days = |n: u32| words.say(Say::DaysN { n: n.into() }).into();
    let overdue = due.overdue(on);
    let late = (overdue > 0).then(|| words.say(Say::OverdueBy { days: days(overdue) }))?;
    let harm = due.harm(on).map(|n| match due.duty {
        Duty::WrapOff => words.say(Say::HarmWrap { days: days(n) }),
        _ => words.say(Say::HarmBlock { days: days(n) }),
    });
    Some(harm.map_or(late.clone(), |harm| format!("{late}; {harm}")))
}

/// The rule that fired, and how late that is on a day.
pub(super) fn why_and_late(words: &Words, due: &Due, on: Day) -> String {
    let why = why(words, due);
    late(words, due, on).map_or(why.clone(), |late| format!("{why}; {late}"))
}

/// "LH outer: sole ulcer (SU), severe", as it was last found.
pub(super) fn case(words: &Words, case: &Case) -> String {
    let found = lesion(words, case.lesion);
    let grade = words.grade(case.lesion, case.last_grade);
    let found = grade.map_or(found.clone(), |grade| format!("{found}, {grade}"));
    words.say(Say::DueAt { place: words.place(case.place).into(), what: found.into() })
}

/// Why the vet.
pub(super) fn vet_why(words: &Words, vet: &Vet) -> String {
    match vet.because {
        Because::VetNow | Because::VetToSee => words.say(Say::BecauseKeyedByTrimmer),
        because => {
            let why = words.say(reason(because));
            words.say(Say::BecauseVetRule { why: why.into() })
        }
    }
}

/// The cows for the vet, those for now in a notice before those to be seen.
pub(super) fn vet_notices(vet: &[Vet], words: &Words, page: &mut Page) {
    for (urgency, weight, heading) in [
        (Urgency::Now, Weight::Now, Say::VisitVetNow),
        (Urgency::ToSee, Weight::Soon, Say::VisitVetToSee),
    ] {
        let hers = vet.iter().filter(|vet| vet.urgency == urgency);
        let lines: Vec<String> = hers.map(|vet| vet_line(words, vet)).collect();
        if !lines.is_empty() {
            page.add(Block::Notice(Notice { weight, heading: words.say(heading), lines }));
        }
    }
}

/// "Cow 313 Frieda, RH outer: toe necrosis".
fn vet_line(words: &Words, vet: &Vet) -> String {
    let (cow, why) = (vet.name.to_string().into(), vet_why(words, vet).into());
    match vet.place {
        Place::Cow => words.say(Say::VisitLineOfCowOnly { cow, why }),
        place => {
            let place = words.place(place).into();
            words.say(Say::VisitLineOfCow { cow, place, why })
        }
    }
}
