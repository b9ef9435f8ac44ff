//! P4 and P8: the office's clock jumps while a pull runs. What was entered stays what it is; only
//! its time may be wrong or unknown.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::cell::Cell;

use hornrule::office;
use hornrule_line::clock::Clock;
use hornrule_protocol::{DeviceId, LogId};
use hornrule_testkit::seeded::Seeded;
use hornrule_tests::scripted::{Scripted, Truth};
use hornrule_tests::{herd_at, long, memory_folder, rows, sound};

const EVENING_MS: i64 = 1_772_557_200_000;
const HOUR_MS: i64 = 3_600_000;

/// Shows a different one of these offsets at every look.
struct Jumping(Vec<i64>, Cell<Seeded>);

impl Jumping {
    fn new(jumps: &[i64], seed: u64) -> Self {
        Self(jumps.to_vec(), Cell::new(Seeded::new(seed)))
    }
}

impl Clock for Jumping {
    fn unix_ms(&self) -> i64 {
        let mut chance = self.1.replace(Seeded::new(0));
        let place = usize::try_from(chance.below(self.0.len() as u64)).unwrap();
        self.1.set(chance);
        EVENING_MS.saturating_add(self.0[place])
    }
}

/// The rows without their times, and how many findings are among them.
fn pulled(truth: &Truth, clock: &dyn Clock) -> (String, usize) {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut port = Scripted::new(|id, request| truth.answer(id, request).into());
    office::pull(&mut port, &mut herd_at(&path), clock, "", &mut |_, _| {}).unwrap();
    assert_eq!(sound::check(&path), 0);
    assert_eq!(rows::count(&path, "sealed"), truth.records.len());
    (rows::dump_without(&path, &["at_ms", "until_ms", "day"]), rows::count(&path, "finding"))
}

fn seeds() -> std::ops::Range<u64> {
    0..if long() { 200 } else { 6 }
}

/// Times that a clock may show.
const POSSIBLE: [&[i64]; 4] =
    [&[0, HOUR_MS], &[0, -HOUR_MS], &[0, 26 * HOUR_MS, -26 * HOUR_MS], &[0, 30 * 24 * HOUR_MS, -5]];
/// Times that it cannot.
const IMPOSSIBLE: [&[i64]; 3] =
    [&[i64::MIN, i64::MAX], &[-EVENING_MS, i64::MAX], &[i64::MIN, -EVENING_MS, 0]];

/// Rows without what is said about the clock itself: that its readings contradict each other and
/// that a day is therefore open.
fn but_the_clock(rows: &str) -> Vec<&str> {
    let of_the_clock = |row: &&str| {
        ["rule=clock-contradicts ", "rule=day-uncertain "].iter().any(|rule| row.contains(rule))
    };
    rows.lines().filter(|row| !of_the_clock(row)).collect()
}

/// The morning's own clock record places the day, whatever the office's clock does.
#[test]
fn a_day_that_knows_its_time() {
    let truth = Truth::day(DeviceId(5), LogId(6), 20);
    let (expected, found) = pulled(&truth, &Jumping::new(&[0], 0));
    assert_eq!(found, 20);
    for jumps in POSSIBLE.into_iter().chain(IMPOSSIBLE) {
        for seed in seeds() {
            let (rows, _) = pulled(&truth, &Jumping::new(jumps, seed));
            assert_eq!(but_the_clock(&rows), but_the_clock(&expected), "{jumps:?} seed {seed}");
        }
    }
}

fn is_bounded(row: &str) -> bool {
    row.contains("rule=clock-bounded ")
}

/// Everything depends on the pull. If its probes are good: the same rows except for times. If every
/// probe saw the clock go back or show an impossible time, the pull's start decides: the same rows,
/// each marked as estimated. If that is impossible too, all are held. Nothing in between.
#[test]
fn a_day_that_does_not() {
    let truth = Truth::timeless_day(DeviceId(5), LogId(6), 20);
    let (expected, found) = pulled(&truth, &Jumping::new(&[0], 0));
    assert_eq!(found, 20);
    let (mut dated, mut estimated, mut held) = (0, 0, 0);
    for jumps in POSSIBLE.into_iter().chain(IMPOSSIBLE) {
        for seed in seeds() {
            let (rows, found) = pulled(&truth, &Jumping::new(jumps, seed));
            if found == 0 {
                held += 1;
            } else if rows.contains("clock=1") {
                let said: Vec<&str> = rows.lines().filter(|row| !is_bounded(row)).collect();
                assert_eq!(said.len() + 1, rows.lines().count(), "said once");
                let said: Vec<String> =
                    said.iter().map(|row| row.replace("clock=1", "clock=0")).collect();
                assert_eq!(said, expected.lines().collect::<Vec<_>>(), "{jumps:?} seed {seed}");
                estimated += 1;
            } else {
                // A clock that jumped during the probes leaves the day uncertain, and this is
                // reported.
                assert_eq!(but_the_clock(&rows), but_the_clock(&expected), "{jumps:?} seed {seed}");
                dated += 1;
            }
        }
    }
    let all = [dated, estimated, held];
    assert!(dated > held && !all.contains(&0), "{all:?}: the test is blind");
}
