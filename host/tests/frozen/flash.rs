//! Flash mounts, and holds what it held.

use std::fs;

use hornrule_core::log::Log;
use hornrule_protocol::{LogId, Seq};
use hornrule_testkit::flash::Flash;

use crate::frozen;

/// Images of the log with their log's number; pages of 1 KiB.
const LOGS: [(&str, u32); 6] = [
    ("demo", 0xA1DE_0001),
    ("codes", 0xA1DE_0002),
    ("full", 0xA1DE_0003),
    ("lapped", 0xA1DE_0003),
    ("plan", 0xA1DE_0004),
    ("worked", 0x0A1B_2C3D),
];

/// Every record as number and bytes, as `NAME.records.txt` has them.
fn records<const PAGE: usize>(name: &str, id: u32) -> Vec<String> {
    let image = fs::read(frozen().join(format!("flash/{name}.flash"))).unwrap();
    // A blank log would get the other number: that it has its own shows that it was mounted.
    let mut log =
        Log::mount(Flash::<PAGE>::load(&image), LogId(1)).map_err(|(_, why)| why).unwrap();
    assert_eq!(log.id(), LogId(id), "{name}");
    let (mut lines, mut at) = (Vec::new(), log.first());
    while at < log.next() {
        let sealed = log.read_from(at).unwrap().unwrap();
        let bytes: String = sealed.as_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
        lines.push(format!("{}\t{bytes}", at.0));
        at = Seq(at.0 + 1);
    }
    lines
}

fn expected(name: &str) -> Vec<String> {
    let text = fs::read_to_string(frozen().join(format!("flash/{name}.records.txt"))).unwrap();
    text.lines().map(str::to_owned).collect()
}

#[test]
fn logs_mount_with_every_record() {
    for (name, id) in LOGS {
        assert_eq!(records::<1024>(name, id), expected(name), "{name}");
    }
    assert_eq!(records::<4096>("large", 0xA1DE_0002), expected("large"));
}
