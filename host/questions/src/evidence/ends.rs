//! How blocks of a way ended, and what is known of how they were glued. `CASES.md` in the casebook's folder
//! says what each reason means.

use hornrule_casebook::{Block, Off, Reason};
use hornrule_facts::{Day, WayFact, way_on};
use serde::Serialize;

/// Blocks taken off by us, by the reason given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct TakenOff {
    /// Without one.
    pub no_reason: u64,
    /// Their work was done.
    pub done: u64,
    /// Worn down.
    pub worn: u64,
    /// Loose: among those lost.
    pub loose: u64,
    /// Twisted: among those lost.
    pub twisted: u64,
    /// The claw was sore.
    pub sore: u64,
}

/// All blocks of a way, also those never seen again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Ends {
    /// Glued.
    pub glued: u64,
    /// Of them on cold claws.
    pub glued_cold: u64,
    /// Of them on wet claws.
    pub glued_wet: u64,
    /// Not known to be off.
    pub still_on: u64,
    /// Found lost.
    pub found_lost: u64,
    /// Taken off by us.
    pub taken_off: TakenOff,
    /// Off otherwise: replaced, trimmed over, told to the office, amputated.
    pub otherwise: u64,
}

impl Ends {
    /// One block more.
    pub(super) fn add(&mut self, block: &Block) {
        self.glued += 1;
        self.glued_cold += u64::from(block.cold);
        self.glued_wet += u64::from(block.wet);
        let taken = &mut self.taken_off;
        *match (block.off.map(|(_, how)| how), block.reason) {
            (None, _) => &mut self.still_on,
            (Some(Off::Lost), _) => &mut self.found_lost,
            (Some(Off::TakenOff), None) => &mut taken.no_reason,
            (Some(Off::TakenOff), Some(Reason::Done)) => &mut taken.done,
            (Some(Off::TakenOff), Some(Reason::Worn)) => &mut taken.worn,
            (Some(Off::TakenOff), Some(Reason::Loose)) => &mut taken.loose,
            (Some(Off::TakenOff), Some(Reason::Twisted)) => &mut taken.twisted,
            (Some(Off::TakenOff), Some(Reason::Sore)) => &mut taken.sore,
            (Some(Off::Replaced | Off::Trimmed | Off::Told | Off::Amputated), _) => {
                &mut self.otherwise
            }
        } += 1;
    }
}

/// What a way was over days, and how many blocks were glued by it on them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Period {
    /// The first day.
    pub since: String,
    /// The last day; none where it holds on.
    pub through: Option<String>,
    /// What the block is made of.
    pub material: String,
    /// Which glue, and its batch.
    pub glue: String,
    /// How the sole was made ready.
    pub surface: String,
    /// Height of the block, millimetres.
    pub height_mm: Option<f64>,
    /// Blocks glued by this way while it held.
    pub blocks: u64,
}

/// The periods of a way, and how many of its blocks were glued on days of which nobody said anything.
pub(super) fn periods(facts: &[WayFact], action: u8, glued: &[Day]) -> (Vec<Period>, u64) {
    let held = |day: &Day| way_on(facts, action, *day);
    let of_way =
        facts.iter().filter(|fact| hornrule_facts::codes::BLOCK_USUAL + fact.way == action);
    let period = |fact: &WayFact| Period {
        since: fact.since.to_string(),
        through: fact.through.map(|day| day.to_string()),
        material: fact.material.clone(),
        glue: fact.glue.clone(),
        surface: fact.surface.clone(),
        height_mm: fact.height.map(hornrule_protocol::Nanometres::as_mm),
        blocks: glued.iter().filter(|day| held(day) == Some(fact)).count() as u64,
    };
    let without = glued.iter().filter(|day| held(day).is_none()).count() as u64;
    (of_way.map(period).collect(), without)
}

#[cfg(test)]
mod tests {
    use hornrule_herd::{Database, Kinds};
    use hornrule_kit::{LH, LH_IN, Story, import, take_in};

    use super::*;
    use crate::evidence::{Bands, BlockWay, blocks};

    const DAY: u64 = 86_400_000;

    /// One cow a reason, glued on one day, looked at after a week and taken off after two.
    fn ways() -> (Database, Vec<BlockWay>) {
        let mut herd = Database::in_memory().unwrap();
        let farm = import(&mut herd, "Lindenhof", 1, "number\n1\n2\n3\n4\n5\n6\n7\n");
        let mut story = Story::at_work();
        for cow in 1..=7 {
            story.cow(cow).act(10, LH_IN);
        }
        story.find(77, 0, LH).find(77, 0, LH).find(78, 0, LH).left().wait(7 * DAY);
        for cow in 1..=7 {
            story.cow(cow).act(40, LH_IN);
        }
        story.left().wait(7 * DAY);
        for (cow, code) in (1..=7).zip([41, 43, 44, 45, 46, 47, 42]) {
            story.cow(cow).act(code, LH_IN);
        }
        take_in(&mut herd, &story.left().clone());
        let told = blocks(&herd, &[farm], 0.15, Bands::Left).unwrap();
        let facts = herd.facts(farm, hornrule_herd::Span::EVER, Kinds::ACTIONS).unwrap();
        let glued = facts.first().unwrap().day;
        let fact = |since: Day, material: &str| WayFact {
            way: 0,
            since,
            through: None,
            material: material.to_owned(),
            glue: String::new(),
            surface: String::new(),
            height: None,
            who: "Anna".to_owned(),
            at_ms: 0,
        };
        herd.set_way_fact(&fact(glued, "wood")).unwrap();
        herd.set_way_fact(&fact(glued.plus(1), "foam")).unwrap();
        let held = herd.way_facts().unwrap();
        (herd, told.with_facts(&held).ways)
    }

    /// CASES.md, "What a reason says of the gluing".
    #[test]
    fn loose_and_twisted_are_lost_and_the_others_held_until_that_day() {
        let (_, ways) = ways();
        let way = &ways[0];
        let taken_off = TakenOff { no_reason: 1, done: 1, worn: 1, loose: 1, twisted: 1, sore: 1 };
        let expected = Ends {
            glued: 7,
            glued_cold: 1,
            glued_wet: 1,
            still_on: 0,
            found_lost: 1,
            taken_off,
            otherwise: 0,
        };
        assert_eq!(way.ends, expected);
        assert_eq!((way.blocks, way.lost), (7, 3));
        let came_off = way.intervals.iter().filter(|one| one.happened()).count();
        assert_eq!(came_off, 3, "{:?}", way.intervals);
        // Looked at in the time of the first recheck: four were on.
        let share = way.at_recheck.told().unwrap();
        assert!((share.value - 4.0 / 7.0).abs() < 1e-9, "{share:?}");
    }

    #[test]
    fn blocks_are_counted_under_what_the_way_was_when_they_were_glued() {
        let (_, ways) = ways();
        let held: Vec<(&str, u64)> =
            ways[0].facts.iter().flatten().map(|one| (one.material.as_str(), one.blocks)).collect();
        assert_eq!(held, [("wood", 7), ("foam", 0)]);
        assert_eq!(ways[0].without_facts, Some(0));
    }
}
