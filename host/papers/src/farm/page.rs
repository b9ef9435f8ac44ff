//! A farm over time as a page.

use super::mind::Mind;
use super::share::Share;
use super::{FarmTrend, figures, tables};
use hornrule_facts::{Day, Paper};
use crate::page::{Block, Notice, Number, Page, Weight};
use crate::terms;
use crate::words::{Say, Words};

impl FarmTrend {
    /// The farm's days as a page.
    #[must_use]
    pub fn page(&self, words: &Words, paper: Paper) -> Page {
        let title = words.say(Say::FarmTitle { farm: self.farm.as_str().into() });
        let mut page = Page::new(words, paper, title, self.period.through);
        page.subtitle = Some(words.say(Say::FarmDays {
            from: words.date(self.period.from).into(),
            through: words.date(self.period.through).into(),
        }));
        page.beside.push(tables::every_lesion(self, words));
        if self.months.is_empty() {
            page.para(words.say(Say::FarmNothing));
        } else {
            self.mind_on(words, &mut page);
            self.numbers(words, &mut page);
            self.months_on(words, &mut page);
            self.lesions_on(words, &mut page);
            self.healing_on(words, &mut page);
            self.blocks_on(words, &mut page);
            self.coverage(words, &mut page);
            self.gait_on(words, &mut page);
        }
        page.heading(words.say(Say::HeadCautions));
        page.add(terms::cautions(words));
        page
    }

    fn mind_on(&self, words: &Words, page: &mut Page) {
        let mut lines: Vec<String> = self.mind.iter().map(|one| mind(words, one)).collect();
        lines.push(words.say(Say::MindAlways));
        let heading = words.say(Say::HeadMind);
        page.add(Block::Notice(Notice { weight: Weight::Soon, heading, lines }));
    }

    fn numbers(&self, words: &Words, page: &mut Page) {
        let whole = &self.whole;
        let number = |label: Say<'_>, value: u64, note: Option<String>| Number {
            label: words.say(label),
            value: value.to_string(),
            note,
        };
        let listed = whole.herd.and_then(|part| {
            let share = part.share()?;
            Some(words.say(Say::FarmOfListed {
                cases: part.cases.into(),
                listed: part.of.into(),
                share: words.percent(share).into(),
            }))
        });
        page.add(Block::Numbers(vec![
            number(Say::FarmVisits, whole.visits as u64, None),
            number(Say::FarmTrimmed, whole.with_lesion.of, listed),
            number(Say::FarmWithLesion, whole.with_lesion.cases, ranged(words, &whole.with_lesion)),
            number(Say::FarmNew, whole.new, None),
            number(Say::FarmAgain, whole.again, None),
            number(Say::NumberBlocks, whole.blocks, None),
        ]));
    }

    fn months_on(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::HeadMonths));
        page.add(Block::Figures(figures::overall(self, words)));
        page.add(Block::Table(tables::months(self, words)));
        page.note(words.say(Say::NoteMonths { least: super::LEAST.into() }));
        if self.months.len() > 1 {
            page.note(words.say(Say::NoteAllDays));
        }
        if self.whole.not_trimmed_with_lesion > 0 {
            let n = self.whole.not_trimmed_with_lesion.into();
            page.note(words.say(Say::NoteNotTrimmed { n }));
        }
        let begin = words.date(self.first_visit.unwrap_or(self.period.from)).into();
        page.note(words.say(Say::NoteCases { days: super::FORGOTTEN_DAYS.into(), begin }));
    }

    fn lesions_on(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::HeadWhich));
        if self.lesions.is_empty() {
            page.para(words.say(Say::FarmNoLesion));
            return;
        }
        page.add(Block::Table(tables::lesions(self, words)));
        page.add(Block::Figures(figures::frequent(self, words)));
        page.add(Block::Table(tables::frequent(self, words)));
        page.note(words.say(Say::NoteWhich));
    }

    fn healing_on(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::HeadHealing));
        if self.healing.groups.is_empty() {
            page.para(words.say(Say::HealingNone));
            return;
        }
        page.add(Block::Table(tables::healing(self, words)));
        page.note(words.say(Say::NoteHealing));
    }

    fn blocks_on(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::HeadBlocks));
        if self.blocks.ways.is_empty() {
            page.para(words.say(Say::BlocksNone));
            return;
        }
        page.add(Block::Table(tables::blocks(self, words)));
        let curves = figures::blocks(self, words);
        if !curves.is_empty() {
            page.add(Block::Figures(curves));
        }
        page.note(words.say(Say::NoteBlocks));
    }

    fn coverage(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::HeadCoverage));
        let Some(part) = self.whole.herd else {
            page.para(words.say(Say::MindNoList));
            return;
        };
        page.add(Block::Table(tables::coverage(self, words)));
        page.note(words.say(Say::NoteCoverage { n: part.of.into() }));
    }

    fn gait_on(&self, words: &Words, page: &mut Page) {
        page.heading(words.say(Say::HeadGait));
        if self.whole.gait.is_empty() {
            page.para(words.say(Say::GaitNone));
        }
        for scored in &self.whole.gait {
            page.add(Block::Table(tables::gait(self, scored, words)));
            page.note(words.say(Say::NoteGait {
                scale: words.scale(scored.scale).into(),
                lame: scored.scale.lame_from.unwrap_or_default().into(),
            }));
        }
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
        Mind::Few(days) => {
            words.say(Say::MindFew { n: super::SMALL.into(), months: months(days).into() })
        }
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
