//! Lesions not yet healed: a plot a lesion, or a severity.

use hornrule_protocol::codes::Grades;
use hornrule_protocol::{Action, Lesion};

use super::{curve, estimate, share};
use crate::svg::{Look, Panel, Sheet, Sign};
use crate::words::{Say, Words};
use hornrule_facts::codes::BLOCK_USUAL;
use hornrule_questions::evidence::{Group, Healing, Kind, SEED};

/// Plots that a sheet has room for.
const MOST: usize = 6;

/// The figure of the groups of a kind, those with the most cases first; `None` where none has
/// cases enough.
#[must_use]
pub fn healing(healing: &Healing, kind: Kind, farms: &str, words: &Words) -> Option<Sheet> {
    let of_kind = healing.groups.iter().filter(|group| group.kind == kind);
    let (mut drawn, few): (Vec<&Group>, Vec<&Group>) =
        of_kind.partition(|group| group.band.told().is_some());
    if drawn.is_empty() {
        return None;
    }
    if kind != Kind::Severity {
        drawn.sort_by_key(|group| std::cmp::Reverse(group.cases));
    }
    let rest = drawn.split_off(drawn.len().min(MOST));
    let mut notes: Vec<String> = drawn.iter().map(|group| counted(group, words)).collect();
    let left: Vec<String> = rest.iter().chain(&few).map(|group| named(group, words)).collect();
    if !left.is_empty() {
        notes.push(words.say(Say::FigureLeftOut { what: left.join("; ").into() }));
    }
    let (draws, seed) = (healing.draws().into(), SEED.into());
    notes.push(words.say(Say::FigureMethodCurve { draws, seed }));
    notes.push(words.say(Say::FigureCautionHealing));
    let panels: Vec<Panel> =
        drawn.iter().enumerate().map(|(at, group)| panel(group, at, words)).collect();
    Some(Sheet {
        title: words.say(Say::FigureHealingTitle),
        subtitle: farms.to_owned(),
        told: words.say(Say::FigureHealingTold),
        columns: if panels.len() > 1 { 2 } else { 1 },
        panels,
        notes,
    })
}

fn named(group: &Group, words: &Words) -> String {
    match group.kind {
        Kind::Action if group.code == BLOCK_USUAL => Some(words.say(Say::FigureBlockAnyWay)),
        Kind::Action => Action::from_code(group.code).map(|action| words.action(action)),
        Kind::Lesion => Lesion::from_code(group.code).map(|lesion| words.lesion(lesion)),
        Kind::Severity => Lesion::all()
            .find(|lesion| lesion.grades == Grades::Severity)
            .and_then(|lesion| words.grade(lesion, group.code)),
    }
    .unwrap_or_else(|| group.what.clone())
}

fn panel(group: &Group, at: usize, words: &Words) -> Panel {
    let look = Look::of(at);
    let mut parts = Vec::new();
    parts.extend(group.band.told().map(|band| curve::band(look, band)));
    parts.extend(group.curve.told().map(|of| curve::line(look, of)).unwrap_or_default());
    parts.extend(group.curve.told().map(|of| curve::marks(look, of)));
    Panel {
        title: named(group, words),
        across: curve::days(words.say(Say::FigureDaysFound)),
        up: curve::shares(words.say(Say::FigureShareOpen), words),
        parts,
        key: vec![
            (Sign::Both(look), words.say(Say::FigureKeyBand)),
            (Sign::Line(Look::UNKNOWN), words.say(Say::FigureKeyBetween)),
        ],
        rows: vec![curve::followed_by(&group.intervals, words)],
    }
}

fn counted(group: &Group, words: &Words) -> String {
    let after = group.without_form_after_28_days.told();
    let half = group.half_healed.told();
    words.say(Say::FigureHealingN {
        what: named(group, words).into(),
        n: group.cases.into(),
        cows: group.band.told().map_or(0, |band| band.bunches).into(),
        healed: group.healed.into(),
        share: after.map_or_else(String::new, |one| share(words, one)).into(),
        days: half.map_or_else(String::new, |one| estimate(words, one, 0)).into(),
    })
}
