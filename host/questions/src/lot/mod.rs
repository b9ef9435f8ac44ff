//! The lot: which trial way a block is glued by, drawn before the first cow. `LOT.md` beside this
//! file is the page of its rules.
//!
//! ```text
//! herd list, ways, seed --insight::lot--> Lot --> kept in the database, its SHA-256 published
//!                                          |--> plan: each cow's ways
//!                                          \--> evidence: was this block's way drawn or chosen?
//! ```

mod proof;

pub use proof::{Proof, proof};

use std::collections::{BTreeMap, BTreeSet};

use hornrule_facts::lot::{CLAWS, Design, Happened, Unit, Ways, way_at};
use hornrule_facts::{AnimalId, Day, Herd, HerdId, KeptLot, Lot, LotNote};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};
use hornrule_insight::lot::{permuted_blocks, sha256};
use hornrule_protocol::Place;

/// Most letters of a seed.
pub const SEED_LETTERS: usize = 64;
/// How often each way stands in a block, unless it is said.
pub const SIZES: [u8; 3] = [1, 2, 3];

/// Who does something to a draw, when and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// The farm's own day.
    pub day: Day,
    /// Who.
    pub who: String,
    /// When, UTC.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}

/// Why there is no draw, or nothing was done to it.
#[derive(Debug, thiserror::Error)]
pub enum LotError {
    /// The database did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// Not a draw between ways.
    #[error("name two to nine different ways, 1 to 9: --ways 1,2")]
    Ways,
    /// Not a size of a block.
    #[error("sizes are one to nine different numbers from 1 to 9: --sizes 1,2,3")]
    Sizes,
    /// Not a seed.
    #[error("a seed is one line of 1 to {SEED_LETTERS} letters")]
    Seed,
    /// Nobody to draw.
    #[error("the herd list of {0} has no cow; import it with `hornrule herd import`")]
    NoCow(String),
    /// One that holds.
    #[error("draw {lot} of {farm} is still open; close it first: `hornrule trial close`")]
    Open {
        /// Its number.
        lot: i64,
        /// Whose.
        farm: String,
    },
    /// Too late.
    #[error("{farm} has entries of {day} or later; draw before the first cow of a day")]
    Late {
        /// Whose.
        farm: String,
        /// The day of the draw.
        day: Day,
    },
    /// None to be closed or shown.
    #[error("{0} has no draw; make one with `hornrule trial draw`")]
    None(String),
    /// Closed before.
    #[error("draw {lot} of {farm} is closed since {day}")]
    Closed {
        /// Its number.
        lot: i64,
        /// Whose.
        farm: String,
        /// Through which day it held.
        day: Day,
    },
}

/// Makes a draw and keeps it.
///
/// # Errors
/// [`LotError`]; nothing is kept then.
pub fn draw(
    database: &mut Database,
    herd: &Herd,
    design: Design,
    signed: Signed,
) -> Result<KeptLot, LotError> {
    let design = checked(design)?;
    database.write_or_not(|rows| drawn(rows, herd, design, signed))
}

/// The design with its numbers in order, where it is one.
fn checked(design: Design) -> Result<Design, LotError> {
    let sorted = |numbers: &[u8]| {
        let set: BTreeSet<u8> = numbers.iter().copied().collect();
        let fit = set.len() == numbers.len() && set.iter().all(|one| (1..=9).contains(one));
        fit.then(|| set.into_iter().collect::<Vec<u8>>())
    };
    let ways = sorted(&design.ways).filter(|ways| ways.len() > 1).ok_or(LotError::Ways)?;
    let sizes = sorted(&design.sizes).filter(|all| !all.is_empty()).ok_or(LotError::Sizes)?;
    let seed = hornrule_facts::text::fitting(&design.seed, SEED_LETTERS);
    let seed = seed.ok().filter(|seed| !seed.is_empty()).ok_or(LotError::Seed)?;
    Ok(Design { by: design.by, ways, sizes, seed })
}

fn drawn(
    rows: &Rows<'_>,
    herd: &Herd,
    design: Design,
    signed: Signed,
) -> Result<Result<KeptLot, LotError>, Fault> {
    let farm = || herd.name.clone();
    if let Some(open) = rows.lots(herd.herd)?.iter().find(|one| one.closed().is_none()) {
        return Ok(Err(LotError::Open { lot: open.lot.lot, farm: farm() }));
    }
    if rows.was_there_since(herd.herd, signed.day)? {
        return Ok(Err(LotError::Late { farm: farm(), day: signed.day }));
    }
    let mut cows: Vec<AnimalId> =
        rows.animals(herd.herd)?.iter().filter(|one| one.in_herd).map(|one| one.animal).collect();
    cows.sort_unstable();
    if cows.is_empty() {
        return Ok(Err(LotError::NoCow(farm())));
    }
    let Signed { day, who, at_ms, why } = signed;
    let cows = allocated(&design, &cows);
    let (sha256, name) = (String::new(), herd.name.clone());
    let mut lot = Lot { lot: 0, herd: herd.herd, name, day, design, cows, sha256, who, at_ms, why };
    lot.sha256 = self::sha256(&lot.text());
    lot.lot = rows.insert_lot(&lot)?;
    Ok(Ok(KeptLot { lot, notes: Vec::new() }))
}

/// The ways of these cows, by a design.
fn allocated(design: &Design, cows: &[AnimalId]) -> Vec<(AnimalId, Ways)> {
    let each = if design.by == Unit::Cow { 1 } else { CLAWS };
    let drawn = permuted_blocks(&design.seed, &design.ways, &design.sizes, cows.len() * each);
    let ways = drawn.chunks(each).map(|of| match *of {
        [one] => [one; CLAWS],
        _ => Ways::try_from(of).unwrap_or_default(),
    });
    cows.iter().copied().zip(ways).collect()
}

/// The newest draw of a herd.
fn newest(rows: &Rows<'_>, herd: &Herd) -> Result<Result<KeptLot, LotError>, Fault> {
    let last = rows.lots(herd.herd)?.pop();
    Ok(last.ok_or_else(|| LotError::None(herd.name.clone())))
}

/// Closes the open draw of a herd: it holds through that day.
///
/// # Errors
/// [`LotError`]; nothing is closed then.
pub fn close(database: &mut Database, herd: &Herd, signed: Signed) -> Result<KeptLot, LotError> {
    database.write_or_not(|rows| {
        let mut kept = match newest(rows, herd)? {
            Ok(kept) => kept,
            Err(none) => return Ok(Err(none)),
        };
        if let Some(day) = kept.closed() {
            return Ok(Err(LotError::Closed { lot: kept.lot.lot, farm: herd.name.clone(), day }));
        }
        let note = noted(Happened::Closed, signed);
        rows.insert_lot_note(kept.lot.lot, &note)?;
        kept.notes.push(note);
        Ok(Ok(kept))
    })
}

/// The newest draw of a herd, to look into. A look into an open one is noted before it is given; without
/// a signature it is `None`.
///
/// # Errors
/// [`LotError`].
pub fn look(
    database: &mut Database,
    herd: &Herd,
    signed: Option<Signed>,
) -> Result<Option<KeptLot>, LotError> {
    database.write_or_not(|rows| {
        let mut kept = match newest(rows, herd)? {
            Ok(kept) => kept,
            Err(none) => return Ok(Err(none)),
        };
        if kept.closed().is_some() {
            return Ok(Ok(Some(kept)));
        }
        let Some(signed) = signed else { return Ok(Ok(None)) };
        let note = noted(Happened::Shown, signed);
        rows.insert_lot_note(kept.lot.lot, &note)?;
        kept.notes.push(note);
        Ok(Ok(Some(kept)))
    })
}

fn noted(what: Happened, signed: Signed) -> LotNote {
    let Signed { day, who, at_ms, why } = signed;
    LotNote { what, day, who, at_ms, why }
}

/// The draws of these herds, by herd and number.
///
/// # Errors
/// [`DatabaseError`].
pub fn lots(database: &Database, herds: &[HerdId]) -> Result<Vec<KeptLot>, DatabaseError> {
    database.read(|rows| {
        let mut all = Vec::new();
        for herd in herds {
            all.extend(rows.lots(*herd)?);
        }
        Ok(all)
    })
}

/// The draws of a herd, to ask for a claw's way on a day. Cows go by the numbers they have now.
#[derive(Default)]
pub(crate) struct Lots {
    all: Vec<(KeptLot, BTreeMap<AnimalId, Ways>)>,
}

impl Lots {
    pub(crate) fn of(rows: &Rows<'_>, herd: HerdId) -> Result<Self, Fault> {
        let steps = rows.renumbered(herd)?;
        let with = |kept: KeptLot| {
            let cows = kept.cows_on(&steps, Day(i32::MAX)).collect();
            (kept, cows)
        };
        Ok(Self { all: rows.lots(herd)?.into_iter().map(with).collect() })
    }

    /// The draw that holds on a day for this cow, and her ways.
    fn on(&self, animal: AnimalId, day: Day) -> Option<(&KeptLot, &Ways)> {
        let holds = self.all.iter().rev().filter(|(kept, _)| kept.holds_on(day));
        holds.filter_map(|(kept, cows)| Some((kept, cows.get(&animal)?))).next()
    }

    /// All of a cow's ways on a day.
    pub(crate) fn ways(&self, animal: AnimalId, day: Day) -> Option<Ways> {
        self.on(animal, day).map(|(_, ways)| *ways)
    }

    /// The way that was drawn for this claw on this day, and by which draw.
    pub(crate) fn way(&self, animal: AnimalId, at: Place, day: Day) -> Option<(&KeptLot, u8)> {
        let (kept, ways) = self.on(animal, day)?;
        Some((kept, way_at(ways, at)?))
    }

    /// All draws.
    pub(crate) fn all(&self) -> impl Iterator<Item = &KeptLot> {
        self.all.iter().map(|(kept, _)| kept)
    }
}

#[cfg(test)]
mod tests;
