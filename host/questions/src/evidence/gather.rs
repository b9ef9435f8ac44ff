//! Asks the database: one herd after the other, one cow after the other, so that no herd need fit into
//! memory.

use std::collections::BTreeMap;

use hornrule_casebook::{Casebook, Cow};
use hornrule_facts::{Day, Fact, HerdId, What};
use hornrule_herd::{Database, DatabaseError, Fault, Kinds, Rows, Span};

use crate::books::Books;
use crate::lot::Lots;

use super::{
    Agreement, Bands, Blocks, BlocksSeen, CasesSeen, GaugeRead, Healing, Horn, ReadingsSeen,
    WallsSeen,
};

/// Findings, actions and lengths: everything that these questions look at.
const ALL: Kinds = Kinds::JUDGED.and(Kinds::READINGS);

/// Each cow of some herds, with her facts and her casebook.
fn each(
    rows: &Rows<'_>,
    herds: &[HerdId],
    kinds: Kinds,
    mut tell: impl FnMut(Cow, &[Fact], &Casebook),
) -> Result<(), Fault> {
    for herd in herds {
        let books = Books::of(rows, *herd, Day(i32::MAX))?;
        rows.each_cow(*herd, Span::EVER, kinds, |animal, facts| {
            tell((*herd, animal), facts, &books.fold(animal, facts));
        })?;
    }
    Ok(())
}

/// How long blocks stay on; those whose way was drawn apart from those whose way was chosen.
///
/// # Errors
/// [`DatabaseError`].
pub fn blocks(
    database: &Database,
    herds: &[HerdId],
    difference: f64,
    bands: Bands,
) -> Result<Blocks, DatabaseError> {
    let mut seen = BlocksSeen::default();
    database.read(|rows| {
        for herd in herds {
            let lots = Lots::of(rows, *herd)?;
            seen.know(&lots);
            each(rows, &[*herd], Kinds::JUDGED, |_, _, book| seen.take_apart(book, &lots))?;
        }
        Ok(())
    })?;
    Ok(seen.answer(difference, bands))
}

/// How long lesions take to heal.
///
/// # Errors
/// [`DatabaseError`].
pub fn healing(
    database: &Database,
    herds: &[HerdId],
    bands: Bands,
) -> Result<Healing, DatabaseError> {
    let mut seen = CasesSeen::default();
    database.read(|rows| each(rows, herds, ALL, |_, _, book| seen.take(book, Span::EVER)))?;
    Ok(seen.answer(bands))
}

/// How fast horn grows. `trim_at_mm` and `trim_to_mm` as in [`WallsSeen::answer`].
///
/// # Errors
/// [`DatabaseError`].
pub fn growth(
    database: &Database,
    herds: &[HerdId],
    trim_at_mm: Option<f64>,
    trim_to_mm: &BTreeMap<HerdId, f64>,
) -> Result<Horn, DatabaseError> {
    let mut seen = WallsSeen::default();
    let kinds = Kinds::ACTIONS.and(Kinds::READINGS);
    database
        .read(|rows| each(rows, herds, kinds, |cow, facts, book| seen.take(cow, facts, book)))?;
    Ok(seen.answer(trim_at_mm, trim_to_mm))
}

/// What readings and judgements are worth.
///
/// # Errors
/// [`DatabaseError`].
pub fn agreement(database: &Database, herds: &[HerdId]) -> Result<Agreement, DatabaseError> {
    let (mut seen, mut gauges) = (ReadingsSeen::default(), Vec::new());
    database.read(|rows| {
        for herd in herds {
            let kinds = Kinds::READINGS.and(Kinds::FINDINGS);
            let mut of_gauge = Vec::new();
            rows.each_owner(*herd, Span::EVER, kinds, |animal, facts| match animal {
                Some(_) => seen.take(facts),
                None => of_gauge = facts.to_vec(),
            })?;
            gauges.extend(gauge_reads(rows, &of_gauge)?);
        }
        Ok(())
    })?;
    Ok(seen.answer(&gauges))
}

/// The readings of gauge blocks among facts that are no cow's, in the order of time.
fn gauge_reads(rows: &Rows<'_>, facts: &[Fact]) -> Result<Vec<GaugeRead>, Fault> {
    let mut reads: Vec<(i64, GaugeRead)> = Vec::new();
    for fact in facts {
        let What::Reading(clip) = fact.what else { continue };
        let handheld = rows.handheld(fact.key.0)?;
        let tolerance = handheld.gauge_tolerance.as_mm();
        let block = handheld.gauge.map(|size| (size.as_mm(), tolerance));
        let (device, day, mm) = (fact.key.0, fact.day, clip.length.as_mm());
        reads.push((fact.when.at_ms, GaugeRead { device, day, mm, block }));
    }
    reads.sort_by_key(|(at_ms, read)| (*at_ms, read.device));
    Ok(reads.into_iter().map(|(_, read)| read).collect())
}
