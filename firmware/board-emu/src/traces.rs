//! Log lines waiting for the office's line to be quiet.
//!
//! ```text
//! defmt --rzCOBS--> one line --complete or not at all--> QUEUE --> shell::line::send
//! ```
//!
//! Only with the feature `defmt`: a handheld at work sends only what it is asked for.

#[cfg(not(feature = "defmt"))]
pub(crate) use hornrule_shell::line::NoTraces as Waiting;
#[cfg(feature = "defmt")]
pub(crate) use of_defmt::Waiting;

#[cfg(feature = "defmt")]
mod of_defmt {
    use core::cell::UnsafeCell;

    use critical_section::RestoreState;
    use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
    use embassy_sync::pipe::Pipe;
    use embassy_sync::signal::Signal;
    use heapless::Vec;
    use hornrule_shell::line::Traces;

    use crate::clock;

    /// Longest line kept, encoded; longer ones are dropped.
    const LINE: usize = 64;
    /// Most that can wait: some fifteen lines, where a day between two pulls makes thousands. The
    /// oldest are kept, because they show how it began.
    const QUEUED: usize = 256;

    static QUEUE: Pipe<CriticalSectionRawMutex, QUEUED> = Pipe::new();
    static MORE: Signal<CriticalSectionRawMutex, ()> = Signal::new();

    defmt::timestamp!("{=u64:us}", clock::counted().0);

    /// The line being written.
    struct Writing {
        encoder: defmt::Encoder,
        line: Vec<u8, LINE>,
        fits: bool,
        depth: u8,
        restore: RestoreState,
    }

    struct Shared(UnsafeCell<Writing>);

    // SAFETY: one core, and any access holds the critical section that `acquire` entered.
    unsafe impl Sync for Shared {}

    static WRITING: Shared = Shared(UnsafeCell::new(Writing {
        encoder: defmt::Encoder::new(),
        line: Vec::new(),
        fits: true,
        depth: 0,
        restore: RestoreState::invalid(),
    }));

    impl Writing {
        fn put(line: &mut Vec<u8, LINE>, fits: &mut bool, bytes: &[u8]) {
            *fits &= line.extend_from_slice(bytes).is_ok();
        }
    }

    #[defmt::global_logger]
    struct Logger;

    // SAFETY: between `acquire` and `release` interrupts are off, and every other method is called
    // only in between, as the trait requires of its callers.
    unsafe impl defmt::Logger for Logger {
        fn acquire() {
            // SAFETY: `release` ends it, with the state from here.
            let restore = unsafe { critical_section::acquire() };
            // SAFETY: the critical section is held, and no reference outlives this function.
            let writing = unsafe { &mut *WRITING.0.get() };
            writing.depth = writing.depth.saturating_add(1);
            if writing.depth > 1 {
                // A line within a line: neither would be readable.
                writing.fits = false;
                return;
            }
            writing.restore = restore;
            writing.line.clear();
            writing.fits = true;
            let Writing { encoder, line, fits, .. } = writing;
            encoder.start_frame(|bytes| Writing::put(line, fits, bytes));
        }

        // SAFETY: it does nothing; lines are sent when the line is quiet.
        unsafe fn flush() {}

        // SAFETY: its caller has called `acquire`, as the trait requires.
        unsafe fn release() {
            // SAFETY: as in `acquire`.
            let writing = unsafe { &mut *WRITING.0.get() };
            writing.depth = writing.depth.saturating_sub(1);
            if writing.depth > 0 {
                return;
            }
            let Writing { encoder, line, fits, .. } = writing;
            encoder.end_frame(|bytes| Writing::put(line, fits, bytes));
            if *fits && QUEUE.free_capacity() >= line.len() {
                // It fits: that was checked, and nothing else can have come in between.
                let _whole = QUEUE.try_write(line);
                MORE.signal(());
            }
            let restore = writing.restore;
            // SAFETY: it is the state from the outermost `acquire`.
            unsafe { critical_section::release(restore) }
        }

        // SAFETY: its caller has called `acquire`, as the trait requires.
        unsafe fn write(bytes: &[u8]) {
            // SAFETY: as in `acquire`.
            let Writing { encoder, line, fits, .. } = unsafe { &mut *WRITING.0.get() };
            encoder.write(bytes, |bytes| Writing::put(line, fits, bytes));
        }
    }

    /// The lines of this board.
    pub(crate) struct Waiting;

    impl Traces for Waiting {
        async fn waiting(&mut self) {
            // A waiter that was cancelled has taken the signal and left the bytes.
            if QUEUE.is_empty() {
                MORE.wait().await;
            }
        }

        fn take(&mut self, bytes: &mut [u8]) -> usize {
            QUEUE.try_read(bytes).unwrap_or(0)
        }
    }
}
