//! One QEMU running the image: started on a flash, ended by a power cut.

use std::fs;
use std::io::Read;
use std::os::unix::net::UnixStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use hornrule_board_sim::Identity;
use hornrule_line::port::Address;
use serde_json::json;
use tempfile::TempDir;

use crate::flash::Beside;
use crate::image::{CALLIPER, Image, LOG_LENGTH, LOG_START, PLAN, RAM_START};
use crate::panel::Panel;
use crate::pins::{CLOCK, DATA, PEDAL};
use crate::qmp::Qmp;
use crate::qtest::Qtest;

/// Longest wait for QEMU itself: an answer takes microseconds, on a loaded machine some seconds.
pub const PATIENCE: Duration = Duration::from_secs(60);

// The emulated flash controller.
const NVMC_CONFIG: u32 = 0x4001_E504;
const NVMC_ERASE: u32 = 0x4001_E508;
const PAGE: usize = 1024;
/// The stack area is filled with this, to see later how deep it went.
const PAINT: u8 = 0xA5;
/// `sim.rs` of the board.
const MARK: u32 = 0x5137_1D00;
const GPIOTE: u8 = 6;

/// Two emulators at once would starve each other on two cores.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// What the image starts with.
#[derive(Clone, Debug)]
pub struct Start<'a> {
    /// Its identity.
    pub identity: Identity,
    /// The log's flash.
    pub flash: &'a [u8],
    /// The other flash regions; blank if not given.
    pub beside: Option<&'a Beside>,
    /// Its battery, millivolts; 0 if it has nothing to measure with.
    pub battery_mv: u16,
    /// Contacts closed from the start.
    pub contacts: u32,
    /// What its line is connected to.
    pub cable: Cable,
    /// Whether it starts running at once.
    pub run: Run,
    /// How its time passes.
    pub pace: Pace,
}

/// What the image's line is connected to on this computer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cable {
    /// A TCP port: bytes that nobody reads are lost as on a cable; an office may connect at any
    /// time.
    Tcp,
    /// A pseudo-terminal, opened as a serial port. QEMU takes a second to notice that it was
    /// opened.
    Pty,
}

/// When the image starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// At once.
    AtOnce,
    /// When a debugger starts it.
    ByDebugger,
}

/// How the image's time passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// With this computer's, as fast as it emulates.
    Computer,
    /// With its instructions, [`NANOS`] each; while it sleeps, with this computer's.
    Counted,
}

/// Nanoseconds that an instruction takes at [`Pace::Counted`]: two to the sixth, the closest that
/// QEMU offers to one cycle of 16 MHz.
pub const NANOS: u64 = 1 << 6;

impl<'a> Start<'a> {
    /// On this flash, with nothing special.
    #[must_use]
    pub const fn on(flash: &'a [u8], identity: Identity) -> Self {
        let (cable, run, pace) = (Cable::Tcp, Run::AtOnce, Pace::Computer);
        Self { identity, flash, beside: None, battery_mv: 0, contacts: 0, cable, run, pace }
    }
}

/// A running image. Dropping it kills it.
#[derive(Debug)]
pub struct Emulator {
    child: Child,
    folder: TempDir,
    qtest: Qtest,
    qmp: Qmp,
    /// Contacts and cues.
    pub panel: Arc<Panel>,
    now_at: u32,
    panic_at: u32,
    took_at: u32,
    stack: u32,
    _one: MutexGuard<'static, ()>,
}

impl Drop for Emulator {
    fn drop(&mut self) {
        // It may have ended already.
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}

fn connect(path: PathBuf) -> UnixStream {
    let until = Instant::now() + PATIENCE;
    loop {
        match UnixStream::connect(&path) {
            Ok(stream) => return stream,
            Err(error) => assert!(Instant::now() < until, "{}: {error}", path.display()),
        }
        thread::sleep(Duration::from_millis(5));
    }
}

impl Emulator {
    /// Starts QEMU, fills the flash, runs the image.
    ///
    /// # Panics
    /// If there is no QEMU, or anything else goes wrong.
    #[must_use]
    pub fn start(image: &Image, start: &Start<'_>) -> Self {
        // A test that failed with the emulator running has released it all the same.
        let one = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = tempfile::tempdir().unwrap();
        let socket =
            |name: &str| format!("unix:{},server=on,wait=off", folder.path().join(name).display());
        let line = match start.cable {
            Cable::Tcp => "socket,id=line,host=127.0.0.1,port=0,server=on,wait=off",
            Cable::Pty => "pty,id=line",
        };
        let counting: &[&str] = match start.pace {
            Pace::Computer => &[],
            Pace::Counted => &["-icount", "shift=6"],
        };
        let child = Command::new("qemu-system-arm")
            .args(counting)
            .args(["-M", "microbit", "-display", "none", "-monitor", "none", "-S"])
            .arg("-kernel")
            .arg(&image.path)
            .args(["-chardev", line, "-serial", "chardev:line"])
            .args(["-qmp", &socket("qmp"), "-qtest", &socket("qtest"), "-qtest-log", "none"])
            .args(["-gdb", &socket("gdb"), "-d", "guest_errors", "-D"])
            .arg(folder.path().join("errors"))
            .stdin(Stdio::null())
            .spawn()
            .expect("qemu-system-arm does not start; install it (Debian: qemu-system-arm)");
        let qtest = Qtest::new(connect(folder.path().join("qtest")));
        let qmp = Qmp::new(connect(folder.path().join("qmp")));
        let (rows_at, shown_at) = (image.address("SIM_ROWS"), image.address("SIM_SHOWN_US"));
        let panel = Arc::new(Panel::new(qtest.clone(), rows_at, shown_at));
        let now_at = image.address("SIM_NOW_US");
        let (panic_at, stack) = (image.address("SIM_PANIC"), image.address("_stack_start"));
        let took_at = image.address("SIM_TOOK_US");
        let mut emulator =
            Self { child, folder, qtest, qmp, panel, now_at, panic_at, took_at, stack, _one: one };
        emulator.set_up(image, start);
        emulator
    }

    fn set_up(&mut self, image: &Image, start: &Start<'_>) {
        self.qtest.ask("irq_intercept_out /machine/nrf51");
        for pin in [CLOCK, DATA, PEDAL] {
            self.qtest.set_pin(pin, true);
        }
        self.panel.contacts(start.contacts);
        self.fill((LOG_START, LOG_LENGTH), start.flash);
        if let Some(Beside { calliper, plan }) = start.beside {
            self.fill(CALLIPER, calliper);
            self.fill(PLAN, plan);
        }
        let room = self.stack - RAM_START;
        self.qtest.ask(&format!("memset {RAM_START:#x} {room:#x} {PAINT:#x}"));
        let Identity { device, fresh_log } = start.identity;
        let low = u32::try_from(device.0 & 0xFFFF_FFFF).unwrap();
        let high = u32::try_from(device.0 >> 32).unwrap();
        let words = [MARK, low, high, fresh_log.0, u32::from(start.battery_mv)];
        let at = image.address("SIM_IDENTITY");
        for (place, word) in (0..).zip(words) {
            self.qtest.set_word(at + 4 * place, word);
        }
        self.qtest.set_word(image.address("SIM_SHOWN"), 0);
        if start.run == Run::AtOnce {
            self.qmp.ask("cont", json!({}));
        }
    }

    /// Programs a flash region (start, length) through the emulated controller: QEMU's loader would
    /// write it again at every reset.
    fn fill(&self, (start, length): (u32, u32), flash: &[u8]) {
        assert_eq!(flash.len(), length as usize, "the flash from {start:#x} has another size");
        self.qtest.set_word(NVMC_CONFIG, 2);
        for page in (start..start + length).step_by(PAGE) {
            self.qtest.set_word(NVMC_ERASE, page);
        }
        self.qtest.set_word(NVMC_CONFIG, 1);
        for (at, page) in (start..).step_by(PAGE).zip(flash.chunks(PAGE)) {
            if page.iter().any(|byte| *byte != 0xFF) {
                let hex: String = page.iter().map(|byte| format!("{byte:02x}")).collect();
                self.qtest.ask(&format!("write {at:#x} {PAGE:#x} 0x{hex}"));
            }
        }
        self.qtest.set_word(NVMC_CONFIG, 0);
    }

    /// The office's address for the line.
    pub fn line(&mut self) -> Address {
        let devices = self.qmp.ask("query-chardev", json!({}));
        let mut devices = devices.as_array().unwrap().iter();
        let line = devices.find(|device| device["label"] == "line").unwrap();
        // "disconnected:tcp:127.0.0.1:43567,server=on" or "pty:/dev/pts/3"
        let name = line["filename"].as_str().unwrap();
        match (name.split_once("tcp:"), name.strip_prefix("pty:")) {
            (Some((_, rest)), _) => Address::Tcp(rest.split([',', ' ']).next().unwrap().to_owned()),
            (None, Some(path)) => Address::Serial(path.to_owned()),
            (None, None) => panic!("QEMU calls the line {name}"),
        }
    }

    /// The debugger's address for the image.
    #[must_use]
    pub fn debugger(&self) -> UnixStream {
        connect(self.folder.path().join("gdb"))
    }

    /// Resets the chip; memory keeps its contents, as on the chip.
    pub fn reset(&mut self) {
        self.qmp.ask("system_reset", json!({}));
    }

    /// Makes the firmware panic at its next read of the keys.
    pub fn make_it_panic(&self) {
        self.qtest.set_word(self.panic_at, 1);
    }

    /// Watches for the next sound; [`Self::took_us`] tells what it took.
    pub fn watch(&self) {
        self.qtest.set_word(self.took_at, 0);
    }

    /// From the last look at the keys to the first sound after [`Self::watch`], microseconds.
    #[must_use]
    pub fn took_us(&self) -> u32 {
        self.qtest.word(self.took_at)
    }

    /// Puts one instruction at the bottom of the stack area, which is never filled that far, and
    /// returns its address.
    #[must_use]
    pub fn plant(&self, instruction: u16) -> u32 {
        let at = RAM_START + 0x100;
        self.qtest.set_word(at, u32::from(instruction));
        at
    }

    /// Writes to the flash without its controller, which the chip does not allow.
    pub fn trespass(&self) {
        self.qtest.set_word(LOG_START, 0);
    }

    /// Cuts the power and returns the flash contents: the log's and the other regions'.
    ///
    /// # Panics
    /// If the image did anything that the chip does not allow.
    #[must_use]
    pub fn cut(mut self) -> (Vec<u8>, Beside) {
        self.qmp.ask("stop", json!({}));
        let flash = self.save(LOG_START, LOG_LENGTH);
        let (calliper, plan) = (self.save(CALLIPER.0, CALLIPER.1), self.save(PLAN.0, PLAN.1));
        let _gone = self.child.kill();
        let _gone = self.child.wait();
        let mut errors = String::new();
        fs::File::open(self.folder.path().join("errors"))
            .unwrap()
            .read_to_string(&mut errors)
            .unwrap();
        let wrong: Vec<&str> = errors.lines().filter(|line| !is_start_up(line)).collect();
        assert!(wrong.is_empty(), "the chip does not allow this: {wrong:#?}");
        (flash, Beside { calliper, plan })
    }

    /// Memory as it is now.
    pub fn save(&mut self, from: u32, length: u32) -> Vec<u8> {
        let file = self.folder.path().join("memory");
        self.qmp.save(from, length, &file);
        fs::read(file).unwrap()
    }

    /// Deepest the stack has been, bytes.
    pub fn stack_mark(&mut self) -> u32 {
        let room = self.stack - RAM_START;
        let paint = self.save(RAM_START, room).iter().take_while(|byte| **byte == PAINT).count();
        room - u32::try_from(paint).unwrap()
    }

    /// Presses or releases the pedal.
    pub fn pedal(&self, down: bool) {
        self.qtest.set_pin(PEDAL, !down);
    }

    /// Sets the calliper's lines and the time; waits until the image has taken the edge.
    pub fn edge(&self, clock: bool, data: bool, at_us: u32) {
        let taken = self.panel.taken();
        self.qtest.set_word(self.now_at, at_us);
        self.qtest.set_pin(DATA, data);
        self.qtest.set_pin(CLOCK, clock);
        self.qtest.interrupt(GPIOTE);
        assert!(self.panel.wait_taken(taken), "the image takes no edges");
    }

    /// Sets the time, as after an edge.
    pub fn set_time(&self, at_us: u32) {
        self.qtest.set_word(self.now_at, at_us);
    }

    /// Returns the image's clock to its timer.
    pub fn let_time_run(&self) {
        self.qtest.set_word(self.now_at, 0);
    }
}

/// QEMU reads two words before the image has been loaded.
fn is_start_up(line: &str) -> bool {
    line.contains("Invalid read at addr 0x0,") || line.contains("Invalid read at addr 0x4,")
}
