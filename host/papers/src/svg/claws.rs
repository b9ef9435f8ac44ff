//! The four feet from below, with a number at each zone that has a lesion.
//!
//! ```text
//!   LF        RF      head up, as if one looked down through the cow: her left is on the left
//!   LH        RH      each foot: two claws, toes up, outer claw to the outside
//! ```
//!
//! The outline is our own drawing. Zones 0 to 12 are those of the map that the records name.

use hornrule_protocol::{Claw, Foot, Side};
use hornrule_questions::visit::Spot;

use super::{Anchor, HUE, Svg};

/// One claw, its outer edge on the left, its toe at the top; 56 wide, 106 high.
const OUTLINE: &str = "M34 2 C18 6 4 24 2 50 C1 66 3 80 9 90 C15 101 26 105 34 104 \
                       C46 103 54 92 54 76 C54 60 50 52 50 40 C50 24 46 8 34 2 Z";
/// Where the wall ends and the sole begins.
const WHITE_LINE: &str = "M9 76 C6 60 8 34 22 18 C28 11 36 9 40 18";
/// Where the sole ends and the bulb begins.
const BULB: &str = "M9 76 C20 66 40 62 53 68";
const CLAW: (f64, f64) = (56.0, 106.0);
/// Between the two claws of a foot.
const CLEFT: f64 = 26.0;
const FOOT_WIDE: f64 = CLAW.0 * 2.0 + CLEFT;
/// Around a foot: room for the zones of wall and skin.
const EDGE: f64 = 26.0;

/// Where the number of a zone stands on a claw that is drawn with its outer edge on the left.
const fn on_claw(zone: u8) -> Option<(f64, f64)> {
    Some(match zone {
        1 => (32.0, 15.0),
        2 => (10.0, 46.0),
        3 => (12.0, 74.0),
        4 => (38.0, 66.0),
        5 => (32.0, 42.0),
        6 => (32.0, 90.0),
        7 => (6.0, 10.0),
        8 => (-10.0, 54.0),
        11 => (56.0, 22.0),
        12 => (58.0, 48.0),
        _ => return None,
    })
}

/// Where the number of a zone stands that belongs to no claw, in the foot.
const fn on_foot(zone: u8) -> (f64, f64) {
    match zone {
        0 => (FOOT_WIDE / 2.0, 72.0),
        10 => (FOOT_WIDE / 2.0, 112.0),
        _ => (FOOT_WIDE / 2.0, -6.0),
    }
}

/// Draws the map. `foot` and `side` give the words beside the drawing.
#[must_use]
pub fn claw_map(
    spots: &[Spot],
    foot: impl Fn(Foot) -> String,
    side: impl Fn(Side) -> String,
) -> String {
    let cell = (FOOT_WIDE + 2.0 * EDGE, CLAW.1 + 58.0);
    let mut svg = Svg::new(2.0 * cell.0, 2.0 * cell.1);
    let most = spots.iter().map(|spot| spot.count).max().unwrap_or(1).max(1);
    for (at, of) in Foot::ALL.into_iter().enumerate() {
        let column = if at % 2 == 0 { 0.0 } else { cell.0 };
        let row = if at < 2 { 0.0 } else { cell.1 };
        let origin = (column + EDGE, row + 32.0);
        svg.strong((origin.0 + FOOT_WIDE / 2.0, row + 13.0), 13.0, Anchor::Middle, &foot(of));
        for of_side in [Side::Lateral, Side::Medial] {
            outline(&mut svg, origin, Claw { foot: of, side: of_side });
            let (x, _) = placed(origin, Claw { foot: of, side: of_side }, (CLAW.0 / 2.0, 0.0));
            let word = (x, origin.1 + CLAW.1 + 19.0);
            svg.text(word, 10.0, Anchor::Middle, &side(of_side));
        }
        for spot in spots.iter().filter(|spot| spot.foot == of) {
            let on = spot.side.and_then(|side| {
                Some(placed(origin, Claw { foot: of, side }, on_claw(spot.zone)?))
            });
            let skin = on_foot(spot.zone);
            let at = on.unwrap_or((origin.0 + skin.0, origin.1 + skin.1));
            mark(&mut svg, at, spot.count, most);
        }
    }
    svg.finish()
}

/// One foot, with the number of each zone where the zone is: those of wall, white line, sole and
/// bulb on the outer claw, those of the skin between and around.
#[must_use]
pub fn zone_map(side: impl Fn(Side) -> String) -> String {
    let mut svg = Svg::new(FOOT_WIDE + 2.0 * EDGE, CLAW.1 + 44.0);
    let origin = (EDGE, 20.0);
    for of_side in [Side::Lateral, Side::Medial] {
        let claw = Claw { foot: Foot::LeftHind, side: of_side };
        outline(&mut svg, origin, claw);
        let (x, _) = placed(origin, claw, (CLAW.0 / 2.0, 0.0));
        svg.text((x, origin.1 + CLAW.1 + 18.0), 10.0, Anchor::Middle, &side(of_side));
        for zone in 0..=12 {
            let Some(at) = on_claw(zone) else { continue };
            let (x, y) = placed(origin, claw, at);
            // The inner claw has the same zones; their numbers stand once.
            if of_side == Side::Lateral {
                svg.strong((x, y + 4.0), 11.0, Anchor::Middle, &zone.to_string());
            }
        }
    }
    for zone in [0, 9, 10] {
        let (x, y) = on_foot(zone);
        svg.strong((origin.0 + x, origin.1 + y + 4.0), 11.0, Anchor::Middle, &zone.to_string());
    }
    svg.finish()
}

/// Whether a claw stands on the left of its foot in the drawing.
fn on_the_left(claw: Claw) -> bool {
    let left = matches!(claw.foot, Foot::LeftFore | Foot::LeftHind);
    left == (claw.side == Side::Lateral)
}

/// A spot of a claw in the drawing: what stands on the right is turned over.
fn placed(origin: (f64, f64), claw: Claw, (x, y): (f64, f64)) -> (f64, f64) {
    // The outer edge of an outer claw and the inner edge of an inner one are the same side of the
    // horn: the abaxial one. So the claw on the left has it on the left, and the other on the
    // right.
    let x = if on_the_left(claw) { x } else { FOOT_WIDE - x };
    (origin.0 + x, origin.1 + y)
}

fn outline(svg: &mut Svg, origin: (f64, f64), claw: Claw) {
    let (turn, x) = if on_the_left(claw) { (1, origin.0) } else { (-1, origin.0 + FOOT_WIDE) };
    let y = origin.1;
    svg.add(format_args!(
        "<g transform=\"translate({x:.1} {y:.1}) scale({turn} 1)\" fill=\"none\" \
         stroke=\"currentColor\" stroke-linecap=\"round\"><path d=\"{OUTLINE}\" \
         stroke-width=\"1.5\"/><path d=\"{WHITE_LINE}\" stroke-width=\"0.7\" \
         stroke-opacity=\"0.55\"/><path d=\"{BULB}\" stroke-width=\"0.7\" \
         stroke-opacity=\"0.55\"/></g>"
    ));
}

/// A disc whose hue is the denser the more there are, with their number.
fn mark(svg: &mut Svg, (x, y): (f64, f64), count: usize, most: usize) {
    // Counts of a day are small.
    let dense = 0.18 + 0.42 * (count as f64 / most as f64);
    svg.add(format_args!(
        "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"10\" fill=\"{HUE}\" fill-opacity=\"{dense:.2}\" \
         stroke=\"{HUE}\" stroke-width=\"1\"/>"
    ));
    svg.strong((x, y + 4.3), 12.0, Anchor::Middle, &count.to_string());
}
