//! The claw map: the sole of a lifted foot as the trimmer sees it, with the number of each zone.
//!
//! ```text
//!    9   10   9      heels up, toes down: one drawing for all four feet
//!   ( 6 )( 6 )       left claw:  a left foot's outer, a right foot's inner claw
//!    \1/  \1/        right claw: a left foot's inner, a right foot's outer claw
//! ```
//!
//! Why it is so for each foot: `DRAWINGS.md`. The outline is our own. Zones 0 to 12 are those of the
//! map that the records name.

use super::{Anchor, SPARE, Svg, lines_of};

/// One claw, its abaxial edge on the left, its toe at the top; 56 wide, 106 high. It is drawn the
/// other way up.
const OUTLINE: &str = "M34 2 C18 6 4 24 2 50 C1 66 3 80 9 90 C15 101 26 105 34 104 \
                       C46 103 54 92 54 76 C54 60 50 52 50 40 C50 24 46 8 34 2 Z";
/// Where the wall ends and the sole begins.
const WHITE_LINE: &str = "M16 76 C15 60 17 37 27 23 C31 17.5 36 15.5 40 21";
/// Where the sole ends and the bulb begins.
const BULB: &str = "M16 76 C19 72 23 69.5 28.5 68 M47.5 66.5 L53 68";
/// Between toe, side and heel of the white line.
const PARTS: &str = "M2.4 56 L15.4 56 M13.5 20 L25.5 25";
const CLAW: (f64, f64) = (56.0, 106.0);
/// Between the two claws of a foot.
const CLEFT: f64 = 46.0;
const FOOT_WIDE: f64 = CLAW.0 * 2.0 + CLEFT;
/// The skin above the heels, in the foot: pastern and dewclaws.
const SKIN: &str = "M16 6 C26 -6 32 -16 34 -29 M142 6 C132 -6 126 -16 124 -29 \
                    M46 -20 a8 5.5 0 1 0 16 0 a8 5.5 0 1 0 -16 0 \
                    M96 -20 a8 5.5 0 1 0 16 0 a8 5.5 0 1 0 -16 0";
/// Beside the foot, and above and below it.
const EDGE: f64 = 24.0;
const ABOVE: f64 = 32.0;
const BELOW: f64 = 40.0;
/// Below a map without words: room for the zone at the toe.
const BELOW_CARD: f64 = 18.0;
const WORD: f64 = 9.5;

/// The words beside the drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClawWords {
    /// "left foot: outer", "right foot: inner".
    pub left: [String; 2],
    /// "left foot: inner", "right foot: outer".
    pub right: [String; 2],
}

/// Where the number of a zone stands on a claw that is drawn with its abaxial edge on the left and
/// its toe up.
const ON_CLAW: [(u8, (f64, f64)); 10] = [
    (1, (31.0, 10.5)),
    (2, (9.6, 42.0)),
    (3, (10.0, 67.0)),
    (4, (38.0, 66.5)),
    (5, (32.0, 42.0)),
    (6, (32.0, 90.0)),
    (7, (26.0, -10.0)),
    (8, (-11.0, 52.0)),
    (11, (61.0, 20.0)),
    (12, (63.0, 44.0)),
];

/// Where the number of a zone stands that belongs to no claw, in the foot, heels up.
const ON_FOOT: [(u8, (f64, f64)); 4] = [
    (0, (FOOT_WIDE / 2.0, 34.0)),
    (10, (FOOT_WIDE / 2.0, -4.0)),
    (9, (8.0, -12.0)),
    (9, (FOOT_WIDE - 8.0, -12.0)),
];

/// The map alone, as the card has it: what would be small print there stands below it in the card's
/// own type.
#[must_use]
pub fn claw_map() -> String {
    let mut svg = Svg::new(FOOT_WIDE + 2.0 * EDGE, ABOVE + CLAW.1 + BELOW_CARD);
    foot(&mut svg, 15.0);
    svg.finish()
}

/// The map with the zones' names beside it, as reports have it.
#[must_use]
pub fn named_claw_map(words: &ClawWords, zones: &[(String, String)]) -> String {
    const WIDE: f64 = 360.0;
    const NAME: f64 = 10.2;
    const LINE: f64 = 11.6;
    let left = FOOT_WIDE + 2.0 * EDGE + 6.0;
    let names: Vec<(&str, Vec<String>)> = zones
        .iter()
        .map(|(zone, name)| (zone.as_str(), lines_of(name, NAME, (WIDE - left - 22.0) * SPARE)))
        .collect();
    // A page's zones: thirteen.
    let lines = names.iter().map(|(_, lines)| lines.len()).sum::<usize>() as f64;
    let gaps = 1.5 * names.len() as f64;
    let mut svg = Svg::new(WIDE, (ABOVE + CLAW.1 + BELOW).max(lines * LINE + gaps + 6.0));
    foot(&mut svg, 13.0);
    said(&mut svg, words);
    let mut y = 10.0;
    for (zone, lines) in names {
        svg.strong((left + 18.0, y), NAME, Anchor::End, zone);
        for line in lines {
            svg.text((left + 22.0, y), NAME, Anchor::Start, &line);
            y += LINE;
        }
        y += 1.5;
    }
    svg.finish()
}

/// Which claw it is, below each.
fn said(svg: &mut Svg, words: &ClawWords) {
    for (left, [upper, lower]) in [(true, &words.left), (false, &words.right)] {
        let (x, y) = placed((EDGE, ABOVE), left, (CLAW.0 / 2.0 - 4.0, 0.0));
        svg.text((x, y + 26.0), WORD, Anchor::Middle, upper);
        svg.text((x, y + 37.0), WORD, Anchor::Middle, lower);
    }
}

fn foot(svg: &mut Svg, size: f64) {
    let origin = (EDGE, ABOVE);
    svg.add(format_args!(
        "<path d=\"{SKIN}\" transform=\"translate({EDGE} {ABOVE})\" fill=\"none\" \
         stroke=\"currentColor\" stroke-width=\"0.9\" stroke-opacity=\"0.55\"/>"
    ));
    for left in [true, false] {
        outline(svg, origin, left);
        for (zone, at) in ON_CLAW {
            let (x, y) = placed(origin, left, at);
            svg.strong((x, y + size * 0.36), size, Anchor::Middle, &zone.to_string());
        }
    }
    for (zone, (x, y)) in ON_FOOT {
        let at = (origin.0 + x, origin.1 + y + size * 0.36);
        svg.strong(at, size, Anchor::Middle, &zone.to_string());
    }
}

/// A place of a claw in the drawing: toes go down, and what stands on the right is turned over.
fn placed(origin: (f64, f64), left: bool, (x, y): (f64, f64)) -> (f64, f64) {
    // The abaxial edge of either claw is the outer edge of the foot.
    let x = if left { x } else { FOOT_WIDE - x };
    (origin.0 + x, origin.1 + CLAW.1 - y)
}

fn outline(svg: &mut Svg, origin: (f64, f64), left: bool) {
    let (turn, x) = if left { (1, origin.0) } else { (-1, origin.0 + FOOT_WIDE) };
    let y = origin.1 + CLAW.1;
    svg.add(format_args!(
        "<g transform=\"translate({x:.1} {y:.1}) scale({turn} -1)\" fill=\"none\" \
         stroke=\"currentColor\" stroke-linecap=\"round\"><path d=\"{OUTLINE}\" \
         stroke-width=\"1.5\"/><path d=\"{WHITE_LINE}\" stroke-width=\"0.7\" \
         stroke-opacity=\"0.55\"/><path d=\"{BULB}\" stroke-width=\"0.7\" \
         stroke-opacity=\"0.55\"/><path d=\"{PARTS}\" stroke-width=\"0.7\" \
         stroke-opacity=\"0.55\"/></g>"
    ));
}
