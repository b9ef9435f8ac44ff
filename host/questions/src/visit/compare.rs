//! What a visit is compared with: zones of the map, the farm's target, earlier visits.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_casebook::{Casebook, ClawDay, place_key};
use hornrule_facts::{AnimalId, Day, HerdId};
use hornrule_herd::{Fault, Kinds, Rows, Span};
use hornrule_protocol::{Lesion, Nanometres};

use super::{Classes, CowLine, Earlier, Name, Short, Spot};

/// How many earlier visits a report looks back on.
pub const EARLIER: usize = 5;

/// Each claw or foot of each cow counts once at a zone.
pub(super) fn spots(cows: &[CowLine]) -> Vec<Spot> {
    let mut at = BTreeSet::new();
    for cow in cows {
        for case in &cow.cases {
            if let (Some(foot), Some(zone)) = (case.place.foot(), case.zone_or_usual()) {
                at.insert((place_key(case.place), zone, cow.name.animal, foot, case.place.side()));
            }
        }
    }
    let mut spots: Vec<Spot> = Vec::new();
    for (_, zone, _, foot, side) in at {
        let same = |spot: &&mut Spot| (spot.foot, spot.side, spot.zone) == (foot, side, zone);
        match spots.iter_mut().find(same) {
            Some(spot) => spot.count += 1,
            None => spots.push(Spot { foot, side, zone, count: 1 }),
        }
    }
    spots
}

/// Claws left shorter than a length, the shortest first; and how many were measured after trimming.
pub(super) fn short(target: Option<Nanometres>, claws: &[(Name, ClawDay)]) -> (Vec<Short>, usize) {
    let after = claws.iter().filter_map(|(name, one)| Some((name, one.claw, one.after?.last)));
    let measured = after.clone().count();
    let mut short: Vec<Short> = after
        .filter(|(.., length)| target.is_some_and(|target| *length < target))
        .map(|(name, claw, length)| Short { name: name.clone(), claw, length })
        .collect();
    short.sort_by_key(|one| one.length);
    (short, measured)
}

/// An earlier visit while it is gathered: the cows in the chute, and by lesion code how many of them
/// had it.
struct Counted {
    visit: Earlier,
    cows: BTreeSet<AnimalId>,
    lesions: BTreeMap<u8, (Lesion, usize)>,
}

/// The visits before a day, the newest first, gathered cow by cow.
pub(super) struct Before {
    visits: Vec<Counted>,
}

impl Before {
    pub(super) fn of(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Self, Fault> {
        let days = rows.days_before(herd, day, EARLIER)?;
        let (Some(through), Some(from)) = (days.first().copied(), days.last().copied()) else {
            return Ok(Self { visits: Vec::new() });
        };
        let stays = rows.facts(herd, Span { from, through }, Kinds::STAYS)?;
        let visits = days.into_iter().map(|day| {
            let of_day = stays.iter().filter(|stay| stay.day == day);
            let visit = Earlier { day, classes: Classes::default(), lesions: Vec::new() };
            let cows = of_day.filter_map(|stay| stay.animal).collect();
            Counted { visit, cows, lesions: BTreeMap::new() }
        });
        Ok(Self { visits: visits.collect() })
    }

    pub(super) fn take(&mut self, animal: AnimalId, book: &Casebook) {
        for counted in self.visits.iter_mut().filter(|one| one.cows.contains(&animal)) {
            let Counted { visit, lesions, .. } = counted;
            visit.classes.add(book.class_on(visit.day));
            let mut hers: BTreeMap<u8, Lesion> = BTreeMap::new();
            for (case, _) in book.present_on(visit.day) {
                hers.insert(case.lesion.code(), case.lesion);
            }
            for (code, lesion) in hers {
                lesions.entry(code).or_insert((lesion, 0)).1 += 1;
            }
        }
    }

    /// A cow who was only scored or keyed has no casebook of findings and actions.
    pub(super) fn done(self, met: &BTreeSet<AnimalId>) -> Vec<Earlier> {
        self.visits
            .into_iter()
            .map(|Counted { mut visit, cows, lesions }| {
                visit.classes.not_examined += cows.difference(met).count();
                visit.lesions = lesions.into_values().collect();
                visit
            })
            .collect()
    }
}
