//! The serial line, both ways. Two tasks, because neither may wait for the other.

use embassy_time::{Duration, Timer};
use embedded_io_async::{Read, Write};
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::chute::DayPlan;
use hornrule_core::device::Input;

use crate::{Frame, Shell};

/// Bytes taken from the line at once.
const CHUNK: usize = 32;
/// After an error of the line, so that one that stays does not keep the chip awake.
const PAUSE: Duration = Duration::from_millis(1);

/// Runs for ever.
pub async fn receive<F: NorFlash, P: DayPlan>(shell: &Shell<'_, F, P>, mut line: impl Read) -> ! {
    let mut chunk = [0; CHUNK];
    loop {
        match line.read(&mut chunk).await {
            Ok(length) => shell.input(Input::Received(&chunk[..length])),
            // What the line spoiled is missing in its frame, and the checksum shows it.
            Err(_) => Timer::after(PAUSE).await,
        }
    }
}

/// Runs for ever, on boards with a second serial input: the tag reader's lines, 9600 baud 8N1 on
/// most readers. A board without one leaves this task out.
pub async fn tag<F: NorFlash, P: DayPlan>(shell: &Shell<'_, F, P>, mut reader: impl Read) -> ! {
    let mut chunk = [0; CHUNK];
    loop {
        match reader.read(&mut chunk).await {
            Ok(length) => shell.input(Input::Tag(&chunk[..length])),
            // A byte that the line spoiled leaves a line of the wrong length, which is refused.
            Err(_) => Timer::after(PAUSE).await,
        }
    }
}

/// Runs for ever.
pub async fn send<F: NorFlash, P: DayPlan>(shell: &Shell<'_, F, P>, mut line: impl Write) -> ! {
    let mut frame = Frame::new();
    loop {
        while shell.next_frame(&mut frame) {
            // A frame that did not get out is lost as on a cable: the office asks again.
            let _lost = line.write_all(&frame).await.is_err() || line.flush().await.is_err();
        }
        shell.news.wait().await;
    }
}
