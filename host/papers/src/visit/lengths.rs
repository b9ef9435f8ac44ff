//! A visit's lengths on its page.

use crate::derived;
use crate::page::{Block, Column, Notice, Page, Table, Weight};
use crate::words::{Say, Words};
use hornrule_questions::notices::{Notice as Seen, Noticed};
use hornrule_questions::visit::{Spread, VisitReport};

pub(super) fn lengths(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadLengths));
    if report.lengths.is_empty() {
        page.para(words.say(Say::LengthsNone));
        return;
    }
    if report.unchecked_readings > 0 {
        page.para(words.say(Say::LengthsUnchecked { n: report.unchecked_readings.into() }));
    }
    very_short(report, words, page);
    target(report, words, page);
    let unit = words.unit_sign();
    let columns = vec![
        Column::text(words.say(Say::ColumnDimension { unit: unit.into() }), 3),
        Column::text(words.say(Say::ColumnWhen), 2),
        Column::number(words.say(Say::ColumnReadings)),
        Column::number(words.say(Say::ColumnLeast)),
        Column::number(words.say(Say::ColumnMiddle)),
        Column::number(words.say(Say::ColumnMost)),
    ];
    let mut table = Table::new("lengths", words.say(Say::AboutLengths), columns);
    for line in &report.lengths {
        let states = [(Say::BeforeTrimming, line.before), (Say::AfterTrimming, line.after)];
        for (when, spread) in states {
            let Some(Spread { readings, least, median, most }) = spread else { continue };
            table.row([
                words.dimension(line.dimension),
                words.say(when),
                readings.to_string(),
                words.length(least),
                words.length(median),
                words.length(most),
            ]);
        }
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteMiddle));
    derived::averages(&report.derived.averages, words, page);
}

/// The rule that flags a wall far below any target.
const VERY_SHORT: &str = "short-after-trimming";

/// What that rule flagged stays a caution for the animal, whatever her breed and parity.
fn very_short(report: &VisitReport, words: &Words, page: &mut Page) {
    let flagged = report.flagged.iter().filter(|line| line.rule == VERY_SHORT);
    let mut cows: Vec<String> =
        flagged.flat_map(|line| &line.cows).map(ToString::to_string).collect();
    cows.dedup();
    if !cows.is_empty() {
        page.para(words.say(Say::WallsVeryShort { cows: cows.join(", ").into() }));
    }
}

fn target(report: &VisitReport, words: &Words, page: &mut Page) {
    if report.walls_after == 0 {
        return;
    }
    let measured = words.say(Say::ClawsN { n: report.walls_after.into() });
    let lines: Vec<String> = report.notices.iter().filter_map(|one| short(one, words)).collect();
    if !lines.is_empty() {
        let short = lines.len().into();
        let heading = words.say(Say::TargetShort { short, measured: measured.into() });
        page.add(Block::Notice(Notice { weight: Weight::Mind, heading, lines }));
    } else if let Some(target) = report.settings.target.filter(|_| report.short.is_empty()) {
        let target = words.length_with_unit(target).into();
        page.para(words.say(Say::TargetKept { measured: measured.into(), target }));
    } else {
        return;
    }
    page.note(words.say(Say::NoteTarget));
}

/// "Cow 312 Berta, LH outer: 74.0 mm (target 75.0 mm)".
fn short(one: &Seen, words: &Words) -> Option<String> {
    let Noticed::ShortWall { length, target } = &one.what else { return None };
    Some(words.say(Say::TargetShortLine {
        cow: one.name.to_string().into(),
        place: words.place(one.place).into(),
        length: words.length_with_unit(*length).into(),
        target: words.length_with_unit(target.length()).into(),
    }))
}
