//! A block on the claw that has the lesion.

use hornrule_casebook::{Block, Case};
use hornrule_facts::What;
use hornrule_facts::codes::{BULB_ULCER, SOLE_ULCER, TOE_NECROSIS, TOE_ULCER, WHITE_LINE_ABSCESS};
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::{Claw, Place, Side};

use super::{Asked, Noticed};

/// Live or dead tissue is open, or under pus.
const OPEN: [u8; 5] = [SOLE_ULCER, BULB_ULCER, TOE_ULCER, TOE_NECROSIS, WHITE_LINE_ABSCESS];
/// Horn that is damaged, or shows what lies below it: circumscribed haemorrhage, double sole, white
/// line fissure, white line separation at the heel bulb.
const DAMAGED: [u8; 4] = [12, 17, 21, 23];
/// What says nothing of where a block belongs: thin sole, corkscrew claw, concave dorsal wall.
const LEFT_OUT: [u8; 3] = [18, 52, 54];

pub(super) fn notices(asked: &Asked<'_>) -> Vec<(Place, Noticed)> {
    let on = asked.book.blocks.iter().filter(|block| block.off.is_none());
    on.filter(|block| was_spoken_of(asked, block))
        .filter_map(|block| {
            let Place::Claw(claw) = block.place else { return None };
            let here = worst(asked, claw)?;
            let partner = worst(asked, partner(claw)).map_or((0, 0), |case| rank(asked, case));
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
    let here = asked.cases().filter(|case| {
        case.is_horn() && case.place == Place::Claw(claw) && !LEFT_OUT.contains(&case.lesion.code())
    });
    here.max_by_key(|case| rank(asked, case))
}

/// How bad, rising.
fn rank(asked: &Asked<'_>, case: &Case) -> (u8, u8) {
    let code = case.lesion.code();
    let kind = if OPEN.contains(&code) {
        3
    } else if DAMAGED.contains(&code) {
        2
    } else {
        1
    };
    (kind, case.grade_on(asked.day))
}

const fn partner(claw: Claw) -> Claw {
    let side = match claw.side {
        Side::Lateral => Side::Medial,
        Side::Medial => Side::Lateral,
    };
    Claw { foot: claw.foot, side }
}
