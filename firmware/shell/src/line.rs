//! The serial line, both ways. Two tasks, because neither may wait for the other.

use embassy_futures::select::{Either, select};
use embassy_time::{Duration, Timer};
use embedded_io_async::{Read, Write};
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::device::{Input, Plan};
use hornrule_protocol::limits::{MAX_TRACE, MAX_TRACE_ON_WIRE};
use hornrule_protocol::trace::{self, Trace};

use crate::{Frame, Shell};

/// Bytes taken from the line at once.
const CHUNK: usize = 32;
/// Delay after a line error, so that a persistent one does not keep the chip awake.
const PAUSE: Duration = Duration::from_millis(1);

/// Runs for ever.
pub async fn receive<F: NorFlash, P: Plan>(shell: &Shell<'_, F, P>, mut line: impl Read) -> ! {
    let mut chunk = [0; CHUNK];
    loop {
        match line.read(&mut chunk).await {
            Ok(length) => shell.input(Input::Received(&chunk[..length])),
            // Spoiled bytes are missing from their frame, and the checksum shows it.
            Err(_) => Timer::after(PAUSE).await,
        }
    }
}

/// Runs for ever, on boards with a second serial input: the tag reader's lines, 9600 baud 8N1 on
/// most readers. A board without one leaves this task out.
pub async fn tag<F: NorFlash, P: Plan>(shell: &Shell<'_, F, P>, mut reader: impl Read) -> ! {
    let mut chunk = [0; CHUNK];
    loop {
        match reader.read(&mut chunk).await {
            Ok(length) => shell.input(Input::Tag(&chunk[..length])),
            // A spoiled byte leaves a line of the wrong length, which is refused.
            Err(_) => Timer::after(PAUSE).await,
        }
    }
}

/// How long the line must have been quiet, both ways, before log lines are sent: an office still
/// waiting for an answer asks again after half a second (protocol/SPEC.md, trace frames).
const QUIET: Duration = Duration::from_secs(2);

/// The firmware developers' log lines waiting to be sent.
pub trait Traces {
    /// Waits until there are some.
    fn waiting(&mut self) -> impl Future<Output = ()>;
    /// Takes as many bytes as are available and fit; returns how many, 0 if none are waiting.
    fn take(&mut self, bytes: &mut [u8]) -> usize;
}

/// For an image that writes no log lines.
#[derive(Clone, Copy, Debug)]
pub struct NoTraces;

impl Traces for NoTraces {
    fn waiting(&mut self) -> impl Future<Output = ()> {
        core::future::pending()
    }

    fn take(&mut self, _: &mut [u8]) -> usize {
        0
    }
}

/// Runs for ever: sends what the office asked for and, while the line is quiet, log lines.
pub async fn send<F: NorFlash, P: Plan>(
    shell: &Shell<'_, F, P>,
    mut line: impl Write,
    mut traces: impl Traces,
) -> ! {
    let mut frame = Frame::new();
    let mut number = 0;
    loop {
        while shell.next_frame(&mut frame) {
            // A frame that was not sent is lost as on a cable: the office asks again.
            let _lost = line.write_all(&frame).await.is_err() || line.flush().await.is_err();
        }
        // Whatever comes in is news, and anything sent leads here: either restarts the quiet
        // period.
        let quiet = async {
            traces.waiting().await;
            Timer::after(QUIET).await;
        };
        if let Either::Second(()) = select(shell.news.wait(), quiet).await {
            while !shell.news.signaled() && send_trace(&mut line, &mut traces, number).await {
                number = number.wrapping_add(1);
            }
        }
    }
}

/// Sends one frame of log bytes; false if there are none.
async fn send_trace(line: &mut impl Write, traces: &mut impl Traces, number: u8) -> bool {
    let mut bytes = [0; MAX_TRACE];
    let taken = traces.take(&mut bytes);
    let mut frame = [0; MAX_TRACE_ON_WIRE];
    let trace = Trace { number, bytes: &bytes[..taken] };
    // Only a frame without bytes is refused: the buffer fits the longest frame.
    let Ok(frame) = trace::encode(&trace, &mut frame) else { return false };
    let _lost = line.write_all(frame).await.is_err() || line.flush().await.is_err();
    true
}
