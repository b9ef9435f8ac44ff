//! Blocks still on: a plot a way of gluing, the usual way in each for comparison.

use hornrule_protocol::Action;

use super::{curve, share};
use crate::svg::{Look, Panel, Sheet, Sign};
use crate::words::{Say, Words};
use hornrule_facts::codes::BLOCK_USUAL;
use hornrule_questions::evidence::{BlockWay, Blocks, SEED};

/// The figure; `None` where no way has blocks enough for a curve with a band.
#[must_use]
pub fn blocks(blocks: &Blocks, farms: &str, words: &Words) -> Option<Sheet> {
    let drawn: Vec<&BlockWay> =
        blocks.ways.iter().filter(|way| way.band.told().is_some()).collect();
    let usual = drawn.iter().find(|way| way.action == BLOCK_USUAL).copied();
    let panels: Vec<Panel> =
        drawn.iter().enumerate().map(|(at, way)| panel(way, at, usual, words)).collect();
    if panels.is_empty() {
        return None;
    }
    let mut notes: Vec<String> = drawn.iter().map(|way| counted(way, words)).collect();
    for one in &blocks.against {
        if let (Some(test), Some(p)) = (one.test.told(), one.p_holm) {
            notes.push(words.say(Say::FigureBlocksTest {
                code: one.action.into(),
                shuffles: test.shuffles.into(),
                p: words.decimal(p, 4).into(),
            }));
        }
    }
    let (draws, seed) = (blocks.draws().into(), SEED.into());
    notes.push(words.say(Say::FigureMethodCurve { draws, seed }));
    notes.push(words.say(Say::FigureCautionWays));
    Some(Sheet {
        title: words.say(Say::FigureBlocksTitle),
        subtitle: farms.to_owned(),
        told: words.say(Say::FigureBlocksTold),
        columns: if panels.len() > 1 { 2 } else { 1 },
        panels,
        notes,
    })
}

fn named(way: &BlockWay, words: &Words) -> String {
    let name = Action::from_code(way.action).map(|action| words.action(action));
    format!("{}  {}", way.action, name.unwrap_or_default())
}

fn panel(way: &BlockWay, at: usize, usual: Option<&BlockWay>, words: &Words) -> Panel {
    let look = Look::of(at);
    let mut parts = Vec::new();
    let mut key = vec![(Sign::Both(look), words.say(Say::FigureKeyBand))];
    parts.extend(way.band.told().map(|band| curve::band(look, band)));
    if let Some(usual) = usual.filter(|usual| usual.action != way.action) {
        let thin = Look::of(0).thin();
        parts.extend(usual.curve.told().map(|of| curve::line(thin, of)).unwrap_or_default());
        key.push((Sign::Line(thin), words.say(Say::FigureKeyUsual)));
    }
    parts.extend(way.curve.told().map(|of| curve::line(look, of)).unwrap_or_default());
    parts.extend(way.curve.told().map(|of| curve::marks(look, of)));
    key.push((Sign::Line(Look::UNKNOWN), words.say(Say::FigureKeyBetween)));
    Panel {
        title: named(way, words),
        across: curve::days(words.say(Say::FigureDaysGlued)),
        up: curve::shares(words.say(Say::FigureShareOn), words),
        parts,
        key,
        rows: vec![curve::followed_by(&way.intervals, words)],
    }
}

fn counted(way: &BlockWay, words: &Words) -> String {
    let after = way.without_form_after_28_days.told();
    words.say(Say::FigureBlocksN {
        code: way.action.into(),
        n: way.blocks.into(),
        cows: way.band.told().map_or(0, |band| band.bunches).into(),
        lost: way.lost.into(),
        share: after.map_or_else(String::new, |one| share(words, one)).into(),
    })
}
