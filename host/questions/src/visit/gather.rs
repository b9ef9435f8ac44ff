//! Gathers a visit.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_casebook::{Case, Casebook, Class, ClawDay, place_key};
use hornrule_facts::codes::{DORSAL_WALL, LESION_LENGTH, LESION_WIDTH, TRIMMED};
use hornrule_facts::{AnimalId, Certainty, Clip, Day, Fact, HerdId, ListedAnimal, Severity, What};
use hornrule_herd::{Database, DatabaseError, Fault, Kinds, Rows, Span};
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{DeviceId, Dimension, Lesion, Nanometres, Place, Scale};

use super::clean::Signs;
use super::compare::{Before, short, spots};
use super::due::{self, Due, Vet};
use super::ribbon::ribbon;
use super::trust::{fold, gauges};
use super::{
    Classes, ClawLine, CowLine, Found, LengthLine, LesionLine, Name, Spread, Summary, VisitReport,
};
use crate::books::Books;
use crate::derived::{self, Averages, OfVisit};
use crate::due::Need;
use crate::evidence::Repeats;
use crate::notices::{self, Asked, Notice};

/// Every visit: herd, day, how many cows; the newest first.
///
/// # Errors
/// [`DatabaseError`].
pub fn list_visits(database: &Database) -> Result<Vec<(HerdId, Day, u32)>, DatabaseError> {
    database.read(|rows| rows.visit_days())
}

impl VisitReport {
    /// Gathers the report of a herd and day. A day without a visit gives a report without cows;
    /// `None` where there is no such herd.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(
        database: &Database,
        of: HerdId,
        day: Day,
    ) -> Result<Option<Self>, DatabaseError> {
        database.read(|rows| gather(rows, of, day))
    }
}

/// What the casebooks say of a visit.
struct Judged {
    /// Class and cases of each cow in the chute.
    cows: BTreeMap<AnimalId, (Class, Vec<Case>)>,
    vet: Vec<Vet>,
    needs: Vec<Need>,
    notices: Vec<Notice>,
    met: BTreeSet<AnimalId>,
    signs: Signs,
}

fn gather(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Option<VisitReport>, Fault> {
    let Some(listed) = rows.herds()?.into_iter().find(|one| one.herd == herd) else {
        return Ok(None);
    };
    let list = rows.animals(herd)?.into_iter().map(|one| (one.animal, one)).collect();
    let said = Said { facts: rows.facts(herd, Span::day(day), Kinds::ALL)?, list };
    let (judged, earlier) = judged(rows, (herd, day), &said, listed.settings.target)?;
    let (mut cows, mut claws): (Vec<CowLine>, Vec<(Name, ClawDay)>) = (Vec::new(), Vec::new());
    for (animal, (class, cases)) in judged.cows {
        let hers = said.of(animal);
        // Walls are read from the day's facts: lengths are no part of the herd's judged history.
        let walls = Casebook::of(&hers.facts, &[]).claws;
        claws.extend(walls.into_iter().map(|one| (hers.name.clone(), one)));
        cows.push(hers.line(class, cases));
    }
    let remarks = rows.remarks(herd, day)?;
    let of =
        |severity| remarks.iter().filter(move |one| one.severity == severity).cloned().collect();
    let (held, flagged, settled) =
        (of(Severity::Held), of(Severity::Flagged), of(Severity::Settled));
    let (short, walls_after) = short(listed.settings.target, &claws);
    let mut due: Vec<Due> = judged
        .needs
        .iter()
        .filter(|need| due::told_after(need, day))
        .map(|need| Due::of(said.name(need.animal), need))
        .collect();
    due.sort_by(|one, other| one.order().cmp(&other.order()));
    let derived = said.derived(&derived::repeats_for(&said.facts, rows, (herd, day))?);
    Ok(Some(VisitReport {
        herd,
        farm: listed.name,
        day,
        handhelds: said.handhelds(),
        summary: said.summary(&cows),
        ribbon: ribbon(&said.facts, &cows, &judged.vet, day),
        vet: judged.vet,
        due,
        lesions: lesions(&cows, day),
        signs: judged.signs.lines(),
        clean: rows.arrived(herd, day)?.into_iter().map(Into::into).collect(),
        spots: spots(&cows),
        earlier,
        short,
        walls_after,
        settings: listed.settings,
        cows,
        lengths: said.lengths(),
        derived,
        unchecked_readings: said.clips().filter(|(_, clip)| clip.gauge_ok != Some(true)).count(),
        notices: judged.notices,
        gauges: gauges(&rows.gauge_facts(herd, Span::day(day))?),
        flagged: fold(flagged),
        held: fold(held),
        settled: fold(settled),
        unplaced: rows.unplaced_remarks()?.len(),
    }))
}

/// Asks every casebook of the herd once.
fn judged(
    rows: &Rows<'_>,
    (herd, day): (HerdId, Day),
    said: &Said,
    target: Option<Nanometres>,
) -> Result<(Judged, Vec<super::Earlier>), Fault> {
    let books = Books::of(rows, herd, day)?;
    let mut before = Before::of(rows, herd, day)?;
    let mut judged = Judged {
        cows: said.animals().into_iter().map(|cow| (cow, (Class::NotExamined, vec![]))).collect(),
        vet: Vec::new(),
        needs: Vec::new(),
        notices: Vec::new(),
        met: BTreeSet::new(),
        signs: Signs::default(),
    };
    books.each_with_facts(rows, |animal, facts, book| {
        judged.met.insert(animal);
        before.take(animal, book);
        judged.needs.extend(books.needs(animal, book));
        if let Some(hers) = judged.cows.get_mut(&animal) {
            let cases = book.present_on(day).map(|(case, _)| case.clone()).collect();
            *hers = (book.class_on(day), cases);
            judged.signs.take(book, day);
            let CowSaid { name, facts: of_day } = said.of(animal);
            judged.vet.extend(due::vet(&name, book, day));
            let listed = said.list.get(&animal);
            let asked = Asked { name: &name, listed, target, day, facts, of_day: &of_day, book };
            judged.notices.extend(notices::of_cow(&asked));
        }
    })?;
    // Of whom nothing was ever found or done there may be lengths.
    for animal in judged.cows.keys().filter(|cow| !judged.met.contains(cow)) {
        let CowSaid { name, facts: of_day } = said.of(*animal);
        let (listed, book) = (said.list.get(animal), Casebook::default());
        let asked =
            Asked { name: &name, listed, target, day, facts: &[], of_day: &of_day, book: &book };
        judged.notices.extend(notices::of_cow(&asked));
    }
    judged.vet.sort();
    // Answered and raised anew on one day, it is one line.
    judged.vet.dedup();
    judged.notices.sort_by_key(|one| one.name.animal);
    let earlier = before.done(&judged.met);
    Ok((judged, earlier))
}

/// Lesions of the cows in the chute, the most frequent first.
fn lesions(cows: &[CowLine], day: Day) -> Vec<LesionLine> {
    let mut lines: Vec<LesionLine> = Lesion::all()
        .filter_map(|lesion| {
            let with = |cow: &&CowLine| cow.cases.iter().any(|case| case.lesion == lesion);
            let cases =
                || cows.iter().flat_map(|cow| &cow.cases).filter(|case| case.lesion == lesion);
            let count = |digit| cases().filter(|case| case.grade_on(day) == digit).count();
            // A scale is one digit.
            let digits = (0..10).filter(|digit| lesion.grades.word(*digit).is_some());
            let grades = digits.map(|digit| (digit, count(digit)));
            let new = cases().filter(|case| case.found == day).count();
            (cases().count() > 0).then(|| LesionLine {
                lesion,
                cows: cows.iter().filter(with).count(),
                // One case a lesion and place.
                places: cases().count(),
                new,
                open: cases().count() - new,
                grades: grades.filter(|(_, count)| *count > 0).collect(),
            })
        })
        .collect();
    lines.sort_by_key(|line| std::cmp::Reverse((line.cows, line.places)));
    lines
}

/// The facts of a day.
struct Said {
    facts: Vec<Fact>,
    list: BTreeMap<AnimalId, ListedAnimal>,
}

impl Said {
    fn animals(&self) -> BTreeSet<AnimalId> {
        let stays = self.facts.iter().filter(|fact| matches!(fact.what, What::Stay { .. }));
        stays.filter_map(|fact| fact.animal).collect()
    }

    fn name(&self, animal: AnimalId) -> Name {
        Name { animal, name: self.list.get(&animal).and_then(|one| one.name.clone()) }
    }

    fn of(&self, animal: AnimalId) -> CowSaid {
        let hers = self.facts.iter().filter(|fact| fact.animal == Some(animal));
        CowSaid { name: self.name(animal), facts: hers.copied().collect() }
    }

    /// Lengths of claws.
    fn clips(&self) -> impl Iterator<Item = (&Fact, Clip)> {
        let hers = self.facts.iter().filter(|fact| fact.animal.is_some());
        hers.filter_map(|fact| match fact.what {
            What::Reading(clip) => Some((fact, clip)),
            _ => None,
        })
    }

    fn summary(&self, cows: &[CowLine]) -> Summary {
        let size = self.list.values().filter(|one| one.in_herd).count();
        let seen = |cow: &&CowLine| self.list.get(&cow.name.animal).is_some_and(|one| one.in_herd);
        let actions = || {
            self.facts.iter().filter_map(|fact| match fact.what {
                What::Action(done) if !fact.doubted => Some((fact.animal, done)),
                _ => None,
            })
        };
        let trimmed: BTreeSet<_> = actions()
            .filter(|(_, done)| done.action.code() == TRIMMED)
            .map(|(animal, done)| (animal, done.place))
            .collect();
        let mut classes = Classes::default();
        cows.iter().for_each(|cow| classes.add(cow.class));
        let gait = |(scale, _): &&(Scale, u8)| scale.lame_from.is_some();
        let lame = |score: &&(Scale, u8)| score.0.lame_from.is_some_and(|from| score.1 >= from);
        let estimated = |fact: &Fact| {
            matches!(fact.what, What::Stay { .. }) && fact.when.certainty == Certainty::Bounded
        };
        Summary {
            cows: cows.len(),
            classes,
            listed: (size > 0).then(|| (cows.iter().filter(seen).count(), size)),
            claws_trimmed: trimmed.len(),
            blocks: actions().filter(|(_, done)| done.action.kind == ActionKind::BlockOn).count(),
            scored: cows.iter().filter(|cow| cow.scores.iter().any(|one| gait(&one))).count(),
            lame: cows.iter().filter(|cow| cow.scores.iter().any(|one| lame(&one))).count(),
            times_estimated: self.facts.iter().any(estimated),
        }
    }

    fn handhelds(&self) -> Vec<DeviceId> {
        let spoken = self
            .facts
            .iter()
            .filter(|fact| fact.animal.is_some() && !matches!(fact.what, What::Stay { .. }));
        spoken.map(|fact| fact.key.0).collect::<BTreeSet<_>>().into_iter().collect()
    }

    /// What is derived from the lengths, cow by cow.
    fn derived(&self, repeats: &Repeats) -> OfVisit {
        let (mut lines, mut averages) = (Vec::new(), Averages::default());
        for animal in self.animals() {
            let hers = self.of(animal);
            let of_her = derived::of_facts(&hers.facts, repeats);
            averages.take(&of_her);
            lines.extend(of_her.into_iter().map(|line| (hers.name.clone(), line)));
        }
        OfVisit { lines, averages: averages.answer() }
    }

    fn lengths(&self) -> Vec<LengthLine> {
        let lines = Dimension::all().filter(|dimension| !dimension.is_gauge()).map(|dimension| {
            let of = |trimmed| {
                let here = self.clips().filter(|(_, clip)| clip.dimension == dimension);
                spread(
                    here.filter(|(_, clip)| clip.trimmed == trimmed).map(|(_, clip)| clip.length),
                )
            };
            LengthLine { dimension, before: of(false), after: of(true) }
        });
        lines.filter(|line| line.before.is_some() || line.after.is_some()).collect()
    }
}

/// The facts of one cow on one day.
pub(crate) struct CowSaid {
    pub(crate) name: Name,
    pub(crate) facts: Vec<Fact>,
}

impl CowSaid {
    fn clips(&self) -> impl DoubleEndedIterator<Item = (Place, Clip)> {
        self.facts.iter().filter_map(|fact| match fact.what {
            What::Reading(clip) => Some((fact.place, clip)),
            _ => None,
        })
    }

    fn findings(&self) -> impl Iterator<Item = Finding> {
        self.facts.iter().filter_map(|fact| match fact.what {
            What::Finding(finding) => Some(finding),
            _ => None,
        })
    }

    fn done(&self) -> impl Iterator<Item = Done> {
        self.facts.iter().filter_map(|fact| match fact.what {
            What::Action(done) => Some(done),
            _ => None,
        })
    }

    fn scores(&self) -> impl Iterator<Item = (Scale, u8)> {
        self.facts.iter().filter_map(|fact| match fact.what {
            What::Score { scale, value } => Some((scale, value)),
            _ => None,
        })
    }

    /// What was recorded of her.
    pub(crate) fn line(&self, class: Class, cases: Vec<Case>) -> CowLine {
        let places = self.findings().map(|one| one.place).chain(self.done().map(|one| one.place));
        let places: BTreeSet<_> =
            places.chain(self.clips().map(|one| one.0)).map(place_key).collect();
        let all = [Place::Cow].into_iter().chain((0..12).filter_map(|b| Place::try_from(b).ok()));
        let mut claws: Vec<Place> = all.filter(|p| places.contains(&place_key(*p))).collect();
        claws.sort_by_key(|place| place_key(*place));
        let mut only_trimmed = Vec::new();
        claws.retain(|place| match *place {
            Place::Claw(claw) if self.is_only_trimmed(*place) => {
                only_trimmed.push(claw);
                false
            }
            Place::Claw(_) | Place::Foot(_) | Place::Cow => true,
        });
        CowLine {
            name: self.name.clone(),
            class,
            cases,
            scores: self.scores().collect(),
            claws: claws.into_iter().map(|place| self.claw(place)).collect(),
            only_trimmed,
        }
    }

    /// Whether "trimmed to form" is all that was said of a place.
    fn is_only_trimmed(&self, place: Place) -> bool {
        !self.findings().any(|one| one.place == place)
            && !self.clips().any(|one| one.0 == place)
            && self.done().filter(|one| one.place == place).all(|one| one.action.code() == TRIMMED)
    }

    fn claw(&self, place: Place) -> ClawLine {
        let last = |dimension: u8, trimmed: Option<bool>| {
            let here = self.clips().rev().find(|(at, clip)| {
                *at == place
                    && clip.dimension.code() == dimension
                    && trimmed.is_none_or(|trimmed| clip.trimmed == trimmed)
            });
            here.map(|(_, clip)| clip.length)
        };
        ClawLine {
            place,
            found: self.findings().filter(|one| one.place == place).map(as_found).collect(),
            done: self.done().filter(|one| one.place == place).collect(),
            lesion_length: last(LESION_LENGTH, None),
            lesion_width: last(LESION_WIDTH, None),
            wall_before: last(DORSAL_WALL, Some(false)),
            wall_after: last(DORSAL_WALL, Some(true)),
        }
    }
}

fn as_found(finding: Finding) -> Found {
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
