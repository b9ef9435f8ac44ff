//! What to look at before the farm goes home, on the office page.

use hornrule_protocol::{Nanometres, Place};

use crate::derived::{nanometres, sole_rows};
use crate::page::{Block, Notice, Page, Weight};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_insight::sole_estimate::{HindClaw, SHORT_MM};
use hornrule_questions::notices::{
    BANDAGED, Notice as Seen, Noticed, Sole, Target, UNBANDAGED, sole,
};
use hornrule_questions::visit::VisitReport;

/// Lines of one kind of notice, and what is said below them.
struct Kind {
    weight: Weight,
    heading: Say<'static>,
    lines: Vec<String>,
    note: String,
}

pub(super) fn notices(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadBeforeHome));
    if report.notices.is_empty() {
        page.para(words.say(Say::NoticesNone));
        return;
    }
    for kind in kinds(&report.notices, words) {
        if kind.lines.is_empty() {
            continue;
        }
        let Kind { weight, heading, lines, note } = kind;
        page.add(Block::Notice(Notice { weight, heading: words.say(heading), lines }));
        page.note(note);
    }
}

fn kinds(all: &[Seen], words: &Words) -> [Kind; 4] {
    let lines = |of: fn(&Noticed) -> bool| -> Vec<String> {
        all.iter().filter(|one| of(&one.what)).map(|one| line(one, words)).collect()
    };
    [
        Kind {
            weight: Weight::Soon,
            heading: Say::NoticeBlock,
            lines: lines(|what| matches!(what, Noticed::BlockOnLesion { .. })),
            note: words.say(Say::NoticeBlockNote),
        },
        Kind {
            weight: Weight::Mind,
            heading: Say::NoticeShort,
            lines: lines(|what| matches!(what, Noticed::ShortWall { .. })),
            note: words.say(Say::NoticeShortNote {
                inner: sole_rows(HindClaw::Inner, words).into(),
                outer: sole_rows(HindClaw::Outer, words).into(),
            }),
        },
        Kind {
            weight: Weight::Mind,
            heading: Say::NoticeRegrown,
            lines: lines(|what| matches!(what, Noticed::Regrown { .. })),
            note: words.say(Say::NoticeRegrownNote),
        },
        Kind {
            weight: Weight::Mind,
            heading: Say::NoticeWrap,
            lines: lines(|what| matches!(what, Noticed::WrapOnUlcer { .. })),
            note: words.say(Say::NoticeWrapNote {
                bare: UNBANDAGED.0.into(),
                bare_of: UNBANDAGED.1.into(),
                wrapped: BANDAGED.0.into(),
                wrapped_of: BANDAGED.1.into(),
            }),
        },
    ]
}

/// One notice in a line.
fn line(one: &Seen, words: &Words) -> String {
    let cow = one.name.to_string().into();
    let place = words.place(one.place).into();
    match &one.what {
        Noticed::BlockOnLesion { on, case } => words.say(Say::NoticeBlockLine {
            cow,
            place,
            lesion: terms::lesion(words, case.lesion).into(),
            date: words.date(*on).into(),
        }),
        Noticed::WrapOnUlcer { case } => {
            let lesion = terms::lesion(words, case.lesion).into();
            words.say(Say::NoticeWrapLine { cow, place, lesion })
        }
        Noticed::ShortWall { length, target } => {
            let held = words.length_with_unit(target.length()).into();
            let wall = words.length_with_unit(*length).into();
            let said = words.say(match target {
                Target::Farm(_) => Say::NoticeShortFarm { cow, place, length: wall, target: held },
                Target::Holstein(_) => {
                    Say::NoticeShortHolstein { cow, place, length: wall, target: held }
                }
            });
            match thickness(one.place, *length, words) {
                Some(sole) => format!("{said}; {sole}"),
                None => said,
            }
        }
        Noticed::Regrown { length, days, most } => words.say(Say::NoticeRegrownLine {
            cow,
            place,
            length: words.length_with_unit(*length).into(),
            days: words.say(Say::DaysN { n: (*days).into() }).into(),
            most: words.length_with_unit(*most).into(),
        }),
    }
}

/// How thick the sole is on average, where somebody measured that.
fn thickness(place: Place, wall: Nanometres, words: &Words) -> Option<String> {
    let sole = sole(place, wall)?;
    let mm = |mm: f64| words.length_with_unit(nanometres(mm)).into();
    Some(words.say(match sole {
        Sole::About(thick) => Say::SoleAbout { sole: mm(thick) },
        Sole::OfShort(thick) => Say::SoleOfShort { sole: mm(thick), wall: mm(SHORT_MM) },
    }))
}
