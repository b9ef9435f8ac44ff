//! Which of the stored logs a handheld holds: the runs that would show it, and the judgement.

use hornrule_protocol::digest::RunDigest;
use hornrule_protocol::limits::MAX_DIGESTED;
use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::{Boot, DeviceId, LogId, Sealed, Seq, Uptime, open};

use super::desk::Left;
use super::{ANSWER, Standing};
use hornrule_herd::{Database, DatabaseError};
use hornrule_line::port::Port;
use hornrule_line::pull::{Batch, Run, ask};

/// Most logs kept aside that a handheld is held against, the newest first.
const MOST_ASIDES: usize = 7;

/// A log that the handheld may hold.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub(super) log: LogId,
    pub(super) stored: Seq,
    /// Its last records that could be on flash.
    pub(super) run: Option<Run>,
    /// Records that were compared and are the same.
    pub(super) same: u32,
    /// Whole records that were compared and differ from whole ones.
    pub(super) differ: u32,
}

/// The logs that a handheld may hold: the one that it names, and those kept aside beside it.
pub(super) fn candidates(herd: &Database, hello: &Hello) -> Result<Vec<Candidate>, DatabaseError> {
    let beside = herd.asides()?.into_iter().rev();
    let beside = beside.filter(|one| one.device == hello.device && one.of == hello.log);
    let logs = [hello.log].into_iter().chain(beside.map(|one| one.log).take(MOST_ASIDES));
    logs.map(|log| candidate(herd, hello, log)).collect()
}

fn candidate(herd: &Database, hello: &Hello, log: LogId) -> Result<Candidate, DatabaseError> {
    let cursor = herd.cursor(hello.device, log)?;
    // What lies behind the last whole record is damaged or said to be lost: it is read again.
    let stored = herd.last_whole((hello.device, log), cursor)?;
    let through = stored.min(hello.next.previous());
    let on_flash = (hello.first.max(Seq::FIRST), through);
    let records = herd.last_records((hello.device, log), on_flash, MAX_DIGESTED)?;
    Ok(Candidate { log, stored, run: run_of(&records), same: 0, differ: 0 })
}

/// These records as a run; `None` where there are none.
pub(super) fn run_of(records: &[Sealed]) -> Option<Run> {
    let (first, last) = (records.first()?, records.last()?);
    let mut digest = RunDigest::new();
    records.iter().for_each(|one| digest.add(one));
    let count = digest.count();
    Some(Run { from: first.seq(), through: last.seq(), count, digest: digest.finish() })
}

impl Candidate {
    /// Counts what is the same and what differs. A damaged record says nothing, unless it is damaged
    /// in the same way.
    pub(super) fn compare(&mut self, herd: &Database, batch: &Batch) -> Result<(), DatabaseError> {
        let whole = |one: &Sealed| one.is_whole(batch.device, batch.log);
        for sealed in &batch.sealed {
            match herd.record(batch.device, self.log, sealed.seq())? {
                Some(there) if there == *sealed => self.same += 1,
                Some(there) if whole(&there) && whole(sealed) => self.differ += 1,
                Some(_) | None => {}
            }
        }
        Ok(())
    }

    /// Whether what was compared shows that the handheld holds this log.
    pub(super) const fn is_shown(&self) -> bool {
        self.same > 0 && self.differ == 0
    }
}

/// What a handheld says to the digest of what is stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// Nothing is stored of it that could still be on it.
    Nothing,
    /// It holds what is stored.
    Same,
    /// It does not.
    Other,
    /// Its firmware does not know the question, or it did not answer.
    CannotSay,
}

/// Asks whether a handheld holds what is stored under its name.
///
/// # Errors
/// [`DatabaseError`].
pub fn holds(port: &mut dyn Port, herd: &Database, hello: &Hello) -> Result<Held, DatabaseError> {
    let all = candidates(herd, hello)?;
    let runs: Vec<Run> = all.iter().filter_map(|one| one.run).collect();
    if runs.is_empty() {
        return Ok(Held::Nothing);
    }
    for run in runs {
        let request = Request::Digest { log: hello.log, from: run.from, through: run.through };
        let said = ask(port, &request, ANSWER, |response| match *response {
            Response::Digest { from, through, count, digest } => {
                Some(Run { from, through, count, digest })
            }
            _ => None,
        });
        match said {
            Ok(said) if said == run => return Ok(Held::Same),
            Ok(_) => {}
            Err(_) => return Ok(Held::CannotSay),
        }
    }
    Ok(Held::Other)
}

/// Start and uptime of the last stored record that opens, among the last few.
pub(super) fn last_moment(
    herd: &Database,
    device: DeviceId,
    log: LogId,
    through: Seq,
) -> Result<Option<(Boot, Uptime)>, DatabaseError> {
    let records = herd.last_records((device, log), (Seq::FIRST, through), MAX_DIGESTED)?;
    let mut opened = records.iter().rev().filter_map(|one| open(device, log, one).ok());
    Ok(opened.next().map(|record| (record.boot, record.uptime)))
}

/// Whether the first new record that opens comes after this moment. Boot numbers stay at the last one
/// there is; nothing can be said of it.
pub(super) fn follows(batch: &Batch, stored: Seq, (boot, uptime): (Boot, Uptime)) -> Option<bool> {
    let new = batch.sealed.iter().filter(|one| one.seq() > stored);
    let mut opened = new.filter_map(|one| open(batch.device, batch.log, one).ok());
    let first = opened.next()?;
    Some(boot == Boot(u16::MAX) || (first.boot, first.uptime) >= (boot, uptime))
}

/// How the handheld stood to what was stored.
pub(super) fn told(herd: &Database, left: &Left) -> Result<Standing, DatabaseError> {
    Ok(match left.pull {
        _ if left.contradicts => Standing::Contradicts,
        Some((_, device, log)) => {
            let aside = herd.asides()?.into_iter().find(|one| {
                one.device == device && Some(one.log) == left.aside.unwrap_or(Some(log))
            });
            match aside {
                Some(aside) => Standing::Aside(Some(aside)),
                None if left.aside.is_some() => Standing::Aside(None),
                None => left.unless.clone(),
            }
        }
        None => left.unless.clone(),
    })
}
