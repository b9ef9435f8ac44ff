//! A figure to print: title, plots in columns, and below them what they rest on.

use super::panel::Panel;
use super::{Anchor, Svg, escaped, lines_of};

/// A figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Above all.
    pub title: String,
    /// Below the title: the farms.
    pub subtitle: String,
    /// What it shows, for those who cannot see it.
    pub told: String,
    /// Plots, from left to right and down.
    pub panels: Vec<Panel>,
    /// One or two.
    pub columns: usize,
    /// Numbers, intervals, methods, seeds: a paragraph each.
    pub notes: Vec<String>,
}

/// Units across: four to the millimetre of a page's type area, 170 mm.
const WIDE: f64 = 680.0;
/// Millimetres across.
const MM: f64 = 170.0;
/// Heights of plots: one column, two columns, three rows of two, so that all fits a page.
const PLOT: [f64; 3] = [250.0, 190.0, 130.0];
const NOTE: f64 = 10.0;
const LINE: f64 = 13.5;

impl Sheet {
    /// The drawing, with its size in millimetres, on white, ink black: as it is printed.
    #[must_use]
    pub fn svg(&self) -> String {
        let columns = self.columns.clamp(1, 2);
        let cell = WIDE / columns as f64;
        let rows: Vec<&[Panel]> = self.panels.chunks(columns).collect();
        let plot = if rows.len() > 2 { PLOT[2] } else { PLOT[columns - 1] };
        let head = |row: &[Panel]| row.iter().fold(0.0f64, |most, one| most.max(one.head(cell)));
        let foot = |row: &[Panel]| row.iter().fold(0.0f64, |most, one| most.max(one.foot(plot)));
        let high = |row: &[Panel]| head(row) + foot(row);
        let notes: Vec<Vec<String>> =
            self.notes.iter().map(|note| lines_of(note, NOTE, WIDE - 24.0)).collect();
        let lines = notes.iter().map(Vec::len).sum::<usize>() as f64;
        let panels: f64 = rows.iter().map(|row| high(row)).sum();
        let top = 46.0;
        let all = top + panels + lines * LINE + notes.len() as f64 * 3.0 + 14.0;
        let mut svg = Svg::new(WIDE, all.ceil());
        svg.strong((8.0, 18.0), 14.0, Anchor::Start, &self.title);
        svg.text((8.0, 34.0), 11.0, Anchor::Start, &self.subtitle);
        let mut y = top;
        for row in rows {
            for (at, panel) in row.iter().enumerate() {
                panel.draw(&mut svg, (cell * at as f64, y), cell, (head(row), plot));
            }
            y += high(row);
        }
        y += 6.0;
        for note in notes {
            for line in note {
                svg.text((8.0, y + 6.0), NOTE, Anchor::Start, &line);
                y += LINE;
            }
            y += 3.0;
        }
        svg.finish_sheet(MM, &escaped(&self.title), &escaped(&self.told))
    }
}
