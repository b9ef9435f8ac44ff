//! Which readings go together.

use std::collections::BTreeMap;

use hornrule_insight::derived::{Derived, Hand, Length, Refused};
use hornrule_insight::heel_difference::heel_difference;
use hornrule_insight::sole_estimate::{HindClaw, sole_estimate};
use hornrule_insight::toe_angle::toe_angle;
use hornrule_protocol::{Claw, DeviceId, Foot, Place, Side};

use super::{Line, Measure, is_hind};
use crate::evidence::uncertainty::{PERMITTED, half_step};
use hornrule_facts::codes::{DORSAL_WALL, HEEL_HEIGHT, TOE_HEIGHT};
use hornrule_facts::{Clip, Day, Key};

/// A length of a claw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lengthed {
    /// Its record.
    pub key: Key,
    /// The day.
    pub day: Day,
    /// The claw.
    pub claw: Claw,
    /// The reading.
    pub clip: Clip,
    /// Whether a rule doubts it.
    pub doubted: bool,
}

/// Day, handheld, trimmed, foot: within it claws and dimensions go together.
type Together = (Day, DeviceId, bool, u8);

/// The readings of one foot that go together.
#[derive(Default)]
struct OfFoot {
    /// By claw and dimension.
    lengths: BTreeMap<(u8, u8), Vec<Lengthed>>,
}

/// An input: its mean, or why there is none, and its records.
struct Input {
    length: Result<Length, Refused>,
    keys: Vec<Key>,
}

/// What is derived from the lengths of one cow, in the order of time; by day, handheld, state of trim
/// and foot, the outer claw first. `hand` tells the error of a dimension's readings.
pub fn lines(
    lengths: impl Iterator<Item = Lengthed>,
    hand: impl Fn(u8) -> Option<Hand>,
) -> Vec<Line> {
    let mut feet: BTreeMap<Together, (Foot, OfFoot)> = BTreeMap::new();
    for one in lengths {
        let code = one.clip.dimension.code();
        if ![DORSAL_WALL, HEEL_HEIGHT, TOE_HEIGHT].contains(&code) {
            continue;
        }
        let foot = one.claw.foot;
        let together = (one.day, one.key.0, one.clip.trimmed, foot.number());
        let (_, own) = feet.entry(together).or_insert((foot, OfFoot::default()));
        own.lengths.entry((one.claw.side.number(), code)).or_default().push(one);
    }
    let mut all = Vec::new();
    for ((day, device, trimmed, _), (foot, own)) in &feet {
        let line = |measure, place, (answer, mut inputs): (_, Vec<Key>)| {
            inputs.sort_unstable();
            let (day, device, trimmed) = (*day, *device, *trimmed);
            Line { measure, day, device, place, trimmed, answer, inputs }
        };
        let sides = [Side::Lateral, Side::Medial];
        for side in sides {
            let place = Place::Claw(Claw { foot: *foot, side });
            all.extend(own.angle(side, &hand).map(|it| line(Measure::ToeAngle, place, it)));
        }
        let heels = own.heels(&hand);
        all.extend(heels.map(|it| line(Measure::HeelDifference, Place::Foot(*foot), it)));
        for side in sides.into_iter().filter(|_| is_hind(Place::Foot(*foot))) {
            let place = Place::Claw(Claw { foot: *foot, side });
            all.extend(own.sole(side, &hand).map(|it| line(Measure::SoleFromWall, place, it)));
        }
    }
    all
}

/// The value or why there is none, and the records of its inputs.
type Answer = (Result<Derived, Refused>, Vec<Key>);

impl OfFoot {
    /// `None` where the claw's dimension has no reading.
    fn input(&self, side: Side, code: u8, hand: impl Fn(u8) -> Option<Hand>) -> Option<Input> {
        let all = self.lengths.get(&(side.number(), code))?;
        let sound: Vec<&Lengthed> = all.iter().filter(|one| !one.doubted).collect();
        let used: Vec<&Lengthed> =
            sound.iter().copied().filter(|one| one.clip.gauge_ok != Some(false)).collect();
        let keys = |of: &mut dyn Iterator<Item = &Lengthed>| of.map(|one| one.key).collect();
        let refused = |why| Some(Input { length: Err(why), keys: keys(&mut all.iter()) });
        if sound.is_empty() {
            return refused(Refused::Doubted);
        }
        if used.is_empty() {
            return refused(Refused::FailedCheck);
        }
        let mm: f64 = used.iter().map(|one| one.clip.length.as_mm()).sum();
        let coarsest = used.iter().map(|one| half_step(one.clip.unit)).fold(0.0, f64::max);
        let length = Length {
            mm: mm / used.len() as f64,
            readings: u32::try_from(used.len()).unwrap_or(u32::MAX),
            half_step: coarsest,
            permitted: PERMITTED,
            hand: hand(code),
        };
        Some(Input { length: Ok(length), keys: keys(&mut used.iter().copied()) })
    }

    fn angle(&self, side: Side, hand: impl Fn(u8) -> Option<Hand>) -> Option<Answer> {
        let height = self.input(side, TOE_HEIGHT, &hand)?;
        let wall = self.input(side, DORSAL_WALL, &hand);
        Some(of_two(Some(height), wall, toe_angle))
    }

    fn heels(&self, hand: impl Fn(u8) -> Option<Hand>) -> Option<Answer> {
        let heel = |side| self.input(side, HEEL_HEIGHT, &hand);
        let (outer, inner) = (heel(Side::Lateral), heel(Side::Medial));
        (outer.is_some() || inner.is_some()).then(|| of_two(outer, inner, heel_difference))
    }

    fn sole(&self, side: Side, hand: impl Fn(u8) -> Option<Hand>) -> Option<Answer> {
        let wall = self.input(side, DORSAL_WALL, &hand)?;
        let claw = match side {
            Side::Lateral => HindClaw::Outer,
            Side::Medial => HindClaw::Inner,
        };
        Some((wall.length.and_then(|wall| sole_estimate(claw, wall)), wall.keys))
    }
}

fn of_two(
    one: Option<Input>,
    other: Option<Input>,
    of: fn(Length, Length) -> Result<Derived, Refused>,
) -> Answer {
    let keys = [&one, &other].into_iter().flatten().flat_map(|input| input.keys.clone()).collect();
    let length = |input: Option<Input>| input.map_or(Err(Refused::Missing), |input| input.length);
    let answer = length(one).and_then(|one| of(one, length(other)?));
    (answer, keys)
}
