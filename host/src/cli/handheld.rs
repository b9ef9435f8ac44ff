//! `hornrule handheld`: a virtual handheld, to try things without one.

use std::fs;
use std::hash::{BuildHasher, RandomState};
use std::io;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, channel};
use std::thread;

use clap::Args;
use hornrule_board_sim::bench::{Bench, Make};
use hornrule_board_sim::handheld::{CALLIPER_PAGES, PLAN_PAGES};
use hornrule_board_sim::wire::{Tcp, Wire};
use hornrule_board_sim::{FlashFile, Handheld, Identity, ServeError, Session, Story, serve};
use hornrule_protocol::{DeviceId, LogId};

use super::desk::device_name;
use super::{Failure, say};
use hornrule_files::{input, output};

/// Endings of the files that hold the plan's and the calliper's flash, beside that of the log.
pub(super) const PLAN: &str = "plan-flash";
pub(super) const CALLIPER: &str = "calliper-flash";

/// Pages of 1 KiB: what a small chip has left beside the firmware.
const PAGES: usize = 190;

/// Ending of the file that holds the number drawn for a new handheld: a real chip has its own.
const NUMBER: &str = "device";

/// Number of the demo's handheld, and of every flash file from before numbers were drawn.
pub(super) const DEVICE: DeviceId = DeviceId(0xC0FF_EE00_0000_0001);
/// Number of the demo's log.
pub(super) const LOG: LogId = LogId(0xA1DE_0001);

/// Run a virtual handheld that the office can pull from
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule handheld --flash cow.flash --story day.story\n  \
                  hornrule pull --port /dev/pts/3        (in another terminal)\n\n\
                  Without a story it is switched on and stays plugged in until it is ended. With\n\
                  --calliper each line typed is what its display shows: 75.00 mm, -2.9525 in, off.")]
pub(super) struct Options {
    /// Flash file; created blank if missing
    #[arg(long, value_name = "FILE")]
    flash: PathBuf,
    /// Story to play; firmware/board-sim/STORY.md describes the language
    #[arg(long, value_name = "FILE")]
    story: Option<PathBuf>,
    /// Listen on TCP instead of a pseudo-terminal
    #[arg(long, value_name = "HOST:PORT")]
    tcp: Option<String>,
    /// Seed for key bounce and calliper jitter
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Number of the handheld [default: drawn for a new flash file, and kept beside it]
    #[arg(long, value_name = "HEX", value_parser = hex_u64)]
    device: Option<u64>,
    /// Number its log gets when formatted [default: drawn]
    #[arg(long, value_name = "HEX", value_parser = hex_u32)]
    log: Option<u32>,
    /// Calliper plugged in: sync24, bcd52, words48 or nibbles28; then, after commas,
    /// inverted, sign21, inch8, zeroed-first, loose or restless
    #[arg(long, value_name = "MAKE")]
    calliper: Option<Make>,
    /// Speed of the cable, baud
    #[arg(long, default_value_t = 115_200, value_parser = clap::value_parser!(u32).range(300..))]
    baud: u32,
    /// True time at the start, if there is no story
    #[arg(long, value_name = "TIME", default_value = "2026-01-01T00:00:00Z")]
    now: jiff::Timestamp,
}

fn hex_u64(text: &str) -> Result<u64, String> {
    u64::from_str_radix(text, 16).map_err(|_| "up to 16 hexadecimal digits".to_owned())
}

fn hex_u32(text: &str) -> Result<u32, String> {
    u32::from_str_radix(text, 16).map_err(|_| "up to 8 hexadecimal digits".to_owned())
}

pub(super) fn run(options: &Options) -> Result<(), Failure> {
    let story = match &options.story {
        None => None,
        Some(file) => {
            let text = input::text(file, input::BY_HAND)?;
            let read = text.parse::<Story>();
            Some(read.map_err(|source| Failure::Story { file: file.clone(), source })?)
        }
    };
    // Beside the log: the same name with an ending of its own each.
    let plan_file = options.flash.with_extension(PLAN);
    let calliper_file = options.flash.with_extension(CALLIPER);
    for file in [&options.flash, &plan_file, &calliper_file] {
        output::check(file)?;
    }
    let new = fs::metadata(&options.flash).map_or(true, |file| file.len() == 0);
    // From here on the file is ours alone.
    let flash = FlashFile::open(&options.flash, PAGES).map_err(Failure::file(&options.flash))?;
    let identity = Identity { device: device(options, new)?, fresh_log: log(options) };
    // A story sets the time itself, from the earliest one on.
    let now_ms = if story.is_some() { 0 } else { options.now.as_millisecond().unsigned_abs() };
    let plan = FlashFile::open(&plan_file, PLAN_PAGES).map_err(Failure::file(&plan_file))?;
    let calliper =
        FlashFile::open(&calliper_file, CALLIPER_PAGES).map_err(Failure::file(&calliper_file))?;
    let handheld =
        Handheld::new(flash, identity, now_ms).with_plan_on(plan).with_calliper_on(calliper);
    let mut lines = say::Out;
    let mut session = Session::new(handheld, wire(options.tcp.as_deref())?, &mut lines);
    session.baud = Some(options.baud);
    session.calliper = options.calliper.map(|make| (Bench::new(make, options.seed), typed()));
    say::unless_closed(serve(&mut session, story.as_ref(), options.seed).map_err(Failure::from))
}

/// The handheld's number: the one that was said, the one beside its flash, or a new one.
fn device(options: &Options, new: bool) -> Result<DeviceId, Failure> {
    if let Some(said) = options.device {
        return Ok(DeviceId(said));
    }
    let file = options.flash.with_extension(NUMBER);
    if new {
        let drawn = DeviceId(drawn());
        output::write(&file, format!("{}\n", device_name(drawn)).as_bytes())?;
        return Ok(drawn);
    }
    match input::text(&file, input::BY_HAND) {
        Ok(text) => hex_u64(text.trim()).map(DeviceId).map_err(|why| {
            Failure::Said(format!("{}: {why}; name the number with --device", file.display()))
        }),
        // From a program that gave all of them the same number.
        Err(error) if error.is_missing() => Ok(DEVICE),
        Err(error) => Err(error.into()),
    }
}

/// The number that a log gets if one is made now: another each time, as on a chip.
fn log(options: &Options) -> LogId {
    let [a, b, c, d, ..] = drawn().to_le_bytes();
    LogId(options.log.unwrap_or(u32::from_le_bytes([a, b, c, d])))
}

/// 64 bits that no other start draws: the library's own seeds come from the system.
fn drawn() -> u64 {
    RandomState::new().hash_one(std::process::id())
}

/// Lines from the standard input, as they are typed.
fn typed() -> Receiver<String> {
    let (sender, receiver) = channel();
    thread::spawn(move || {
        // Ends with the input, or with the handheld.
        let mut from = io::stdin().lock();
        while let Ok(Some(line)) = input::line(&mut from)
            && sender.send(line).is_ok()
        {}
    });
    receiver
}

#[cfg(unix)]
fn wire(tcp: Option<&str>) -> Result<Box<dyn Wire>, ServeError> {
    Ok(match tcp {
        Some(address) => Box::new(Tcp::listen(address)?),
        None => Box::new(hornrule_board_sim::wire::Pty::open()?),
    })
}

/// No pseudo-terminals here: TCP on this computer alone.
#[cfg(not(unix))]
fn wire(tcp: Option<&str>) -> Result<Box<dyn Wire>, ServeError> {
    Ok(Box::new(Tcp::listen(tcp.unwrap_or("127.0.0.1:0"))?))
}
