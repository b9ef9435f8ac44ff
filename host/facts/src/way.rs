//! What a way of gluing a block was on which days: material, glue, surface, height.

use hornrule_protocol::Nanometres;

use crate::codes::BLOCK_USUAL;
use crate::ids::Day;

/// A way of gluing over days, as the office was told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayFact {
    /// The way: 0 the usual one, 1 to 9 the trial ways.
    pub way: u8,
    /// The first day.
    pub since: Day,
    /// The last day; `None`: until the next facts of this way begin.
    pub through: Option<Day>,
    /// What the block is made of; empty where nobody said.
    pub material: String,
    /// Which glue, and its batch; empty where nobody said.
    pub glue: String,
    /// How the sole was made ready; empty where nobody said.
    pub surface: String,
    /// Height of the block as it is glued on.
    pub height: Option<Nanometres>,
    /// Who said so.
    pub who: String,
    /// When that was noted, UTC milliseconds.
    pub at_ms: i64,
}

/// What held of the way that an action glues by (10 to 19), on a day. Of several the one that began last,
/// which ends those before it.
#[must_use]
pub fn way_on(facts: &[WayFact], action: u8, day: Day) -> Option<&WayFact> {
    let began = |fact: &&WayFact| BLOCK_USUAL + fact.way == action && fact.since <= day;
    let last = facts.iter().filter(began).max_by_key(|fact| fact.since)?;
    last.through.is_none_or(|through| day <= through).then_some(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fact(way: u8, since: i32, through: Option<i32>) -> WayFact {
        WayFact {
            way,
            since: Day(since),
            through: through.map(Day),
            material: String::new(),
            glue: String::new(),
            surface: String::new(),
            height: None,
            who: String::new(),
            at_ms: 0,
        }
    }

    #[test]
    fn the_facts_that_began_last_hold_until_they_end() {
        let facts = [fact(0, 10, None), fact(0, 20, Some(25)), fact(1, 12, None)];
        let on = |action, day| way_on(&facts, action, Day(day)).map(|one| one.since.0);
        assert_eq!(on(10, 9), None);
        assert_eq!(on(10, 10), Some(10));
        assert_eq!(on(10, 19), Some(10));
        assert_eq!(on(10, 25), Some(20));
        assert_eq!(on(10, 26), None, "ended, and nothing is known of the days after it");
        assert_eq!(on(11, 26), Some(12));
        assert_eq!(on(12, 26), None);
    }
}
