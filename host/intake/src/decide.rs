//! Takes decisions in: checks them against the record, keeps them, and derives what they change.

use hornrule_facts::Key;
use std::collections::BTreeMap;

use hornrule_protocol::record::Entry;
use hornrule_protocol::{DeviceId, LogId, Seq, open};

use super::decision::in_force;
use super::run::{derive, put_in_force};
use hornrule_facts::field::Field;
use hornrule_facts::remark::Severity;
use hornrule_facts::{Decision, Verdict};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};

/// Who decides, when and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signature {
    /// Who.
    pub who: String,
    /// UTC milliseconds since 1970-01-01.
    pub at_ms: i64,
    /// Why.
    pub why: String,
}

/// What decisions changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// The numbers of the decisions.
    pub decisions: Vec<i64>,
    /// What still holds the records decided, in plain words.
    pub still_held: Vec<(Seq, String)>,
}

/// Why a decision was not taken in. Nothing is kept then.
#[derive(Debug, thiserror::Error)]
pub enum DecideError {
    /// The database did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// No name.
    #[error("a decision needs a name and a reason; give them with --who and --why")]
    Unsigned,
    /// No such record.
    #[error("entry {} of handheld {:016x} is not in the database; `hornrule review list` shows \
             what is waiting", .0.2.0, .0.0.0)]
    NoRecord(Key),
    /// A record that does not open can only be discarded.
    #[error("entry {} cannot be read, so it can only be discarded; use --discard", .0.0)]
    Unreadable(Seq),
    /// The entry has no such field, or the field no such value.
    #[error("entry {} has no {} that could be {value}; `hornrule review show {}` shows what it has",
            .seq.0, .field.name(), .seq.0)]
    NoField {
        /// The record.
        seq: Seq,
        /// The field.
        field: Field,
        /// What it was to be.
        value: String,
    },
    /// It is no place where a visit can begin.
    #[error(
        "entry {} is neither a visit nor a cow's number, so no visit can begin there; name the \
         entry of the visit, or that of its first cow", .0.0
    )]
    NoVisitThere(Seq),
    /// There is no such farm.
    #[error("there is no farm with the number {0} in the database")]
    NoHerd(i64),
    /// It is about no cow.
    #[error("entry {} belongs to no cow, so it cannot be given to one; accept, correct or discard \
             it", .0.0)]
    NoCow(Seq),
    /// Accepting it does not make it complete.
    #[error("entry {} cannot be accepted as it is: {why} Correct it, give it to a cow with --cow, \
             or discard it", .seq.0)]
    Incomplete {
        /// The record.
        seq: Seq,
        /// What holds it.
        why: String,
    },
    /// No such decision.
    #[error("there is no decision {0}; `hornrule review show ENTRY` lists those of an entry")]
    NoDecision(i64),
    /// It does not hold any more, or never did anything.
    #[error(
        "decision {0} was already taken back, or takes one back itself; make a new decision \
             instead"
    )]
    NotInForce(i64),
}

/// Keeps decisions about records and derives what they change: all of them, or none.
///
/// # Errors
/// [`DecideError`].
pub fn decide(
    herd: &mut Database,
    said: &Signature,
    asked: &[(Key, Verdict)],
) -> Result<Outcome, DecideError> {
    herd.write_or_not(|rows| {
        let mut decisions = Vec::new();
        for (key, verdict) in asked {
            match keep(rows, said, *key, *verdict)? {
                Ok(decision) => decisions.push(decision),
                Err(error) => return Ok(Err(error)),
            }
        }
        let records: Vec<Key> = asked.iter().map(|(key, _)| *key).collect();
        let still_held = derived(rows, &records)?;
        let accepted = |seq: Seq| {
            let same =
                |(key, verdict): &&(Key, Verdict)| key.2 == seq && *verdict == Verdict::Accept;
            asked.iter().any(|one| same(&one))
        };
        if let Some((seq, why)) = still_held.iter().find(|(seq, _)| accepted(*seq)) {
            return Ok(Err(DecideError::Incomplete { seq: *seq, why: why.clone() }));
        }
        Ok(Ok(Outcome { decisions, still_held }))
    })
}

/// Takes decisions back, by further ones, and derives what that changes: all of them, or none.
///
/// # Errors
/// [`DecideError`].
pub fn take_back(
    herd: &mut Database,
    said: &Signature,
    decisions: &[i64],
) -> Result<Outcome, DecideError> {
    herd.write_or_not(|rows| {
        let (mut kept, mut records) = (Vec::new(), Vec::new());
        for number in decisions {
            let all = rows.all_decisions()?;
            let Some(one) = all.iter().find(|one| one.decision == *number) else {
                return Ok(Err(DecideError::NoDecision(*number)));
            };
            if !in_force(&all).contains(&one) {
                return Ok(Err(DecideError::NotInForce(*number)));
            }
            let key = (one.device, one.log, one.seq);
            match keep(rows, said, key, Verdict::TakeBack(*number))? {
                Ok(decision) => kept.push(decision),
                Err(error) => return Ok(Err(error)),
            }
            records.push(key);
        }
        let still_held = derived(rows, &records)?;
        Ok(Ok(Outcome { decisions: kept, still_held }))
    })
}

/// Looks whether a record can take a decision, and keeps it.
pub(super) fn keep(
    rows: &Rows<'_>,
    said: &Signature,
    key: Key,
    verdict: Verdict,
) -> Result<Result<i64, DecideError>, Fault> {
    let (device, log, seq) = key;
    if said.who.trim().is_empty() || said.why.trim().is_empty() {
        return Ok(Err(DecideError::Unsigned));
    }
    let Some(sealed) = rows.sealed(device, log, seq)? else {
        return Ok(Err(DecideError::NoRecord(key)));
    };
    let opened = open(device, rows.sealed_under(device, log)?, &sealed);
    let verdict = match (verdict, &opened) {
        (Verdict::Discard | Verdict::TakeBack(_), _) => verdict,
        (_, Err(_)) => return Ok(Err(DecideError::Unreadable(seq))),
        (Verdict::Accept, Ok(_)) => verdict,
        (Verdict::At(herd), Ok(record)) => {
            if !matches!(record.entry, Entry::Visit { .. } | Entry::Animal(_)) {
                return Ok(Err(DecideError::NoVisitThere(seq)));
            }
            if !rows.herds()?.iter().any(|one| one.herd == herd) {
                return Ok(Err(DecideError::NoHerd(herd.0)));
            }
            verdict
        }
        (Verdict::Correct(field, value), Ok(record)) => {
            if !field.put(&mut { record.entry }, value) {
                let value = field.show(value);
                return Ok(Err(DecideError::NoField { seq, field, value }));
            }
            verdict
        }
        (Verdict::Reassign(animal), Ok(record)) => match record.entry {
            // Who was named is a field of the entry.
            Entry::Animal(_) => Verdict::Correct(Field::Cow, animal.number()),
            Entry::Reading(_) | Entry::Finding(_) | Entry::Action(_) | Entry::Score { .. } => {
                verdict
            }
            _ => return Ok(Err(DecideError::NoCow(seq))),
        },
    };
    Ok(Ok(rows.insert_decision(&Decision {
        decision: 0,
        device,
        log,
        seq,
        verdict,
        who: said.who.trim().to_owned(),
        at_ms: said.at_ms,
        why: said.why.trim().to_owned(),
    })?))
}

/// Derives from the first record decided on, log by log. Gives what still holds them.
pub(super) fn derived(rows: &Rows<'_>, records: &[Key]) -> Result<Vec<(Seq, String)>, Fault> {
    put_in_force(rows, &rows.limits()?)?;
    let mut logs: BTreeMap<(DeviceId, LogId), Vec<Seq>> = BTreeMap::new();
    for (device, log, seq) in records {
        logs.entry((*device, *log)).or_default().push(*seq);
    }
    let mut held = Vec::new();
    for ((device, log), seqs) in logs {
        let Some(first) = seqs.iter().min() else { continue };
        let intake = derive(rows, device, log, *first)?;
        let holds = intake
            .remarks
            .into_iter()
            .filter(|remark| remark.severity == Severity::Held && seqs.contains(&remark.seq));
        held.extend(holds.map(|remark| (remark.seq, remark.sentence)));
    }
    Ok(held)
}

#[cfg(test)]
mod tests;
