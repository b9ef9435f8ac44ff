//! Shared steps of the end-to-end tests: a handheld, a cable in memory, a herd database in a file.
//!
//! ```text
//! story --Player--> Handheld (real core) <==Cable==> hornrule::office::pull --> Herd --> rows
//! ```
#![expect(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

pub mod cable;
pub mod faulty;
pub mod rows;
pub mod scripted;
pub mod sound;

use std::path::Path;

use embedded_storage::nor_flash::NorFlash;
use hornrule::office;
use hornrule::office::{OfficeError, PulledDay};
use hornrule_board_sim::{Handheld, Identity, Played, Player, Story};
use hornrule_exchange::{Target, import_herd};
use hornrule_herd::Database;
use hornrule_protocol::{DeviceId, LogId};

use crate::cable::Cable;

/// Whether the long set of faults is requested (`./check --long`).
#[must_use]
pub fn long() -> bool {
    std::env::var_os("HORNRULE_LONG").is_some_and(|value| value == "1")
}

/// A folder for databases that need not survive a power cut: in memory if possible, because
/// thousands of them are made durable one commit at a time.
#[must_use]
pub fn memory_folder() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

/// The story of the demo.
pub const ALDER_BROOK: &str = include_str!("../host/demo/alder-brook.story");
/// Its herd list.
pub const ALDER_BROOK_HERD: &str = include_str!("../host/demo/alder-brook.csv");

/// The handheld in most tests.
#[must_use]
pub const fn identity() -> Identity {
    Identity { device: DeviceId(0xC0FF_EE00_0000_0001), fresh_log: LogId(0xA1DE_0001) }
}

/// A handheld that is switched off, at the start of time.
#[must_use]
pub fn handheld<F: NorFlash>(flash: F) -> Handheld<F> {
    Handheld::new(flash, identity(), 0)
}

/// A database with the demo's herd list in it.
#[must_use]
pub fn herd_at(path: &Path) -> Database {
    let mut herd = Database::open(path).unwrap();
    list_alder_brook(&mut herd);
    herd
}

/// Imports the demo's herd list.
pub fn list_alder_brook(herd: &mut Database) {
    let (name, zone) = ("Alder Brook".to_owned(), "Europe/Dublin".to_owned());
    let target = Target { name, farm: Some(1), zone };
    import_herd(herd, &target, ALDER_BROOK_HERD.as_bytes()).unwrap();
}

/// Plays a story to its end, and pulls with `pull` at each `plug in`.
pub fn tell<F: NorFlash>(
    story: &str,
    mut handheld: Handheld<F>,
    mut pull: impl FnMut(Handheld<F>) -> Handheld<F>,
) -> Handheld<F> {
    let story: Story = story.parse().unwrap();
    let mut player = Player::new(1);
    for line in &story.lines {
        match player.play(&mut handheld, line) {
            Ok(Played::Done) => {}
            Ok(Played::PluggedIn) => handheld = pull(handheld),
            Err(error) => panic!("{error}"),
        }
    }
    handheld
}

/// Pulls over a cable, with a clock that shows the true time.
///
/// # Errors
/// The office's own.
pub fn pull<F: NorFlash>(
    cable: &mut Cable<F>,
    herd: &mut Database,
) -> Result<PulledDay, OfficeError> {
    let clock = cable.clock();
    office::pull(cable, herd, &clock, "cable", &mut |_, _| {})
}
