//! The data set: a protocol's readings out of the herd tables, one a row.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{Claw, DeviceId, Dimension, Nanometres, Place};

use super::StudyError;
use super::columns::{DIMENSIONS, GAUGES, READINGS};
use super::derived::derived;
use super::draw::{Draw, draw, sample_table};
use super::protocol::{Moment, Protocol};
use super::repeated::Repeated;
use crate::extract::Dated;
use crate::extract::{Extract, Known, record_name};
use crate::table::{Cell, Table};
use crate::words::{calliper_word, clock_word, gauge_word, unit_word};
use hornrule_facts::observation::{Certainty, Clip};
use hornrule_facts::{AnimalId, Day, Herd, ListedAnimal};
use hornrule_herd::Database;
use hornrule_herd::Span;

/// A study's tables and what is known of them.
#[derive(Clone, Debug)]
pub struct Gathered {
    /// One reading a row.
    pub readings: Table,
    /// What is derived from them, one value a row.
    pub derived: Table,
    /// Gauge blocks read.
    pub gauges: Table,
    /// Dimensions, with our own sums.
    pub dimensions: Table,
    /// The sample.
    pub sample: Table,
    /// Whether the sample was drawn before.
    pub drawn_before: bool,
    /// The handhelds.
    pub handhelds: BTreeMap<DeviceId, Known>,
    /// Readings whose time was seen beside the office's clock, and all readings.
    pub anchored: (usize, usize),
    /// Readings by gauge check: passed, failed, none.
    pub checked: [usize; 3],
    /// Readings in the sample.
    pub in_sample: usize,
}

/// How far a study is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Cows drawn, by herd.
    pub cows: Vec<(String, usize)>,
    /// Readings to take.
    pub wanted: usize,
    /// Of those, readings taken; more repeats than wanted do not count.
    pub taken: usize,
    /// Readings beside the sample or beyond its repeats.
    pub beside: usize,
}

/// What the sample says of a reading.
type Slot = (String, AnimalId, String, Claw, u8, Moment);

/// A reading that belongs to the study.
pub(super) struct Taken<'a> {
    pub(super) herd: &'a str,
    pub(super) tag: Option<String>,
    pub(super) observer: &'a str,
    pub(super) cow: AnimalId,
    pub(super) claw: Claw,
    pub(super) moment: Moment,
    pub(super) repeat: i64,
    pub(super) doubted: bool,
    pub(super) reading: &'a Dated<Clip>,
}

impl Taken<'_> {
    fn slot(&self) -> Slot {
        let (herd, observer) = (self.herd.to_owned(), self.observer.to_owned());
        let dimension = self.reading.what.dimension.code();
        (herd, self.cow, observer, self.claw, dimension, self.moment)
    }
}

type Listed = Vec<(Herd, Vec<ListedAnimal>)>;

/// The protocol's herds with their lists.
fn listed(herd: &Database, protocol: &Protocol) -> Result<Listed, StudyError> {
    let herds = herd.herds()?;
    let mut lists = Vec::new();
    for name in &protocol.herds {
        let found = herds.iter().find(|one| one.name == *name);
        let found = found.ok_or_else(|| StudyError::NoHerd { herd: name.clone() })?;
        lists.push((found.clone(), herd.animals(found.herd)?));
    }
    Ok(lists)
}

/// The rows of the protocol's herds and days.
fn extracts(
    herd: &Database,
    protocol: &Protocol,
    lists: &Listed,
) -> Result<Vec<Extract>, StudyError> {
    let days = Span { from: protocol.days.0, through: protocol.days.1 };
    let mut all = Vec::new();
    for (listed, _) in lists {
        all.extend(Extract::gather(herd, listed.herd, days)?);
    }
    Ok(all)
}

/// The sample, drawn from the lists as they are now.
///
/// # Errors
/// [`StudyError`].
pub fn sample(herd: &Database, protocol: &Protocol) -> Result<Table, StudyError> {
    let draws = draw(protocol, &listed(herd, protocol)?)?;
    Ok(sample_table(protocol, &draws))
}

/// Gathers the data set, against the sample that was drawn before, or one drawn now.
///
/// # Errors
/// [`StudyError`].
pub fn gather(
    herd: &Database,
    protocol: &Protocol,
    drawn: Option<Vec<Draw>>,
) -> Result<Gathered, StudyError> {
    let lists = listed(herd, protocol)?;
    let before = drawn.is_some();
    let draws = drawn.map_or_else(|| draw(protocol, &lists), Ok)?;
    let extracts = extracts(herd, protocol, &lists)?;
    let taken = taken(protocol, &extracts);
    let slots = slots(protocol, &draws);
    // A heel measured as a wall does not repeat the wall.
    let repeated = Repeated::of(taken.iter().filter(|one| !one.doubted).map(|one| {
        let what = one.reading.what;
        ((one.slot(), one.reading.day), what.dimension.code(), what.length.as_mm())
    }));
    let mut handhelds: BTreeMap<DeviceId, Known> = BTreeMap::new();
    for extract in &extracts {
        handhelds.extend(extract.handhelds.iter().map(|(device, known)| (*device, known.clone())));
    }
    handhelds.retain(|device, _| protocol.observer(*device).is_some());
    let here = |one: &&Taken<'_>| slots.contains_key(&one.slot());
    let checks =
        |of: Option<bool>| taken.iter().filter(|one| one.reading.what.gauge_ok == of).count();
    let anchored = |one: &&Taken<'_>| one.reading.when.certainty == Certainty::Anchored;
    Ok(Gathered {
        readings: readings(&taken, &repeated, &slots),
        derived: derived(&taken, |code| repeated.hand(code), |one| here(&one)),
        gauges: gauges(protocol, &extracts, &handhelds),
        dimensions: dimensions(protocol, &taken, &repeated),
        sample: sample_table(protocol, &draws),
        drawn_before: before,
        anchored: (taken.iter().filter(anchored).count(), taken.len()),
        checked: [checks(Some(true)), checks(Some(false)), checks(None)],
        in_sample: taken.iter().filter(here).count(),
        handhelds,
    })
}

/// How far the study is with the sample that was drawn before, or one drawn now.
///
/// # Errors
/// [`StudyError`].
pub fn progress(
    herd: &Database,
    protocol: &Protocol,
    drawn: Option<Vec<Draw>>,
) -> Result<Progress, StudyError> {
    let lists = listed(herd, protocol)?;
    let draws = drawn.map_or_else(|| draw(protocol, &lists), Ok)?;
    let extracts = extracts(herd, protocol, &lists)?;
    let slots = slots(protocol, &draws);
    let taken = taken(protocol, &extracts);
    let wanted = |one: &&Taken<'_>| {
        slots.get(&one.slot()).is_some_and(|repeats| one.repeat <= i64::from(*repeats))
    };
    let done = taken.iter().filter(wanted).count();
    let cows = |(listed, _): &(Herd, Vec<ListedAnimal>)| {
        let hers = draws.iter().filter(|one| one.herd == listed.name);
        let cows: BTreeSet<usize> = hers.map(|one| one.cow_order).collect();
        (listed.name.clone(), cows.len())
    };
    Ok(Progress {
        cows: lists.iter().map(cows).collect(),
        wanted: draws.len(),
        taken: done,
        beside: taken.len() - done,
    })
}

/// What was drawn, with how many repeats of it.
fn slots(protocol: &Protocol, draws: &[Draw]) -> BTreeMap<Slot, u8> {
    let mut slots = BTreeMap::new();
    for one in draws {
        let Some(measurand) = protocol.dimensions.get(one.dimension) else { continue };
        let code = measurand.dimension.code();
        let (herd, observer) = (one.herd.clone(), one.observer.clone());
        *slots.entry((herd, one.cow, observer, one.claw, code, one.moment)).or_insert(0) += 1;
    }
    slots
}

/// The study's readings, herd by herd in the order of time, with repeats counted.
fn taken<'a>(protocol: &'a Protocol, extracts: &'a [Extract]) -> Vec<Taken<'a>> {
    let mut all = Vec::new();
    for extract in extracts {
        let mut repeats: BTreeMap<(Slot, Day), i64> = BTreeMap::new();
        for reading in &extract.readings {
            let moment = if reading.what.trimmed { Moment::After } else { Moment::Before };
            let wanted = |of: Dimension| protocol.dimensions.iter().any(|one| one.dimension == of);
            let (Some(cow), Place::Claw(claw)) = (reading.animal, reading.place) else { continue };
            let Some(observer) = protocol.observer(reading.key.0) else { continue };
            if !wanted(reading.what.dimension) || !protocol.moments.contains(&moment) {
                continue;
            }
            let mut one = Taken {
                herd: &extract.herd.name,
                tag: extract.tag(cow),
                observer: &observer.code,
                cow,
                claw,
                moment,
                repeat: 0,
                doubted: extract.doubted.contains(&reading.key),
                reading,
            };
            let count = repeats.entry((one.slot(), reading.day)).or_insert(0);
            *count += 1;
            one.repeat = *count;
            all.push(one);
        }
    }
    all
}

fn readings(
    taken: &[Taken<'_>],
    repeated: &Repeated<(Slot, Day)>,
    slots: &BTreeMap<Slot, u8>,
) -> Table {
    let rows = taken.iter().map(|one| {
        let what = one.reading.what;
        // A calliper that failed its check is beyond what the budget permits it, and so is a
        // mistake.
        let sound = what.gauge_ok != Some(false) && !one.doubted;
        let uncertainty =
            sound.then(|| repeated.uncertainty(what.dimension.code(), what.unit)).flatten();
        reading_row(one, uncertainty, slots.contains_key(&one.slot()))
    });
    Table { name: "readings", columns: READINGS, rows: rows.collect() }
}

fn reading_row(one: &Taken<'_>, uncertainty: Option<Nanometres>, in_sample: bool) -> Vec<Cell> {
    let Dated { key, when, day, what, .. } = one.reading;
    vec![
        Cell::text(record_name(*key)),
        Cell::text(one.herd),
        Cell::Whole(one.cow.number()),
        Cell::maybe(one.tag.as_deref(), Cell::text),
        Cell::Day(*day),
        Cell::Time(when.at_ms),
        Cell::maybe(when.uncertainty_ms, Cell::Seconds),
        Cell::text(clock_word(when.certainty)),
        Cell::text(one.observer),
        Cell::text(handheld(key.0)),
        Cell::text(one.claw.foot.letters()),
        Cell::text(one.claw.side.name()),
        Cell::Whole(what.dimension.code().into()),
        Cell::text(what.dimension.name),
        Cell::text(one.moment.word()),
        Cell::Whole(one.repeat),
        Cell::Whole(what.length.0.into()),
        Cell::Mm(what.length),
        Cell::maybe(uncertainty, Cell::Mm),
        Cell::text(unit_word(what.unit)),
        Cell::text(calliper_word(what.kind)),
        Cell::text(gauge_word(what.gauge_ok)),
        Cell::Flag(one.doubted),
        Cell::Flag(in_sample),
    ]
}

/// A handheld's number as files write it.
pub(super) fn handheld(device: DeviceId) -> String {
    format!("{:016x}", device.0)
}

/// A block that was read on a day at two herds stands here once.
fn gauges(
    protocol: &Protocol,
    extracts: &[Extract],
    handhelds: &BTreeMap<DeviceId, Known>,
) -> Table {
    let mut rows = BTreeMap::new();
    for one in extracts.iter().flat_map(|extract| &extract.gauges) {
        if protocol.observer(one.key.0).is_none() {
            continue;
        }
        let block = handhelds.get(&one.key.0).and_then(|known| known.gauge);
        let length = one.what.length;
        let error = block.and_then(|(size, _)| length.0.checked_sub(size.0)).map(Nanometres);
        let row = vec![
            Cell::text(one.name()),
            Cell::text(handheld(one.key.0)),
            Cell::Day(one.day),
            Cell::Time(one.when.at_ms),
            Cell::text(calliper_word(one.what.kind)),
            Cell::Mm(length),
            Cell::maybe(block, |(size, _)| Cell::Mm(size)),
            Cell::maybe(block, |(_, tolerance)| Cell::Mm(tolerance)),
            Cell::maybe(error, Cell::Mm),
            Cell::maybe(one.what.gauge_ok, Cell::Flag),
        ];
        rows.insert((one.when.at_ms, one.key), row);
    }
    Table { name: "gauge-checks", columns: GAUGES, rows: rows.into_values().collect() }
}

fn dimensions(protocol: &Protocol, taken: &[Taken<'_>], repeated: &Repeated<(Slot, Day)>) -> Table {
    let rows = protocol.dimensions.iter().map(|one| {
        let lengths: Vec<Nanometres> = taken
            .iter()
            .filter(|taken| taken.reading.what.dimension == one.dimension)
            .map(|taken| taken.reading.what.length)
            .collect();
        let code = one.dimension.code();
        let sum: i64 = lengths.iter().map(|length| i64::from(length.0)).sum();
        vec![
            Cell::Whole(one.dimension.code().into()),
            Cell::text(one.dimension.name),
            Cell::text(one.landmarks.as_str()),
            Cell::Whole(i64::try_from(lengths.len()).unwrap_or(i64::MAX)),
            Cell::Whole(sum),
            Cell::maybe(mean_mm(sum, lengths.len()), Cell::Real),
            Cell::maybe(repeated.error(code), |(error, _)| Cell::Real(error)),
            Cell::maybe(repeated.error(code), |(_, spare)| Cell::Whole(spare)),
            Cell::maybe(repeated.uncertainty(code, UnitMode::Millimetre), Cell::Mm),
            Cell::maybe(lengths.iter().min().copied(), Cell::Mm),
            Cell::maybe(lengths.iter().max().copied(), Cell::Mm),
        ]
    });
    Table { name: "dimensions", columns: DIMENSIONS, rows: rows.collect() }
}

/// The mean in millimetres; `None` of no readings.
#[expect(
    clippy::cast_precision_loss,
    reason = "four million readings of 2 m have a sum that a float holds exactly"
)]
fn mean_mm(sum_nm: i64, readings: usize) -> Option<f64> {
    (readings > 0).then(|| sum_nm as f64 / readings as f64 / f64::from(Nanometres::PER_MM))
}
