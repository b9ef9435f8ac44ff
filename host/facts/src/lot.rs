//! A draw of trial ways: which way a block is glued on which claw, decided before the first cow.
//! `LOT.md` in the room `questions` is the page of its rules.

use hornrule_protocol::plan::place as place_of;
use hornrule_protocol::{Claw, Foot, Place, Side};

use crate::ids::{AnimalId, Day, HerdId};
use crate::list::{Renumbered, number_after};

/// Claws of a cow.
pub const CLAWS: usize = 8;

/// What a way is drawn for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// One way for all claws of a cow.
    Cow,
    /// A way for each claw.
    Claw,
}

impl Unit {
    /// As the list writes it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cow => "cow",
            Self::Claw => "claw",
        }
    }

    /// From that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Cow, Self::Claw].into_iter().find(|unit| unit.word() == word)
    }
}

/// How ways are drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Design {
    /// What for.
    pub by: Unit,
    /// The ways, 1 to 9, ascending.
    pub ways: Vec<u8>,
    /// How often each way stands in a block: the numbers of which each block draws one.
    pub sizes: Vec<u8>,
    /// The seed.
    pub seed: String,
}

/// A cow's ways, claw by claw: LF outer, LF inner, RF, LH, RH.
pub type Ways = [u8; CLAWS];

/// A draw as it was made. It is never changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// 1, 2, 3, ... in the order in which they were made; 0 before it is kept.
    pub lot: i64,
    /// Whose cows.
    pub herd: HerdId,
    /// What the farm was called.
    pub name: String,
    /// The farm's own day, from which it holds.
    pub day: Day,
    /// How.
    pub design: Design,
    /// Her number on that day, and her ways.
    pub cows: Vec<(AnimalId, Ways)>,
    /// SHA-256 of the list, hexadecimal.
    pub sha256: String,
    /// Who drew.
    pub who: String,
    /// When, UTC.
    pub at_ms: i64,
    /// What for.
    pub why: String,
}

/// What happened to a draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Happened {
    /// Somebody looked into the list while it was open.
    Shown = 1,
    /// It was closed: it holds through that day.
    Closed,
}

/// A note about a draw; notes are only ever added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotNote {
    /// What.
    pub what: Happened,
    /// The farm's own day.
    pub day: Day,
    /// Who.
    pub who: String,
    /// When, UTC.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}

/// The claw whose way stands there; `None` beyond the eighth.
#[must_use]
pub fn claw_at(place: usize) -> Option<Claw> {
    let foot = *Foot::ALL.get(place / 2)?;
    let side = if place.is_multiple_of(2) { Side::Lateral } else { Side::Medial };
    Some(Claw { foot, side })
}

impl Lot {
    /// The list, as it is hashed and published.
    #[must_use]
    pub fn text(&self) -> String {
        let Design { by, ways, sizes, seed } = &self.design;
        let words =
            |numbers: &[u8]| numbers.iter().map(|number| format!(" {number}")).collect::<String>();
        let mut text = format!(
            "hornrule lot 1\nherd {}\nday {}\nby {}\nways{}\nsizes{}\nseed {seed}\ncows {}\n",
            self.name,
            self.day,
            by.word(),
            words(ways),
            words(sizes),
            self.cows.len()
        );
        for (animal, ways) in &self.cows {
            let many = if *by == Unit::Cow { 1 } else { CLAWS };
            let digits: String = ways[..many].iter().map(u8::to_string).collect();
            text += &format!("{} {digits}\n", animal.number());
        }
        text
    }
}

/// A draw with what happened to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptLot {
    /// The draw.
    pub lot: Lot,
    /// Its notes, in the order in which they were made.
    pub notes: Vec<LotNote>,
}

impl KeptLot {
    /// The day through which it holds; `None` while it is open.
    #[must_use]
    pub fn closed(&self) -> Option<Day> {
        self.notes.iter().find(|note| note.what == Happened::Closed).map(|note| note.day)
    }

    /// Who looked into it while it was open.
    pub fn looks(&self) -> impl Iterator<Item = &LotNote> {
        self.notes.iter().filter(|note| note.what == Happened::Shown)
    }

    /// Whether it holds on a day.
    #[must_use]
    pub fn holds_on(&self, day: Day) -> bool {
        self.lot.day <= day && self.closed().is_none_or(|last| day <= last)
    }

    /// The cows with the numbers that they have on a day.
    pub fn cows_on<'a>(
        &'a self,
        steps: &'a [Renumbered],
        day: Day,
    ) -> impl Iterator<Item = (AnimalId, Ways)> + 'a {
        let of = self.lot.day;
        self.lot.cows.iter().map(move |(cow, ways)| (number_after(steps, *cow, of, day), *ways))
    }
}

/// The way of a claw; `None` for a foot or a cow.
#[must_use]
pub fn way_at(ways: &Ways, place: Place) -> Option<u8> {
    match place {
        Place::Claw(claw) => ways.get(usize::from(place_of(claw))).copied(),
        Place::Foot(_) | Place::Cow => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn claws_stand_in_the_order_of_the_page() {
        let all: Vec<Claw> = (0..CLAWS).filter_map(claw_at).collect();
        assert_eq!(all.len(), CLAWS);
        assert!(all.iter().enumerate().all(|(place, claw)| usize::from(place_of(*claw)) == place));
        assert_eq!(claw_at(CLAWS), None);
        let first = Claw { foot: Foot::LeftFore, side: Side::Lateral };
        let last = Claw { foot: Foot::RightHind, side: Side::Medial };
        assert_eq!((all[0], all[7]), (first, last));
        let ways = [1, 2, 3, 4, 5, 6, 7, 8];
        assert_eq!(way_at(&ways, Place::Claw(last)), Some(8));
        assert_eq!(way_at(&ways, Place::Foot(Foot::LeftFore)), None);
    }
}
