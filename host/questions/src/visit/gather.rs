//! Gathers a visit's rows into a report.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{DeviceId, Dimension, Lesion, Nanometres, Place, Scale};

use super::compare;
use super::due::{self, Due};
use super::visit::{
    ClawLine, CowLine, Found, GaugeLine, LengthLine, LesionLine, Name, RemarkLine, Spread, Summary,
    VisitReport,
};
use hornrule_facts::codes::{DORSAL_WALL, LESION_LENGTH, LESION_WIDTH, TRIMMED};
use crate::due::cow::Told;
use crate::due::needs_of;
use hornrule_facts::{AnimalId, Day, HerdId, ListedAnimal};
use hornrule_herd::{Fault, GaugeRow, Database, DatabaseError, Measured, RemarkRow, Rows, Spoken, Stay};
use hornrule_facts::Severity;

/// Every visit: herd, day, how many cows; the newest first.
///
/// # Errors
/// [`DatabaseError`].
pub fn list_visits(herd: &Database) -> Result<Vec<(HerdId, Day, u32)>, DatabaseError> {
    herd.read(|rows| rows.visit_days())
}

/// The rows of a visit, or of one cow on one day.
#[derive(Default)]
pub(super) struct Spoke {
    pub(super) stays: Vec<Stay>,
    pub(super) readings: Vec<Spoken<Measured>>,
    pub(super) findings: Vec<Spoken<Finding>>,
    pub(super) actions: Vec<Spoken<Done>>,
    pub(super) scores: Vec<Spoken<(Scale, u8)>>,
    pub(super) list: BTreeMap<AnimalId, ListedAnimal>,
}

impl VisitReport {
    /// Gathers the report of a herd and day. A day without a visit gives a report without cows;
    /// `None` where there is no such herd.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(herd: &Database, of: HerdId, day: Day) -> Result<Option<Self>, DatabaseError> {
        herd.read(|rows| gather(rows, of, day))
    }
}

fn gather(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Option<VisitReport>, Fault> {
    let Some(listed) = rows.herds()?.into_iter().find(|one| one.herd == herd) else {
        return Ok(None);
    };
    let list = rows.animals(herd)?;
    let said = Spoke {
        stays: rows.stays(herd, day)?,
        readings: rows.readings(herd, day)?,
        findings: rows.findings(herd, day)?,
        actions: rows.actions(herd, day)?,
        scores: rows.scores(herd, day)?,
        list: list.into_iter().map(|one| (one.animal, one)).collect(),
    };
    let remarks = rows.remarks(herd, day)?;
    let of =
        |severity| remarks.iter().filter(move |one| one.severity == severity).cloned().collect();
    let (held, flagged, settled) =
        (of(Severity::Held), of(Severity::Flagged), of(Severity::Settled));
    let mut report = VisitReport {
        herd,
        farm: listed.name,
        day,
        handhelds: said.handhelds(),
        summary: said.summary(),
        vet: Vec::new(),
        due: Vec::new(),
        lesions: said.lesions(),
        spots: said.spots(),
        earlier: compare::earlier(rows, herd, day)?,
        short: listed.settings.target.map_or_else(Vec::new, |target| said.short(target)),
        walls_after: said.walls_after().len(),
        settings: listed.settings,
        cows: said.cows(),
        lengths: said.lengths(),
        unchecked_readings: said.readings.iter().filter(|r| r.what.gauge_ok != Some(true)).count(),
        gauges: gauges(rows.gauges(herd, day)?),
        flagged: fold(flagged),
        held: fold(held),
        settled: fold(settled),
        unplaced: rows.unplaced_remarks()?.len(),
    };
    for cow in said.animals() {
        report.vet.extend(due::vet(&said.name(cow), &said.of(cow)));
    }
    // Of the whole herd, also of cows that were not in the chute on that day.
    let needs = needs_of(rows, herd, day)?;
    let told = needs.iter().filter(|need| due::told_after(need, day));
    report.due.extend(told.map(|need| Due::of(said.name(need.animal), need)));
    report.vet.sort();
    report.due.sort();
    Ok(Some(report))
}

/// Only what is spoken of one cow.
fn hers<T: Copy>(spoken: &[Spoken<T>], animal: AnimalId) -> impl Iterator<Item = &Spoken<T>> {
    spoken.iter().filter(move |one| one.animal == animal)
}

impl Spoke {
    fn animals(&self) -> BTreeSet<AnimalId> {
        self.stays.iter().map(|stay| stay.animal).collect()
    }

    pub(super) fn name(&self, animal: AnimalId) -> Name {
        Name { animal, name: self.list.get(&animal).and_then(|one| one.name.clone()) }
    }

    fn of(&self, animal: AnimalId) -> Vec<Told> {
        let found = hers(&self.findings, animal).map(|one| Told::Found(one.what));
        found.chain(hers(&self.actions, animal).map(|one| Told::Did(one.what))).collect()
    }

    fn summary(&self) -> Summary {
        let cows = self.animals();
        let size = self.list.values().filter(|one| one.in_herd).count();
        let seen = |animal: &&AnimalId| self.list.get(animal).is_some_and(|one| one.in_herd);
        let trimmed: BTreeSet<(AnimalId, Place)> = self
            .actions
            .iter()
            .filter(|one| one.what.action.code() == TRIMMED)
            .map(|one| (one.animal, one.place))
            .collect();
        let block = |one: &&Spoken<Done>| {
            one.what.action.kind == hornrule_protocol::codes::ActionKind::BlockOn
        };
        let sore: BTreeSet<AnimalId> = self
            .findings
            .iter()
            .filter(|one| due::is_lesion(&one.what))
            .map(|one| one.animal)
            .collect();
        let gait = || self.scores.iter().filter(|one| one.what.0.lame_from.is_some());
        let lame = |one: &&Spoken<(Scale, u8)>| {
            one.what.0.lame_from.is_some_and(|from| one.what.1 >= from)
        };
        let animals = |spoken: Vec<&Spoken<(Scale, u8)>>| {
            spoken.iter().map(|one| one.animal).collect::<BTreeSet<_>>().len()
        };
        Summary {
            cows: cows.len(),
            listed: (size > 0).then(|| (cows.iter().filter(seen).count(), size)),
            claws_trimmed: trimmed.len(),
            cows_with_lesion: sore.len(),
            cows_without_lesion: self.seen().difference(&sore).count(),
            blocks: self.actions.iter().filter(block).count(),
            scored: animals(gait().collect()),
            lame: animals(gait().filter(lame).collect()),
            times_estimated: self.stays.iter().any(|stay| !stay.anchored),
        }
    }

    fn handhelds(&self) -> Vec<DeviceId> {
        let spoken = self.findings.iter().map(|one| one.key.0);
        let spoken = spoken.chain(self.actions.iter().map(|one| one.key.0));
        let spoken = spoken.chain(self.readings.iter().map(|one| one.key.0));
        spoken
            .chain(self.scores.iter().map(|one| one.key.0))
            .collect::<BTreeSet<_>>()
            .into_iter()
            .collect()
    }

    /// Cows of which anything was found or done, and not only their number keyed.
    fn seen(&self) -> BTreeSet<AnimalId> {
        let found = self.findings.iter().map(|one| one.animal);
        found.chain(self.actions.iter().map(|one| one.animal)).collect()
    }

    fn lesions(&self) -> Vec<LesionLine> {
        let mut lines: Vec<LesionLine> = Lesion::all()
            .filter_map(|lesion| {
                let here: Vec<_> = self
                    .findings
                    .iter()
                    .filter(|one| one.what.lesion == lesion && due::is_lesion(&one.what))
                    .collect();
                let cows: BTreeSet<_> = here.iter().map(|one| one.animal).collect();
                let places: BTreeSet<_> =
                    here.iter().map(|one| (one.animal, due::counted_place(&one.what))).collect();
                let count = |digit| here.iter().filter(|one| one.what.grade == digit).count();
                // A scale is one digit.
                let digits = (0..10).filter(|digit| lesion.grades.word(*digit).is_some());
                let grades = digits.map(|digit| (digit, count(digit)));
                (!here.is_empty()).then(|| LesionLine {
                    lesion,
                    cows: cows.len(),
                    places: places.len(),
                    grades: grades.filter(|(_, count)| *count > 0).collect(),
                })
            })
            .collect();
        lines.sort_by_key(|line| std::cmp::Reverse((line.cows, line.places)));
        lines
    }

    fn cows(&self) -> Vec<CowLine> {
        self.animals().into_iter().map(|animal| self.cow(animal)).collect()
    }

    pub(super) fn cow(&self, animal: AnimalId) -> CowLine {
        let places: BTreeSet<(Option<u8>, u8)> = hers(&self.findings, animal)
            .map(|one| one.place)
            .chain(hers(&self.actions, animal).map(|one| one.place))
            .chain(hers(&self.readings, animal).map(|one| one.place))
            .map(sort_key)
            .collect();
        let all = [Place::Cow].into_iter().chain((0..12).filter_map(|b| Place::try_from(b).ok()));
        let mut claws: Vec<Place> = all.filter(|p| places.contains(&sort_key(*p))).collect();
        claws.sort_by_key(|place| sort_key(*place));
        let mut only_trimmed = Vec::new();
        claws.retain(|place| match *place {
            Place::Claw(claw) if self.is_only_trimmed(animal, *place) => {
                only_trimmed.push(claw);
                false
            }
            Place::Claw(_) | Place::Foot(_) | Place::Cow => true,
        });
        CowLine {
            name: self.name(animal),
            scores: hers(&self.scores, animal).map(|one| one.what).collect(),
            claws: claws.into_iter().map(|place| self.claw(animal, place)).collect(),
            only_trimmed,
        }
    }

    /// Whether "trimmed to form" is all that was said of a place.
    fn is_only_trimmed(&self, animal: AnimalId, place: Place) -> bool {
        !hers(&self.findings, animal).any(|one| one.place == place)
            && !hers(&self.readings, animal).any(|one| one.place == place)
            && hers(&self.actions, animal)
                .filter(|one| one.place == place)
                .all(|one| one.what.action.code() == TRIMMED)
    }

    fn claw(&self, animal: AnimalId, place: Place) -> ClawLine {
        let wall = |trimmed| {
            let lengths = hers(&self.readings, animal).filter(|one| one.place == place);
            let walls = lengths.filter(|one| one.what.dimension.code() == DORSAL_WALL);
            walls.filter(|one| one.what.trimmed == trimmed).last().map(|one| one.what.length)
        };
        let last = |dimension| {
            let here = hers(&self.readings, animal).filter(|one| one.place == place);
            here.filter(|one| one.what.dimension.code() == dimension)
                .last()
                .map(|one| one.what.length)
        };
        let found = hers(&self.findings, animal).filter(|one| one.place == place);
        let done = hers(&self.actions, animal).filter(|one| one.place == place);
        ClawLine {
            place,
            found: found.map(|one| as_found(&one.what)).collect(),
            done: done.map(|one| one.what).collect(),
            lesion_length: last(LESION_LENGTH),
            lesion_width: last(LESION_WIDTH),
            wall_before: wall(false),
            wall_after: wall(true),
        }
    }

    fn lengths(&self) -> Vec<LengthLine> {
        let lines = Dimension::all().filter(|dimension| !dimension.is_gauge()).map(|dimension| {
            let of = |trimmed| {
                let here = self.readings.iter().filter(|one| one.what.dimension == dimension);
                spread(here.filter(|one| one.what.trimmed == trimmed).map(|one| one.what.length))
            };
            LengthLine { dimension, before: of(false), after: of(true) }
        });
        lines.filter(|line| line.before.is_some() || line.after.is_some()).collect()
    }
}

/// Feet in the order of their numbers, the foot before its claws; the cow last.
pub(super) fn sort_key(place: Place) -> (Option<u8>, u8) {
    let foot = place.foot().map_or(u8::MAX, |foot| foot.number());
    (Some(foot), place.side().map_or(0, |side| side.number()))
}

pub(super) fn as_found(finding: &Finding) -> Found {
    let usual = finding.lesion.zones.first().copied();
    Found {
        lesion: finding.lesion,
        digit: finding.grade,
        grade: finding.lesion.grades.word(finding.grade),
        zone: finding.zone.map(|zone| zone.number()).or(usual),
        zone_keyed: finding.zone.is_some(),
    }
}

fn spread(lengths: impl Iterator<Item = Nanometres>) -> Option<Spread> {
    let mut lengths: Vec<Nanometres> = lengths.collect();
    lengths.sort_unstable();
    let (least, most) = (*lengths.first()?, *lengths.last()?);
    let middle = lengths.len() / 2;
    let median = if lengths.len() % 2 == 1 {
        lengths[middle]
    } else {
        // Halved before adding: two lengths of 2 m would not fit.
        let (low, high) = (lengths[middle - 1].0, lengths[middle].0);
        Nanometres(low + (high - low) / 2)
    };
    Some(Spread { readings: lengths.len(), least, median, most })
}

fn gauges(rows: Vec<GaugeRow>) -> Vec<GaugeLine> {
    let mut lines: BTreeMap<DeviceId, GaugeLine> = BTreeMap::new();
    for row in rows {
        let line = lines
            .entry(row.device)
            .or_insert_with(|| GaugeLine { device: row.device, readings: Vec::new() });
        line.readings.push((row.length, row.passed));
    }
    lines.into_values().collect()
}

/// The same words once, with how often they were said; in the order of the first time.
fn fold(remarks: Vec<RemarkRow>) -> Vec<RemarkLine> {
    let mut lines: Vec<RemarkLine> = Vec::new();
    for remark in remarks {
        match lines.iter_mut().find(|line| line.sentence == remark.sentence) {
            Some(line) => {
                line.times += 1;
                if let Some(cow) = remark.animal.filter(|cow| !line.cows.contains(cow)) {
                    line.cows.push(cow);
                }
            }
            None => lines.push(RemarkLine {
                rule: remark.rule,
                cows: remark.animal.into_iter().collect(),
                sentence: remark.sentence,
                times: 1,
            }),
        }
    }
    lines
}
