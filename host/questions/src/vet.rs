//! What the vet is told: the cows that a visit refers, each with the history of the feet it is about.

use std::collections::BTreeSet;

use hornrule_casebook::{Block, Case, Wrap};
use hornrule_facts::{AnimalId, Day, Duty, HerdId, ListedAnimal};
use hornrule_herd::{Database, DatabaseError};
use hornrule_protocol::{Foot, Place};

use crate::cow::CowHistory;
use crate::visit::due::{Due, Vet};
use crate::visit::{CowLine, Name, VisitReport};

/// A letter.
#[derive(Clone, Debug, PartialEq)]
pub struct VetLetter {
    /// The visit that it is about.
    pub report: VisitReport,
    /// The cows that it refers, in the order of their numbers.
    pub cows: Vec<Referred>,
    /// Referrals of earlier visits that nobody has answered yet.
    pub waiting: Vec<Due>,
}

/// A cow for the vet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Referred {
    /// Who.
    pub name: Name,
    /// As the herd list has her.
    pub listed: Option<ListedAnimal>,
    /// Her electronic tag.
    pub tag: Option<String>,
    /// Why now: what this visit raised, the most urgent first.
    pub why: Vec<Vet>,
    /// What was said of her that day.
    pub line: CowLine,
    /// What is known of the feet it is about, the newest first.
    pub history: Vec<Past>,
}

/// Something that is known of a foot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Past {
    /// A lesion.
    Case(Case),
    /// A block.
    Block(Block),
    /// A wrap.
    Wrap(Wrap),
}

impl Past {
    /// The day it began.
    #[must_use]
    pub const fn since(&self) -> Day {
        match self {
            Self::Case(case) => case.found,
            Self::Block(block) => block.on,
            Self::Wrap(wrap) => wrap.on,
        }
    }

    /// Its claw or foot.
    #[must_use]
    pub const fn place(&self) -> Place {
        match self {
            Self::Case(case) => case.place,
            Self::Block(block) => block.place,
            Self::Wrap(wrap) => Place::Foot(wrap.foot),
        }
    }
}

impl VetLetter {
    /// Gathers the letter of a herd and day; `None` where there is no such herd.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(
        database: &Database,
        herd: HerdId,
        day: Day,
    ) -> Result<Option<Self>, DatabaseError> {
        let Some(report) = VisitReport::gather(database, herd, day)? else { return Ok(None) };
        let who: BTreeSet<AnimalId> = report.vet.iter().map(|one| one.name.animal).collect();
        let mut cows = Vec::new();
        for line in report.cows.iter().filter(|cow| who.contains(&cow.name.animal)) {
            let history = CowHistory::gather_through(database, herd, line.name.animal, day)?;
            cows.extend(history.map(|history| referred(&report, line, history)));
        }
        let asked = |due: &&Due| due.duty == Duty::Vet;
        let waiting = report.due.iter().filter(asked).cloned().collect();
        Ok(Some(Self { report, cows, waiting }))
    }
}

fn referred(report: &VisitReport, line: &CowLine, history: CowHistory) -> Referred {
    let why: Vec<Vet> = report.vet.iter().filter(|one| one.name == line.name).cloned().collect();
    let feet = feet(&why);
    let tag = history.tag();
    let CowHistory { name, listed, book, .. } = history;
    let cases = book.cases.into_iter().map(Past::Case);
    let blocks = book.blocks.into_iter().map(Past::Block);
    let wraps = book.wraps.into_iter().map(Past::Wrap);
    let about = |past: &Past| past.place().foot().is_none_or(|foot| feet.contains(&foot));
    let mut past: Vec<Past> = cases.chain(blocks).chain(wraps).filter(about).collect();
    past.sort_by_key(|one| std::cmp::Reverse(one.since()));
    Referred { name, listed, tag, why, line: line.clone(), history: past }
}

/// The feet that a letter is about; all of them where it is the cow.
fn feet(why: &[Vet]) -> BTreeSet<Foot> {
    let named: BTreeSet<Foot> = why.iter().filter_map(|one| one.place.foot()).collect();
    if why.iter().any(|one| one.place == Place::Cow) { Foot::ALL.into() } else { named }
}
