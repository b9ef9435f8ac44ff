//! A farm's tables.

use hornrule_protocol::codes::Grades;
use hornrule_protocol::{Action, Lesion};

use super::ranged;
use crate::page::{Cell, Column, Table};
use crate::terms;
use crate::words::{Say, Words};
use hornrule_insight::Estimate;
use hornrule_insight::weibull;
use hornrule_questions::evidence::{Answer, Kind};
use hornrule_questions::farm::{FarmTrend, LEAST, LesionTally, Part, Scored, Share, Tally};

/// Number of lesions side by side.
pub(super) const SIDE_BY_SIDE: usize = 5;
/// Nobody waits longer for a claw; a curve that says so says nothing.
const LONGEST_DAYS: f64 = 999.0;

/// Months below one another, and all days last.
fn by_month(trend: &FarmTrend, words: &Words, mut row: impl FnMut(String, &Tally, bool)) {
    for month in &trend.months {
        row(words.month(month.first), &month.tally, false);
    }
    if trend.months.len() > 1 {
        row(words.say(Say::RowAllDays), &trend.whole, true);
    }
}

fn cell(text: String, strong: bool) -> Cell {
    if strong { Cell::Strong(text) } else { Cell::Text(text) }
}

/// "12: 30 % (18 % to 45 %)", or why there is no share.
fn of_cows(words: &Words, share: &Share) -> String {
    match ranged(words, share) {
        Some(ranged) => format!("{}: {ranged}", share.cases),
        None if share.of == 0 => String::from("–"),
        None => words.say(Say::TooFewCows { n: share.cases.into() }),
    }
}

pub(super) fn months(trend: &FarmTrend, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnMonth), 0),
        Column::number(words.say(Say::ColumnCowsExamined)),
        Column::text(words.say(Say::ColumnOfThemSore), 4),
        Column::number(words.say(Say::ColumnClawsExamined)),
        Column::text(words.say(Say::ColumnOfThemHorn), 4),
        Column::number(words.say(Say::ColumnNew)),
        Column::number(words.say(Say::ColumnAgain)),
    ];
    let mut table = Table::new("months", words.say(Say::AboutMonths), columns);
    by_month(trend, words, |month, tally, strong| {
        let cells = [
            month,
            tally.with_lesion.of.to_string(),
            of_cows(words, &tally.with_lesion),
            tally.claws.of.to_string(),
            of_cows(words, &tally.claws),
            tally.new.to_string(),
            tally.again.to_string(),
        ];
        table.row(cells.map(|text| cell(text, strong)));
    });
    table
}

pub(super) fn lesions(trend: &FarmTrend, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::text(words.say(Say::ColumnCowsWith), 4),
        Column::number(words.say(Say::ColumnNew)),
        Column::number(words.say(Say::ColumnAgain)),
    ];
    let mut table = Table::new("lesions", words.say(Say::AboutWhich), columns);
    for LesionTally { lesion, cows, new, again } in &trend.whole.lesions {
        table.row([
            terms::lesion(words, *lesion),
            of_cows(words, cows),
            new.to_string(),
            again.to_string(),
        ]);
    }
    table
}

/// The most frequent lesions by month, side by side.
pub(super) fn frequent(trend: &FarmTrend, words: &Words) -> Table {
    let mut columns = vec![
        Column::text(words.say(Say::ColumnMonth), 0),
        Column::number(words.say(Say::ColumnCowsExamined)),
    ];
    let lesions = trend.lesions.iter().take(SIDE_BY_SIDE);
    columns.extend(lesions.map(|lesion| Column::text(lesion.letters, 1)));
    let mut table = Table::new("frequent", words.say(Say::AboutFrequent), columns);
    by_month(trend, words, |month, tally, strong| {
        let mut cells = vec![cell(month, strong), cell(tally.with_lesion.of.to_string(), strong)];
        for one in tally.lesions.iter().take(SIDE_BY_SIDE) {
            cells.push(cell(narrow(words, &one.cows), strong));
        }
        table.row(cells);
    });
    table
}

/// "11 % (5–21)".
fn narrow(words: &Words, share: &Share) -> String {
    let Some(it) = share.estimate else {
        return if share.of == 0 { "–".to_owned() } else { share.cases.to_string() };
    };
    let ends = |end: f64| format!("{:.0}", end * 100.0);
    format!("{} ({}–{})", words.percent(it.value), ends(it.low), ends(it.high))
}

/// Every lesion in every month, for a spreadsheet.
pub(super) fn every_lesion(trend: &FarmTrend, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnMonth), 0),
        Column::text(words.say(Say::ColumnLetters), 0),
        Column::text(words.say(Say::ColumnLesion), 0),
        Column::number(words.say(Say::ColumnCowsWith)),
        Column::number(words.say(Say::ColumnCowsExamined)),
        Column::number(words.say(Say::ColumnPercent)),
        Column::number(words.say(Say::ColumnLow)),
        Column::number(words.say(Say::ColumnHigh)),
        Column::number(words.say(Say::ColumnNew)),
        Column::number(words.say(Say::ColumnAgain)),
    ];
    let mut table = Table::new("every_lesion", words.say(Say::AboutFrequent), columns);
    for month in &trend.months {
        let tally = &month.tally;
        let date = month.first.date();
        let mut row = |letters: &str, name: String, share: &Share, new: u64, again: u64| {
            let end = |of: fn(&Estimate) -> f64| {
                share.estimate.map_or_else(String::new, |it| words.decimal(of(&it) * 100.0, 1))
            };
            table.row([
                format!("{:04}-{:02}", date.year(), date.month()),
                letters.to_owned(),
                name,
                share.cases.to_string(),
                share.of.to_string(),
                end(|it| it.value),
                end(|it| it.low),
                end(|it| it.high),
                new.to_string(),
                again.to_string(),
            ]);
        };
        row("", words.say(Say::RowAnyLesion), &tally.with_lesion, tally.new, tally.again);
        for one in &tally.lesions {
            row(one.lesion.letters, words.lesion(one.lesion), &one.cows, one.new, one.again);
        }
    }
    table
}

pub(super) fn healing(trend: &FarmTrend, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::number(words.say(Say::ColumnCasesFound)),
        Column::number(words.say(Say::ColumnSeenAgain)),
        Column::number(words.say(Say::ColumnHealed)),
        Column::text(words.say(Say::ColumnHalfHealed), 4),
        Column::text(words.say(Say::ColumnStillOpen), 4),
    ];
    let mut table = Table::new("healing", words.say(Say::AboutHealing), columns);
    // Treatments are not compared here: `hornrule healing` does that, with its cautions.
    let groups = trend.healing.groups.iter().filter(|group| group.kind != Kind::Action);
    for group in groups {
        let open = match &group.open_after_28_days {
            Answer::Told(it) => share(words, it),
            Answer::Refused(_) => "–".to_owned(),
        };
        let half = match &group.half_healed {
            Answer::Told(it) => days(words, it),
            Answer::Refused(_) if group.healed < weibull::LEAST => words
                .say(Say::TooFewHealed { n: group.healed.into(), least: weibull::LEAST.into() }),
            Answer::Refused(_) => words.say(Say::NoCurve),
        };
        table.row([
            named(words, &group.what),
            (group.cases + group.unseen).to_string(),
            group.cases.to_string(),
            group.healed.to_string(),
            half,
            open,
        ]);
    }
    table
}

/// A group's name: letters of a lesion, or a severity.
fn named(words: &Words, what: &str) -> String {
    let severity = |lesion: &Lesion| lesion.grades == Grades::Severity;
    if let Some(lesion) = Lesion::all().find(|lesion| lesion.letters == what) {
        return terms::lesion(words, lesion);
    }
    let digit = (1..=3).find(|digit| Grades::Severity.word(*digit) == Some(what));
    let grade = digit.and_then(|digit| words.grade(Lesion::all().find(severity)?, digit));
    grade
        .map_or_else(|| what.to_owned(), |grade| words.say(Say::AllOfGrade { grade: grade.into() }))
}

fn days(words: &Words, it: &Estimate) -> String {
    let whole = |days: f64| words.decimal(days, 0);
    if !it.high.is_finite() || it.high > LONGEST_DAYS {
        return words
            .say(Say::DaysFrom { days: whole(it.value).into(), low: whole(it.low).into() });
    }
    words.say(Say::DaysWithRange {
        days: whole(it.value).into(),
        low: whole(it.low).into(),
        high: whole(it.high).into(),
    })
}

fn share(words: &Words, it: &Estimate) -> String {
    words.say(Say::ShareWithRange {
        share: words.percent(it.value).into(),
        low: words.percent(it.low).into(),
        high: words.percent(it.high).into(),
    })
}

pub(super) fn blocks(trend: &FarmTrend, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnWay), 4),
        Column::number(words.say(Say::ColumnGlued)),
        Column::number(words.say(Say::ColumnSeenAgain)),
        Column::number(words.say(Say::ColumnLost)),
        Column::text(words.say(Say::ColumnAtRecheck), 4),
        Column::text(words.say(Say::ColumnAfter28), 4),
    ];
    let mut table = Table::new("blocks", words.say(Say::AboutBlocks), columns);
    for way in &trend.blocks.ways {
        let curve = match &way.after_28_days {
            Answer::Told(it) => share(words, it),
            Answer::Refused(_) if way.lost < weibull::LEAST => {
                words.say(Say::TooFewLost { n: way.lost.into(), least: weibull::LEAST.into() })
            }
            Answer::Refused(_) => words.say(Say::NoCurve),
        };
        let recheck = match &way.at_recheck {
            Answer::Told(it) if it.n >= LEAST => share(words, it),
            Answer::Told(_) | Answer::Refused(_) => words.say(Say::TooFewRechecked),
        };
        table.row([
            way_named(words, way.action),
            (way.blocks + way.unseen).to_string(),
            way.blocks.to_string(),
            way.lost.to_string(),
            recheck,
            curve,
        ]);
    }
    table
}

pub(super) fn way_named(words: &Words, action: u8) -> String {
    Action::from_code(action).map_or_else(|| action.to_string(), |action| words.action(action))
}

pub(super) fn coverage(trend: &FarmTrend, words: &Words) -> Table {
    let columns = vec![
        Column::text(words.say(Say::ColumnMonth), 1),
        Column::number(words.say(Say::FarmVisits)),
        Column::number(words.say(Say::ColumnInChute)),
        Column::number(words.say(Say::ColumnTrimmedThen)),
        Column::number(words.say(Say::ColumnTrimmedSoFar)),
    ];
    let mut table = Table::new("coverage", words.say(Say::AboutCoverage), columns);
    let part = |part: Option<Part>| {
        let share = part.and_then(|part| Some((part.cases, part.share()?)));
        share
            .map_or_else(String::new, |(cases, share)| format!("{cases}: {}", words.percent(share)))
    };
    for month in &trend.months {
        table.row([
            words.month(month.first),
            month.tally.visits.to_string(),
            month.tally.cows.to_string(),
            part(month.tally.herd),
            part(month.so_far),
        ]);
    }
    table
}

/// Scores on one scale, month by month.
pub(super) fn gait(trend: &FarmTrend, scored: &Scored, words: &Words) -> Table {
    let mut columns = vec![
        Column::text(words.say(Say::ColumnMonth), 2),
        Column::number(words.say(Say::ColumnScored)),
    ];
    columns.extend(scored.cows.iter().map(|(value, _)| Column::number(value.to_string())));
    columns.push(Column::text(words.say(Say::NumberLame), 4));
    let about = words.say(Say::AboutGait { scale: words.scale(scored.scale).into() });
    let mut table = Table::new(scored.scale.name, about, columns);
    by_month(trend, words, |month, tally, strong| {
        let Some(here) = tally.gait.iter().find(|one| one.scale == scored.scale) else { return };
        let mut cells = vec![month, here.lame.of.to_string()];
        cells.extend(here.cows.iter().map(|(_, cows)| cows.to_string()));
        cells.push(of_cows(words, &here.lame));
        table.row(cells.into_iter().map(|text| cell(text, strong)));
    });
    table
}
