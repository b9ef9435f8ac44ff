//! The worked examples of `DERIVED.md`, and the propagation held against drawing.

use super::*;
use crate::heel_difference::heel_difference;
use crate::luck::Luck;
use crate::near::near;
use crate::sole_estimate::{HindClaw, sole_estimate, sole_of};
use crate::toe_angle::toe_angle;

const PAGE: &str = include_str!("../DERIVED.md");

/// "60 of 2": a mean of two readings.
fn length(cell: &str, hand: Option<Hand>) -> Length {
    let (mm, readings) = cell.split_once(" of ").unwrap_or((cell, "1"));
    let (mm, readings) = (mm.parse().unwrap(), readings.parse().unwrap());
    Length { mm, readings, half_step: 0.005, permitted: 0.03, hand }
}

fn hand(cell: &str) -> Option<Hand> {
    let (error, df) = cell.split_once(", ")?;
    Some(Hand { error: error.parse().unwrap(), df: df.parse().unwrap() })
}

fn worked(cells: &[&str]) -> Result<Derived, Refused> {
    let hand = hand(cells[3]);
    let of = |at: usize| length(cells[at], hand);
    match cells[0] {
        "toe angle" => toe_angle(of(1), of(2)),
        "heel difference" => heel_difference(of(1), of(2)),
        "sole from wall" => {
            let claw = if cells[2] == "inner" { HindClaw::Inner } else { HindClaw::Outer };
            sole_estimate(claw, of(1))
        }
        other => panic!("{other}"),
    }
}

/// Numbers computed with Python's `uncertainties` 3.2 and scipy.
#[test]
fn worked_examples_come_out() {
    let (_, examples) = PAGE.split_once("## Worked examples").unwrap();
    let mut rows = 0;
    for line in examples.lines().filter(|line| line.starts_with("| ")).skip(2) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        rows += 1;
        match worked(&cells) {
            Ok(got) => {
                let (least, standard) = match cells[5].strip_prefix("at least ") {
                    Some(cell) => (true, cell),
                    None => (false, cells[5]),
                };
                near(got.value, cells[4].parse().unwrap(), 6e-5);
                near(got.standard, standard.parse().unwrap(), 6e-6);
                let expanded = cells[7].trim_start_matches("at least ");
                near(got.expanded, expanded.parse().unwrap(), 6e-5);
                assert_eq!(got.at_least, least, "{line}");
                assert_eq!(got.df, cells[6].parse().ok(), "{line}");
            }
            Err(refused) => assert_eq!(refused.word(), cells[4], "{line}"),
        }
    }
    assert!(rows > 20, "{rows}");
}

/// The rows of the page are those of the code.
#[test]
fn the_pages_rows_are_the_lines() {
    let cells = |line: &str| -> Vec<f64> {
        line.trim_matches('|').split('|').filter_map(|cell| cell.trim().parse().ok()).collect()
    };
    let (lines, _) = PAGE.split_once("## What goes together").unwrap();
    let rows: Vec<Vec<f64>> = lines.lines().map(cells).filter(|row| row.len() == 4).collect();
    let inner: Vec<(f64, f64)> = rows.iter().map(|row| (row[0], row[1])).collect();
    let outer: Vec<(f64, f64)> = rows.iter().map(|row| (row[2], row[3])).collect();
    assert_eq!((inner, outer), (HindClaw::Inner.rows().into(), HindClaw::Outer.rows().into()));
    for claw in [HindClaw::Inner, HindClaw::Outer] {
        for (wall, sole) in claw.rows() {
            near(sole_of(claw, wall).unwrap().0, sole, 1e-12);
        }
    }
}

/// JCGM 101:2008 by drawing: a normal hand of known spread, rectangular calliper. The half-width of
/// the middle 95 % of 200,000 draws is first order's within 3 % up to 65 degrees, and within 8 % at 70,
/// where the arcsine bends.
#[test]
fn drawing_gives_the_same_width() {
    let known = Some(Hand { error: 0.5, df: f64::INFINITY });
    let of = |mm| Length { mm, readings: 1, half_step: 0.005, permitted: 0.03, hand: known };
    for (seed, height, wall, within) in
        [(1, 30.0, 80.0, 0.03), (2, 60.0, 80.0, 0.03), (3, 72.0, 80.0, 0.03), (4, 75.1, 80.0, 0.08)]
    {
        let told = toe_angle(of(height), of(wall)).unwrap();
        let mut luck = Luck::of(seed);
        let mut drawn: Vec<f64> = (0..200_000)
            .map(|_| {
                let mut off = || {
                    let even = |half: f64, part: f64| half * (2.0 * part - 1.0);
                    0.5 * luck.normal() + even(0.005, luck.part()) + even(0.03, luck.part())
                };
                let (height, wall) = (height + off(), wall + off());
                (height / wall).asin().to_degrees()
            })
            .collect();
        drawn.sort_by(f64::total_cmp);
        let half = (drawn[195_000 - 1] - drawn[5_000]) / 2.0;
        near(told.expanded / half, 1.0, within);
    }
}

/// A line's slope in the wall is that of the formula (central differences).
#[test]
fn slopes_are_the_formulas() {
    let only = |error| Some(Hand { error, df: 20.0 });
    let of =
        |mm, error| Length { mm, readings: 1, half_step: 0.0, permitted: 0.0, hand: only(error) };
    let angle = |h: f64, l: f64| (h / l).asin().to_degrees();
    let (h, l, step) = (60.0, 80.0, 1e-4);
    let in_h = (angle(h + step, l) - angle(h - step, l)) / (2.0 * step);
    let in_l = (angle(h, l + step) - angle(h, l - step)) / (2.0 * step);
    near(toe_angle(of(h, 1.0), of(l, 0.0)).unwrap().standard, in_h.abs(), 1e-8);
    near(toe_angle(of(h, 0.0), of(l, 1.0)).unwrap().standard, in_l.abs(), 1e-8);
}

#[test]
fn what_is_no_length_is_refused() {
    let of = |mm| Length { mm, readings: 1, half_step: 0.005, permitted: 0.03, hand: None };
    for (h, l) in
        [(f64::NAN, 80.0), (60.0, f64::NAN), (-5.0, 80.0), (0.0, 0.0), (60.0, f64::INFINITY)]
    {
        assert!(toe_angle(of(h), of(l)).is_err(), "{h} {l}");
    }
    assert!(sole_estimate(HindClaw::Inner, of(f64::NAN)).is_err());
}
