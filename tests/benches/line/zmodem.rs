//! ZMODEM over the same relay in the same run, if `sz` and `rz` are installed.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::Figure;
use super::relay::Relay;

/// Sends a file with this many bytes; `None` if the programs are missing.
pub(crate) fn send(bytes: u64, latency: Duration) -> Option<Figure> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("day.bin");
    // Like sealed records: small numbers, some zeros, checksums.
    let mut chance = hornrule_testkit::seeded::Seeded::new(1);
    let content: Vec<u8> =
        (0..bytes).map(|at| if at % 3 == 0 { 0 } else { chance.below(256) as u8 }).collect();
    File::create(&file).unwrap().write_all(&content).unwrap();
    let relay = Relay::start(latency);
    let end = |path: &str| OpenOptions::new().read(true).write(true).open(path).unwrap();
    let stdio = |path: &str| Stdio::from(end(path));
    let receive = folder.path().join("received");
    std::fs::create_dir(&receive).unwrap();
    let began = Instant::now();
    let mut rz = Command::new("rz")
        .args(["-b", "-q"])
        .current_dir(&receive)
        .stdin(stdio(&relay.office))
        .stdout(stdio(&relay.office))
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let mut sz = Command::new("sz")
        .args(["-b", "-q"])
        .arg(&file)
        .stdin(stdio(&relay.handheld))
        .stdout(stdio(&relay.handheld))
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    // Done when the file is there, complete: sz may wait for a farewell that the line swallowed.
    let there = receive.join("day.bin");
    let mut took = None;
    while began.elapsed() < Duration::from_secs(60) {
        if there.metadata().is_ok_and(|file| file.len() == bytes) {
            took = Some(began.elapsed());
            break;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    let _ended = (rz.kill(), rz.wait(), sz.kill(), sz.wait());
    Some(Figure {
        what: "ZMODEM sz -b, whole, 0.5 ms latency".to_owned(),
        payload: bytes,
        took: took?,
    })
}
