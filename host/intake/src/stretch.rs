//! A stretch of a log: opened records from some number on, cut into boots.
//!
//! A boot is a run of records that carry its number. A record that does not open belongs to the
//! boot before it.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use hornrule_protocol::record::Entry;
use hornrule_protocol::{Boot, DeviceId, LogId, OpenError, Record, Seq, Uptime};

use super::clock::{Span, Tie};
use super::decision::Ruling;
use super::office::At;
use hornrule_herd::inbox::Anchor;

/// One record, opened or not.
pub type Opened = (Seq, Result<Record, OpenError>);

/// Everything intake reads of a log.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// The handheld.
    pub device: DeviceId,
    /// Its log.
    pub log: LogId,
    /// The number before the first record that is here.
    pub before: Seq,
    /// Where the work was before.
    pub at: At,
    /// The boot before the first one that is here, for what two boots say of each other.
    pub prior: Option<Span>,
    /// The numbers the handheld has accounted for, ascending runs.
    pub covered: Vec<(Seq, Seq)>,
    /// Anchors from pulls.
    pub anchors: Vec<Anchor>,
    /// The records, ascending.
    pub records: Vec<Opened>,
    /// Of the last record of each boot: when the pull that brought it began, UTC milliseconds since
    /// 1970-01-01 by the office's clock.
    pub came: BTreeMap<Seq, i64>,
    /// What people decided about some of them.
    pub rulings: BTreeMap<Seq, Ruling>,
}

/// A run of numbers that have no record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missing {
    /// First.
    pub first: Seq,
    /// Last.
    pub last: Seq,
    /// Whether the handheld has said that it has them no more; else they were not pulled.
    pub lost: bool,
}

/// A bundle with fewer parts than it has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// How many follow it.
    pub there: u8,
    /// Whether a later pull may bring the rest: the number after them is neither here nor lost.
    pub may_come: bool,
}

impl Stretch {
    /// The records of each boot, by their index.
    #[must_use]
    pub fn boots(&self) -> Vec<(Option<Boot>, Range<usize>)> {
        boots(&self.records)
    }

    /// What the clock needs of each boot, and of boots after the last that only pulls have seen.
    #[must_use]
    pub fn spans(&self) -> Vec<Span> {
        let boots = self.boots();
        let mut spans: Vec<Span> = boots
            .iter()
            .map(|(boot, range)| {
                let records = &self.records[range.clone()];
                let came = records.last().and_then(|(seq, _)| self.came.get(seq)).copied();
                Span { came_ms: came, ..span(*boot, records, &self.anchors) }
            })
            .collect();
        let known = boots.last().and_then(|(boot, _)| *boot);
        let later: BTreeSet<Boot> =
            self.anchors.iter().map(|a| a.boot).filter(|boot| Some(*boot) > known).collect();
        spans.extend(later.into_iter().map(|boot| Span {
            boot: Some(boot),
            last: Uptime(0),
            came_ms: None,
            ties: ties_of(boot, &self.anchors).collect(),
        }));
        spans
    }

    /// The numbers missing right before the record at this index.
    #[must_use]
    pub fn missing_before(&self, index: usize) -> Option<Missing> {
        let (seq, _) = self.records.get(index)?;
        let before = index.checked_sub(1).map_or(self.before, |i| self.records[i].0);
        let (first, last) = (before.next(), seq.previous());
        (first <= last).then(|| {
            let lost = self.covered.iter().any(|run| run.0 <= first && last <= run.1);
            Missing { first, last, lost }
        })
    }

    /// What is there of the bundle at this index, of whose parts this many follow: fewer than all.
    #[must_use]
    pub fn cut(&self, index: usize, there: u8) -> Cut {
        let after = index + usize::from(there) + 1;
        let pulled = after < self.records.len()
            && self.missing_before(after).is_none_or(|missing| missing.lost);
        Cut { there, may_come: !pulled }
    }
}

/// The records of each boot, by their index.
#[must_use]
pub fn boots(records: &[Opened]) -> Vec<(Option<Boot>, Range<usize>)> {
    let mut boots: Vec<(Option<Boot>, Range<usize>)> = Vec::new();
    for (i, (_, opened)) in records.iter().enumerate() {
        let boot = opened.as_ref().ok().map(|record| record.boot);
        match boots.last_mut() {
            Some((now, range)) if boot.is_none() || now.is_none() || *now == boot => {
                *now = now.or(boot);
                range.end = i + 1;
            }
            _ => boots.push((boot, i..i + 1)),
        }
    }
    boots
}

fn ties_of(boot: Boot, anchors: &[Anchor]) -> impl Iterator<Item = Tie> {
    anchors.iter().filter(move |anchor| anchor.boot == boot).filter_map(Tie::from_anchor)
}

/// What the clock needs of one boot.
#[must_use]
pub fn span(boot: Option<Boot>, records: &[Opened], anchors: &[Anchor]) -> Span {
    let records = || records.iter().filter_map(|(_, opened)| opened.as_ref().ok());
    let mut ties: Vec<Tie> =
        boot.map(|boot| ties_of(boot, anchors)).into_iter().flatten().collect();
    ties.extend(records().filter_map(Tie::from_record));
    let last = records().map(|record| record.uptime).max().unwrap_or_default();
    Span { boot, last, came_ms: None, ties }
}

/// What the `Void` records of one boot do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Voids {
    /// Records that are as if not said.
    pub voided: BTreeSet<Seq>,
    /// `Void` records that find nothing to take back.
    pub missed: BTreeSet<Seq>,
    /// Bundles of which fewer parts follow than they have, and how many do.
    pub short: BTreeMap<Seq, u8>,
}

impl Voids {
    /// Of the records of one boot. A chute is empty after a start, so nothing is taken back across
    /// boots; and only what the trimmer said can be taken back.
    #[must_use]
    pub fn of(records: &[Opened], rulings: &BTreeMap<Seq, Ruling>) -> Self {
        let mut voids = Self::default();
        let mut said = BTreeSet::new();
        let mut bundles: BTreeMap<Seq, Vec<Seq>> = BTreeMap::new();
        for (at, (seq, opened)) in records.iter().enumerate() {
            let Ok(record) = opened else { continue };
            // Also an UNDO can be discarded in the office.
            if rulings.get(seq).is_some_and(|ruling| ruling.discarded) {
                continue;
            }
            match record.entry {
                Entry::Visit { .. }
                | Entry::Animal(_)
                | Entry::AnimalLeft
                | Entry::Reading(_)
                | Entry::Finding(_)
                | Entry::Action(_)
                | Entry::Score { .. } => {
                    said.insert(*seq);
                }
                Entry::Bundle { parts, .. } => {
                    said.insert(*seq);
                    let there = bundle_parts(&records[at..], record.uptime, parts);
                    if let Ok(few) = u8::try_from(there.len())
                        && few < parts
                    {
                        voids.short.insert(*seq, few);
                    }
                    bundles.insert(*seq, there);
                }
                Entry::Void { seq: target } if said.contains(&target) => {
                    voids.voided.insert(target);
                    voids.voided.extend(bundles.get(&target).into_iter().flatten());
                }
                Entry::Void { .. } => {
                    voids.missed.insert(*seq);
                }
                Entry::Started(_)
                | Entry::Clock { .. }
                | Entry::Gap { .. }
                | Entry::CalliperFault(_)
                | Entry::PlanLoaded { .. } => {}
            }
        }
        voids.short.retain(|seq, _| !voids.voided.contains(seq));
        voids
    }
}

/// The parts of the bundle at the head of these records of one boot: the actions that follow it in
/// number and were said at its time. Fewer than it has if power failed in between.
fn bundle_parts(records: &[Opened], uptime: Uptime, parts: u8) -> Vec<Seq> {
    let Some(((first, _), rest)) = records.split_first() else { return Vec::new() };
    let mut next = *first;
    let follows = |(seq, opened): &&Opened| {
        next = next.next();
        let part =
            |record: &Record| matches!(record.entry, Entry::Action(_)) && record.uptime == uptime;
        *seq == next && opened.as_ref().is_ok_and(part)
    };
    rest.iter().take(usize::from(parts)).take_while(follows).map(|(seq, _)| *seq).collect()
}

/// Looks, from a record backwards, for the number from which a log has to be derived again.
///
/// What a boot's rows are depends on nothing before it but the farm and the plan, as long as its own clock and
/// that of the boot before it are anchored; a boot without an anchor hangs on its neighbours.
#[derive(Debug)]
pub struct Seeker<'a> {
    anchors: &'a [Anchor],
    boot: Option<(Boot, Seq, bool)>,
    start: Option<Seq>,
}

impl<'a> Seeker<'a> {
    /// A seeker that knows the anchors from pulls.
    #[must_use]
    pub const fn new(anchors: &'a [Anchor]) -> Self {
        Self { anchors, boot: None, start: None }
    }

    /// Takes the next record below; gives the number once it is certain. Where the log ends first,
    /// the log's first record is the answer.
    pub fn step(&mut self, seq: Seq, opened: &Result<Record, OpenError>) -> Option<Seq> {
        let Ok(record) = opened else { return None };
        let pulled = |anchor: &Anchor| anchor.boot == record.boot;
        let tied = Tie::from_record(record).is_some()
            || self.anchors.iter().filter(|a| pulled(a)).any(|a| Tie::from_anchor(a).is_some());
        let anchored = match self.boot {
            Some((boot, _, anchored)) if boot == record.boot => anchored || tied,
            Some((_, first, anchored)) => {
                self.start = anchored.then_some(first);
                tied
            }
            None => tied,
        };
        self.boot = Some((record.boot, seq, anchored));
        if anchored { self.start } else { None }
    }
}
