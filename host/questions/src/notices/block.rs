//! A block on the claw that has the lesion.

use hornrule_casebook::{Block, Case};
use hornrule_facts::What;
use hornrule_protocol::codes::{ActionKind, Burden};
use hornrule_protocol::{Claw, Place, Side};

use super::{Asked, Noticed};

pub(super) fn notices(asked: &Asked<'_>) -> Vec<(Place, Noticed)> {
    let on = asked.book.blocks.iter().filter(|block| block.off.is_none());
    on.filter(|block| was_spoken_of(asked, block))
        .filter_map(|block| {
            let Place::Claw(claw) = block.place else { return None };
            let here = worst(asked, claw)?;
            let partner =
                worst(asked, partner(claw)).map_or((Burden::None, 0), |case| rank(asked, case));
            let case = here.clone();
            let noticed = Noticed::BlockOnLesion { on: block.on, case };
            (rank(asked, here) > partner).then_some((block.place, noticed))
        })
        .collect()
}

/// Glued on the day, or a word of that day about blocks of its claw or foot.
fn was_spoken_of(asked: &Asked<'_>, block: &Block) -> bool {
    let about_blocks = |what| match what {
        What::Action(done) => {
            matches!(done.action.kind, ActionKind::BlockOn | ActionKind::BlockSeen)
        }
        _ => false,
    };
    let here =
        |place: Place| place == block.place || Some(place) == block.place.foot().map(Place::Foot);
    asked.of_day.iter().any(|fact| about_blocks(fact.what) && here(fact.place))
}

/// The worst horn case of a claw.
fn worst<'a>(asked: &'a Asked<'_>, claw: Claw) -> Option<&'a Case> {
    let here = asked
        .cases()
        .filter(|case| case.place == Place::Claw(claw) && Burden::of(case.lesion) > Burden::None);
    here.max_by_key(|case| rank(asked, case))
}

/// How bad, rising.
fn rank(asked: &Asked<'_>, case: &Case) -> (Burden, u8) {
    (Burden::of(case.lesion), case.grade_on(asked.day))
}

const fn partner(claw: Claw) -> Claw {
    let side = match claw.side {
        Side::Lateral => Side::Medial,
        Side::Medial => Side::Lateral,
    };
    Claw { foot: claw.foot, side }
}
