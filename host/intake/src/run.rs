//! Fetches a stretch, has it decided, writes what it becomes. One transaction.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{DeviceId, LogId, Nanometres, Seq, open};
use jiff::tz::TimeZone;

use super::clock::Span;
use super::decision;
use super::gathered::Gathered;
use super::history;
use super::office::{At, Farm, Office};
use super::rules::checksum;
use super::stretch::{self, Opened, Seeker, Stretch};
use super::walk::{Decided, decide};
use hornrule_facts::Verdict;
use hornrule_facts::limits::Limits;
use hornrule_facts::remark::{Remark, Severity};
use hornrule_facts::{Handheld, HerdId};
use hornrule_herd::inbox::Anchor;
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

/// Records fetched at once while looking backwards.
const CHUNK: u32 = 512;

/// What intake made of the records it looked at, which are all from `from` on: the new ones and
/// the rest of their boot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Intake {
    /// The first record looked at; `NONE` if there is none.
    pub from: Seq,
    /// Records that opened.
    pub opened: u32,
    /// Rows in the herd tables without a remark.
    pub accepted: u32,
    /// Rows in the herd tables with a remark.
    pub flagged: u32,
    /// Records in no herd table, for a reason that a remark names.
    pub held: u32,
    /// Records taken back by UNDO.
    pub voided: u32,
    /// Records that a person discarded.
    pub discarded: u32,
    /// All remarks on these records, of both levels.
    pub remarks: Vec<Remark>,
}

/// Brings what is new of a log into the herd tables. `from` is the first record that is new; what
/// was stored before and never brought in (a pull that was cut off) is taken along.
///
/// # Errors
/// [`DatabaseError`]; the tables are then as before.
pub fn run(
    herd: &mut Database,
    device: DeviceId,
    log: LogId,
    from: Seq,
) -> Result<Intake, DatabaseError> {
    herd.write(|rows| {
        let limits = rows.limits()?;
        put_in_force(rows, &limits)?;
        derive(rows, device, log, from)
    })
}

/// Puts the numbers of the rules in force. Says whether that made all be derived again, which is
/// so where numbers or rules are others than those of the last time.
///
/// # Errors
/// [`DatabaseError`]; all is then as before.
pub fn set_limits(herd: &mut Database, limits: &Limits) -> Result<bool, DatabaseError> {
    if in_force(herd, limits)? {
        return Ok(false);
    }
    herd.write(|rows| put_in_force(rows, limits))
}

/// Whether the herd tables are derived by these rules and numbers, so that nothing is to be written.
///
/// # Errors
/// [`DatabaseError`].
pub fn in_force(herd: &Database, limits: &Limits) -> Result<bool, DatabaseError> {
    herd.read(|rows| Ok(rows.rules_checksum()? == Some(checksum(limits))))
}

pub(super) fn put_in_force(rows: &Rows<'_>, limits: &Limits) -> Result<bool, Fault> {
    if rows.rules_checksum()? == Some(checksum(limits)) {
        return Ok(false);
    }
    rows.set_limits(limits, checksum(limits))?;
    for (device, log) in rows.logs()? {
        // What was never derived will be by these rules; only what was is to be derived again.
        if rows.derived(device, log)? != Seq::NONE {
            rebuild_rows(rows)?;
            return Ok(true);
        }
    }
    Ok(false)
}

/// Derives all herd tables again from nothing. Gives what became of every log.
pub fn rebuild_rows(rows: &Rows<'_>) -> Result<Vec<(DeviceId, LogId, Intake)>, Fault> {
    rows.clear_derived()?;
    let logs = rows.logs()?;
    let derived = logs
        .into_iter()
        .map(|(device, log)| Ok((device, log, derive(rows, device, log, Seq::FIRST)?)));
    derived.collect()
}

/// The gauge block that goes with a handheld.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GaugeBlock {
    /// Its size.
    pub size: Nanometres,
    /// How far off a reading may be; `None` for 0.03 mm.
    pub tolerance: Option<Nanometres>,
}

/// Says which herd is meant where no visit was keyed on a handheld; its gauge block stays as it is.
/// Its logs are derived again.
///
/// # Errors
/// [`DatabaseError`]; all is then as before.
pub fn set_works_at(
    herd: &mut Database,
    device: DeviceId,
    works_at: Option<HerdId>,
) -> Result<(), DatabaseError> {
    set_handheld(herd, device, |there| Handheld { herd: works_at, ..there })
}

/// Says which gauge block goes with a handheld; its herd stays as it is. Its logs are derived
/// again.
///
/// # Errors
/// [`DatabaseError`]; all is then as before.
pub fn set_gauge(
    herd: &mut Database,
    device: DeviceId,
    gauge: Option<GaugeBlock>,
) -> Result<(), DatabaseError> {
    let usual = Handheld::default().gauge_tolerance;
    set_handheld(herd, device, |there| Handheld {
        gauge: gauge.map(|gauge| gauge.size),
        gauge_tolerance: gauge.and_then(|gauge| gauge.tolerance).unwrap_or(usual),
        ..there
    })
}

fn set_handheld(
    herd: &mut Database,
    device: DeviceId,
    change: impl FnOnce(Handheld) -> Handheld,
) -> Result<(), DatabaseError> {
    herd.write(|rows| {
        rows.set_handheld(device, &change(rows.handheld(device)?))?;
        for (of, log) in rows.logs()? {
            if of == device {
                derive(rows, device, log, Seq::FIRST)?;
            }
        }
        Ok(())
    })
}

/// Asks the history rules about a herd again, for example after a new herd list.
pub fn recheck_rows(rows: &Rows<'_>, herd: HerdId) -> Result<Vec<Remark>, Fault> {
    rows.sweep_history_remarks(herd)?;
    let (limits, list) = (rows.limits()?, rows.animals(herd)?);
    let gathered = Gathered::of(rows, herd)?;
    let mut remarks = gathered.with(limits, &list, |history| history::check(herd, history));
    // What a person accepted is asked about no more.
    let decisions = rows.all_decisions()?;
    let accepted: BTreeSet<_> = decision::in_force(&decisions)
        .into_iter()
        .filter(|one| one.verdict == Verdict::Accept)
        .map(|one| (one.device, one.log, one.seq))
        .collect();
    remarks.retain(|remark| !accepted.contains(&(remark.device, remark.log, remark.seq)));
    for remark in &remarks {
        rows.insert_remark(remark)?;
    }
    Ok(remarks)
}

pub(super) fn derive(
    rows: &Rows<'_>,
    device: DeviceId,
    log: LogId,
    from: Seq,
) -> Result<Intake, Fault> {
    let from = from.min(rows.derived(device, log)?.next());
    let anchors = rows.anchors(device, log)?;
    let Some(start) = start(rows, (device, log), from, &anchors)? else {
        return Ok(Intake::default());
    };
    let stretch = fetch(rows, (device, log), start, anchors)?;
    let office = office(rows, device)?;
    let decided = decide(&stretch, &office);

    let mut touched: BTreeSet<HerdId> = rows.sweep(device, log, start)?.into_iter().collect();
    write(rows, device, log, &decided)?;
    rows.set_derived(device, log, rows.last_seq(device, log)?)?;
    touched.extend(decided.presences.iter().map(|presence| presence.spot.herd));
    touched.extend(decided.observations.iter().map(|observation| observation.spot.herd));
    let mut history = Vec::new();
    for herd in touched {
        history.extend(recheck_rows(rows, herd)?);
    }
    history.retain(|r| r.device == device && r.log == log && r.seq >= start);
    Ok(summary(start, decided, history))
}

fn summary(from: Seq, decided: Decided, history: Vec<Remark>) -> Intake {
    let Decided { presences, observations, mut remarks, opened, voided, discarded, held, .. } =
        decided;
    remarks.extend(history);
    remarks.sort_by_key(|remark| remark.seq);
    let flags = remarks.iter().filter(|remark| remark.severity == Severity::Flagged);
    let flagged_seqs: BTreeSet<Seq> = flags.map(|remark| remark.seq).collect();
    let rows = presences
        .iter()
        .map(|presence| presence.spot.seq)
        .chain(observations.iter().map(|observation| observation.spot.seq));
    let (mut accepted, mut flagged) = (0, 0);
    for seq in rows {
        if flagged_seqs.contains(&seq) {
            flagged += 1;
        } else {
            accepted += 1;
        }
    }
    Intake { from, opened, accepted, flagged, held, voided, discarded, remarks }
}

fn write(rows: &Rows<'_>, device: DeviceId, log: LogId, decided: &Decided) -> Result<(), Fault> {
    for visit in &decided.visits {
        rows.insert_visit(device, log, visit)?;
    }
    for load in &decided.loads {
        rows.insert_plan_load(device, log, load)?;
    }
    for wash in &decided.washes {
        rows.insert_wash(device, log, *wash)?;
    }
    for presence in &decided.presences {
        rows.insert_presence(device, log, presence)?;
    }
    for observation in &decided.observations {
        rows.insert_observation(device, log, observation)?;
    }
    for remark in &decided.remarks {
        rows.insert_remark(remark)?;
    }
    Ok(())
}

/// The record from which a log has to be derived again; `None` where it has none.
fn start(
    rows: &Rows<'_>,
    (device, log): (DeviceId, LogId),
    from: Seq,
    anchors: &[Anchor],
) -> Result<Option<Seq>, Fault> {
    let new = match rows.first_seq_from(device, log, from)? {
        // Nothing is new but perhaps an anchor: the last boot is looked at again.
        Seq::NONE => rows.last_seq(device, log)?,
        new => new,
    };
    if new == Seq::NONE {
        return Ok(None);
    }
    let under = rows.sealed_under(device, log)?;
    let mut seeker = Seeker::new(anchors);
    let mut below = new.next();
    let mut lowest = new;
    loop {
        let chunk = rows.sealed_before(device, log, below, CHUNK)?;
        for (seq, sealed) in &chunk {
            lowest = *seq;
            if let Some(start) = seeker.step(*seq, &open(device, under, sealed)) {
                return Ok(Some(start));
            }
        }
        match chunk.last() {
            Some((seq, _)) => below = *seq,
            None => return Ok(Some(lowest)),
        }
    }
}

pub(super) fn fetch(
    rows: &Rows<'_>,
    (device, log): (DeviceId, LogId),
    start: Seq,
    anchors: Vec<Anchor>,
) -> Result<Stretch, Fault> {
    let under = rows.sealed_under(device, log)?;
    let before = rows.sealed_before(device, log, start, 1)?;
    let parts = rows.kept_aside(device, log)?;
    let parted = parts.map_or(Seq::NONE, |(_, first)| first.previous());
    let records: Vec<Opened> = rows
        .sealed_from(device, log, start)?
        .into_iter()
        .map(|(seq, sealed)| (seq, open(device, under, &sealed)))
        .collect();
    let mut came = BTreeMap::new();
    for (_, range) in stretch::boots(&records) {
        let seq = records[range.end - 1].0;
        came.insert(seq, rows.came(device, log, seq)?);
    }
    Ok(Stretch {
        device,
        log,
        before: before.first().map_or(parted, |(seq, _)| *seq),
        at: at(rows, (device, log), start, parts)?,
        prior: prior(rows, (device, log), start, &anchors)?,
        covered: rows.covered(device, log)?,
        anchors,
        records,
        came,
        rulings: decision::rulings(&rows.decisions(device, log)?),
    })
}

/// Where the work was before a record, and by which plan. What lies before a log kept aside is in the
/// log from which it parts; both count on in the same numbers.
fn at(
    rows: &Rows<'_>,
    (device, log): (DeviceId, LogId),
    before: Seq,
    parts: Option<(LogId, Seq)>,
) -> Result<At, Fault> {
    let mut visit = rows.visit_before(device, log, before)?;
    let mut load = rows.plan_load_before(device, log, before)?;
    if let Some((of, first)) = parts {
        if visit.is_none() {
            visit = rows.visit_before(device, of, first)?;
        }
        if load.is_none() {
            load = rows.plan_load_before(device, of, first)?;
        }
    }
    let plan = load.map(|(_, name)| name);
    Ok(match (visit, load) {
        (Some(visit), Some((loaded, _))) if loaded.seq < visit.seq => {
            At { key: visit.key, herd: visit.herd, plan, unkeyed: false }
        }
        (_, Some((loaded, _))) => At { key: loaded.key, herd: loaded.herd, plan, unkeyed: true },
        (Some(visit), None) => At { key: visit.key, herd: visit.herd, plan, unkeyed: false },
        (None, None) => At::default(),
    })
}

/// The boot before a record.
fn prior(
    rows: &Rows<'_>,
    (device, log): (DeviceId, LogId),
    start: Seq,
    anchors: &[Anchor],
) -> Result<Option<Span>, Fault> {
    let under = rows.sealed_under(device, log)?;
    let mut records: Vec<Opened> = Vec::new();
    let mut boot = None;
    let mut below = start;
    'boot: loop {
        let chunk = rows.sealed_before(device, log, below, CHUNK)?;
        for (seq, sealed) in &chunk {
            let opened = open(device, under, sealed);
            if let Ok(record) = &opened {
                if *boot.get_or_insert(record.boot) != record.boot {
                    break 'boot;
                }
                records.push((*seq, opened));
            }
        }
        match chunk.last() {
            Some((seq, _)) => below = *seq,
            None => break,
        }
    }
    Ok(boot.map(|boot| stretch::span(Some(boot), &records, anchors)))
}

fn office(rows: &Rows<'_>, device: DeviceId) -> Result<Office, Fault> {
    let handheld = rows.handheld(device)?;
    let mut office = Office {
        fallback: handheld.herd,
        gauge: handheld.gauge,
        gauge_tolerance: handheld.gauge_tolerance,
        limits: rows.limits()?,
        keys: rows.standing_keys()?,
        plans: rows.plans()?.into_iter().map(|plan| (plan.name, plan)).collect(),
        ..Office::default()
    };
    for herd in rows.herds()? {
        let zone = TimeZone::get(&herd.zone).map_err(|_| {
            Fault::Stored(format!(
                "herd {} has time zone {}, which this computer does not know",
                herd.name, herd.zone
            ))
        })?;
        office.renumbered.insert(herd.herd, rows.renumbered(herd.herd)?);
        office.farms.push(Farm { herd: herd.herd, name: herd.name, zone });
        for animal in rows.animals(herd.herd)? {
            office.listed.entry(herd.herd).or_default().insert(animal.animal);
            if let Some(tag) = animal.tag {
                let number = i64::try_from(tag.decimal()).unwrap_or(i64::MAX);
                office.tags.insert((herd.herd, number), animal.animal);
            }
        }
    }
    Ok(office)
}
