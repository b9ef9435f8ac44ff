//! What a visit is held against: zones of the map, the farm's target, earlier visits.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::{Lesion, Nanometres, Place};

use super::due;
use super::gather::{Spoke, as_found, sort_key};
use super::svg::Spot;
use super::visit::{Earlier, Short};
use hornrule_facts::codes::DORSAL_WALL;
use hornrule_facts::{AnimalId, Day, HerdId};
use hornrule_herd::{Fault, Rows};

/// How many earlier visits a report looks back on.
pub const EARLIER: usize = 5;

impl Spoke {
    /// Each claw or foot of each cow counts once at a zone.
    pub(super) fn spots(&self) -> Vec<Spot> {
        let sore = self.findings.iter().filter(|one| due::is_lesion(&one.what));
        let at: BTreeSet<_> = sore
            .filter_map(|one| {
                let zone = as_found(&one.what).zone?;
                let place = due::counted_place(&one.what);
                Some((sort_key(place), zone, one.animal, place))
            })
            .collect();
        let mut spots: Vec<Spot> = Vec::new();
        for (_, zone, _, place) in at {
            let Some(foot) = place.foot() else { continue };
            let side = place.side();
            let same = |spot: &&mut Spot| (spot.foot, spot.side, spot.zone) == (foot, side, zone);
            match spots.iter_mut().find(same) {
                Some(spot) => spot.count += 1,
                None => spots.push(Spot { foot, side, zone, count: 1 }),
            }
        }
        spots
    }

    /// The last reading of each claw's dorsal wall after trimming.
    pub(super) fn walls_after(&self) -> BTreeMap<(AnimalId, Place), Nanometres> {
        let walls = self.readings.iter().filter(|one| one.what.dimension.code() == DORSAL_WALL);
        let after = walls.filter(|one| one.what.trimmed);
        after.map(|one| ((one.animal, one.place), one.what.length)).collect()
    }

    pub(super) fn short(&self, target: Nanometres) -> Vec<Short> {
        let short = self.walls_after().into_iter().filter(|(_, length)| *length < target);
        let mut short: Vec<Short> = short
            .filter_map(|((animal, place), length)| match place {
                Place::Claw(claw) => Some(Short { name: self.name(animal), claw, length }),
                Place::Foot(_) | Place::Cow => None,
            })
            .collect();
        short.sort_by_key(|one| one.length);
        short
    }
}

/// The visits before a day, the newest first.
pub(super) fn earlier(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Vec<Earlier>, Fault> {
    let mut visits = Vec::new();
    for day in rows.days_before(herd, day, EARLIER)? {
        let cows: BTreeSet<AnimalId> =
            rows.stays(herd, day)?.into_iter().map(|stay| stay.animal).collect();
        let mut sore = BTreeSet::new();
        let mut by_lesion: BTreeMap<u8, (Lesion, BTreeSet<AnimalId>)> = BTreeMap::new();
        for one in rows.findings(herd, day)?.iter().filter(|one| due::is_lesion(&one.what)) {
            sore.insert(one.animal);
            let lesion = one.what.lesion;
            by_lesion
                .entry(lesion.code())
                .or_insert((lesion, BTreeSet::new()))
                .1
                .insert(one.animal);
        }
        let lesions = by_lesion.into_values().map(|(lesion, cows)| (lesion, cows.len())).collect();
        visits.push(Earlier { day, cows: cows.len(), with_lesion: sore.len(), lesions });
    }
    Ok(visits)
}
