//! Drawings of the code card: the keys, and a cue's rhythm.

use super::{Anchor, Svg};

/// One key: width and height.
const KEY: (f64, f64) = (62.0, 26.0);
const GAP: f64 = 5.0;
/// A millisecond of a rhythm, in units of the drawing, and its height.
const MS: f64 = 0.065;
const HIGH: f64 = 14.0;
/// The longest rhythm drawn to its end.
const LONGEST_MS: u16 = 2_400;

/// The key matrix, row by row, with its legends.
#[must_use]
pub fn keypad(rows: &[Vec<&str>]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    // A matrix has a handful of rows and columns.
    let size = |keys: usize, key: f64| keys as f64 * (key + GAP) - GAP + 2.0;
    let mut svg = Svg::new(size(columns, KEY.0), size(rows.len(), KEY.1));
    for (row, keys) in rows.iter().enumerate() {
        for (column, legend) in keys.iter().enumerate() {
            let x = 1.0 + column as f64 * (KEY.0 + GAP);
            let y = 1.0 + row as f64 * (KEY.1 + GAP);
            svg.add(format_args!(
                "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{:.1}\" height=\"{:.1}\" rx=\"5\" \
                 fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.4\"/>",
                KEY.0, KEY.1
            ));
            svg.strong((x + KEY.0 / 2.0, y + 18.0), 14.0, Anchor::Middle, legend);
        }
    }
    svg.finish()
}

/// Sound and silence in turn, sound first, as bars on a line.
#[must_use]
pub fn rhythm_bar(ms: &[u16]) -> String {
    let whole: u16 = ms.iter().fold(0, |sum: u16, one| sum.saturating_add(*one)).min(LONGEST_MS);
    let mut svg = Svg::new((f64::from(whole) * MS).max(4.0), HIGH);
    let mut x = 0.0;
    for (at, one) in ms.iter().enumerate() {
        let wide = f64::from(*one) * MS;
        if at % 2 == 0 {
            svg.add(format_args!(
                "<rect x=\"{x:.1}\" y=\"2\" width=\"{:.1}\" height=\"10\" fill=\"currentColor\"/>",
                wide.max(1.5)
            ));
        }
        x += wide;
    }
    svg.finish()
}
