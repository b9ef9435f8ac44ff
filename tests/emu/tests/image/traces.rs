//! Log lines on the office's line, which no office sees.

use std::io;
use std::time::{Duration, Instant};

use hornrule::office;
use hornrule_line::port::Port;
use hornrule_tests::{herd_at, identity};
use hornrule_tests_emu::flash::blank;
use hornrule_tests_emu::image::Image;
use hornrule_tests_emu::player::Player;
use hornrule_tests_emu::traces::Meaning;

/// Longest wait for a log line: two seconds of quiet, and many times that on a busy computer.
const LISTEN: Duration = Duration::from_secs(40);

/// A port that keeps what it received.
struct Kept {
    port: Box<dyn Port>,
    bytes: Vec<u8>,
}

impl Port for Kept {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.port.send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let length = self.port.receive(buffer, wait)?;
        self.bytes.extend_from_slice(&buffer[..length]);
        Ok(length)
    }
}

impl Kept {
    /// Listens until this many entries were reported as committed, then for a moment more; returns
    /// all lines.
    fn listen(&mut self, meaning: &Meaning, told: usize) -> Vec<String> {
        let until = Instant::now() + LISTEN;
        loop {
            let heard = self.receive(&mut [0; 256], Duration::from_millis(300)).unwrap();
            let lines = meaning.reader().take(&self.bytes);
            let there = lines.iter().filter_map(|line| committed(line)).count() >= told;
            if heard == 0 && (there || Instant::now() > until) {
                return lines;
            }
        }
    }
}

/// "12.5 INFO Committed(3)": the number.
fn committed(line: &str) -> Option<u32> {
    line.split_once("Committed(")?.1.split(')').next()?.parse().ok()
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn log_lines_are_read_beside_a_pull_that_never_sees_them() {
    let folder = tempfile::tempdir().unwrap();
    let mut herd = herd_at(&folder.path().join("herd.db"));
    let image = Image::traced();
    let meaning = Meaning::of(image.bytes()).unwrap();
    let mut player = Player::new(image, identity(), blank());
    player.tell("at 2026-03-03 07:00\npower on").unwrap();
    let mut port = Kept { port: player.plug(), bytes: Vec::new() };
    player.tell("keys COW 27 COW RH FIND 13 2\nexpect Committed").unwrap();
    let before = port.listen(&meaning, 1);
    assert!(before.iter().any(|line| committed(line).is_some()), "{before:?}");
    // Log lines for these are under way or waiting when the office connects.
    player.tell("keys DO 30\nkeys LH DO 30\nexpect Committed").unwrap();
    let clock = player.time;
    let day = office::pull(&mut port, &mut herd, &clock, "tcp", &mut |_, _| {}).unwrap();
    let again = office::pull(&mut port, &mut herd, &clock, "tcp", &mut |_, _| {}).unwrap();
    assert_eq!((again.stored.new, again.pulled.records), (0, 0));
    let lines = port.listen(&meaning, 4);
    player.power_off();
    // The start, the cow, the lesion, two claws trimmed.
    assert_eq!(day.stored.new, 5);
    let numbers: Vec<u32> = lines.iter().filter_map(|line| committed(line)).collect();
    // The start goes into flash with the cow, and has no line of its own.
    assert_eq!(numbers, [2, 3, 4, 5], "{lines:?}");
}

/// An image without log lines has nothing to read, and reports that.
#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn the_handheld_at_work_writes_no_log_lines() {
    let silent = Meaning::of(Image::open().bytes()).err().unwrap().to_string();
    assert!(silent.contains("without the feature `defmt`"), "{silent}");
    let folder = Meaning::of(b"no image at all").err().unwrap().to_string();
    assert!(folder.contains("cannot be read"), "{folder}");
}
