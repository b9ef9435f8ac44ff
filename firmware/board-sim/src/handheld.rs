//! The virtual handheld: the real core, with simulated flash, contacts and calliper.
//!
//! ```text
//! Story --Player--> contacts, bits --> Device (core) --> cues
//!                                        ^  |
//!                        true time ------+  +--> frames
//! ```

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::calliper::{self, Edge};
use hornrule_core::cue::{Cue, Signal};
use hornrule_core::device::{Device, Input, Settings};
use hornrule_core::log::MountError;
use hornrule_core::plan::Plans;
use hornrule_core::time::{Micros, Wake};
use hornrule_protocol::record::StartCause;
use hornrule_protocol::{DeviceId, LogId};

use crate::flash_file::FlashFile;
use crate::shared_flash::SharedFlash;

/// Firmware version of the virtual handheld: this crate's.
const FIRMWARE: [u8; 3] = [0, 1, 0];
/// Voltage at which a lithium cell is nearly empty, millivolts (common practice, no source).
const BATTERY_LOW_MV: u16 = 3_400;

/// Pages of plan flash: two banks of 16 KiB, as on the emulated chip.
pub const PLAN_PAGES: usize = 32;
/// Pages for the calliper's setting.
pub const CALLIPER_PAGES: usize = 2;

/// A cue and when it was played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Heard {
    /// True time, milliseconds since 1970.
    pub at_ms: u64,
    /// Which cue.
    pub cue: Cue,
    /// Whether its count was told.
    pub counted: bool,
}

impl Heard {
    /// As it was played.
    #[must_use]
    pub const fn signal(self) -> Signal {
        Signal { cue: self.cue, counted: self.counted }
    }
}

/// The virtual handheld's identity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Identity {
    /// Its number.
    pub device: DeviceId,
    /// The id its log gets when formatted.
    pub fresh_log: LogId,
}

/// The handheld and the world around it.
pub struct Handheld<F: NorFlash> {
    identity: Identity,
    plan: SharedFlash,
    calliper: SharedFlash,
    power: Power<F>,
    /// True time, microseconds since 1970.
    now_us: u64,
    started_us: u64,
    mask: u32,
    heard: Vec<Heard>,
}

enum Power<F: NorFlash> {
    On(Box<Device<F, Plans<SharedFlash>>>),
    Off(F),
    /// While being switched: never seen from outside.
    Between,
}

impl<F: NorFlash> Handheld<F> {
    /// A handheld that is switched off. Its plan and calliper setting are in memory and go with it.
    pub fn new(flash: F, identity: Identity, now_ms: u64) -> Self {
        let now_us = now_ms * 1000;
        Self {
            identity,
            plan: SharedFlash::new(FlashFile::in_memory(PLAN_PAGES)),
            calliper: SharedFlash::new(FlashFile::in_memory(CALLIPER_PAGES)),
            power: Power::Off(flash),
            now_us,
            started_us: now_us,
            mask: 0,
            heard: Vec::new(),
        }
    }

    /// With its own flash for the plan.
    #[must_use]
    pub fn with_plan_on(mut self, flash: FlashFile) -> Self {
        self.plan = SharedFlash::new(flash);
        self
    }

    /// With its own flash for the calliper's setting.
    #[must_use]
    pub fn with_calliper_on(mut self, flash: FlashFile) -> Self {
        self.calliper = SharedFlash::new(flash);
        self
    }

    /// Starts it: a new boot.
    ///
    /// # Errors
    /// Why its log cannot be used; it then stays off.
    pub fn power_on(&mut self) -> Result<(), MountError<F::Error>> {
        self.power_off();
        let Power::Off(flash) = std::mem::replace(&mut self.power, Power::Between) else {
            return Ok(());
        };
        let settings = Settings {
            device: self.identity.device,
            fresh_log: self.identity.fresh_log,
            firmware: FIRMWARE,
            cause: StartCause::PowerOn,
            fault: 0,
            calliper: calliper::Settings::DEFAULT,
            battery_low_mv: BATTERY_LOW_MV,
        };
        let plans = Plans::mount(self.plan.clone()).with_calliper(self.calliper.clone());
        match Device::start(flash, settings, plans) {
            Ok(device) => {
                self.power = Power::On(Box::new(device));
                self.started_us = self.now_us;
                self.hear(Cue::Ready.signal());
                self.input(Input::Keys(self.mask));
                Ok(())
            }
            Err((flash, error)) => {
                self.power = Power::Off(flash);
                Err(error)
            }
        }
    }

    /// Switches it off without warning: what is not in flash is gone.
    pub fn power_off(&mut self) {
        self.power = match std::mem::replace(&mut self.power, Power::Between) {
            Power::On(device) => Power::Off(device.into_flash()),
            other => other,
        };
    }

    /// True time, milliseconds since 1970.
    #[must_use]
    pub const fn now_ms(&self) -> u64 {
        self.now_us / 1000
    }

    /// True time, microseconds since 1970.
    #[must_use]
    pub const fn now_us(&self) -> u64 {
        self.now_us
    }

    /// Every cue so far.
    #[must_use]
    pub fn heard(&self) -> &[Heard] {
        &self.heard
    }

    /// Advances true time to `to_us`, waking the handheld whenever it asks.
    pub fn run_until(&mut self, to_us: u64) {
        while let Some(wake_us) = self.next_wake_us()
            && wake_us <= to_us
        {
            self.now_us = wake_us;
            self.input(Input::Keys(self.mask));
            self.input(Input::Time);
        }
        self.now_us = self.now_us.max(to_us);
    }

    /// Contacts changed.
    pub fn contacts(&mut self, mask: u32) {
        self.mask = mask;
        self.input(Input::Keys(mask));
    }

    /// A calliper line changed.
    pub fn edge(&mut self, edge: Edge) {
        self.input(Input::Edge(edge));
    }

    /// The pedal was pressed.
    pub fn pedal(&mut self) {
        self.input(Input::Clip);
    }

    /// The battery was measured.
    pub fn battery(&mut self, mv: u16) {
        self.input(Input::Battery(mv));
    }

    /// Bytes came from the office.
    pub fn receive(&mut self, bytes: &[u8]) {
        self.input(Input::Received(bytes));
    }

    /// The tag reader sent something.
    pub fn tag(&mut self, bytes: &[u8]) {
        self.input(Input::Tag(bytes));
    }

    /// The next frame for the office.
    pub fn transmit(&mut self) -> Option<Vec<u8>> {
        match &mut self.power {
            Power::On(device) => device.transmit().map(<[u8]>::to_vec),
            Power::Off(_) | Power::Between => None,
        }
    }

    /// Whether the calliper's request line is pulled.
    #[must_use]
    pub fn requests(&self) -> bool {
        self.device().is_some_and(Device::request)
    }

    /// The core, while it is on.
    #[must_use]
    pub fn device(&self) -> Option<&Device<F, Plans<SharedFlash>>> {
        match &self.power {
            Power::On(device) => Some(device),
            Power::Off(_) | Power::Between => None,
        }
    }

    /// The flash, while it is off.
    pub const fn flash(&mut self) -> Option<&mut F> {
        match &mut self.power {
            Power::Off(flash) => Some(flash),
            Power::On(_) | Power::Between => None,
        }
    }

    fn uptime(&self) -> Micros {
        Micros(self.now_us - self.started_us)
    }

    fn next_wake_us(&self) -> Option<u64> {
        // A millisecond is the shortest nap: nothing in the core asks for less, and a wake time in
        // the past must not stop the clock.
        let soonest = self.now_us + 1000;
        match self.device()?.next_wake(self.uptime()) {
            Wake::OnInput => None,
            Wake::Now => Some(soonest),
            Wake::At(at) => Some((self.started_us + at.0).max(soonest)),
        }
    }

    fn input(&mut self, input: Input<'_>) {
        let uptime = self.uptime();
        let Power::On(device) = &mut self.power else { return };
        let out = device.on(input, uptime);
        for signal in out.cues {
            self.hear(signal);
        }
    }

    fn hear(&mut self, Signal { cue, counted }: Signal) {
        self.heard.push(Heard { at_ms: self.now_ms(), cue, counted });
    }
}
