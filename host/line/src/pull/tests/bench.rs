//! A machine on a bench: what its office says, what it asked, what a handheld on paper answers.

use hornrule_protocol::frame::{self, Frame, RequestId};
use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::{
    Boot, Deframer, DeviceId, Entry, LogId, Record, Sealed, Seq, Uptime, seal,
};

use super::super::error::PullError;
use super::super::machine::Machine;
use super::super::step::{Batch, Do, Event, Run};

pub(super) const DEVICE: DeviceId = DeviceId(1);
pub(super) const LOG: LogId = LogId(2);

pub(super) fn hello(next: u32) -> Hello {
    Hello {
        device: DEVICE,
        log: LOG,
        firmware: [0, 1, 0],
        boot: Boot(1),
        first: Seq(1),
        next: Seq(next),
        released: Seq(0),
    }
}

pub(super) fn sealed(seq: u32) -> Sealed {
    let record = Record { boot: Boot(1), uptime: Uptime(9), entry: Entry::AnimalLeft };
    seal(DEVICE, LOG, Seq(seq), &record).unwrap()
}

/// A machine, the requests it has sent, and what its office says.
pub(super) struct Bench {
    pub(super) machine: Machine,
    pub(super) sent: Vec<(RequestId, Request)>,
    pub(super) stored: Vec<(u32, u32)>,
    pub(super) compared: Vec<(u32, u32)>,
    pub(super) filled: Vec<(u32, u32, usize)>,
    pub(super) finished: Option<Option<Seq>>,
    pub(super) withheld: bool,
    /// What the office has: the runs that prove it, and the last number.
    pub(super) runs: Vec<Run>,
    pub(super) had: u32,
    pub(super) proved: Option<usize>,
    pub(super) gaps: Vec<(u32, u32)>,
    pub(super) before_release: Option<Vec<Run>>,
    pub(super) consents: bool,
    pub(super) now_ms: i64,
}

impl Bench {
    pub(super) fn with_office(change: impl FnOnce(&mut Self)) -> Self {
        let mut bench = Self {
            machine: Machine::new(),
            sent: Vec::new(),
            stored: Vec::new(),
            compared: Vec::new(),
            filled: Vec::new(),
            finished: None,
            withheld: false,
            runs: Vec::new(),
            had: 0,
            proved: None,
            gaps: Vec::new(),
            before_release: Some(Vec::new()),
            consents: true,
            now_ms: 0,
        };
        change(&mut bench);
        let todo = bench.machine.begin();
        bench.obey(todo).unwrap();
        bench
    }

    pub(super) fn begin() -> Self {
        Self::with_office(|_| {})
    }

    /// Greeted, probed, reading from `stored` + 1 a log that ends before `next`.
    pub(super) fn reading(stored: u32, next: u32) -> Self {
        let mut bench = Self::with_office(|office| office.had = stored);
        bench.answer(Response::Hello(hello(next))).unwrap();
        bench.probe();
        bench
    }

    pub(super) fn probe(&mut self) {
        for _ in 0..3 {
            self.answer(Response::Now { boot: Boot(1), uptime: Uptime(5) }).unwrap();
        }
    }

    pub(super) fn obey(&mut self, todo: Vec<Do>) -> Result<(), PullError> {
        for one in todo {
            self.obey_one(one)?;
        }
        Ok(())
    }

    pub(super) fn obey_one(&mut self, one: Do) -> Result<(), PullError> {
        let numbers = |batch: &Batch| (batch.from.0, batch.through.0);
        let todo = match one {
            Do::Send(bytes) => {
                let mut deframer = Deframer::<64>::new();
                let frames = bytes.into_iter().fold(0, |frames, byte| {
                    let Some(frame) = deframer.push(byte) else { return frames };
                    let frame = frame.unwrap();
                    self.sent.push((frame.id, frame.message().unwrap()));
                    frames + 1
                });
                assert_eq!(frames, 1);
                Vec::new()
            }
            Do::Meet(_) => self.machine.met(self.runs.clone()),
            Do::Proved(at) => {
                self.proved = Some(at);
                self.machine.resume_after(Seq(self.had), self.now_ms)?
            }
            Do::Judge => self.machine.resume_after(Seq(self.had), self.now_ms)?,
            Do::Compare(batch) => {
                self.compared.push(numbers(&batch));
                self.machine.on(&Event::Stored, 0)?
            }
            Do::Store(batch) => {
                self.stored.push(numbers(&batch));
                self.machine.on(&Event::Stored, 0)?
            }
            Do::Fill(batch) => {
                self.filled.push((batch.from.0, batch.through.0, batch.sealed.len()));
                self.machine.on(&Event::Stored, 0)?
            }
            Do::Settle(_) => {
                let runs = self.gaps.iter().map(|(from, through)| (Seq(*from), Seq(*through)));
                self.machine.settled(runs.collect())
            }
            Do::Confirm(_) => self.machine.confirmed(self.before_release.clone()),
            Do::Consent => self.machine.consented(self.consents),
            Do::Anchor(_) => Vec::new(),
            Do::Finish(finished) => {
                self.finished = Some(finished.released);
                self.withheld = finished.withheld;
                Vec::new()
            }
        };
        self.obey(todo)
    }

    pub(super) fn last(&self) -> (RequestId, Request) {
        *self.sent.last().unwrap()
    }

    pub(super) fn answer_to(
        &mut self,
        id: RequestId,
        response: Response<'_>,
    ) -> Result<(), PullError> {
        let mut line = [0u8; 2048];
        let bytes = frame::encode(id, &response, &mut line).unwrap();
        let mut deframer = Deframer::<2048>::new();
        for byte in bytes {
            if let Some(frame) = deframer.push(*byte) {
                let frame: Frame<'_> = frame.unwrap();
                let todo = self.machine.on(&Event::Frame(&frame), 0)?;
                return self.obey(todo);
            }
        }
        unreachable!("a whole frame was sent")
    }

    pub(super) fn answer(&mut self, response: Response<'_>) -> Result<(), PullError> {
        self.answer_to(self.last().0, response)
    }

    pub(super) fn batch(&mut self, from: u32, through: u32) -> Result<(), PullError> {
        let run: Vec<u8> =
            (from..=through).flat_map(|seq| sealed(seq).as_bytes().to_vec()).collect();
        self.answer(Response::Batch { from: Seq(from), through: Seq(through), sealed: &run })
    }

    pub(super) fn silence(&mut self) -> Result<(), PullError> {
        let todo = self.machine.on(&Event::Silence, 0)?;
        self.obey(todo)
    }
}
