//! Sixty farms over a year, nine keys given anew each day, three handhelds: nothing ever moves.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_facts::{Batch, Day, HerdId, Severity};
use hornrule_herd::{Database, DatabaseError};
use hornrule_protocol::{DeviceId, Seq};

use super::*;
use crate::farms::{begin_at, keep_plan};
use hornrule_kit::{DEVICE, EIGHT, Inspect, LH_OUT, LOG, Story};

const FARMS: i64 = 60;
const DAYS: i64 = 365;
const HANDHELDS: u64 = 3;
const DAY: i64 = 86_400_000;

/// A generator that gives the same each time (Knuth, The Art of Computer Programming, vol. 2, 3.3.4,
/// line 26: MMIX).
struct Luck(u64);

impl Luck {
    fn below(&mut self, many: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % many
    }
}

fn sixty_farms() -> Database {
    let mut database = Database::in_memory().unwrap();
    let done: Result<(), DatabaseError> = database.write(|rows| {
        for farm in 1..=FARMS {
            let key = u8::try_from(farm).ok().filter(|key| *key <= 9);
            rows.insert_herd(&format!("Farm {farm}"), key, "Europe/Berlin")?;
        }
        Ok(())
    });
    done.unwrap();
    database
}

/// Stays and findings, whole; cows have the same numbers on every farm.
fn rows(database: &Database) -> BTreeSet<String> {
    let kept = |row: &String| row.starts_with("presence") || row.starts_with("finding");
    database.dump().into_iter().filter(kept).collect()
}

/// A handheld, what it has said, and what was pulled of it.
struct Worker {
    story: Story,
    pulled: Seq,
}

impl Worker {
    /// A day at some of the farms; says at which it was, in order, with how many cows.
    fn work(
        &mut self,
        database: &mut Database,
        luck: &mut Luck,
        (day, number): (i64, u32),
    ) -> Vec<(HerdId, usize)> {
        let date =
            Day(hornrule_facts::Day::from_date("2026-03-02".parse().unwrap()).0 + day as i32);
        let mut farms: Vec<HerdId> = Vec::new();
        for _ in 0..=luck.below(5) {
            let herd = HerdId(1 + luck.below(FARMS.unsigned_abs()).cast_signed());
            if !farms.contains(&herd) {
                farms.push(herd);
            }
        }
        let keys: Vec<(u8, HerdId)> = (1..=9).zip(farms.iter().copied()).collect();
        keep_plan(database, number, date, &keys);
        self.story.start().clock(EIGHT + day * DAY).plan(number);
        let mut at = Vec::new();
        for (key, herd) in keys {
            let cows = 1 + luck.below(2);
            self.story.visit(key);
            for cow in 0..cows {
                let cow = u32::try_from(cow + 1).unwrap();
                self.story.cow(cow).find(13, 1, LH_OUT);
            }
            at.push((herd, usize::try_from(cows).unwrap()));
        }
        at
    }

    fn pull(&mut self, database: &mut Database, at_ms: i64) {
        let device = self.story.device();
        let pull = begin_at(database, device, at_ms);
        let sealed = self.story.sealed[self.pulled.0 as usize..].to_vec();
        let (from, through) = (self.pulled.next(), self.story.last());
        let batch = Batch { device, log: LOG, from, through, sealed };
        database.store(pull, &batch).unwrap();
        run(database, device, LOG, from).unwrap();
        self.pulled = through;
    }
}

/// Gives a standing key to another farm from today on, and another name: nothing moves.
fn unsettle(database: &mut Database, luck: &mut Luck, day: i64) {
    let listed = database.herds().unwrap();
    let one = &listed[usize::try_from(luck.below(FARMS.unsigned_abs())).unwrap()];
    let today = Day(Day::from_date("2026-03-02".parse().unwrap()).0 + day as i32 + 1);
    let key = Some(1 + luck.below(9) as u8);
    let change = FarmChange {
        name: Some(format!("{} since {today}", one.name)),
        zone: None,
        key: Some(KeyChange { key, since: Some(today), today }),
    };
    assert_eq!(set_farm(database, one, &change).unwrap(), Moves::new(), "on day {day}");
}

#[test]
fn sixty_farms_over_a_year_and_nothing_ever_moves() {
    let mut database = sixty_farms();
    let mut luck = Luck(42);
    let mut workers: Vec<Worker> = (0..HANDHELDS)
        .map(|at| Worker { story: Story::of(DeviceId(DEVICE.0 + at)), pulled: Seq::NONE })
        .collect();
    let mut truth: BTreeMap<HerdId, usize> = BTreeMap::new();
    let mut known = BTreeSet::new();
    let mut number = 0;
    for day in 0..DAYS {
        for (at, worker) in workers.iter_mut().enumerate() {
            number += 1;
            for (herd, cows) in worker.work(&mut database, &mut luck, (day, number)) {
                *truth.entry(herd).or_default() += cows;
            }
            // The first is pulled every evening, the others every few days.
            if day % (1 + 3 * at as i64) == 0 || day + 1 == DAYS {
                worker.pull(&mut database, EIGHT + day * DAY + DAY / 2);
            }
        }
        if day % 45 == 44 {
            unsettle(&mut database, &mut luck, day);
        }
        if day % 7 == 6 || day + 1 == DAYS {
            let now = rows(&database);
            assert!(known.is_subset(&now), "something moved by day {day}");
            known = now;
        }
    }
    let mut cows: BTreeMap<HerdId, usize> = BTreeMap::new();
    for (_, herd, _) in database.read(|rows| rows.stays_of_all()).unwrap() {
        *cows.entry(herd).or_default() += 1;
    }
    assert_eq!(cows, truth, "each cow is at the farm where she was");
    assert_eq!(cows.len(), 60);
    let noted = database.noted().unwrap();
    assert!(noted.iter().all(|one| one.severity != Severity::Held), "nothing is held");
    let before = database.dump();
    rebuild(&mut database).unwrap();
    assert_eq!(database.dump(), before);
}
