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
    let of_way = facts.iter().filter(|fact| hornrule_facts::codes::BLOCK_USUAL + fact.way == action);
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
