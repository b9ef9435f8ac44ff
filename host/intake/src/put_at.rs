//! A whole visit put at another farm, in one decision.

use std::collections::BTreeMap;

use hornrule_facts::{Day, HerdId, Key, Verdict};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};
use hornrule_protocol::record::Entry;
use hornrule_protocol::{Seq, open};

use super::decide::{DecideError, Outcome, Signature, derived, keep};
use super::farms_set::{Moves, moves, stays};

/// Which visit, and whether only a part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Visit {
    /// Any record of it.
    pub record: Key,
    /// Only from the cow of this record on: a visit that nobody keyed begins there.
    pub from_here: bool,
}

/// What a visit put at another farm changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PutAt {
    /// Where it begins.
    pub start: Seq,
    /// What was decided.
    pub outcome: Outcome,
    /// Which cows moved from where to where.
    pub moves: Moves,
}

/// Puts a visit at a farm: from its beginning to the next visit of that log.
///
/// # Errors
/// [`DecideError`]; nothing is kept then.
pub fn put_at(
    database: &mut Database,
    said: &Signature,
    visit: Visit,
    herd: HerdId,
) -> Result<PutAt, DecideError> {
    database.write_or_not(|rows| put(rows, said, visit, herd))
}

/// What that would change; keeps nothing.
///
/// # Errors
/// [`DecideError`].
pub fn preview_put_at(
    database: &mut Database,
    said: &Signature,
    visit: Visit,
    herd: HerdId,
) -> Result<PutAt, DecideError> {
    // The answer comes out as the reason not to keep it.
    enum Answer {
        Would(Box<PutAt>),
        Refused(DecideError),
    }
    impl From<DatabaseError> for Answer {
        fn from(error: DatabaseError) -> Self {
            Self::Refused(error.into())
        }
    }
    let asked = database.write_or_not(|rows| {
        let would = put(rows, said, visit, herd)?;
        Ok(Err::<PutAt, _>(
            would.map_or_else(Answer::Refused, |would| Answer::Would(Box::new(would))),
        ))
    });
    match asked {
        Ok(would) => Ok(would),
        Err(Answer::Would(would)) => Ok(*would),
        Err(Answer::Refused(error)) => Err(error),
    }
}

fn put(
    rows: &Rows<'_>,
    said: &Signature,
    visit: Visit,
    herd: HerdId,
) -> Result<Result<PutAt, DecideError>, Fault> {
    let Some(start) = start(rows, visit)? else {
        return Ok(Err(DecideError::NoVisitThere(visit.record.2)));
    };
    let (device, log, _) = visit.record;
    let key = (device, log, start);
    let before = stays(rows)?;
    let decision = match keep(rows, said, key, Verdict::At(herd))? {
        Ok(decision) => decision,
        Err(error) => return Ok(Err(error)),
    };
    let still_held = derived(rows, &[key])?;
    let outcome = Outcome { decisions: vec![decision], still_held };
    Ok(Ok(PutAt { start, outcome, moves: moves(&before, &stays(rows)?) }))
}

/// The record at which a visit begins: the one in which it was keyed, or else its first cow. Where work
/// went on over a day without a word, the visit is that of the record's day.
fn start(rows: &Rows<'_>, visit: Visit) -> Result<Option<Seq>, Fault> {
    let (device, log, seq) = visit.record;
    let begun = rows.visit_before(device, log, seq.next())?.map(|visit| visit.seq);
    let loaded = rows.plan_load_before(device, log, seq.next())?.map(|(load, _)| load.seq);
    let from = begun.max(loaded).unwrap_or(Seq::FIRST);
    let mut cows = Vec::new();
    let mut here = None;
    for (at, sealed) in rows.sealed_from(device, log, from)? {
        let Ok(record) = open(device, log, &sealed) else { continue };
        let cow = matches!(record.entry, Entry::Animal(_));
        if cow {
            cows.push(at);
        }
        if at <= seq && (cow || (at == seq && matches!(record.entry, Entry::Visit { .. }))) {
            here = Some(at);
        }
        // The first cow may come after a record that is no cow's.
        if at >= seq && !cows.is_empty() {
            break;
        }
    }
    if visit.from_here {
        return Ok(here.or(cows.first().copied()));
    }
    let days = days(rows, visit.record)?;
    let day = days.range(..=seq).next_back().map(|(_, day)| *day);
    let first_of = |day: Day| cows.iter().copied().find(|cow| days.get(cow) == Some(&day));
    let whole = begun.filter(|begun| *begun == from).or(cows.first().copied());
    let first_day = cows.iter().find_map(|cow| days.get(cow)).copied();
    Ok(match day.filter(|day| Some(*day) != first_day) {
        Some(day) => first_of(day).or(whole),
        None => whole,
    })
}

/// The days of cows of a log, as far as rows and remarks know them.
fn days(rows: &Rows<'_>, (device, log, _): Key) -> Result<BTreeMap<Seq, Day>, Fault> {
    let of_log = |key: Key| key.0 == device && key.1 == log;
    let held = rows.noted()?.into_iter().filter(|one| of_log(one.key));
    let mut days: BTreeMap<Seq, Day> = held.filter_map(|one| Some((one.key.2, one.day?))).collect();
    let stays = rows.stays_of_all()?.into_iter().filter(|(key, ..)| of_log(*key));
    days.extend(stays.map(|(key, _, day)| (key.2, day)));
    Ok(days)
}
