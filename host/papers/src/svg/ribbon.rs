//! The day as a ribbon: a field a cow, in the order of the chute.
//!
//! ```text
//!        !
//!       ╭3╮              upper edge: her back, arched where she is lame
//!  ─────╯ ╰──────┄┄┄┄    dashed: not examined
//!  ████████▼███▽█        lower edge: her feet, cut where she has a lesion, new or from before
//!              ●         below it: blocks
//!  118 31 7 204
//! ```
//!
//! What each mark says: `host/questions/src/visit/RIBBON.md`. Why it looks so: `DRAWINGS.md`.

use super::{Anchor, HUE, Svg};

/// Cows of one piece of the ribbon at most.
const PIECE: usize = 20;

/// One cow's field.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Field {
    /// Her number, short.
    pub number: String,
    /// How high her back is, 0 to 1; `None` where she was not scored.
    pub back: Option<f64>,
    /// Her score, where she is lame.
    pub lame: Option<String>,
    /// The depth of her worst new lesion, 1 to 3.
    pub new: Option<u8>,
    /// The same of those from before.
    pub open: Option<u8>,
    /// Blocks glued on.
    pub blocks: usize,
    /// Whether she is for the vet.
    pub vet: bool,
    /// Whether she was not examined.
    pub unseen: bool,
}

impl Field {
    fn tells(&self) -> bool {
        let cut = self.new.is_some() || self.open.is_some();
        cut || self.lame.is_some() || self.blocks > 0 || self.vet
    }
}

/// How many pieces a day has, and how many cows each: as equal as can be.
#[must_use]
pub const fn piece_of(cows: usize) -> usize {
    let pieces = cows.div_ceil(PIECE);
    if pieces == 0 { PIECE } else { cows.div_ceil(pieces) }
}

const SLOT: f64 = 17.0;
const EDGE: f64 = 3.0;
/// A piece of fewer fields is drawn as if it had so many, or its type would be a poster's.
const LEAST: usize = 13;
/// Upper edge of the band, its lower edge, and how high the highest back is above it.
const TOP: f64 = 52.0;
const FOOT: f64 = 76.0;
const ARCH: f64 = 24.0;
/// A notch of depth 1, 2 and 3.
const DEPTHS: [f64; 3] = [7.0, 13.0, 19.0];
const DOTS: f64 = FOOT + 8.0;
const NUMBERS: f64 = DOTS + 9.0;
const NUMBER: f64 = 10.5;
/// Width of a digit.
const DIGIT: f64 = NUMBER * 0.62;

/// Draws a piece with room for `each` fields. `first` and `last` say whether it begins and ends the
/// day.
#[must_use]
pub fn ribbon(fields: &[Field], each: usize, (first, last): (bool, bool)) -> String {
    let longest = fields.iter().map(|one| one.number.chars().count()).max().unwrap_or(0);
    // Numbers have a handful of digits.
    let mut svg = Svg::new(x_of(each.max(LEAST)) + EDGE, NUMBERS + longest as f64 * DIGIT + 4.0);
    band(&mut svg, fields);
    for (at, field) in fields.iter().enumerate() {
        marks(&mut svg, x_of(at), field);
    }
    for (is_end, x) in [(first, EDGE), (last, x_of(fields.len()))] {
        if is_end && !fields.is_empty() {
            svg.rule((x, TOP), (x, FOOT), 1.2, 1.0);
        }
    }
    svg.finish()
}

/// Where a field begins.
fn x_of(at: usize) -> f64 {
    // A piece has twenty fields at most.
    EDGE + SLOT * at as f64
}

/// Fields that follow each other, examined or not, with one outline: no seams between cows.
fn band(svg: &mut Svg, fields: &[Field]) {
    let mut at = 0;
    for run in fields.chunk_by(|one, other| one.unseen == other.unseen) {
        let unseen = run.first().is_some_and(|one| one.unseen);
        let (back, feet) = (back_edge(at, run), foot_edge(at, run));
        if !unseen {
            let end = x_of(at + run.len());
            svg.add(format_args!(
                "<path d=\"M{back} L{end:.1} {FOOT} L{feet} Z\" fill=\"{HUE}\" \
                 fill-opacity=\"0.3\"/>"
            ));
        }
        let dash = if unseen { " stroke-dasharray=\"2.5 2.5\"" } else { "" };
        svg.add(format_args!(
            "<path d=\"M{back} M{feet}\" fill=\"none\" stroke=\"currentColor\" \
             stroke-width=\"1.2\" stroke-linejoin=\"round\"{dash}/>"
        ));
        for inner in 1..run.len() {
            let x = x_of(at + inner);
            svg.rule((x, TOP), (x, FOOT), 0.5, 0.35);
        }
        at += run.len();
    }
}

/// From left to right, arched where she was scored above the best.
fn back_edge(at: usize, run: &[Field]) -> String {
    let mut path = format!("{:.1} {TOP}", x_of(at));
    for (step, field) in run.iter().enumerate() {
        path.push_str(&arch(x_of(at + step), field.back.unwrap_or(0.0)));
    }
    path
}

/// One field of the upper edge, from its left end.
fn arch(x: f64, back: f64) -> String {
    // The top of a cubic curve is three quarters of the way to its control points.
    let (high, end) = (TOP - back * ARCH / 0.75, x + SLOT);
    format!(" C{:.1} {high:.1} {:.1} {high:.1} {end:.1} {TOP}", x + 2.5, end - 2.5)
}

/// From right to left, cut where there is a lesion.
fn foot_edge(at: usize, run: &[Field]) -> String {
    let mut path = format!("{:.1} {FOOT}", x_of(at + run.len()));
    for (step, field) in run.iter().enumerate().rev() {
        let x = x_of(at + step);
        for (notch, _) in notches(x, field).iter().rev() {
            let [left, tip, right] = notch;
            path.push_str(&format!(
                " L{:.1} {:.1} L{:.1} {:.1} L{:.1} {:.1}",
                right.0, right.1, tip.0, tip.1, left.0, left.1
            ));
        }
        path.push_str(&format!(" L{x:.1} {FOOT}"));
    }
    path
}

/// Corners of each notch from the left, and whether it is new.
fn notches(x: f64, field: &Field) -> Vec<([(f64, f64); 3], bool)> {
    let deep = |steps: u8| DEPTHS[usize::from(steps.clamp(1, 3)) - 1];
    let notch = |middle: f64, half: f64, steps: u8| {
        [(middle - half, FOOT), (middle, FOOT - deep(steps)), (middle + half, FOOT)]
    };
    let middle = x + SLOT / 2.0;
    match (field.new, field.open) {
        (None, None) => Vec::new(),
        (Some(new), None) => vec![(notch(middle, 5.5, new), true)],
        (None, Some(open)) => vec![(notch(middle, 5.5, open), false)],
        (Some(new), Some(open)) => {
            vec![(notch(middle - 4.0, 3.7, new), true), (notch(middle + 4.0, 3.7, open), false)]
        }
    }
}

/// What stands in, above and below a field.
fn marks(svg: &mut Svg, x: f64, field: &Field) {
    let middle = x + SLOT / 2.0;
    let back = field.back.unwrap_or(0.0);
    if let Some(score) = &field.lame {
        svg.add(format_args!(
            "<path d=\"M{x:.1} {TOP}{} Z\" fill=\"currentColor\"/>",
            arch(x, back)
        ));
        svg.strong((middle, TOP - back * ARCH - 2.5), 10.5, Anchor::Middle, score);
    }
    for (corners, new) in notches(x, field) {
        if new {
            let [left, tip, right] = corners;
            svg.add(format_args!(
                "<path d=\"M{:.1} {:.1} L{:.1} {:.1} L{:.1} {:.1} Z\" fill=\"currentColor\"/>",
                left.0, left.1, tip.0, tip.1, right.0, right.1
            ));
        }
    }
    dots(svg, middle, field.blocks);
    if field.vet {
        let score = if field.lame.is_some() { 11.0 } else { 0.0 };
        let y = TOP - back * ARCH - score - 4.0;
        svg.strong((middle, y), 14.0, Anchor::Middle, "!");
    }
    number(svg, middle, field);
}

/// A dot a block; of more than three one dot and how many.
fn dots(svg: &mut Svg, middle: f64, blocks: usize) {
    let mut dot = |x: f64, r: f64| {
        svg.add(format_args!(
            "<circle cx=\"{x:.1}\" cy=\"{DOTS}\" r=\"{r}\" fill=\"currentColor\"/>"
        ));
    };
    match blocks {
        0 => {}
        1 => dot(middle, 4.0),
        2 => [-4.2, 4.2].into_iter().for_each(|by| dot(middle + by, 3.6)),
        3 => [-5.4, 0.0, 5.4].into_iter().for_each(|by| dot(middle + by, 2.5)),
        _ => {
            dot(middle - 4.0, 3.6);
            svg.strong((middle + 4.4, DOTS + 3.4), 9.5, Anchor::Middle, &blocks.to_string());
        }
    }
}

/// Read from below, its end at the band; quieter where there is nothing to tell.
fn number(svg: &mut Svg, middle: f64, field: &Field) {
    let (weight, dense) = if field.tells() { (600, 1.0) } else { (400, 0.75) };
    let (x, text) = (middle + NUMBER * 0.36, super::escaped(&field.number));
    svg.add(format_args!(
        "<text x=\"{x:.1}\" y=\"{NUMBERS}\" font-family=\"{}\" font-size=\"{NUMBER}\" \
         font-weight=\"{weight}\" text-anchor=\"end\" fill=\"currentColor\" \
         fill-opacity=\"{dense}\" transform=\"rotate(-90 {x:.1} {NUMBERS})\">{text}</text>",
        super::FONT
    ));
}
