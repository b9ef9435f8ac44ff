//! The virtual handheld as a process: plays a story, answers on its cable, and reports what happens
//! as lines of text.
//!
//! ```text
//! port /dev/pts/3                          where the office finds it
//! 2026-03-03T07:05:12Z CowKnown ·· ·       a cue, with its rhythm
//! plugged in 2026-03-03T11:40:00.25Z       the cable is in; true time
//! unplugged                                the office has everything
//! calliper 75.00 mm                        what its display shows from now on
//! end                                      the story is over
//! ```

use std::io::{self, Write};
use std::sync::mpsc::Receiver;
use std::time::{Duration, Instant};

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::cue::Cue;

use crate::bench::Bench;
use crate::handheld::{Handheld, Heard};
use crate::player::{PlayError, Played, Player};
use crate::story::Story;
use crate::wire::Wire;

/// The office is done when it has everything and the line has been quiet for this long.
const QUIET: Duration = Duration::from_secs(1);
/// Longest wait for bytes, so that the core's own clock keeps running.
const NAP: Duration = Duration::from_millis(2);

/// Why the process stops.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The story.
    #[error(transparent)]
    Play(#[from] PlayError),
    /// The flash cannot be used.
    #[error("the handheld cannot use its flash: {0}")]
    Flash(String),
    /// The cable or the terminal.
    #[error("the virtual handheld's cable: {0}")]
    Wire(#[from] io::Error),
}

/// A handheld, its cable, and where its output lines go.
pub struct Session<'a, F: NorFlash> {
    /// The handheld.
    pub handheld: Handheld<F>,
    /// Its cable.
    pub wire: Box<dyn Wire>,
    /// Where output lines go.
    pub lines: &'a mut dyn Write,
    /// How fast the cable takes bytes; `None` for as fast as the computer can.
    pub baud: Option<u32>,
    /// A calliper that sends while the cable is in, and the source of the lines that set its
    /// display.
    pub calliper: Option<(Bench, Receiver<String>)>,
    told: usize,
}

impl<'a, F: NorFlash> Session<'a, F> {
    /// A session that has printed nothing yet.
    pub fn new(handheld: Handheld<F>, wire: Box<dyn Wire>, lines: &'a mut dyn Write) -> Self {
        Self { handheld, wire, lines, baud: None, calliper: None, told: 0 }
    }

    fn line(&mut self, line: &str) -> io::Result<()> {
        writeln!(self.lines, "{line}")?;
        self.lines.flush()
    }

    fn tell_cues(&mut self) -> io::Result<()> {
        while let Some(heard) = self.handheld.heard().get(self.told).copied() {
            self.told += 1;
            self.line(&cue_line(heard))?;
        }
        Ok(())
    }

    /// Takes as long as a serial line does for this many bytes: ten bits each.
    fn take_line_time(&self, bytes: usize) {
        if let Some(baud) = self.baud {
            let seconds = bytes as f64 * 10.0 / f64::from(baud.max(1));
            std::thread::sleep(Duration::from_secs_f64(seconds));
        }
    }

    /// Lets time run and the calliper send.
    fn let_run(&mut self, to_us: u64) -> io::Result<()> {
        let Some((bench, typed)) = &mut self.calliper else {
            self.handheld.run_until(to_us);
            return Ok(());
        };
        let mut told = Vec::new();
        while let Ok(line) = typed.try_recv() {
            told.push(match bench.show(&line) {
                Ok(()) => format!("calliper {}", line.trim()),
                Err(why) => format!("calliper ? {why}"),
            });
        }
        bench.run_until(&mut self.handheld, to_us);
        told.iter().try_for_each(|line| self.line(line))
    }

    /// Serves the cable; with `until_done` it ends when the office has everything and is quiet.
    fn serve_cable(&mut self, until_done: bool) -> io::Result<()> {
        self.line(&format!("plugged in {}", exactly(self.handheld.now_ms())))?;
        let plugged = Instant::now();
        let plugged_us = self.handheld.now_us();
        let from = self.handheld.heard().len();
        let mut quiet_since = Instant::now();
        let mut buffer = [0u8; 512];
        loop {
            let length = self.wire.read(&mut buffer, NAP)?;
            // While the cable is in, the handheld's time runs with real time.
            let elapsed = u64::try_from(plugged.elapsed().as_micros()).unwrap_or(u64::MAX);
            self.let_run(plugged_us.saturating_add(elapsed))?;
            if length > 0 {
                quiet_since = Instant::now();
                self.handheld.receive(&buffer[..length]);
            }
            while let Some(frame) = self.handheld.transmit() {
                quiet_since = Instant::now();
                self.wire.write(&frame)?;
                self.take_line_time(frame.len());
            }
            self.tell_cues()?;
            let done = self.handheld.heard()[from..].iter().any(|heard| heard.cue == Cue::PullDone);
            if until_done && done && quiet_since.elapsed() > QUIET {
                return self.line("unplugged");
            }
        }
    }
}

/// Plays a story from where the handheld is; without a story it is switched on and stays plugged in
/// until the process is ended.
///
/// # Errors
/// [`ServeError`].
pub fn serve<F: NorFlash>(
    session: &mut Session<'_, F>,
    story: Option<&Story>,
    seed: u64,
) -> Result<(), ServeError> {
    let address = session.wire.address();
    session.line(&format!("port {address}"))?;
    let Some(story) = story else {
        session.handheld.power_on().map_err(|error| ServeError::Flash(error.to_string()))?;
        return Ok(session.serve_cable(false)?);
    };
    let mut player = Player::new(seed);
    for line in &story.lines {
        match player.play(&mut session.handheld, line)? {
            Played::Done => session.tell_cues()?,
            Played::PluggedIn => session.serve_cable(true)?,
        }
    }
    Ok(session.line("end")?)
}

fn cue_line(heard: Heard) -> String {
    let mut line = format!("{} {:?} ", stamp(heard.at_ms), heard.cue);
    line.extend(heard.signal().rhythm());
    line
}

/// To the second, for people.
fn stamp(ms: u64) -> String {
    exactly(ms - ms % 1000)
}

/// To the millisecond: a caller that assumes this time uses it to place records.
fn exactly(ms: u64) -> String {
    i64::try_from(ms)
        .ok()
        .and_then(|ms| jiff::Timestamp::from_millisecond(ms).ok())
        .map_or_else(|| "?".to_owned(), |stamp| stamp.to_string())
}
