//! A farm over time as a page.

mod figures;
mod json;
mod tables;

#[cfg(test)]
mod tests;

pub use json::json;

use crate::derived;
use crate::page::{Block, Notice, Page, Weight};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_casebook::FORGOTTEN_DAYS;
use hornrule_facts::{Day, Paper};
use hornrule_questions::farm::{FarmTrend, LEAST, Mind, SMALL, Share};
use hornrule_questions::visit::due::Due;

/// The farm's days as a page.
#[must_use]
pub fn page(trend: &FarmTrend, words: &Words, paper: Paper) -> Page {
    let title = words.say(Say::FarmTitle { farm: trend.farm.as_str().into() });
    let mut page = Page::new(words, paper, title, trend.period.through);
    page.subtitle = Some(words.say(Say::FarmDays {
        from: words.date(trend.period.from).into(),
        through: words.date(trend.period.through).into(),
    }));
    page.beside.push(tables::every_lesion(trend, words));
    left_on(trend, words, &mut page);
    if trend.months.is_empty() {
        page.para(words.say(Say::FarmNothing));
    } else {
        mind_on(trend, words, &mut page);
        numbers(trend, words, &mut page);
        months_on(trend, words, &mut page);
        lesions_on(trend, words, &mut page);
        healing_on(trend, words, &mut page);
        blocks_on(trend, words, &mut page);
        coverage(trend, words, &mut page);
        gait_on(trend, words, &mut page);
        derived::averages_with_heading(&trend.derived, words, &mut page);
    }
    page.heading(words.say(Say::HeadCautions));
    page.add(terms::cautions(words));
    page
}

/// Blocks and wraps that are on past their window: they do harm.
fn left_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    let Some(day) = trend.as_of.filter(|_| !trend.left_on.is_empty()) else { return };
    let line = |due: &Due| {
        words.say(Say::FarmLeftOnLine {
            cow: due.name.to_string().into(),
            place: words.place(due.place).into(),
            what: terms::what(words, due).into(),
            late: terms::late(words, due, day).unwrap_or_default().into(),
        })
    };
    let mut lines = vec![words.say(Say::FarmLeftOn { date: words.date(day).into() })];
    lines.extend(trend.left_on.iter().map(line));
    let heading = words.say(Say::HeadLeftOn);
    page.add(Block::Notice(Notice { weight: Weight::Soon, heading, lines }));
}

fn mind_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    let mut lines: Vec<String> = trend.mind.iter().map(|one| mind(words, one)).collect();
    lines.push(words.say(Say::MindAlways));
    let heading = words.say(Say::HeadMind);
    page.add(Block::Notice(Notice { weight: Weight::Soon, heading, lines }));
}

/// The period in sentences.
fn numbers(trend: &FarmTrend, words: &Words, page: &mut Page) {
    let whole = &trend.whole;
    let mut lines = vec![words.say(Say::FarmSumVisits { n: whole.visits.into() })];
    let n = whole.trimmed.into();
    let listed = whole.herd.and_then(|part| {
        let share = part.share()?;
        Some(words.say(Say::FarmOfListed {
            cases: part.cases.into(),
            listed: part.of.into(),
            share: words.percent(share).into(),
        }))
    });
    lines.push(match listed {
        Some(listed) => words.say(Say::FarmSumTrimmedListed { n, listed: listed.into() }),
        None => words.say(Say::FarmSumTrimmed { n }),
    });
    let (examined, lesion) = (whole.with_lesion.of.into(), whole.with_lesion.cases.into());
    lines.push(match ranged(words, &whole.with_lesion) {
        Some(share) => {
            words.say(Say::FarmSumExaminedShare { examined, lesion, share: share.into() })
        }
        None => words.say(Say::FarmSumExamined { examined, lesion }),
    });
    let (new, again) = (whole.new.into(), whole.again.into());
    lines.push(words.say(Say::FarmSumCases { new, again }));
    let blocks = words.say(Say::BlocksN { n: whole.blocks.into() }).into();
    lines.push(words.say(Say::FarmSumBlocks { blocks }));
    page.add(Block::List(lines));
}

fn months_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadMonths));
    page.add(Block::Figures(figures::overall(trend, words)));
    page.add(Block::Table(tables::months(trend, words)));
    page.note(words.say(Say::NoteMonths { least: LEAST.into() }));
    if trend.months.len() > 1 {
        page.note(words.say(Say::NoteAllDays));
    }
    if trend.whole.not_examined > 0 {
        let n = trend.whole.not_examined.into();
        page.note(words.say(Say::NoteNotExamined { n }));
    }
    let begin = words.date(trend.first_visit.unwrap_or(trend.period.from)).into();
    page.note(words.say(Say::NoteCases { days: FORGOTTEN_DAYS.into(), begin }));
}

fn lesions_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadWhich));
    if trend.lesions.is_empty() {
        page.para(words.say(Say::FarmNoLesion));
        return;
    }
    page.add(Block::Table(tables::lesions(trend, words)));
    page.add(Block::Figures(figures::frequent(trend, words)));
    page.add(Block::Table(tables::frequent(trend, words)));
    page.note(words.say(Say::NoteWhich));
}

fn healing_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadHealing));
    if trend.healing.groups.is_empty() {
        page.para(words.say(Say::HealingNone));
        return;
    }
    page.add(Block::Table(tables::healing(trend, words)));
    page.note(words.say(Say::NoteHealing));
}

fn blocks_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadBlocks));
    if trend.blocks.ways.is_empty() {
        page.para(words.say(Say::BlocksNone));
        return;
    }
    page.add(Block::Table(tables::blocks(trend, words)));
    let curves = figures::blocks(trend, words);
    if !curves.is_empty() {
        page.add(Block::Figures(curves));
    }
    page.note(words.say(Say::NoteBlocks));
}

fn coverage(trend: &FarmTrend, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadCoverage));
    let Some(part) = trend.whole.herd else {
        page.para(words.say(Say::MindNoList));
        return;
    };
    page.add(Block::Table(tables::coverage(trend, words)));
    page.note(words.say(Say::NoteCoverage { n: part.of.into() }));
}

fn gait_on(trend: &FarmTrend, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadGait));
    if trend.whole.gait.is_empty() {
        page.para(words.say(Say::GaitNone));
    }
    for scored in &trend.whole.gait {
        page.add(Block::Table(tables::gait(trend, scored, words)));
        page.note(words.say(Say::NoteGait {
            scale: words.scale(scored.scale).into(),
            lame: scored.scale.lame_from.unwrap_or_default().into(),
        }));
    }
}

fn mind(words: &Words, mind: &Mind) -> String {
    let months = |days: &[Day]| {
        let months: Vec<String> = days.iter().map(|day| words.month(*day)).collect();
        months.join(", ")
    };
    match mind {
        Mind::MostlyLame(days) => words.say(Say::MindMostlyLame { months: months(days).into() }),
        Mind::MoreEyes(days) => words.say(Say::MindMoreEyes { months: months(days).into() }),
        Mind::NotScored(days) => words.say(Say::MindNotScored { months: months(days).into() }),
        Mind::Few(days) => words.say(Say::MindFew { n: SMALL.into(), months: months(days).into() }),
        Mind::Chosen { low, high } => words.say(Say::MindChosen {
            low: words.month(low.0).into(),
            low_share: percent(words, &low.1).into(),
            high: words.month(high.0).into(),
            high_share: percent(words, &high.1).into(),
        }),
        Mind::HalfUnseen(part) => words.say(Say::MindHalfUnseen {
            cases: part.cases.into(),
            listed: part.of.into(),
            share: words.percent(part.share().unwrap_or_default()).into(),
        }),
        Mind::NoList => words.say(Say::MindNoList),
    }
}

fn percent(words: &Words, share: &Share) -> String {
    share.estimate.map_or_else(String::new, |it| words.percent(it.value))
}

/// "30 % (18 % to 45 %)"; `None` where the cows are too few.
pub(super) fn ranged(words: &Words, share: &Share) -> Option<String> {
    let it = share.estimate?;
    Some(words.say(Say::ShareWithRange {
        share: words.percent(it.value).into(),
        low: words.percent(it.low).into(),
        high: words.percent(it.high).into(),
    }))
}
