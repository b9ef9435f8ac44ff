//! `hornrule demo`: the whole path, once, for real, with an invented farm.
//!
//! ```text
//! demo --starts--> hornrule handheld (a process of its own, playing the story)
//!   |                   | "plugged in"
//!   +--- pull over its port, as over a cable --> database --> farm reports
//!
//! then ten months of two more invented farms, from the inbox on --> season.db
//! ```

mod mark;
mod papers;
mod season;

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};

use clap::Args;
use hornrule_protocol::Nanometres;
use jiff::Timestamp;

use super::desk::device_name;
use super::progress::Progress;
use super::{Failure, handheld, pull, report};
use crate::office;
use crate::office::PulledDay;
use hornrule_exchange::{Target, import_herd};
use hornrule_files::{input, output};
use hornrule_herd::Database;
use hornrule_intake::{GaugeBlock, set_gauge};
use hornrule_line::clock::PretendedClock;
use hornrule_line::keying::read_strokes;
use hornrule_line::port;
use hornrule_line::port::Address;

const STORY: &str = include_str!("../../demo/alder-brook.story");
const HERD: &str = include_str!("../../demo/alder-brook.csv");
const NAME: &str = "Alder Brook";
const ZONE: &str = "Europe/Dublin";

/// Play two days of an invented farm, pull them, write the reports
///
/// The virtual handheld is a process of its own and runs the same core as the real one; keys
/// bounce, and the calliper sends bits. A second demo plugs the same handheld in again and adds
/// nothing.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule demo\n  hornrule demo --dir rehearsal --fresh")]
pub(super) struct Options {
    /// Folder for handheld, database and reports
    #[arg(long, value_name = "FOLDER", default_value = "hornrule-demo")]
    dir: PathBuf,
    /// Discard an earlier demo and start again
    #[arg(long)]
    fresh: bool,
    /// Write HTML only, no PDF
    #[arg(long)]
    no_pdf: bool,
}

/// The files of a demo.
struct Files<'a>(&'a Path);

impl Files<'_> {
    fn flash(&self) -> PathBuf {
        self.0.join("handheld.flash")
    }
    fn story(&self) -> PathBuf {
        self.0.join("alder-brook.story")
    }
    fn database(&self) -> PathBuf {
        self.0.join("herd.db")
    }
    /// True time at which the handheld was last unplugged; there once a demo has ended.
    fn ended(&self) -> PathBuf {
        self.0.join("ended")
    }

    /// Removes what an earlier demo made, and nothing else. Nothing at all where one of the
    /// databases is somebody's own.
    fn forget(&self) -> Result<(), Failure> {
        let databases = [self.database(), season::database(self.0)];
        for database in &databases {
            mark::is_of_demo(database)?;
        }
        let all = databases.iter().flat_map(|database| {
            ["", "-wal", "-shm"].map(|end| PathBuf::from(format!("{}{end}", database.display())))
        });
        let beside = [handheld::PLAN, handheld::CALLIPER];
        let flash = beside.map(|end| self.flash().with_extension(end));
        let ours = [self.flash(), self.ended()].into_iter().chain(flash);
        for file in ours.chain(all) {
            if file.exists() {
                fs::remove_file(&file).map_err(Failure::file(&file))?;
            }
        }
        Ok(())
    }
}

/// The handheld's process; it does not outlive the demo.
struct Process {
    child: Child,
    lines: BufReader<ChildStdout>,
}

impl Drop for Process {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _killed = self.child.kill();
        let _waited = self.child.wait();
    }
}

pub(super) fn run(options: &Options) -> Result<(), Failure> {
    let files = Files(&options.dir);
    mark::take(&options.dir)?;
    let ended = input::text(&files.ended(), input::BY_HAND).ok().filter(|_| !options.fresh);
    let again = ended.as_deref().and_then(|text| text.trim().parse::<Timestamp>().ok());
    if again.is_none() {
        files.forget()?;
    }
    let mut herd = Database::open(&files.database())?;
    match again {
        Some(at) => plug_in_again(&files, &mut herd, at)?,
        None => two_days(&files, &mut herd)?,
    }
    for (path, title) in report::every_visit::write(&herd, &options.dir)? {
        println!("report    {}: {title}", path.display());
    }
    println!("database  {}\n", files.database().display());
    season::play(&options.dir, cfg!(feature = "pdf") && !options.no_pdf)?;
    println!("\nTry now:  hornrule --db {} report visit", files.database().display());
    println!("          hornrule --db {} blocks", season::database(&options.dir).display());
    Ok(())
}

fn two_days(files: &Files<'_>, herd: &mut Database) -> Result<(), Failure> {
    output::write(&files.story(), STORY.as_bytes())?;
    let target = Target { name: NAME.to_owned(), farm: Some(1), zone: ZONE.to_owned() };
    let listed = import_herd(herd, &target, HERD.as_bytes())
        .map_err(|source| Failure::import(Path::new("alder-brook.csv"), source))?;
    println!("herd      {NAME}: {} cows listed", listed.added);
    // The gauge block that the story's trimmer measures in the morning.
    let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
    set_gauge(herd, handheld::DEVICE, Some(gauge))?;
    let story = files.story();
    let mut process = start(files, &["--story".as_ref(), story.as_os_str()])?;
    let address = port_line(&mut process)?;
    let mut cues = 0u32;
    let mut days = STORY.split("\nplug in").map(presses);
    let mut at = Timestamp::UNIX_EPOCH;
    while let Some(line) = next_line(&mut process)? {
        if let Some(time) = line.strip_prefix("plugged in ") {
            at = time.parse().map_err(|_| Failure::Said(format!("no time: {line}")))?;
            let presses = days.next().unwrap_or_default();
            println!("\nchute     the story has reached {at:.0}: {presses} presses, {cues} cues");
            cues = 0;
            print!("{}", pull::told(&plugged_in(&address, herd, at)?));
        } else if line == "unplugged" || line == "end" {
            continue;
        } else {
            cues += 1;
        }
    }
    let status = process.child.wait().map_err(Failure::file(&files.story()))?;
    if !status.success() {
        return Err(Failure::Said("the virtual handheld did not reach the story's end".to_owned()));
    }
    println!();
    Ok(output::write(&files.ended(), at.to_string().as_bytes())?)
}

/// Keys and clips in a part of a story.
fn presses(story: &str) -> usize {
    let lines = story.lines().map(|line| line.split('#').next().unwrap_or_default());
    let count = |line: &str| match line.split_once(' ') {
        Some(("keys", keys)) => read_strokes(keys).map_or(0, |strokes| strokes.len()),
        Some(("clip", _)) => 1,
        _ => 0,
    };
    lines.map(count).sum()
}

fn plug_in_again(files: &Files<'_>, herd: &mut Database, at: Timestamp) -> Result<(), Failure> {
    println!(
        "The demo was played before; its handheld is plugged in again. Use --fresh to start again.\n"
    );
    let now = at.to_string();
    let mut process = start(files, &["--now".as_ref(), now.as_ref()])?;
    let address = port_line(&mut process)?;
    // The port is there before the handheld is: wait for its own word.
    while let Some(line) = next_line(&mut process)? {
        if line.starts_with("plugged in ") {
            break;
        }
    }
    print!("{}", pull::told(&plugged_in(&address, herd, at)?));
    println!();
    Ok(())
}

fn start(files: &Files<'_>, more: &[&std::ffi::OsStr]) -> Result<Process, Failure> {
    let own = std::env::current_exe().map_err(Failure::file(Path::new("hornrule")))?;
    let mut child = Command::new(&own)
        .args(["handheld", "--flash"])
        .arg(files.flash())
        .args(["--device", &device_name(handheld::DEVICE)])
        .args(["--log", &format!("{:08x}", handheld::LOG.0)])
        .args(more)
        .stdout(Stdio::piped())
        .stdin(Stdio::null())
        .spawn()
        .map_err(Failure::file(&own))?;
    let stdout = child.stdout.take();
    let stdout = stdout.ok_or_else(|| Failure::Said("the virtual handheld is mute".to_owned()))?;
    Ok(Process { child, lines: BufReader::new(stdout) })
}

fn next_line(process: &mut Process) -> Result<Option<String>, Failure> {
    let mut line = String::new();
    let length =
        process.lines.read_line(&mut line).map_err(Failure::file(Path::new("virtual handheld")))?;
    Ok((length > 0).then(|| line.trim_end().to_owned()))
}

fn port_line(process: &mut Process) -> Result<Address, Failure> {
    let line = next_line(process)?.unwrap_or_default();
    let port = line.strip_prefix("port ").and_then(|port| port.parse().ok());
    port.ok_or_else(|| Failure::Said("the virtual handheld did not start".to_owned()))
}

fn plugged_in(address: &Address, herd: &mut Database, at: Timestamp) -> Result<PulledDay, Failure> {
    let mut port = port::open(address)?;
    let clock = PretendedClock::starting_at(at);
    let progress = Progress::new();
    let source = "virtual handheld";
    let day = office::pull(&mut *port, herd, &clock, source, &mut |stored, last| {
        progress.at(stored, last);
    });
    progress.done();
    day.map_err(|error| Failure::pull(&address.to_string(), error))
}
