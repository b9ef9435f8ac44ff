//! Random operations on the log and on a simple model of it, with power cuts, restarts and faults
//! anywhere.

use hornrule_core::log::{AppendError, Log, ReadError, ReleaseError};
use hornrule_protocol::{Sealed, Seq};
use hornrule_testkit::flash::{Fault, Flash, FlashError, HalfErase};
use hornrule_testkit::model_log::ModelLog;
use proptest::prelude::*;

use crate::{LOG, mounted, mounted_twice, record};

#[derive(Clone, Copy, Debug)]
enum Op {
    Append {
        count: u8,
        salt: u8,
    },
    /// Reads this many, starting this far above the oldest.
    Read {
        above: u8,
        count: u8,
    },
    /// Releases through this far above what is released, sometimes beyond the last one.
    Release {
        above: u8,
    },
    /// Erases ahead.
    Tend,
    Restart,
    /// The power fails this many steps from now; whatever is running then is cut.
    Cut {
        steps: u16,
        half_erase: HalfErase,
    },
    Fault {
        nth: u8,
        fault: Fault,
    },
}

fn op() -> impl Strategy<Value = Op> {
    let half = (0..4usize).prop_map(|i| HalfErase::ALL[i]);
    let faults = [Fault::Refused, Fault::Torn, Fault::SaidToFail, Fault::SaidToWork];
    prop_oneof![
        6 => (1..40u8, any::<u8>()).prop_map(|(count, salt)| Op::Append { count, salt }),
        3 => (0..60u8, 1..20u8).prop_map(|(above, count)| Op::Read { above, count }),
        5 => (0..50u8).prop_map(|above| Op::Release { above }),
        2 => Just(Op::Tend),
        1 => Just(Op::Restart),
        2 => (0..900u16, half).prop_map(|(steps, half_erase)| Op::Cut { steps, half_erase }),
        1 => (1..9u8, 0..4usize).prop_map(move |(nth, i)| Op::Fault { nth, fault: faults[i] }),
    ]
}

/// The log, its model, and what the last failed call may have left.
struct Pair<const PAGE: usize> {
    log: Option<Log<Flash<PAGE>>>,
    model: ModelLog,
    /// Calls that failed since the last restart, each of which may cost a number at the next one.
    failed: u32,
    /// Faults requested in total.
    faults: u32,
}

impl<const PAGE: usize> Pair<PAGE> {
    fn log(&mut self) -> &mut Log<Flash<PAGE>> {
        self.log.as_mut().unwrap()
    }

    fn on(&mut self, op: Op) {
        match op {
            Op::Append { count, salt } => (0..count).for_each(|i| self.append(salt ^ i)),
            Op::Read { above, count } => self.read(above, count),
            Op::Release { above } => self.release(above),
            Op::Tend => self.tend(),
            Op::Restart => self.restart(None, self.model.released()),
            Op::Cut { steps, half_erase } => self.with_flash(|flash| {
                flash.half_erase(half_erase);
                flash.dies_after(u64::from(steps));
            }),
            Op::Fault { nth, fault } => {
                self.faults += 1;
                self.with_flash(|flash| flash.faults_in(u64::from(nth), fault));
            }
        }
    }

    /// Whatever happens, all that is waiting is there; what was released may be gone.
    fn tend(&mut self) {
        self.log().tend();
        assert!(!self.log().wants_tending(), "it is done or given up");
        let (first, released) = (self.log().first(), self.log().released());
        assert!(released >= self.model.released());
        assert!(released <= self.model.released().max(first.previous()));
        self.model.released_through(released);
        self.model.overwritten_before(first);
    }

    /// A restart, with something done to the flash in between.
    fn with_flash(&mut self, change: impl FnOnce(&mut Flash<PAGE>)) {
        self.restart(None, self.model.released());
        let mut flash = self.log.take().unwrap().into_flash();
        change(&mut flash);
        self.log = Some(mounted(flash));
    }

    fn append(&mut self, salt: u8) {
        let sealed = record(self.model.next(), salt);
        let (free, waiting) = (self.log().free(), self.model.waiting());
        match self.log().append(&sealed) {
            Ok(seq) => assert_eq!(self.model.append::<()>(&sealed), Ok(seq)),
            Err(AppendError::Full) => {
                assert_eq!(free, 0, "full, with room for {free}");
                assert!(waiting > 0, "full, with nothing waiting");
            }
            Err(AppendError::Flash(FlashError::PowerOff)) => {
                self.restart(Some(sealed), self.model.released());
            }
            // The same number again: either it succeeds, or it was committed before.
            Err(e) if self.is_fault(&e) => {
                self.failed += 1;
                match self.log().append(&sealed) {
                    Ok(_) => drop(self.model.append::<()>(&sealed).unwrap()),
                    Err(AppendError::Full) => {}
                    Err(AppendError::Flash(FlashError::PowerOff)) => {
                        self.restart(Some(sealed), self.model.released());
                    }
                    Err(e) => panic!("appending again: {e}"),
                }
            }
            Err(e) => panic!("append: {e}, model at {:?}", self.model.next()),
        }
        let first = self.log().first();
        self.model.overwritten_before(first);
    }

    fn read(&mut self, above: u8, count: u8) {
        let mut from = Seq(self.log().first().0 - 1 + u32::from(above));
        for _ in 0..count {
            match (self.log().read_from(from), self.model.read_from::<()>(from)) {
                (Ok(found), Ok(mut expected)) => {
                    // Released ones may go individually with a page that is half erased.
                    while found != expected
                        && let Some(gone) = expected.as_ref().map(Sealed::seq)
                        && gone <= self.model.released()
                    {
                        expected = self.model.read_from::<()>(gone.next()).unwrap();
                    }
                    assert_eq!(found, expected, "from {from:?}");
                    from = found.map_or(from, |r| r.seq().next());
                }
                (Err(ReadError::Gone { first }), Err(ReadError::Gone { first: expected })) => {
                    assert_eq!(first, expected);
                }
                // Power failed during an erase ahead, which reports nothing.
                (Err(ReadError::Flash(FlashError::PowerOff)), _) => {
                    self.restart(None, self.model.released());
                }
                (found, expected) => panic!("from {from:?}: {found:?}, model {expected:?}"),
            }
        }
    }

    fn release(&mut self, above: u8) {
        let through = Seq(self.model.released().0 + u32::from(above));
        match (
            self.log().release_through(through),
            self.model.clone().release_through::<()>(through),
        ) {
            (Ok(released), Ok(_)) => {
                // If less than requested was released, nothing was.
                assert!(released == through || released == self.model.released());
                self.model.released_through(released);
            }
            (Err(ReleaseError::Beyond { last }), Err(ReleaseError::Beyond { last: model })) => {
                assert_eq!(last, model);
            }
            (Err(ReleaseError::Flash(FlashError::PowerOff)), _) => self.restart(None, through),
            (Err(ReleaseError::Flash(e)), _) if self.is_fault(&AppendError::Flash(e)) => {
                self.may_be_released(through);
            }
            (Err(ReleaseError::NotKept), _) => self.may_be_released(through),
            (found, expected) => panic!("release {through:?}: {found:?}, model {expected:?}"),
        }
        let first = self.log().first();
        self.model.overwritten_before(first);
    }

    /// Whether an error comes from a requested fault. An erase that falsely reports success on a
    /// page that reads blank shows up when its words cannot be programmed.
    fn is_fault(&self, error: &AppendError<FlashError>) -> bool {
        let said = match error {
            AppendError::NotKept => true,
            AppendError::Flash(e) => {
                matches!(e, FlashError::Faulted | FlashError::ProgrammedTwice { .. })
            }
            _ => false,
        };
        self.faults > 0 && said
    }

    /// After a failed release: nothing, or what it freed by entering a page.
    fn may_be_released(&mut self, through: Seq) {
        self.failed += 1;
        let released = self.log().released();
        assert!(released >= self.model.released() && released <= through);
        self.model.released_through(released);
    }

    /// Power back, mount, and the model follows wherever the log had a choice.
    fn restart(&mut self, under_way: Option<Sealed>, releasing: Seq) {
        let mut flash = self.log.take().unwrap().into_flash();
        flash.revive();
        let mut log = mounted_twice(flash);
        assert!(log.released() >= self.model.released(), "a release was forgotten");
        // Numbers without a record may count as released along with the page before them.
        let limit = releasing.max(log.first().previous());
        assert!(log.released() <= limit, "{:?} released, {releasing:?} asked", log.released());
        self.model.released_through(log.released());
        if let Some(sealed) = under_way
            && log.next() > sealed.seq()
            && log.read_from(sealed.seq()).unwrap().as_ref() == Some(&sealed)
        {
            self.model.append::<()>(&sealed).unwrap();
        }
        let left_out = log.next().0 - self.model.next().0;
        assert!(left_out <= 1 + self.failed, "{left_out} numbers left out");
        self.failed = 0;
        self.model.leaves_out_before(log.next());
        self.model.overwritten_before(log.first());
        // A release without a reserve that was cut may have lost some of the records being
        // released.
        for seq in (log.released().0 + 1..=releasing.0).map(Seq) {
            if log.read_from(seq).unwrap().map(|r| r.seq()) != Some(seq) {
                self.model.loses(seq);
            }
        }
        self.log = Some(log);
        self.everything_waiting_is_there();
    }

    fn everything_waiting_is_there(&mut self) {
        let mut from = self.model.released().next();
        loop {
            let found = self.log().read_from(from).unwrap();
            assert_eq!(found, self.model.read_from::<()>(from).unwrap(), "from {from:?}");
            match found {
                Some(sealed) => from = sealed.seq().next(),
                None => break,
            }
        }
    }
}

fn follows<const PAGE: usize>(pages: usize, seed: u64, ops: &[Op]) {
    let mut flash = Flash::<PAGE>::blank(pages);
    flash.seed(seed);
    let log = Log::mount(flash, LOG).unwrap();
    let mut pair = Pair { log: Some(log), model: ModelLog::new(), failed: 0, faults: 0 };
    ops.iter().for_each(|op| pair.on(*op));
    pair.restart(None, pair.model.released());
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(48)
    })]

    #[test]
    fn the_log_does_what_its_model_does(
        pages in 3..6usize,
        seed in any::<u64>(),
        ops in prop::collection::vec(op(), 1..60),
    ) {
        follows::<1024>(pages, seed, &ops);
    }

    #[test]
    fn with_large_pages_too(seed in any::<u64>(), ops in prop::collection::vec(op(), 1..50)) {
        follows::<4096>(3, seed, &ops);
    }
}

/// A power failure during an erase ahead goes unnoticed at first: the next call notices.
#[test]
fn the_power_dies_under_an_erase_ahead() {
    for fill in 1..8 {
        let mut ops = vec![Op::Append { count: 30, salt: 0 }; fill];
        ops.push(Op::Cut { steps: 0, half_erase: HalfErase::FromZero });
        ops.extend([Op::Tend, Op::Read { above: 59, count: 12 }]);
        follows::<4096>(3, 0, &ops);
    }
}
