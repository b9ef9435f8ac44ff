//! What was seen in a span of days.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::codes::Seat;
use hornrule_protocol::{DeviceId, Lesion, Place, Scale};

use super::Period;
use super::cases::Case;
use super::share::Share;
use hornrule_facts::codes::TRIMMED;
use crate::due::cow::{Told, is_lesion};
use hornrule_facts::{AnimalId, Day, ListedAnimal};
use hornrule_insight::Count;

const BLOCKS: std::ops::RangeInclusive<u8> = 10..=19;

/// Everything that is looked at, in the order of time.
#[derive(Clone, Debug, Default)]
pub(super) struct Material {
    pub(super) list: Vec<ListedAnimal>,
    pub(super) stays: Vec<(Day, AnimalId)>,
    pub(super) said: Vec<(Day, AnimalId, Told)>,
    pub(super) scores: Vec<(Day, AnimalId, (Scale, u8))>,
    /// Which handheld recorded a finding on a day.
    pub(super) finders: BTreeSet<(Day, DeviceId)>,
}

impl Material {
    fn finders_within(&self, span: Period) -> usize {
        let within =
            self.finders.iter().filter(|(day, _)| span.from <= *day && *day <= span.through);
        within.map(|(_, device)| *device).collect::<BTreeSet<_>>().len()
    }
}

/// Some of a herd that is known whole: no sample, so no interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// How many.
    pub cases: u64,
    /// Of how many.
    pub of: u64,
}

impl Part {
    /// 0 to 1; `None` of nothing.
    #[must_use]
    pub fn share(self) -> Option<f64> {
        Count::new(self.cases, self.of).ok().map(Count::share)
    }
}

/// One lesion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LesionTally {
    /// Which.
    pub lesion: Lesion,
    /// Cows with it, of the cows trimmed.
    pub cows: Share,
    /// Cases found there for the first time.
    pub new: u64,
    /// Cases of a lesion that was there before.
    pub again: u64,
}

/// Gait on one scale: each cow once, with her worst value.
#[derive(Clone, Debug, PartialEq)]
pub struct Scored {
    /// The scale.
    pub scale: Scale,
    /// How many cows for each value of it, from the lowest on.
    pub cows: Vec<(u8, u64)>,
    /// Cows that are lame on it, of those scored.
    pub lame: Share,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Tally {
    /// Days with a visit.
    pub visits: usize,
    /// Different cows in the chute.
    pub cows: usize,
    /// Handhelds that recorded findings.
    pub finders: usize,
    /// Cows with a lesion, of the cows of which a claw was trimmed to form.
    pub with_lesion: Share,
    /// Cows with a lesion of which no claw was trimmed: in no share.
    pub not_trimmed_with_lesion: u64,
    /// Claws with a lesion of the horn, of the claws trimmed to form.
    pub claws: Share,
    /// Each lesion.
    pub lesions: Vec<LesionTally>,
    /// Cases found for the first time.
    pub new: u64,
    /// Cases of a lesion that was there before.
    pub again: u64,
    /// Blocks glued on.
    pub blocks: u64,
    /// Of the herd list: cows trimmed. `None` without a list.
    pub herd: Option<Part>,
    /// Gait, on each scale that says who is lame.
    pub gait: Vec<Scored>,
}

impl Tally {
    pub(super) fn of(all: &Material, cases: &[Case], lesions: &[Lesion], span: Period) -> Self {
        let within = |day: Day| span.from <= day && day <= span.through;
        let stays = || all.stays.iter().filter(|(day, _)| within(*day));
        let said = || all.said.iter().filter(|(day, ..)| within(*day));
        let trimmed: BTreeSet<(AnimalId, Place)> = said()
            .filter(|(_, _, told)| is_trimming(told))
            .map(|(_, animal, told)| (*animal, told.place()))
            .collect();
        let cows: BTreeSet<AnimalId> = trimmed.iter().map(|(animal, _)| *animal).collect();
        let found: Vec<(AnimalId, Place, Lesion)> = said()
            .filter_map(|(_, animal, told)| match told {
                Told::Found(one) if is_lesion(one) => Some((*animal, one.place, one.lesion)),
                Told::Found(_) | Told::Did(_) => None,
            })
            .collect();
        let sore = |lesion: Option<Lesion>| -> BTreeSet<AnimalId> {
            let wanted = found.iter().filter(|(.., one)| lesion.is_none_or(|it| it == *one));
            wanted.map(|(animal, ..)| *animal).collect()
        };
        let of_trimmed = |sore: &BTreeSet<AnimalId>| {
            Share::of_cows(cows.intersection(sore).count() as u64, cows.len() as u64)
        };
        let cases: Vec<&Case> = cases.iter().filter(|case| within(case.day)).collect();
        let count = |lesion: Option<Lesion>, again: bool| {
            let of = |case: &&&Case| lesion.is_none_or(|it| it == case.lesion);
            cases.iter().filter(of).filter(|case| case.again == again).count() as u64
        };
        let every = sore(None);
        Self {
            visits: stays().map(|(day, _)| *day).collect::<BTreeSet<_>>().len(),
            cows: stays().map(|(_, animal)| *animal).collect::<BTreeSet<_>>().len(),
            finders: all.finders_within(span),
            with_lesion: of_trimmed(&every),
            not_trimmed_with_lesion: every.difference(&cows).count() as u64,
            claws: claws(&trimmed, &found),
            lesions: lesions
                .iter()
                .map(|lesion| LesionTally {
                    lesion: *lesion,
                    cows: of_trimmed(&sore(Some(*lesion))),
                    new: count(Some(*lesion), false),
                    again: count(Some(*lesion), true),
                })
                .collect(),
            new: count(None, false),
            again: count(None, true),
            blocks: said().filter(|(_, _, told)| is_block(told)).count() as u64,
            herd: of_herd(&all.list, &cows),
            gait: gait(all.scores.iter().filter(|(day, ..)| within(*day))),
        }
    }
}

fn is_trimming(told: &Told) -> bool {
    matches!(told, Told::Did(done)
        if done.action.code() == TRIMMED && matches!(done.place, Place::Claw(_)))
}

fn is_block(told: &Told) -> bool {
    matches!(told, Told::Did(done) if BLOCKS.contains(&done.action.code()))
}

/// Claws with a lesion of the horn among those trimmed, cow by cow.
fn claws(trimmed: &BTreeSet<(AnimalId, Place)>, found: &[(AnimalId, Place, Lesion)]) -> Share {
    let horn: BTreeSet<(AnimalId, Place)> = found
        .iter()
        .filter(|(.., lesion)| lesion.seat == Seat::Claw)
        .map(|(animal, place, _)| (*animal, *place))
        .collect();
    let mut cows: BTreeMap<AnimalId, (u64, u64)> = BTreeMap::new();
    for claw in trimmed {
        let (cases, of) = cows.entry(claw.0).or_default();
        *cases += u64::from(horn.contains(claw));
        *of += 1;
    }
    let counts: Vec<Count> =
        cows.into_values().filter_map(|(cases, of)| Count::new(cases, of).ok()).collect();
    Share::of_claws(&counts)
}

fn of_herd(list: &[ListedAnimal], trimmed: &BTreeSet<AnimalId>) -> Option<Part> {
    let listed = || list.iter().filter(|one| one.in_herd);
    let cases = listed().filter(|one| trimmed.contains(&one.animal)).count() as u64;
    let of = listed().count() as u64;
    (of > 0).then_some(Part { cases, of })
}

fn gait<'a>(scores: impl Iterator<Item = &'a (Day, AnimalId, (Scale, u8))>) -> Vec<Scored> {
    let mut worst: BTreeMap<u8, (Scale, BTreeMap<AnimalId, u8>)> = BTreeMap::new();
    for (_, animal, (scale, value)) in scores.filter(|(_, _, (it, _))| it.lame_from.is_some()) {
        let (_, cows) = worst.entry(scale.code()).or_insert((*scale, BTreeMap::new()));
        let hers = cows.entry(*animal).or_default();
        *hers = (*value).max(*hers);
    }
    worst.into_values().map(|(scale, cows)| scored(scale, &cows)).collect()
}

fn scored(scale: Scale, cows: &BTreeMap<AnimalId, u8>) -> Scored {
    let many = |value: u8| cows.values().filter(|hers| **hers == value).count() as u64;
    let (low, high) = scale.range;
    let lame = cows.values().filter(|value| scale.lame_from.is_some_and(|from| **value >= from));
    Scored {
        scale,
        cows: (low..=high).map(|value| (value, many(value))).collect(),
        lame: Share::of_cows(lame.count() as u64, cows.len() as u64),
    }
}
