//! A day's plan on the terminal: what was put in, and what is due.
//!
//! ```text
//! plan for 31 Mar 2026
//! farm 1    Alder Brook: 26 cows, 7 of them due
//! floor     75.0 mm: 12 cows; none: 14 cows
//!   1         27  Clover          recheck RH, block or wrap off RH
//! ```

use std::collections::BTreeMap;

use hornrule_facts::Day;
use hornrule_line::plan::{LeftOut, Planned, PlannedCow};
use hornrule_protocol::plan::{Blinding, Needs};
use hornrule_protocol::{Dimension, Foot, Nanometres};
use hornrule_questions::plan::named;

use super::what;
use crate::card::bundle_says;
use crate::words::{Say, Words};

/// Width of what stands before each line.
const LABEL: usize = 10;

/// What is in the handheld.
#[derive(Clone, Debug)]
pub struct Loaded<'a> {
    /// Its number.
    pub handheld: &'a str,
    /// Which plan it is.
    pub number: u32,
    /// Its name: the checksum in hexadecimal.
    pub name: &'a str,
    /// By how many numbers cows are found.
    pub numbers: u16,
    /// Its bytes.
    pub bytes: usize,
}

fn line(label: &str, text: &str) -> String {
    format!("{label:<LABEL$}{text}\n")
}

fn cows(words: &Words, n: usize) -> String {
    words.say(Say::OneOrMoreCows { n: n.into() })
}

/// The plan of a day, and where it was loaded.
#[must_use]
pub fn told(planned: &Planned, day: Day, loaded: Option<&Loaded<'_>>, words: &Words) -> String {
    let date = words.date(day);
    let mut text = format!("{}\n", words.say(Say::PlanToldTitle { date: date.into() }));
    for (key, name) in &planned.farms {
        let of = planned.cows.iter().filter(|cow| cow.farm == *key);
        let due = of.clone().filter(|cow| cow.needs != Needs::NONE).count();
        let farm = words.say(Say::PlanToldFarm { key: (*key).into() });
        let cows = cows(words, of.clone().count()).into();
        let says =
            words.say(Say::PlanToldCows { farm: name.as_str().into(), cows, due: due.into() });
        text += &line(&farm, &says);
        let drawn = of.filter(|cow| cow.is_drawn()).count();
        if drawn > 0 {
            let says = words.say(Say::PlanToldDrawnCows { cows: self::cows(words, drawn).into() });
            text += &line(&words.say(Say::PlanToldDrawn), &says);
        }
    }
    text += &line(&words.say(Say::PlanToldOrder), &order(planned, words));
    let side = |foot| words.side(planned.habits.first_claws.of(foot)).into();
    let (hind, front) = (side(Foot::LeftHind), side(Foot::LeftFore));
    let claws = words.say(Say::PlanToldClaws { hind, front });
    text += &line(&words.say(Say::PlanToldStarts), &claws);
    for bundle in planned.habits.bundles() {
        text += &line(&format!("DO 0{}", bundle.number()), &bundle_says(words, bundle));
    }
    text += &warned_of(planned, words);
    let gauge = planned.gauge.map_or_else(
        || words.say(Say::PlanToldGaugeUnknown),
        |gauge| format!("{} mm", words.decimal(gauge.size.as_mm(), 3)),
    );
    text += &line(&words.say(Say::PlanToldGauge), &gauge);
    for (way, name) in &planned.trial_ways {
        let label = words.say(Say::PlanToldTrial { way: (*way).into() });
        text += &line(&label, &format!("DO 1{way}: {name}"));
    }
    let due = planned.cows.iter().filter(|cow| cow.needs != Needs::NONE);
    text += &due.map(|cow| due_line(cow, words)).collect::<String>();
    text + &loaded.map_or_else(String::new, |loaded| loaded.told(words))
}

/// The measuring order, and whether it is a blind day.
fn order(planned: &Planned, words: &Words) -> String {
    let step = |(dimension, clips): (Dimension, u8)| {
        let dimension = words.dimension(dimension);
        match clips {
            1 => dimension,
            n => words.say(Say::PlanToldTimes { dimension: dimension.into(), clips: n.into() }),
        }
    };
    let mut steps: Vec<String> = planned.order.steps().map(step).collect();
    if steps.is_empty() {
        steps.push(words.dimension(Dimension::DORSAL_WALL));
    }
    let order = steps.join(", ");
    match planned.blinding {
        Blinding::Open => order,
        Blinding::Blind => words.say(Say::PlanToldBlind { order: order.into() }),
    }
}

/// What the handheld warns of at the chute; nothing where it knows of nothing.
fn warned_of(planned: &Planned, words: &Words) -> String {
    if planned.blinding == Blinding::Blind {
        return asked_after(planned, words);
    }
    let mut text = String::new();
    let mut floors: BTreeMap<Option<Nanometres>, usize> = BTreeMap::new();
    for cow in &planned.cows {
        *floors.entry(planned.floor_of(cow)).or_default() += 1;
    }
    if floors.keys().any(Option::is_some) {
        let of = |(floor, n): (Option<Nanometres>, usize)| {
            let cows = cows(words, n).into();
            match floor {
                None => words.say(Say::PlanToldFloorNone { cows }),
                Some(length) => {
                    let length = words.length_with_unit(length).into();
                    words.say(Say::PlanToldFloorOf { length, cows })
                }
            }
        };
        // The longest first, those without last.
        let all: Vec<String> = floors.into_iter().rev().map(of).collect();
        text += &line(&words.say(Say::PlanToldFloor), &all.join("; "));
    }
    if let Some(length) = planned.heel_difference() {
        let length = words.length_with_unit(length).into();
        let most = words.say(Say::PlanToldHeelsMost { length });
        text += &line(&words.say(Say::PlanToldHeels), &most);
    }
    let growth = with(planned, |cow| cow.particulars.growth().is_some());
    if growth > 0 {
        let says = words.say(Say::PlanToldRegrownCows { cows: cows(words, growth).into() });
        text += &line(&words.say(Say::PlanToldRegrown), &says);
    }
    text + &asked_after(planned, words)
}

/// How many cows have a lesion from before.
fn asked_after(planned: &Planned, words: &Words) -> String {
    let open =
        |cow: &PlannedCow| cow.particulars.open_claws() != 0 || cow.particulars.open_feet() != 0;
    match with(planned, open) {
        0 => String::new(),
        n => {
            let says = words.say(Say::PlanToldOpenCows { cows: cows(words, n).into() });
            line(&words.say(Say::PlanToldOpen), &says)
        }
    }
}

fn with(planned: &Planned, has: impl Fn(&PlannedCow) -> bool) -> usize {
    planned.cows.iter().filter(|cow| has(cow)).count()
}

fn due_line(cow: &PlannedCow, words: &Words) -> String {
    let name = cow.name.as_deref().unwrap_or_default();
    let (farm, number, what) = (cow.farm, named(cow), what(words, cow));
    format!("  {farm}  {number:>9}  {name:<14}  {what}\n")
}

impl Loaded<'_> {
    /// Which plan is in which handheld.
    #[must_use]
    pub fn told(&self, words: &Words) -> String {
        let Self { handheld, number, name, numbers, bytes } = *self;
        let into = words.say(Say::PlanToldInto {
            handheld: handheld.into(),
            number: number.into(),
            name: name.into(),
            numbers: numbers.into(),
            bytes: bytes.into(),
        });
        line(&words.say(Say::PlanToldLoaded), &into)
    }
}

/// What an older handheld does not get, in sentences.
#[must_use]
pub fn left_out_old(left: LeftOut, words: &Words) -> Vec<String> {
    let habits = left.habits.then(|| words.say(Say::PlanLeftHabits));
    let rest = listed(left, words).map(|what| words.say(Say::PlanLeftOld { what: what.into() }));
    habits.into_iter().chain(rest).collect()
}

/// What there is no room for, in a sentence; `None` where there is room for all.
#[must_use]
pub fn left_out_room(left: LeftOut, words: &Words) -> Option<String> {
    listed(left, words).map(|what| words.say(Say::PlanLeftRoom { what: what.into() }))
}

fn listed(left: LeftOut, words: &Words) -> Option<String> {
    let all = [
        left.ways.then(|| words.say(Say::PlanLeftWays)),
        left.known.then(|| words.say(Say::PlanLeftKnown)),
        left.floors.then(|| words.say(Say::PlanLeftFloors)),
        left.growth.then(|| words.say(Say::PlanLeftGrowth)),
        left.tags.then(|| words.say(Say::PlanLeftTags)),
    ];
    let all: Vec<String> = all.into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_facts::{Habits, Language};
    use hornrule_protocol::plan::{Floor, Gauge, Need, Order, Particulars};
    use hornrule_protocol::{Claw, HerdNumber, Side};

    fn planned() -> Planned {
        let cow = |number, name: Option<&str>, needs, particulars| PlannedCow {
            farm: 1,
            number: HerdNumber::new(number),
            tag: None,
            name: name.map(str::to_owned),
            needs,
            particulars,
            overdue: u32::from(number == 27) * 3,
        };
        let due = Needs::NONE.with(Need::Recheck(Foot::RightHind)).with(Need::Vet);
        let outer = Claw { foot: Foot::RightHind, side: Side::Lateral };
        let open = Particulars::NONE.with_lesion_of_claw(outer).with_growth(16);
        let mut habits = Habits::default();
        habits.set("hind", "inner").unwrap();
        habits.set("bundle-1", "31 this, 10 partner, 82 foot 14").unwrap();
        Planned {
            farms: vec![(1, "Neuhof".to_owned())],
            cows: vec![
                cow(27, Some("Clover"), due, open),
                cow(31, None, Needs::NONE, Particulars::NONE),
                cow(58, None, Needs::NONE, Particulars::NONE.with_floor(Floor::None)),
                cow(63, None, Needs::NONE, Particulars::NONE.with_floor(Floor::HalfMm(160))),
            ],
            order: Order::EMPTY.then(Dimension::DORSAL_WALL, 2).unwrap(),
            gauge: Some(Gauge { size: Nanometres::from_mm(75), tolerance: Nanometres(30_000) }),
            habits,
            floor: 150,
            heels: 6,
            trial_ways: vec![(1, "wood, sanded".to_owned())],
            ..Planned::default()
        }
    }

    #[test]
    fn a_plan_is_told_in_both_languages() {
        let loaded = Loaded {
            handheld: "c0ffee0000000001",
            number: 7,
            name: "66e76993",
            numbers: 4,
            bytes: 172,
        };
        let day = Day::from_date(jiff::civil::date(2026, 3, 31));
        let both = [Language::English, Language::German]
            .map(|language| told(&planned(), day, Some(&loaded), &Words::new(language)));
        insta::assert_snapshot!(both.join("\n"));
    }

    #[test]
    fn what_is_left_out_is_said() {
        let all = LeftOut {
            habits: true,
            ways: true,
            known: true,
            floors: true,
            growth: true,
            tags: true,
        };
        let both = [Language::English, Language::German].map(|language| {
            let words = Words::new(language);
            let old = left_out_old(all, &words).join("\n");
            format!("{old}\n{}", left_out_room(all, &words).unwrap_or_default())
        });
        insta::assert_snapshot!(both.join("\n"));
        let words = Words::new(Language::English);
        assert!(left_out_old(LeftOut::default(), &words).is_empty());
        assert_eq!(left_out_room(LeftOut::default(), &words), None);
    }
}
