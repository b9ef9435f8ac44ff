//! What a handheld must hold if it is the one whose log is stored, and what it could give again.

use hornrule_protocol::{DeviceId, LogId, Sealed, Seq};

use crate::{Database, DatabaseError};

/// Gaps that lie nearer than this are read again as one: a batch holds as many records.
const NEAR: u32 = 64;
/// Most runs that are read again one by one; what lies behind them is one run more.
const MOST_RUNS: usize = 16;

impl Database {
    /// The last stored records of a log among these numbers, `most` at most, ascending.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn last_records(
        &self,
        (device, log): (DeviceId, LogId),
        (from, through): (Seq, Seq),
        most: u32,
    ) -> Result<Vec<Sealed>, DatabaseError> {
        let mut found = self.read(|rows| rows.sealed_before(device, log, through.next(), most))?;
        found.retain(|(seq, _)| *seq >= from);
        Ok(found.into_iter().rev().map(|(_, sealed)| sealed).collect())
    }

    /// The number of the last whole record of a log up to this one; `NONE` where there is none.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn last_whole(
        &self,
        (device, log): (DeviceId, LogId),
        through: Seq,
    ) -> Result<Seq, DatabaseError> {
        self.read(|rows| {
            let under = rows.sealed_under(device, log)?;
            let mut below = through.next();
            loop {
                let chunk = rows.sealed_before(device, log, below, NEAR)?;
                if let Some((seq, _)) = chunk.iter().find(|(_, one)| one.is_whole(device, under)) {
                    return Ok(*seq);
                }
                match chunk.last() {
                    Some((seq, _)) => below = *seq,
                    None => return Ok(Seq::NONE),
                }
            }
        })
    }

    /// The first stored records of a log among these numbers, `most` at most, ascending.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn first_records(
        &self,
        of: (DeviceId, LogId),
        range: (Seq, Seq),
        most: u32,
    ) -> Result<Vec<Sealed>, DatabaseError> {
        let found = self.read(|rows| rows.sealed_within(of, range, most))?;
        Ok(found.into_iter().map(|(_, sealed)| sealed).collect())
    }

    /// A stored record.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn record(
        &self,
        device: DeviceId,
        log: LogId,
        seq: Seq,
    ) -> Result<Option<Sealed>, DatabaseError> {
        self.read(|rows| rows.sealed(device, log, seq))
    }

    /// The number under which a handheld has sealed the records of a log.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn sealed_under(&self, device: DeviceId, log: LogId) -> Result<LogId, DatabaseError> {
        self.read(|rows| rows.sealed_under(device, log))
    }

    /// Runs of accounted numbers among these that have no record, or a damaged one. Runs that lie close
    /// together are one.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn unsound(
        &self,
        (device, log): (DeviceId, LogId),
        (from, through): (Seq, Seq),
    ) -> Result<Vec<(Seq, Seq)>, DatabaseError> {
        let (covered, whole) = self.read(|rows| {
            let under = rows.sealed_under(device, log)?;
            let mut whole = rows.sealed_within((device, log), (from, through), u32::MAX)?;
            whole.retain(|(_, sealed)| sealed.is_whole(device, under));
            Ok((rows.covered(device, log)?, whole))
        })?;
        let inside = covered
            .into_iter()
            .map(|(first, last)| (first.max(from), last.min(through)))
            .filter(|(first, last)| first <= last);
        let covered: Vec<(Seq, Seq)> = inside.collect();
        let seqs: Vec<Seq> = whole.into_iter().map(|(seq, _)| seq).collect();
        Ok(joined(super::lost_runs(&covered, &seqs)))
    }
}

/// Runs that lie close together as one, and no more than a pull has time for.
fn joined(runs: Vec<(Seq, Seq)>) -> Vec<(Seq, Seq)> {
    let mut all: Vec<(Seq, Seq)> = Vec::new();
    for (first, last) in runs {
        let full = all.len() > MOST_RUNS;
        match all.last_mut() {
            Some(before) if full || first.0 - before.1.0 <= NEAR => before.1 = last,
            _ => all.push((first, last)),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_that_lie_close_are_one_and_there_are_never_many() {
        let run = |first: u32, last: u32| (Seq(first), Seq(last));
        assert_eq!(
            joined(vec![run(1, 1), run(65, 70), run(135, 135)]),
            [run(1, 70), run(135, 135)]
        );
        let far: Vec<_> = (1..=1_000).map(|at| run(at * 100, at * 100)).collect();
        let few = joined(far);
        assert_eq!((few.len(), few[16]), (17, run(1_700, 100_000)));
    }
}
