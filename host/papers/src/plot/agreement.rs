//! Two people, the same claws: differences against means.

use hornrule_protocol::Dimension;

use super::unit::Unit;
use super::{estimate, signed};
use crate::svg::{Axis, Look, Mark, Panel, Part, Sheet, Sign};
use crate::words::{Say, Words};
use hornrule_insight::Estimate;
use hornrule_insight::agree::BlandAltman;
use hornrule_questions::evidence::{Agreement, Measured};

const CLAW: Look = Look { hue: "#333333", dash: "", mark: Mark::Ring, wide: 0.8 };
/// Plots that a sheet has room for.
const MOST: usize = 4;

/// The figure, a plot a dimension; `None` where no claw was measured by two people.
#[must_use]
pub fn agreement(agreement: &Agreement, farms: &str, words: &Words) -> Option<Sheet> {
    let mut compared: Vec<(&Measured, &BlandAltman)> =
        agreement.lengths.iter().filter_map(|one| Some((one, one.between.told()?))).collect();
    compared.sort_by_key(|(one, _)| std::cmp::Reverse(one.pairs.len()));
    let rest = compared.split_off(compared.len().min(MOST));
    if compared.is_empty() {
        return None;
    }
    let panels: Vec<Panel> =
        compared.iter().map(|(one, limits)| panel(one, limits, words)).collect();
    let mut notes: Vec<String> =
        compared.iter().map(|(one, limits)| counted(one, limits, words)).collect();
    if !rest.is_empty() {
        let names: Vec<String> = rest.iter().map(|(one, _)| named(one, words)).collect();
        notes.push(words.say(Say::FigureNotDrawn { what: names.join("; ").into() }));
    }
    notes.push(words.say(Say::FigureMethodAgreement));
    notes.push(words.say(Say::FigureCautionAgreement));
    Some(Sheet {
        title: words.say(Say::FigureAgreementTitle),
        subtitle: farms.to_owned(),
        told: words.say(Say::FigureAgreementTold),
        columns: if panels.len() > 1 { 2 } else { 1 },
        panels,
        notes,
    })
}

fn named(one: &Measured, words: &Words) -> String {
    Dimension::from_code(one.code).map_or_else(String::new, |dimension| words.dimension(dimension))
}

fn panel(one: &Measured, limits: &BlandAltman, words: &Words) -> Panel {
    let unit = Unit::of(words);
    let limits = unit.limits(limits);
    let both = one.pairs.iter().map(|(a, b)| (unit.length(*a), unit.length(*b)));
    let points: Vec<(f64, f64)> = both.map(|(a, b)| (f64::midpoint(a, b), a - b)).collect();
    let across = points
        .iter()
        .fold((f64::MAX, f64::MIN), |(low, high), point| (low.min(point.0), high.max(point.0)));
    let up = points
        .iter()
        .fold((limits.lower.low.min(0.0), limits.upper.high.max(0.0)), |(low, high), point| {
            (low.min(point.1), high.max(point.1))
        });
    let across = Axis::over(
        words.say(Say::FigureMeanOfTwo { unit: unit.sign.into() }),
        across,
        |value, decimals| words.decimal(value, decimals),
    );
    let ends = (
        across.marks.first().map_or(0.0, |mark| mark.0),
        across.marks.last().map_or(1.0, |mark| mark.0),
    );
    let band = |look, of: &Estimate| {
        Part::Band(look, vec![(ends.0, of.low, of.high), (ends.1, of.low, of.high)])
    };
    let (bias, limit) = (Look::of(0), Look::of(1));
    let level = |look, of: &Estimate, what: String| {
        Part::Level(look, of.value, format!("{what} {}", signed(words, of.value, unit.places(2))))
    };
    Panel {
        title: named(one, words),
        across,
        up: Axis::over(
            words.say(Say::FigureDifference { unit: unit.sign.into() }),
            up,
            |value, decimals| signed(words, value, decimals),
        ),
        parts: vec![
            band(limit, &limits.lower),
            band(limit, &limits.upper),
            band(bias, &limits.bias),
            Part::Level(Look::QUIET.thin(), 0.0, String::new()),
            Part::Points(CLAW, 2.4, points),
            level(bias, &limits.bias, words.say(Say::FigureBias)),
            level(limit, &limits.lower, words.say(Say::FigureLowerLimit)),
            level(limit, &limits.upper, words.say(Say::FigureUpperLimit)),
        ],
        key: vec![
            (Sign::Mark(CLAW), words.say(Say::FigureKeyPair)),
            (Sign::Line(bias), words.say(Say::FigureKeyBias)),
            (Sign::Line(limit), words.say(Say::FigureKeyLimits)),
        ],
        rows: Vec::new(),
    }
}

fn counted(one: &Measured, limits: &BlandAltman, words: &Words) -> String {
    let unit = Unit::of(words);
    let number = |of: &Estimate| estimate(words, &unit.estimate(of), unit.places(2));
    words.say(Say::FigureAgreementN {
        unit: unit.sign.into(),
        what: named(one, words).into(),
        n: one.pairs.len().into(),
        bias: number(&limits.bias).into(),
        lower: number(&limits.lower).into(),
        upper: number(&limits.upper).into(),
    })
}
