//! A day at the pins, pulled over the image's own line, and the same day on the virtual handheld.

use std::io;
use std::time::Duration;

use hornrule::office;
use hornrule_core::cue::Cue;
use hornrule_line::port::Port;
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{handheld, herd_at, identity, pull, rows, tell};
use hornrule_tests_emu::emulator;
use hornrule_tests_emu::flash::{blank, filled, records, said};
use hornrule_tests_emu::image::{Image, LOG_LENGTH};
use hornrule_tests_emu::player::Player;

use crate::{MORNING, heard, promises};

/// Time columns: an emulated day takes a different time than a simulated one. `bytes` are the
/// sealed records, which contain the uptime.
const WHEN: [&str; 3] = ["at_ms", "until_ms", "bytes"];

/// The same entries, presences, readings, findings, actions, scores and remarks: every row and
/// column of every table except the time columns.
#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn the_image_and_the_virtual_handheld_give_the_same_rows() {
    let folder = tempfile::tempdir().unwrap();
    let played = folder.path().join("played.db");
    let emulated = folder.path().join("emulated.db");

    let chip = Flash::<1024>::blank(LOG_LENGTH as usize / 1024);
    let virtual_one = tell(MORNING, handheld(chip), |handheld| handheld);
    pull(&mut Cable::clean(virtual_one), &mut herd_at(&played)).unwrap();

    let mut player = Player::new(Image::open(), identity(), blank());
    player.cable = emulator::Cable::Pty;
    player.tell(MORNING).unwrap();
    let mut herd = herd_at(&emulated);
    let mut port = player.plug();
    let day = office::pull(&mut *port, &mut herd, &player.time, "pty", &mut |_, _| {}).unwrap();
    let again = office::pull(&mut *port, &mut herd, &player.time, "pty", &mut |_, _| {}).unwrap();
    assert_eq!((again.stored.new, again.pulled.records), (0, 0), "a second pull adds nothing");
    // P1: what was promised is there, in addition to the start and the clock.
    let new = usize::try_from(day.stored.new).unwrap();
    let promised = promises(&player);
    player.power_off();
    assert_eq!(new, promised + 2, "{:#?}", said(&player.flash, identity()));
    // Its clock began at zero and never went back, even for a calliper's packet.
    let uptimes: Vec<u64> =
        records(&player.flash, identity()).iter().map(|record| record.uptime.0).collect();
    assert!(uptimes.is_sorted() && uptimes[uptimes.len() - 1] < 3_600_000, "{uptimes:?}");

    let (played, emulated) =
        (rows::dump_without(&played, &WHEN), rows::dump_without(&emulated, &WHEN));
    assert!(played.lines().filter(|line| !line.starts_with("==")).count() > 30, "{played}");
    assert_eq!(emulated, played);
}

/// A port whose plug is pulled after this many bytes.
struct Pulled {
    port: Box<dyn Port>,
    left: usize,
}

impl Port for Pulled {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.port.send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let most = buffer.len().min(self.left);
        if most == 0 {
            return Err(io::ErrorKind::BrokenPipe.into());
        }
        let length = self.port.receive(&mut buffer[..most], wait)?;
        self.left -= length;
        Ok(length)
    }
}

/// P2 and P4: a log that was filled elsewhere, with records refused and reported by the image,
/// pulled with the plug taken out midway, then written further.
#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn p2_p4_full_log_and_a_cable_pulled_in_the_middle() {
    let folder = tempfile::tempdir().unwrap();
    let mut herd = herd_at(&folder.path().join("herd.db"));
    let (flash, records) = filled(identity(), u32::MAX);
    let mut player = Player::new(Image::open(), identity(), flash);
    player.tell("at 2026-03-03 07:00\npower on\nkeys COW 27 COW\nexpect LogFull").unwrap();
    let (mut stored, mut begun) = (0, 0);
    for left in [20, 5_000, 30_000, usize::MAX] {
        let mut port = Pulled { port: player.plug(), left };
        let before = rows::count(&folder.path().join("herd.db"), "sealed");
        let pulled = office::pull(&mut port, &mut herd, &player.time, "tcp", &mut |_, _| {});
        assert_eq!(pulled.is_ok(), left == usize::MAX, "{left} bytes: {pulled:?}");
        stored = rows::count(&folder.path().join("herd.db"), "sealed");
        assert!(left == 20 || stored > before, "{left} bytes brought nothing");
        begun += usize::from(stored > before);
    }
    assert_eq!(stored, usize::try_from(records).unwrap());
    player.tell("wait 1s\noffice clock\nkeys COW 27 COW\nexpect Committed").unwrap();
    assert_eq!(heard(&player, Cue::LogFull), 1);
    // All ticks sound alike: those of COW 2 7, twice; of each pull that began; and of the one that the
    // office got to its end, once.
    assert_eq!(heard(&player, Cue::PullDone), 6 + begun + 1);
    let mut port = player.plug();
    let day = office::pull(&mut *port, &mut herd, &player.time, "tcp", &mut |_, _| {}).unwrap();
    // Started, Gap, Clock, the cow.
    assert_eq!(day.stored.new, 4);
    player.power_off();
}
