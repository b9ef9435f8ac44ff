//! Blocks still on: a plot a way of gluing, the usual way in each for comparison; where ways were
//! drawn, by the way drawn, with the lowest in each.

use hornrule_protocol::Action;

use super::{curve, share};
use crate::svg::{Look, Panel, Sheet, Sign};
use crate::words::{Say, Words};
use hornrule_facts::codes::BLOCK_USUAL;
use hornrule_questions::evidence::{Against, BlockWay, Blocks, SEED};

/// Ways that are shown beside each other: those that were chosen, or those of draws.
struct Series<'a> {
    ways: Vec<&'a BlockWay>,
    against: &'a [Against],
    /// The one that all are held against.
    held: u8,
    drawn: bool,
}

impl<'a> Series<'a> {
    /// Of the ways that have a curve with a band.
    fn of(ways: &'a [BlockWay], against: &'a [Against], drawn: bool) -> Self {
        let lowest = ways.first().filter(|_| drawn);
        let held = lowest.map_or(BLOCK_USUAL, |way| way.action);
        let ways = ways.iter().filter(|way| way.band.told().is_some()).collect();
        Self { ways, against, held, drawn }
    }

    /// Says so of what was drawn.
    fn said(&self, what: String, words: &Words) -> String {
        if !self.drawn {
            return what;
        }
        words.say(Say::FigureDrawn { what: what.into() })
    }

    fn notes(&self, words: &Words) -> Vec<String> {
        let counted = self.ways.iter().map(|way| self.said(counted(way, words), words));
        let tested = self.against.iter().filter_map(|one| {
            let (test, p) = one.test.told().zip(one.p_holm)?;
            let (code, held) = (one.action.into(), self.held.into());
            let (shuffles, p) = (test.shuffles.into(), words.decimal(p, 4).into());
            Some(self.said(words.say(Say::FigureBlocksTest { code, held, shuffles, p }), words))
        });
        counted.chain(tested).collect()
    }
}

/// The figure; `None` where no way has blocks enough for a curve with a band.
#[must_use]
pub fn blocks(blocks: &Blocks, farms: &str, words: &Words) -> Option<Sheet> {
    let chosen = Series::of(&blocks.ways, &blocks.against, false);
    let drawn = blocks.drawn.iter().map(|one| Series::of(&one.as_drawn, &one.against, true));
    let all: Vec<Series<'_>> = std::iter::once(chosen).chain(drawn).collect();
    let mut panels: Vec<Panel> = Vec::new();
    for series in &all {
        let held = series.ways.iter().find(|way| way.action == series.held).copied();
        for way in &series.ways {
            let one = panel(way, panels.len(), held, words);
            panels.push(Panel { title: series.said(one.title, words), ..one });
        }
    }
    if panels.is_empty() {
        return None;
    }
    let mut notes: Vec<String> = all.iter().flat_map(|series| series.notes(words)).collect();
    let (draws, seed) = (blocks.draws().into(), SEED.into());
    notes.push(words.say(Say::FigureMethodCurve { draws, seed }));
    let shown = |drawn: bool| all.iter().any(|one| one.drawn == drawn && !one.ways.is_empty());
    notes.extend(shown(false).then(|| words.say(Say::FigureCautionWays)));
    notes.extend(shown(true).then(|| words.say(Say::FigureCautionDrawn)));
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

fn panel(way: &BlockWay, at: usize, held: Option<&BlockWay>, words: &Words) -> Panel {
    let look = Look::of(at);
    let mut parts = Vec::new();
    let mut key = vec![(Sign::Both(look), words.say(Say::FigureKeyBand))];
    parts.extend(way.band.told().map(|band| curve::band(look, band)));
    if let Some(held) = held.filter(|held| held.action != way.action) {
        let thin = Look::of(0).thin();
        parts.extend(held.curve.told().map(|of| curve::line(thin, of)).unwrap_or_default());
        let name = match held.action {
            BLOCK_USUAL => words.say(Say::FigureKeyUsual),
            _ => named(held, words),
        };
        key.push((Sign::Line(thin), name));
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
