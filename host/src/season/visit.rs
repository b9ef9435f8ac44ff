//! The calendar of a season, and one visit to a farm.

use std::collections::BTreeSet;

use hornrule_protocol::{Entry, Foot, Place};
use jiff::civil::date;

use super::cow::Cow;
use super::narrator::Narrator;
use super::trimmer::{Stall, look_only, see_again, trim};
use super::truth::{self, Truth};
use super::{Evening, Farm, SECOND, Season, TRIMMER};
use hornrule_facts::Day;
use hornrule_insight::luck::Luck;

const DAYS: i32 = 304;
const DAY_MS: i64 = 86_400_000;
/// The trimmer is at her desk at 05:50 UTC.
const MORNING_MS: i64 = 350 * 60_000;
/// Cows trimmed in turn at a visit, and lame ones beside them.
const IN_TURN: usize = 14;
const LAME: usize = 4;
/// Days before a cow is trimmed in turn again.
const REST_DAYS: i32 = 100;
/// Of every farm-visits, this one in five has the second person along (at the second farm).
const STUDY_EVERY: usize = 5;

/// Farms: name, digit, zone, cows, trim length in mm.
const FARMS: [(&str, u8, &str, u32, f64); 2] = [
    ("Larch Meadow", 1, "Europe/Dublin", 110, 76.0),
    ("Stony Ford", 2, "Europe/Dublin", 150, 82.0),
];
const NAMES: [&str; 24] = [
    "Amber", "Bilberry", "Cinder", "Dapple", "Ember", "Fennel", "Ginger", "Hazel", "Iris",
    "Juniper", "Kestrel", "Lupin", "Mallow", "Nettle", "Olive", "Poppy", "Quince", "Rowan",
    "Saffron", "Teasel", "Umber", "Violet", "Willow", "Yarrow",
];

/// A farm and its living cows.
pub(super) struct Barn {
    pub(super) digit: u8,
    pub(super) target: f64,
    pub(super) cows: Vec<Cow>,
    visits: usize,
    next: Day,
}

/// What happens to a cow at a visit.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Turn {
    Again(usize),
    Lame(usize),
    Trim(usize),
    Look(usize),
}

pub(super) struct Year {
    luck: Luck,
    start: Day,
    barns: Vec<Barn>,
    farms: Vec<Farm>,
    trimmer: Narrator,
    second: Narrator,
    truth: Truth,
    evenings: Vec<Evening>,
}

impl Year {
    pub(super) fn of(seed: u64) -> Self {
        let mut luck = Luck::of(seed);
        let start = Day::from_date(date(2025, 5, 12));
        let mut truth = Truth::default();
        let (mut barns, mut farms) = (Vec::new(), Vec::new());
        for (at, (name, digit, zone, many, target)) in FARMS.into_iter().enumerate() {
            let cows: Vec<Cow> = (0..many)
                .map(|i| Cow::born_by(&mut luck, u32::from(digit) * 1000 + 1 + i, target, start))
                .collect();
            truth.growth.extend(cows.iter().map(|cow| truth::Growth {
                farm: digit,
                cow: cow.number,
                mm_month: cow.mm_month,
            }));
            farms.push(Farm { name, digit, zone, list: list(&cows) });
            let next = Day(start.0 + 3 * at as i32);
            barns.push(Barn { digit, target, cows, visits: 0, next });
        }
        let (trimmer, second) = (Narrator::new(TRIMMER), Narrator::new(SECOND));
        Self { luck, start, barns, farms, trimmer, second, truth, evenings: Vec::new() }
    }

    pub(super) fn live(mut self) -> Season {
        for day in self.start.0..self.start.0 + DAYS {
            for at in 0..self.barns.len() {
                if self.barns[at].next.0 == day {
                    self.visit(at, Day(day));
                }
            }
        }
        Season { farms: self.farms, evenings: self.evenings, truth: self.truth }
    }

    /// The next day she comes: about two weeks later, never on a weekend nor to two farms at once.
    fn come_again(&mut self, at: usize, day: Day) {
        let mut next = day.0 + 12 + self.luck.below(6) as i32;
        let taken: BTreeSet<i32> = self.barns.iter().map(|barn| barn.next.0).collect();
        // 1970-01-01 was a Thursday: Saturday and Sunday are days 2 and 3 from there.
        while matches!(next.rem_euclid(7), 2 | 3) || taken.contains(&next) {
            next += 1;
        }
        self.barns[at].next = Day(next);
    }

    fn visit(&mut self, at: usize, day: Day) {
        let morning = i64::from(day.0) * DAY_MS + MORNING_MS;
        let study = at == 1 && self.barns[at].visits % STUDY_EVERY == 2;
        self.arrive(at, morning);
        if study {
            self.second.switch_on(morning + 60_000);
            self.second.clock();
            self.second.wait(1500.0);
            self.second.say(Entry::Visit { farm: self.barns[at].digit });
            let gauge = 75.0 + 0.008 * self.luck.normal();
            self.second.clip(0, gauge, Place::Cow);
        }
        let turns = self.turns(at, day);
        let many = turns.len();
        for (i, turn) in turns.into_iter().enumerate() {
            let tired = i as f64 / many as f64;
            let barn = &mut self.barns[at];
            let mut stall = Stall {
                luck: &mut self.luck,
                told: &mut self.trimmer,
                truth: &mut self.truth,
                second: study.then_some(&mut self.second),
                farm: barn.digit,
                target: barn.target,
                day,
                tired,
                repeat: i < 6,
            };
            match turn {
                Turn::Again(cow) => see_again(&mut stall, &mut barn.cows[cow]),
                Turn::Lame(cow) => trim(&mut stall, &mut barn.cows[cow], true),
                Turn::Trim(cow) => trim(&mut stall, &mut barn.cows[cow], false),
                Turn::Look(cow) => look_only(&mut stall, &barn.cows[cow]),
            }
            self.trimmer.wait(40.0);
        }
        self.barns[at].visits += 1;
        self.come_again(at, day);
        self.trimmer.wait(7200.0);
        self.evenings.push(self.trimmer.pulled());
        if study {
            self.second.wait_until(self.trimmer.now_ms() + 300_000);
            self.evenings.push(self.second.pulled());
        }
    }

    fn arrive(&mut self, at: usize, morning: i64) {
        self.trimmer.switch_on(morning);
        // Now and then the clock is forgotten; the evening's pull dates the day all the same.
        if self.luck.chance(0.9) {
            self.trimmer.clock();
        }
        self.trimmer.wait(1800.0);
        self.trimmer.say(Entry::Visit { farm: self.barns[at].digit });
        self.trimmer.wait(60.0);
        let gauge = 75.0 + 0.008 * self.luck.normal();
        self.trimmer.clip(0, gauge, Place::Cow);
        self.trimmer.wait(240.0);
    }

    /// Who comes into the chute, in which order.
    fn turns(&mut self, at: usize, day: Day) -> Vec<Turn> {
        let luck = &mut self.luck;
        let cows = &self.barns[at].cows;
        let mut turns = Vec::new();
        let mut free: Vec<usize> = Vec::new();
        for (i, cow) in cows.iter().enumerate() {
            let sore = cow.sore.is_some_and(|sore| sore.due.0 <= day.0 + 2);
            let skin = cow.skin.is_some_and(|(_, due)| due.0 <= day.0 + 2);
            if sore || skin {
                // One in fourteen is not brought in, and waits for the next visit.
                if !luck.chance(0.07) {
                    turns.push(Turn::Again(i));
                }
            } else if cow.sore.is_none() && cow.skin.is_none() {
                free.push(i);
            }
        }
        luck.shuffle(&mut free);
        // A cow that had a sore goes lame again sooner.
        free.sort_by_key(|i| cows[*i].weak.is_none());
        let again = free.iter().filter(|i| cows[**i].weak.is_some()).count();
        let weak = if again > 0 && luck.chance(0.5) { 1 } else { 0 };
        let mut lame: Vec<usize> = free.drain(..weak).collect();
        luck.shuffle(&mut free);
        lame.extend(free.drain(..free.len().min(LAME - weak)));
        turns.extend(lame.into_iter().map(Turn::Lame));
        free.sort_by_key(|i| cows[*i].trimmed);
        let in_turn = free.iter().filter(|i| day.0 - cows[**i].trimmed.0 >= REST_DAYS);
        turns.extend(in_turn.take(IN_TURN).map(|i| Turn::Trim(*i)));
        if let Some(last) = free.last() {
            turns.push(Turn::Look(*last));
        }
        luck.shuffle(&mut turns);
        turns
    }
}

/// The herd list as a text table. Tags of country 999 are for trials.
fn list(cows: &[Cow]) -> String {
    let mut text = String::from("number,tag,name,born\n");
    for (cow, name) in cows.iter().zip(NAMES.iter().cycle()) {
        text.push_str(&format!("{0},999{0:012},{name},{1}\n", cow.number, cow.born));
    }
    text
}

/// Which foot a lesion is at: hind feet nine times of ten.
pub(super) fn sore_foot(luck: &mut Luck) -> Foot {
    match luck.below(20) {
        0 => Foot::LeftFore,
        1 => Foot::RightFore,
        2..=10 => Foot::LeftHind,
        _ => Foot::RightHind,
    }
}
