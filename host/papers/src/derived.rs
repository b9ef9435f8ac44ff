//! Derived measures on pages and for scripts. Rules: `host/insight/DERIVED.md`.

use hornrule_protocol::Nanometres;
use serde_json::{Value, json};

use crate::page::{Block, Column, Page, Table};
use crate::visit;
use crate::words::{Say, Words};
use hornrule_casebook::CaseId;
use hornrule_insight::derived::{Derived, Refused};
use hornrule_insight::sole_estimate::HindClaw;
use hornrule_questions::derived::{AverageLine, Line, Measure};
use hornrule_questions::visit::Name;

/// Below this an uncertainty is shown with one decimal more, degrees or mm.
const FINE: f64 = 0.1;

/// A cow's derived values, the latest day first. Walls outside the literature's range are left out.
pub(crate) fn values(lines: &[Line], words: &Words, page: &mut Page) {
    let shown: Vec<&Line> = lines.iter().filter(|line| is_shown(line)).collect();
    if shown.is_empty() {
        return;
    }
    page.heading(words.say(Say::HeadDerived));
    let columns = vec![
        Column::text(words.say(Say::ColumnDerived), 3),
        Column::text(words.say(Say::ColumnWhere), 2),
        Column::text(words.say(Say::ColumnWhen), 2),
        Column::number(words.say(Say::ColumnValue)),
        Column::text(words.say(Say::ColumnUncertain), 4),
    ];
    let table = Table::new("derived", words.say(Say::AboutDerived), columns);
    let mut table = table.grouped_by(words.say(Say::ColumnWhen));
    for of_day in shown.chunk_by(|one, other| one.day == other.day).rev() {
        let Some(first) = of_day.first() else { continue };
        table.section(words.date(first.day));
        for line in of_day {
            let (value, uncertain) = match &line.answer {
                Ok(told) => {
                    (amount(line.measure, told.value, words), uncertainty(line, told, words))
                }
                Err(why) => ("–".to_owned(), words.say(refused(*why))),
            };
            let (measure, place) = (words.say(name(line.measure)), words.place(line.place));
            table.row([measure, place, words.say(moment(line.trimmed)), value, uncertain]);
        }
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteDerived));
    sources(|measure| shown.iter().any(|line| line.measure == measure), words, page);
}

/// A wall far from those that the literature speaks of is no news of a cow.
fn is_shown(line: &Line) -> bool {
    line.measure != Measure::SoleFromWall || line.answer.is_ok()
}

/// Means of derived values; nothing where there is no value.
pub(crate) fn averages(lines: &[AverageLine], words: &Words, page: &mut Page) {
    let shown: Vec<&AverageLine> = lines.iter().filter(|line| line.values > 0).collect();
    if shown.is_empty() {
        return;
    }
    let columns = vec![
        Column::text(words.say(Say::ColumnDerived), 3),
        Column::text(words.say(Say::ColumnOfClaws), 1),
        Column::text(words.say(Say::ColumnWhen), 2),
        Column::number(words.say(Say::ColumnValues)),
        Column::number(words.say(Say::ColumnCowsOf)),
        Column::number(words.say(Say::ColumnLeast)),
        Column::text(words.say(Say::ColumnMean), 3),
        Column::number(words.say(Say::ColumnMost)),
    ];
    let mut table = Table::new("averages", words.say(Say::AboutAverages), columns);
    for line in &shown {
        let at = |value: f64| amount(line.measure, value, words);
        let (least, most) =
            line.ends.map_or_else(Default::default, |ends| (at(ends.0), at(ends.1)));
        let mean = line.mean.told().map(|told| {
            let it = told.mean;
            let end = |value: f64| match line.measure {
                Measure::ToeAngle => words.decimal(value, 1).into(),
                Measure::HeelDifference | Measure::SoleFromWall => {
                    words.length(nanometres(value)).into()
                }
            };
            let (mean, low, high) = (at(it.value).into(), end(it.low), end(it.high));
            words.say(Say::MeanWithRange { mean, low, high })
        });
        table.row([
            words.say(name(line.measure)),
            words.say(if line.hind { Say::OfHind } else { Say::OfFront }),
            words.say(moment(line.trimmed)),
            line.values.to_string(),
            line.cows.to_string(),
            least,
            mean.unwrap_or_else(|| "–".to_owned()),
            most,
        ]);
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteDerivedMeans));
    sources(|measure| shown.iter().any(|line| line.measure == measure), words, page);
    not_derived(lines, words, page);
}

/// Heading and means, for pages that speak of nothing else measured.
pub(crate) fn averages_with_heading(lines: &[AverageLine], words: &Words, page: &mut Page) {
    if lines.iter().any(|line| line.values > 0) {
        page.heading(words.say(Say::HeadDerived));
        averages(lines, words, page);
    }
}

fn not_derived(lines: &[AverageLine], words: &Words, page: &mut Page) {
    let of = |why: Refused| -> u64 {
        let all = lines.iter().flat_map(|line| &line.refused);
        all.filter(|(one, _)| *one == why).map(|(_, n)| n).sum()
    };
    let n: u64 = Refused::ALL.into_iter().map(of).sum();
    if n > 0 {
        page.note(words.say(Say::NoteDerivedRefused {
            n: n.into(),
            missing: of(Refused::Missing).into(),
            doubted: of(Refused::Doubted).into(),
            failed: of(Refused::FailedCheck).into(),
            above: of(Refused::HeightAboveWall).into(),
            outside: of(Refused::OutsideRange).into(),
        }));
    }
}

/// The source of each measure that is shown.
fn sources(shown: impl Fn(Measure) -> bool, words: &Words, page: &mut Page) {
    for measure in Measure::ALL.into_iter().filter(|measure| shown(*measure)) {
        page.note(match measure {
            Measure::ToeAngle => words.say(Say::NoteDerivedAngle),
            Measure::HeelDifference => words.say(Say::NoteDerivedHeel),
            Measure::SoleFromWall => words.say(Say::NoteDerivedSole {
                inner: sole_rows(HindClaw::Inner, words).into(),
                outer: sole_rows(HindClaw::Outer, words).into(),
            }),
        });
    }
}

/// The rows that the sole is read from: "72.1 mm of wall, 5.0 mm of sole; …".
pub(crate) fn sole_rows(claw: HindClaw, words: &Words) -> String {
    let length = |mm: f64| words.length_with_unit(nanometres(mm)).into();
    let pair = |(wall, sole)| words.say(Say::SolePair { wall: length(wall), sole: length(sole) });
    claw.rows().map(pair).join("; ")
}

/// Millimetres of a claw.
pub(crate) fn nanometres(mm: f64) -> Nanometres {
    Nanometres((mm * f64::from(Nanometres::PER_MM)).round() as i32)
}

const fn name(measure: Measure) -> Say<'static> {
    match measure {
        Measure::ToeAngle => Say::MeasureToeAngle,
        Measure::HeelDifference => Say::MeasureHeelDifference,
        Measure::SoleFromWall => Say::MeasureSole,
    }
}

const fn moment(trimmed: bool) -> Say<'static> {
    if trimmed { Say::AfterTrimming } else { Say::BeforeTrimming }
}

const fn refused(why: Refused) -> Say<'static> {
    match why {
        Refused::Missing => Say::RefusedMissing,
        Refused::Doubted => Say::RefusedDoubted,
        Refused::FailedCheck => Say::RefusedFailedCheck,
        Refused::HeightAboveWall => Say::RefusedHeightAboveWall,
        Refused::OutsideRange => Say::RefusedOutsideRange,
    }
}

/// "48.6°" or "2.7 mm".
fn amount(measure: Measure, value: f64, words: &Words) -> String {
    match measure {
        Measure::ToeAngle => words.say(Say::Degrees { number: words.decimal(value, 1).into() }),
        Measure::HeelDifference | Measure::SoleFromWall => {
            words.length_with_unit(nanometres(value))
        }
    }
}

/// "± 1.4°", "at least ± 0.05°", "more than ± 0.4 mm; …".
fn uncertainty(line: &Line, told: &Derived, words: &Words) -> String {
    let fine = told.expanded < FINE;
    let by = match line.measure {
        Measure::ToeAngle => {
            let number = words.decimal(told.expanded, if fine { 2 } else { 1 }).into();
            words.say(Say::Degrees { number })
        }
        Measure::HeelDifference | Measure::SoleFromWall => {
            let length = nanometres(told.expanded);
            let number = if fine { words.fine_length(length) } else { words.length(length) };
            format!("{number}\u{a0}{}", words.unit_sign())
        }
    };
    let by = by.into();
    words.say(match (line.measure, told.at_least) {
        (Measure::SoleFromWall, _) => Say::UncertainByWall { by },
        (_, true) => Say::UncertainLeast { by },
        (_, false) => Say::UncertainBy { by },
    })
}

/// One derived value, for scripts: with the records that it is from.
pub(crate) fn line_json(line: &Line) -> Value {
    let mut value = json!({
        "measure": line.measure.word(),
        "unit": line.measure.unit(),
        "day": line.day.to_string(),
        "handheld": format!("{:016x}", line.device.0),
        "place": visit::place_json(line.place),
        "trimmed": line.trimmed,
        "inputs": line.inputs.iter().map(|key| CaseId(*key).to_string())
            .collect::<Vec<_>>(),
        "source": line.measure.source(),
    });
    let fields = match &line.answer {
        Ok(told) => json!({
            "value": told.value,
            "standard_uncertainty": told.standard,
            "df": told.df,
            "uncertainty": told.expanded,
            "uncertainty_at_least": told.at_least,
        }),
        Err(why) => json!({ "not_derived": why.word() }),
    };
    if let (Value::Object(all), Value::Object(more)) = (&mut value, fields) {
        all.extend(more);
    }
    value
}

/// The same of a cow among others.
pub(crate) fn named_json((name, line): &(Name, Line)) -> Value {
    visit::of_cow(name, line_json(line))
}
