//! The day in the chute: its numbers in sentences, and the ribbon that shows it cow by cow.

use hornrule_casebook::{Case, Class, FORGOTTEN_DAYS};
use hornrule_insight::proportion;
use hornrule_questions::visit::{CowLine, Gait, Mark, Summary, VisitReport};

use super::signs;
use crate::page::{Block, Column, Figure, Page, Table, Width};
use crate::svg::{self, Field};
use crate::terms;
use crate::words::{Say, Words};

/// The table of the ribbon.
const RIBBON: &str = "ribbon";

pub(super) fn day(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadDay));
    page.add(Block::List(sentences(&report.summary, words)));
    signs::clean(report, words, page);
    let held = report.held.iter().map(|line| line.times).sum::<usize>();
    if held > 0 {
        page.para(words.say(Say::HeldForFarmer { n: held.into() }));
    }
    if !report.ribbon.is_empty() {
        ribbon(report, words, page);
    }
    page.note(words.say(Say::NoteDenominators {
        examined: report.summary.classes.of().into(),
        days: FORGOTTEN_DAYS.into(),
    }));
}

fn sentences(summary: &Summary, words: &Words) -> Vec<String> {
    let classes = &summary.classes;
    let mut came = words.say(Say::DayCows { n: summary.cows.into() });
    if let Some((seen, listed)) = summary.listed {
        // Herds are counted in hundreds.
        let share = words.percent(seen as f64 / listed.max(1) as f64);
        let (seen, listed) = (seen.into(), listed.into());
        came.push(' ');
        came.push_str(&words.say(Say::DayListed { seen, listed, share: share.into() }));
    }
    let mut lines = vec![came];
    lines.push(words.say(Say::DayWork {
        claws: words.say(Say::ClawsN { n: summary.claws_trimmed.into() }).into(),
        blocks: words.say(Say::BlocksN { n: summary.blocks.into() }).into(),
    }));
    let part = |cows: usize| match proportion::Count::new(cows as u64, classes.of() as u64) {
        Ok(count) => {
            let share = words.percent(count.share()).into();
            words.say(Say::PartOf { n: cows.into(), share })
        }
        Err(_) => cows.to_string(),
    };
    lines.push(words.say(Say::DayClasses {
        examined: classes.of().into(),
        new: part(classes.new).into(),
        open: part(classes.open).into(),
        sound: part(classes.sound).into(),
    }));
    if classes.not_examined > 0 {
        lines.push(words.say(Say::DayNotExamined { n: classes.not_examined.into() }));
    }
    if summary.scored > 0 {
        let (lame, scored) = (summary.lame.into(), summary.scored.into());
        lines.push(words.say(Say::DayLame { lame, scored }));
    }
    lines
}

/// A cow of the ribbon, with what is said of her.
struct Told<'a> {
    place: usize,
    mark: &'a Mark,
    new: String,
    open: String,
}

impl Told<'_> {
    fn gait(&self, words: &Words) -> String {
        let Some(Gait { scale, value }) = self.mark.gait else { return String::new() };
        terms::score(words, (scale, value))
    }

    /// In a sentence; `None` where there is no mark.
    fn sentence(&self, words: &Words) -> Option<String> {
        let mut what = Vec::new();
        if self.mark.gait.is_some_and(Gait::is_lame) {
            what.push(self.gait(words));
        }
        if !self.new.is_empty() {
            what.push(words.say(Say::RibbonNew { what: self.new.as_str().into() }));
        }
        if !self.open.is_empty() {
            what.push(words.say(Say::RibbonOpen { what: self.open.as_str().into() }));
        }
        if self.mark.blocks > 0 {
            what.push(words.say(Say::BlocksN { n: self.mark.blocks.into() }));
        }
        if self.mark.vet {
            what.push(words.say(Say::RibbonVet));
        }
        let (place, cow) = (self.place.into(), self.mark.name.to_string().into());
        let what: String = what.join(", ");
        (!what.is_empty()).then(|| words.say(Say::RibbonSays { place, cow, what: what.into() }))
    }
}

fn told<'a>(report: &VisitReport, place: usize, mark: &'a Mark, words: &Words) -> Told<'a> {
    let cow = report.cows.iter().find(|cow| cow.name == mark.name);
    let cases = |new| cow.map(|cow| named(report, cow, new, words)).unwrap_or_default();
    Told { place, mark, new: cases(true), open: cases(false) }
}

fn ribbon(report: &VisitReport, words: &Words, page: &mut Page) {
    let all: Vec<Told<'_>> =
        (1..).zip(&report.ribbon).map(|(place, mark)| told(report, place, mark, words)).collect();
    let each = svg::piece_of(all.len());
    let pieces = all.chunks(each);
    let figures = pieces.map(|piece| figure(piece, (each, all.len()), words));
    page.add(Block::Figures(figures.collect()));
    page.note(key(&report.ribbon, words));
    let table = table(&all, words);
    if table.rows() > 0 {
        page.add(Block::Folded(table));
    }
}

/// Her cases that are new, or those from before: letters, and how bad.
fn named(report: &VisitReport, cow: &CowLine, new: bool, words: &Words) -> String {
    let those = cow.cases.iter().filter(|case| (case.found == report.day) == new);
    let name = |case: &Case| {
        let letters = case.lesion.letters;
        let grade = words.grade(case.lesion, case.grade_on(report.day));
        grade.map_or_else(|| letters.to_owned(), |grade| format!("{letters} {grade}"))
    };
    those.map(name).collect::<Vec<_>>().join(", ")
}

fn figure(piece: &[Told<'_>], (each, of): (usize, usize), words: &Words) -> Figure {
    let (from, to) = match piece {
        [only] => (only.place, only.place),
        [first, .., last] => (first.place, last.place),
        [] => (0, 0),
    };
    let caption = if from == to {
        words.say(Say::RibbonOne { from: from.into() })
    } else {
        words.say(Say::RibbonPiece { from: from.into(), to: to.into() })
    };
    let said: Vec<String> = piece.iter().filter_map(|one| one.sentence(words)).collect();
    let said = if said.is_empty() { words.say(Say::RibbonNoMark) } else { said.join("; ") };
    let fields: Vec<Field> = piece.iter().map(|one| field(one.mark)).collect();
    Figure {
        svg: svg::ribbon(&fields, each, (from == 1, to == of)),
        alt: words.say(Say::RibbonAlt { piece: caption.as_str().into(), told: said.into() }),
        caption: Some(caption),
        lines: Vec::new(),
        width: Width::Half,
    }
}

fn field(mark: &Mark) -> Field {
    Field {
        number: short_number(&mark.name.animal.to_string()),
        back: mark.gait.map(Gait::height),
        lame: mark.gait.filter(|gait| gait.is_lame()).map(|gait| gait.value.to_string()),
        new: mark.new.map(|depth| depth.steps()),
        open: mark.open.map(|depth| depth.steps()),
        blocks: mark.blocks,
        vet: mark.vet,
        unseen: mark.class == Class::NotExamined,
    }
}

/// A herd number, or the end of a tag, which tells the cows of a farm apart.
fn short_number(number: &str) -> String {
    const LONGEST: usize = 7;
    let digits = number.chars().count();
    if digits <= LONGEST {
        return number.to_owned();
    }
    let end: String = number.chars().skip(digits + 1 - LONGEST).collect();
    format!("…{end}")
}

/// How to read the marks that the day has.
fn key(marks: &[Mark], words: &Words) -> String {
    let any = |has: fn(&Mark) -> bool| marks.iter().any(has);
    let all = [
        (Say::KeyField, true),
        (Say::KeyLame, any(|mark| mark.gait.is_some_and(Gait::is_lame))),
        (Say::KeyUneven, any(|mark| mark.gait.is_some_and(is_uneven))),
        (Say::KeyNew, any(|mark| mark.new.is_some())),
        (Say::KeyOpen, any(|mark| mark.open.is_some())),
        (Say::KeyDeep, any(|mark| mark.new.is_some() || mark.open.is_some())),
        (Say::KeyBlock, any(|mark| mark.blocks > 0)),
        (Say::KeyVet, any(|mark| mark.vet)),
        (Say::KeyUnseen, any(|mark| mark.class == Class::NotExamined)),
    ];
    let there = all.into_iter().filter(|(_, there)| *there).map(|(say, _)| words.say(say));
    there.collect::<Vec<_>>().join(" ")
}

fn is_uneven(gait: Gait) -> bool {
    !gait.is_lame() && gait.height() > 0.0
}

/// The same in rows, for those who cannot see it: cows with a mark.
fn table(all: &[Told<'_>], words: &Words) -> Table {
    let columns = vec![
        Column::number(words.say(Say::ColumnPlace)),
        Column::text(words.say(Say::ColumnCow), 4),
        Column::text(words.say(Say::ColumnGait), 3),
        Column::text(words.say(Say::ColumnNew), 4),
        Column::text(words.say(Say::ColumnOpen), 4),
        Column::number(words.say(Say::ColumnBlocks)),
        Column::text(words.say(Say::ColumnVet), 1),
    ];
    let mut table = Table::new(RIBBON, words.say(Say::AboutRibbon), columns);
    for one in all.iter().filter(|one| one.mark.tells()) {
        let blocks = one.mark.blocks;
        table.row([
            one.place.to_string(),
            one.mark.name.to_string(),
            one.gait(words),
            one.new.clone(),
            one.open.clone(),
            if blocks > 0 { blocks.to_string() } else { String::new() },
            if one.mark.vet { "!".to_owned() } else { String::new() },
        ]);
    }
    table
}
