//! Where a pull puts what it brings: the log that the handheld holds, or a place aside.

use hornrule_protocol::message::Hello;
use hornrule_protocol::{Boot, DeviceId, LogId, Record, Sealed, Seq, Uptime};

use super::Standing;
use super::standing::{Candidate, candidates, follows, last_moment, run_of};
use hornrule_herd::Database;
use hornrule_herd::inbox;
use hornrule_herd::inbox::aside::Parting;
use hornrule_herd::inbox::{InboxError, PullId, PullStart, Stored};
use hornrule_line::pull::{Anchor, Batch, Links, Run};
use hornrule_protocol::limits::MAX_DIGESTED;

/// One pull's desk.
pub(super) struct Desk<'a> {
    herd: &'a mut Database,
    source: &'a str,
    started_ms: i64,
    hello: Option<Hello>,
    candidates: Vec<Candidate>,
    stand: Option<Stand>,
    /// Waits for the first new record of its own boot: a boot that leaves none gives its number to
    /// the next one, whose records it would place at the time of this pull.
    anchor: Option<inbox::Anchor>,
    stored: Stored,
    mended: u32,
    progress: &'a mut dyn FnMut(Seq, Seq),
}

/// Which log the handheld holds, and what is known of it.
struct Stand {
    pull: PullId,
    device: DeviceId,
    /// Where its records go. A log kept aside has a number of the office's own.
    log: LogId,
    /// Stored before this pull.
    before: Seq,
    /// The run that was proved when it was met.
    proved: Option<Run>,
    /// Nothing was proved: its first new record must not be before this.
    after: Option<(Boot, Uptime)>,
    /// Numbers that are gone from flash and were never stored; noted with the first batch.
    gone: Option<(Seq, Seq)>,
    /// It holds another log than any that is stored, parted from that so far.
    aside: Option<Parting>,
    contradicts: bool,
    standing: Standing,
}

/// What a pull leaves behind.
pub(super) struct Left {
    pub(super) pull: Option<(PullId, DeviceId, LogId)>,
    pub(super) from: Seq,
    pub(super) stored: Stored,
    pub(super) mended: u32,
    pub(super) aside: Option<Option<LogId>>,
    pub(super) contradicts: bool,
    /// How the handheld stands, unless one of these says otherwise.
    pub(super) unless: Standing,
}

impl<'a> Desk<'a> {
    pub(super) fn new(
        herd: &'a mut Database,
        source: &'a str,
        started_ms: i64,
        progress: &'a mut dyn FnMut(Seq, Seq),
    ) -> Self {
        Self {
            herd,
            source,
            started_ms,
            hello: None,
            candidates: Vec::new(),
            stand: None,
            anchor: None,
            stored: Stored::default(),
            mended: 0,
            progress,
        }
    }

    pub(super) fn leave(self) -> Left {
        let Self { stand, stored, mended, .. } = self;
        match stand {
            None => Left {
                pull: None,
                from: Seq::FIRST,
                stored,
                mended,
                aside: None,
                contradicts: false,
                unless: Standing::New,
            },
            Some(stand) => Left {
                pull: Some((stand.pull, stand.device, stand.log)),
                from: stand.before.next(),
                stored,
                mended,
                aside: stand.aside.map(|parting| parting.log),
                contradicts: stand.contradicts,
                unless: stand.standing,
            },
        }
    }

    fn hello(&self) -> Result<Hello, InboxError> {
        self.hello.ok_or(NOT_MET)
    }

    /// The handheld holds this log.
    fn stand_on(&mut self, at: usize, standing: Standing) -> Result<Seq, InboxError> {
        let hello = self.hello()?;
        let Candidate { log, mut stored, run, .. } = *self.candidates.get(at).ok_or(NOT_MET)?;
        if stored >= hello.next {
            // It seems to have nothing new; but it may hold what is missing here.
            let on_flash = (hello.first.max(Seq::FIRST), hello.next.previous());
            if let Some((from, _)) = self.herd.unsound((hello.device, log), on_flash)?.first() {
                stored = from.previous();
            }
        }
        let after = match standing {
            Standing::Follows => last_moment(self.herd, hello.device, log, stored)?,
            _ => None,
        };
        let proved = run.filter(|_| standing == Standing::Same);
        let mut stand = self.begin(&hello, log, standing)?;
        (stand.before, stand.proved, stand.after) = (stored, proved, after);
        // Another office has released these; this database will never see them, and says so.
        let gone = (stored.next(), hello.first.previous());
        stand.gone = (gone.0 <= gone.1).then_some(gone);
        self.stand = Some(stand);
        Ok(stored.max(hello.first.previous()))
    }

    /// It holds another log than any that is stored.
    fn stand_aside(&mut self) -> Result<Seq, InboxError> {
        let hello = self.hello()?;
        let mut stand = self.begin(&hello, hello.log, Standing::Aside(None))?;
        stand.aside = Some(Parting::default());
        self.stand = Some(stand);
        Ok(hello.first.previous())
    }

    fn begin(
        &mut self,
        hello: &Hello,
        log: LogId,
        standing: Standing,
    ) -> Result<Stand, InboxError> {
        let start = PullStart {
            device: hello.device,
            log,
            firmware: hello.firmware,
            source: self.source.to_owned(),
            started_ms: self.started_ms,
        };
        Ok(Stand {
            pull: self.herd.begin_pull(&start)?,
            device: hello.device,
            log,
            before: Seq::NONE,
            proved: None,
            after: None,
            gone: None,
            aside: None,
            contradicts: false,
            standing,
        })
    }

    /// Keeps a batch where this handheld's records go.
    fn keep(&mut self, batch: &Batch) -> Result<Stored, InboxError> {
        let stand = self.stand.as_mut().ok_or(NOT_MET)?;
        let anchor = self.anchor.filter(|anchor| says_boot(batch, stand.before, anchor.boot));
        if let Some(after) = stand.after.take() {
            match follows(batch, stand.before, after) {
                // Nothing in it opens: the next batch may say.
                None => stand.after = Some(after),
                Some(true) => {}
                Some(false) => (stand.aside, stand.gone) = (Some(Parting::default()), None),
            }
        }
        let stored = if let Some(parting) = &mut stand.aside {
            self.herd.store_aside(stand.pull, batch, parting, anchor.as_ref())?
        } else {
            note_gone(self.herd, stand)?;
            let ours = Batch { log: stand.log, ..batch.clone() };
            self.herd.store_anchored(stand.pull, &ours, anchor.as_ref())?
        };
        if anchor.is_some() && stored.new > 0 {
            self.anchor = None;
        }
        stand.contradicts |= stored.contradictions > 0;
        Ok(stored)
    }

    /// The unreleased records of earlier pulls, as runs that a handheld digests at once.
    fn unreleased(&self, stand: &Stand, hello: &Hello) -> Result<Vec<Run>, InboxError> {
        let mut through = stand.before;
        if let Some(proved) = stand.proved {
            through = through.min(proved.from.previous());
        }
        let mut from = hello.first.max(hello.released.next());
        let mut runs = Vec::new();
        while from <= through {
            let log = (stand.device, stand.log);
            let records = self.herd.first_records(log, (from, through), MAX_DIGESTED)?;
            let Some(run) = run_of(&records) else { break };
            from = run.through.next();
            runs.push(run);
        }
        Ok(runs)
    }
}

/// A handheld is met before anything is asked of its desk; what comes without belongs to no pull.
const NOT_MET: InboxError = InboxError::OtherPull { device: DeviceId(0), log: LogId(0) };

fn note_gone(herd: &mut Database, stand: &mut Stand) -> Result<(), InboxError> {
    let Some((from, through)) = stand.gone.take() else { return Ok(()) };
    let Stand { device, log, .. } = *stand;
    herd.store(stand.pull, &Batch { device, log, from, through, sealed: Vec::new() })?;
    Ok(())
}

/// Whether any record of this batch beyond what was stored was made in this boot.
fn says_boot(batch: &Batch, stored: Seq, boot: Boot) -> bool {
    let new = batch.sealed.iter().filter(|one| one.seq() > stored);
    let mut records = new.filter_map(|one| open_record(batch, one));
    records.any(|record| record.boot == boot)
}

fn open_record(batch: &Batch, sealed: &Sealed) -> Option<Record> {
    hornrule_protocol::open(batch.device, batch.log, sealed).ok()
}

impl Links for Desk<'_> {
    type Error = InboxError;

    fn meet(&mut self, hello: &Hello) -> Result<Vec<Run>, InboxError> {
        self.hello = Some(*hello);
        let all = candidates(self.herd, hello)?;
        let runs: Vec<Run> = all.iter().filter_map(|one| one.run).collect();
        // Those with something to prove them come first, in the order of their runs.
        let (with, without): (Vec<_>, Vec<_>) = all.into_iter().partition(|one| one.run.is_some());
        self.candidates = with.into_iter().chain(without).collect();
        Ok(runs)
    }

    fn proved(&mut self, at: usize) -> Result<Seq, InboxError> {
        self.stand_on(at, Standing::Same)
    }

    fn compare(&mut self, batch: &Batch) -> Result<(), InboxError> {
        for one in &mut self.candidates {
            one.compare(self.herd, batch)?;
        }
        Ok(())
    }

    fn judge(&mut self) -> Result<Seq, InboxError> {
        let hello = self.hello()?;
        if let Some(at) = self.candidates.iter().position(Candidate::is_shown) {
            return self.stand_on(at, Standing::Same);
        }
        if self.candidates.iter().any(|one| one.differ > 0) {
            return self.stand_aside();
        }
        let named = self.candidates.iter().position(|one| one.log == hello.log);
        let at = named.ok_or(NOT_MET)?;
        let Candidate { log, stored, .. } = self.candidates[at];
        if stored == Seq::NONE {
            return self.stand_on(at, Standing::New);
        }
        let last = last_moment(self.herd, hello.device, log, stored)?;
        // It is at an earlier start than one whose records are stored, and yet has new ones.
        if hello.next > stored.next() && last.is_some_and(|(boot, _)| hello.boot < boot) {
            return self.stand_aside();
        }
        self.stand_on(at, Standing::Follows)
    }

    fn anchor(&mut self, anchor: &Anchor) -> Result<(), InboxError> {
        let round_trip = anchor.round_trip_ms();
        self.anchor = Some(inbox::Anchor {
            boot: anchor.boot,
            uptime: anchor.uptime,
            unix_ms: anchor.asked_ms.saturating_add(round_trip / 2),
            round_trip_ms: u32::try_from(round_trip).unwrap_or(u32::MAX),
        });
        Ok(())
    }

    fn store(&mut self, batch: &Batch) -> Result<(), InboxError> {
        let stored = self.keep(batch)?;
        self.stored.new += stored.new;
        self.stored.known += stored.known;
        self.stored.conflicts += stored.conflicts;
        self.stored.contradictions += stored.contradictions;
        Ok(())
    }

    fn settle(&mut self, through: Seq) -> Result<Vec<(Seq, Seq)>, InboxError> {
        let first = self.hello()?.first.max(Seq::FIRST);
        let stand = self.stand.as_mut().ok_or(NOT_MET)?;
        if stand.aside.is_some() {
            return Ok(Vec::new());
        }
        note_gone(self.herd, stand)?;
        if first > through {
            return Ok(Vec::new());
        }
        Ok(self.herd.unsound((stand.device, stand.log), (first, through))?)
    }

    fn fill(&mut self, batch: &Batch) -> Result<(), InboxError> {
        let stored = self.keep(batch)?;
        self.stored.new += stored.new;
        self.mended += stored.new;
        Ok(())
    }

    fn confirm(&mut self, through: Seq) -> Result<Option<Vec<Run>>, InboxError> {
        let hello = self.hello()?;
        let stand = self.stand.as_ref().ok_or(NOT_MET)?;
        let log = (stand.device, stand.log);
        let undecided = self
            .herd
            .asides()?
            .iter()
            .any(|one| (one.device, one.log) == log && one.ruling.is_none());
        if stand.aside.is_some() || stand.contradicts || undecided {
            return Ok(None);
        }
        if hello.released >= through {
            return Ok(Some(Vec::new()));
        }
        let mut runs = self.unreleased(stand, &hello)?;
        let on_flash = (hello.first.max(Seq::FIRST), through);
        runs.extend(run_of(&self.herd.last_records(log, on_flash, MAX_DIGESTED)?));
        // From here on only this log is compared.
        let (log, stored) = (stand.log, through);
        self.candidates = vec![Candidate { log, stored, run: None, same: 0, differ: 0 }];
        Ok(Some(runs))
    }

    fn consent(&mut self) -> Result<bool, InboxError> {
        let shown = self.candidates.iter().all(Candidate::is_shown);
        let stand = self.stand.as_mut().ok_or(NOT_MET)?;
        stand.contradicts |= !shown;
        Ok(shown)
    }

    fn progress(&mut self, stored: Seq, last: Seq) {
        (self.progress)(stored, last);
    }
}
