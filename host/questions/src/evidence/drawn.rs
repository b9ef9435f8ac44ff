//! Blocks whose way was drawn: as drawn, as used, and how often the two are the same.
//!
//! ```text
//! draws of ways 1 and 2 --+-- as drawn   every block under the way drawn, whatever was glued
//!                         +-- as used    the same blocks under the way glued
//!                         \-- adherence  glued as drawn, of all; each departure by cow and claw
//! ```
//!
//! The rules are in `host/questions/src/lot/LOT.md`. Only "as drawn" is compared: who departs from
//! the draw chooses.

use std::collections::BTreeMap;

use hornrule_casebook::{Block, Off};
use hornrule_facts::KeptLot;
use hornrule_facts::codes::BLOCK_USUAL;
use hornrule_protocol::Place;
use serde::Serialize;

use super::Bands;
use super::advice::Trust;
use super::blocks::{Against, ByWay, Followed, Way, by_ways, compared};

/// A draw, as an answer names it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DrawTold {
    /// Its number.
    pub draw: i64,
    /// What the farm was called.
    pub farm: String,
    /// From which day it holds.
    pub day: String,
    /// "cow" or "claw".
    pub by: &'static str,
    /// How many cows were drawn.
    pub cows: usize,
    /// Of its list.
    pub sha256: String,
    /// Through which day it held; `None` while it is open.
    pub closed: Option<String>,
    /// How often somebody looked into it while it was open.
    pub looks: usize,
}

impl DrawTold {
    /// Of a draw.
    #[must_use]
    pub fn of(kept: &KeptLot) -> Self {
        let lot = &kept.lot;
        Self {
            draw: lot.lot,
            farm: lot.name.clone(),
            day: lot.day.to_string(),
            by: lot.design.by.word(),
            cows: lot.cows.len(),
            sha256: lot.sha256.clone(),
            closed: kept.closed().map(|day| day.to_string()),
            looks: kept.looks().count(),
        }
    }
}

/// How many blocks were glued as drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Adherence {
    /// Blocks on drawn claws.
    pub blocks: u64,
    /// Of them, glued the way that was drawn.
    pub as_drawn: u64,
}

/// A block that was glued otherwise.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Departure {
    /// What the farm was called.
    pub farm: String,
    /// The number that the cow has now.
    pub cow: i64,
    /// When.
    pub day: String,
    /// LF, RF, LH or RH.
    pub foot: &'static str,
    /// "outer" or "inner".
    pub claw: &'static str,
    /// The action of the way drawn, 11 to 19.
    pub drawn: u8,
    /// The action keyed, 10 to 19.
    pub used: u8,
}

/// Blocks of draws with the same ways.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawnBlocks {
    /// The draws.
    pub draws: Vec<DrawTold>,
    /// By the way drawn.
    pub as_drawn: Vec<Way>,
    /// Each against the lowest.
    pub against: Vec<Against>,
    /// By the way glued.
    pub as_used: Vec<Way>,
    /// How many were glued as drawn.
    pub adherence: Adherence,
    /// Those that were not.
    pub departures: Vec<Departure>,
}

/// Draws with the same ways, and their blocks.
#[derive(Default)]
struct Group {
    draws: BTreeMap<i64, (DrawTold, bool)>,
    as_drawn: ByWay,
    as_used: ByWay,
    adherence: Adherence,
    departures: Vec<Departure>,
}

/// Blocks gathered, by the ways that were drawn from.
#[derive(Default)]
pub(super) struct Drawn(BTreeMap<Vec<u8>, Group>);

impl Drawn {
    pub(super) fn know(&mut self, kept: &KeptLot) {
        let _group = self.group(kept);
    }

    /// The group of a draw, which stands in it.
    fn group(&mut self, kept: &KeptLot) -> &mut Group {
        let group = self.0.entry(kept.lot.design.ways.clone()).or_default();
        let told = || (DrawTold::of(kept), kept.closed().is_some());
        group.draws.entry(kept.lot.lot).or_insert_with(told);
        group
    }

    /// A block on a claw for which this way was drawn.
    pub(super) fn put(&mut self, block: &Block, kept: &KeptLot, way: u8) {
        // Glued, and another one in its place on the same day: that one is the block.
        if block.off.is_some_and(|(day, how)| how == Off::Replaced && day == block.on) {
            return;
        }
        let stratum = u32::try_from(kept.lot.lot).unwrap_or(u32::MAX);
        let Some(followed) = Followed::of(block, stratum) else { return };
        let group = self.group(kept);
        let (drawn, used) = (BLOCK_USUAL + way, followed.way);
        group.adherence.blocks += 1;
        group.adherence.as_drawn += u64::from(drawn == used);
        if drawn != used {
            group.departures.extend(departure(block, kept, drawn, used));
        }
        group.as_used.entry(used).or_default().push(followed.clone());
        group.as_drawn.entry(drawn).or_default().push(followed.under(drawn));
    }

    pub(super) fn answer(&self, difference: f64, bands: Bands) -> Vec<DrawnBlocks> {
        self.0.iter().map(|(ways, group)| group.answer(ways, difference, bands)).collect()
    }
}

impl Group {
    fn answer(&self, ways: &[u8], difference: f64, bands: Bands) -> DrawnBlocks {
        let closed = self.draws.values().all(|(_, closed)| *closed);
        let trust = if closed { Trust::Closed } else { Trust::Open };
        let lowest = BLOCK_USUAL + ways.first().copied().unwrap_or_default();
        let (as_drawn, against) = compared(&self.as_drawn, lowest, difference, bands, trust);
        let mut departures = self.departures.clone();
        departures.sort();
        DrawnBlocks {
            draws: self.draws.values().map(|(told, _)| told.clone()).collect(),
            as_drawn,
            against,
            as_used: by_ways(&self.as_used, bands),
            adherence: self.adherence,
            departures,
        }
    }
}

fn departure(block: &Block, kept: &KeptLot, drawn: u8, used: u8) -> Option<Departure> {
    let Place::Claw(claw) = block.place else { return None };
    Some(Departure {
        farm: kept.lot.name.clone(),
        cow: block.animal.number(),
        day: block.on.to_string(),
        foot: claw.foot.letters(),
        claw: claw.side.common_name(),
        drawn,
        used,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence;
    use crate::lot::{Signed, close, draw};
    use hornrule_facts::lot::{CLAWS, Design, Unit};
    use hornrule_facts::{AnimalId, Day, Herd};
    use hornrule_herd::Database;
    use hornrule_kit::{EIGHT, LH_IN, LH_OUT, RH_OUT, Story, take_in, two_farms};

    const DAY_MS: i64 = 86_400_000;

    fn lindenhof(database: &Database) -> Herd {
        database.herds().unwrap().into_iter().find(|herd| herd.farm == Some(1)).unwrap()
    }

    fn signed(day: Day) -> Signed {
        Signed { day, who: "Anna".to_owned(), at_ms: 1, why: "sanding".to_owned() }
    }

    /// A draw on the day of the story, and the ways of one of its cows.
    fn drawn_at(database: &mut Database, day: Day, by: Unit) -> KeptLot {
        let (herd, seed) = (lindenhof(database), "0123".to_owned());
        let design = Design { by, ways: vec![1, 2], sizes: vec![1, 2], seed };
        draw(database, &herd, design, signed(day)).unwrap()
    }

    fn way(kept: &KeptLot, cow: i64) -> u8 {
        let found = kept.lot.cows.iter().find(|(animal, _)| *animal == AnimalId(cow));
        found.unwrap().1[0]
    }

    fn counts(ways: &[Way]) -> Vec<(u8, u64)> {
        ways.iter().map(|way| (way.action, way.blocks + way.unseen)).collect()
    }

    #[test]
    fn drawn_blocks_stand_as_drawn_and_as_used_and_never_among_the_chosen() {
        let (mut database, _) = two_farms();
        let today = Day((EIGHT / DAY_MS) as i32);
        let kept = drawn_at(&mut database, today, Unit::Cow);
        let [one, other, third] = [312, 313, 351].map(|cow| way(&kept, cow));
        let mut story = Story::at_work();
        // As drawn; another way; first as drawn and then, on the same claw, another way; nobody's
        // cow of the list by the usual way, and a trial way that was chosen.
        story.cow(312).act(10 + one, LH_IN).act(10 + one, RH_OUT);
        story.cow(313).act(13 - other, LH_IN);
        story.cow(351).act(10 + third, LH_OUT).act(10, LH_OUT);
        story.cow(9_999).act(10, LH_IN).act(11, LH_OUT);
        take_in(&mut database, &story);
        let herd = lindenhof(&database).herd;
        let answer = evidence::blocks(&database, &[herd], 0.15, Bands::Left).unwrap();
        assert_eq!(counts(&answer.ways), [(10, 1), (11, 1)], "chosen");
        let [drawn] = &answer.drawn[..] else { panic!("one group of draws") };
        let mut as_drawn = [(11, 0), (12, 0)];
        for (way, many) in [(one, 2), (other, 1), (third, 1)] {
            as_drawn[usize::from(way) - 1].1 += many;
        }
        assert_eq!(
            counts(&drawn.as_drawn),
            as_drawn.into_iter().filter(|x| x.1 > 0).collect::<Vec<_>>()
        );
        assert_eq!(counts(&drawn.as_used)[0], (10, 1), "the last of the day is the block");
        assert_eq!(drawn.adherence, Adherence { blocks: 4, as_drawn: 2 });
        let told = drawn.departures.iter().map(|one| (one.cow, one.drawn, one.used));
        assert_eq!(
            told.collect::<Vec<_>>(),
            [(313, 10 + other, 13 - other), (351, 10 + third, 10)]
        );
        assert_eq!(
            (drawn.draws[0].cows, drawn.draws[0].closed.clone()),
            (kept.lot.cows.len(), None)
        );
    }

    /// 40 cows, and all blocks of one way come off: the page says which way to glue once the draw is
    /// closed, and not before; the same blocks chosen never make it say so.
    #[test]
    fn only_a_closed_draw_advises() {
        let worlds: [(bool, bool); 3] = [(false, false), (true, false), (true, true)];
        let mut said = Vec::new();
        for (drawn, closed) in worlds {
            let (mut database, herd) = two_farms();
            let cows: Vec<u32> = (1..=40).collect();
            let listed = cows
                .iter()
                .map(|cow| hornrule_facts::ListedAnimal::numbered(AnimalId(i64::from(*cow))));
            let listed: Vec<_> = listed.collect();
            database
                .write::<_, hornrule_herd::DatabaseError>(|rows| rows.write_animals(herd, &listed))
                .unwrap();
            let today = Day((EIGHT / DAY_MS) as i32);
            let kept = drawn.then(|| drawn_at(&mut database, today, Unit::Cow));
            // Chosen: the usual way against way 1, so that there is one to hold it against.
            let of = |cow: u32| match &kept {
                Some(kept) => 10 + way(kept, i64::from(cow)),
                None => 10 + u8::from(cow > 20),
            };
            let mut story = Story::at_work();
            for cow in &cows {
                story.cow(*cow).act(of(*cow), LH_IN);
            }
            // Of the worse way most are lost by the 28th day, of the other a few.
            let lost_on = |cow: u32| match (of(cow) == if drawn { 12 } else { 11 }, cow % 10) {
                (true, _) if cow.is_multiple_of(3) => 14,
                (true, 8) => 99,
                (true, _) => 28,
                (false, 3 | 4) => 14,
                (false, 5 | 6) => 28,
                (false, _) => 99,
            };
            for days in [14, 28] {
                story.start().clock(EIGHT + days * DAY_MS).visit(1);
                for cow in cows.iter().filter(|cow| lost_on(**cow) >= days) {
                    story.cow(*cow).act(if lost_on(*cow) == days { 42 } else { 40 }, LH_IN);
                }
            }
            take_in(&mut database, &story);
            if closed {
                let farm = lindenhof(&database);
                close(&mut database, &farm, signed(Day(today.0 + 1))).unwrap();
            }
            let answer = evidence::blocks(&database, &[herd], 0.15, Bands::Left).unwrap();
            let against = match drawn {
                true => &answer.drawn[0].against,
                false => &answer.against,
            };
            let p = against[0].p_holm.unwrap();
            assert!(p < 0.05, "the worlds differ: {p}");
            said.push(against[0].sentence.clone());
        }
        let advises =
            |text: &String| text.contains("glue this way") || text.contains("not this way");
        assert_eq!(said.iter().map(advises).collect::<Vec<_>>(), [false, false, true], "{said:#?}");
        assert!(said[0].contains("trial draw") && said[1].contains("is open"), "{said:#?}");
    }

    #[test]
    fn by_claw_each_claw_has_its_way() {
        let (mut database, herd) = two_farms();
        let today = Day((EIGHT / DAY_MS) as i32);
        let kept = drawn_at(&mut database, today, Unit::Claw);
        let ways = kept.lot.cows.iter().find(|(cow, _)| *cow == AnimalId(312)).unwrap().1;
        let mut story = Story::at_work();
        story.cow(312);
        for (place, way) in ways.into_iter().enumerate() {
            let claw = hornrule_facts::lot::claw_at(place).unwrap();
            story.act(10 + way, Place::Claw(claw));
        }
        take_in(&mut database, &story);
        let answer = evidence::blocks(&database, &[herd], 0.15, Bands::Left).unwrap();
        let adherence = Adherence { blocks: CLAWS as u64, as_drawn: CLAWS as u64 };
        assert_eq!(answer.drawn[0].adherence, adherence);
        assert!(answer.ways.is_empty() && answer.drawn[0].departures.is_empty());
    }
}
