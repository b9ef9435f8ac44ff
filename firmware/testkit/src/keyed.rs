//! A handheld with a plan in force, keyed as a thumb does it: through scans of the keypad.

use hornrule_core::calliper;
use hornrule_core::cue::Cue;
use hornrule_core::device::{Device, Input, Settings};
use hornrule_core::keypad::{Key, SCAN_US};
use hornrule_core::plan::{PlanShelf, Plans};
use hornrule_core::time::Micros;
use hornrule_protocol::message::{PlanName, Refusal};
use hornrule_protocol::part::MAX_PART;
use hornrule_protocol::record::StartCause;
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{DeviceId, LogId, Part};

use crate::flash::Flash;

/// Which handheld it is.
pub const DEVICE: DeviceId = DeviceId(3);
/// Its log, where the flash has none.
pub const LOG: LogId = LogId(4);

/// Flash in pages of 1 KiB.
pub type Chip = Flash<1024>;

/// Loads a plan as the office does, and gives what is in force then.
///
/// # Errors
/// What the handheld answers to a part that it does not take.
pub fn load(plans: &mut impl PlanShelf, plan: &[u8]) -> Result<PlanName, Refusal> {
    let name = CRC.checksum(plan);
    let length = u16::try_from(plan.len()).map_err(|_| Refusal::PlanTooLong)?;
    let mut next = plans.plan_begin(length, name)?;
    for part in plan.chunks(MAX_PART) {
        next = plans.plan_part(next, &Part::new(part).ok_or(Refusal::PlanBroken)?)?;
    }
    plans.plan_commit(name)
}

/// The handheld, and what it has said of the last keys.
pub struct Keyed {
    /// It.
    pub device: Device<Chip, Plans<Chip>>,
    /// What was heard of the last keys, with the tick of each.
    pub heard: Vec<Cue>,
    now: Micros,
}

impl Keyed {
    /// Switches it on; `None` if its log cannot be used.
    pub fn start(flash: Chip, plans: Plans<Chip>) -> Option<Self> {
        let settings = Settings {
            device: DEVICE,
            fresh_log: LOG,
            firmware: [0, 1, 0],
            cause: StartCause::PowerOn,
            fault: 0,
            calliper: calliper::Settings::DEFAULT,
            battery_low_mv: 0,
        };
        let device = Device::start(flash, settings, plans).ok()?;
        let mut keyed = Self { device, heard: Vec::new(), now: Micros(0) };
        keyed.scan(0);
        Some(keyed)
    }

    fn scan(&mut self, mask: u32) {
        for input in [Input::Keys(mask), Input::Time] {
            self.heard.extend(self.device.on(input, self.now).cues.iter().map(|one| one.cue));
        }
    }

    /// Presses keys; gives what was heard of them without the tick of each.
    pub fn say(&mut self, keys: &[Key]) -> Vec<Cue> {
        self.heard.clear();
        for key in keys {
            for (mask, scans) in [(1 << key.position(), 20), (0, 20)] {
                for _ in 0..scans {
                    self.now = self.now.after_us(SCAN_US);
                    self.scan(mask);
                }
            }
        }
        self.heard.iter().copied().filter(|cue| *cue != Cue::KeyTaken).collect()
    }
}
