//! Walks a stretch of a log in order and decides what each record becomes.
//!
//! ```text
//! Stretch --by boot--> record --RULES(Record)--> remarks
//!                        |  damage, missing numbers: the cow is uncertain until the next one
//!                        |  voided: as if not said
//!                        v
//!                      Moment --RULES(Moment)--> held: a remark and no row
//!                        |                       flagged: a row and a remark
//!                        v
//!            visits, presences, observations
//! ```
//!
//! Pure: the same stretch and the same office give the same answer (promise P6).

use hornrule_protocol::record::{Entry, Record};
use hornrule_protocol::{Place, Seq};

use super::chute::{Chute, Cow, is_gauge};
use super::clock::{self, Placed, Standing};
use super::observation::{Observation, Presence, Said, Spot, When};
use super::office::{Office, Whose};
use super::remark::{Level, Remark, Severity};
use super::rules::{Check, Moment, RULES, Rule, Seen};
use super::stretch::{Stretch, Voids};
use crate::herd::{AnimalId, Day, HerdId};

/// Action number of "trimmed to form".
const TRIMMED: u8 = 30;

/// What a stretch becomes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Decided {
    /// Where work on a farm starts.
    pub visits: Vec<(Seq, u8)>,
    /// Cows in the chute.
    pub presences: Vec<Presence>,
    /// What was said of them.
    pub observations: Vec<Observation>,
    /// What the rules have to say.
    pub remarks: Vec<Remark>,
    /// How many records opened.
    pub opened: u32,
    /// How many were taken back.
    pub voided: u32,
    /// How many are held.
    pub held: u32,
}

/// Decides.
#[must_use]
pub fn decide(stretch: &Stretch, office: &Office) -> Decided {
    let placed = clock::place(stretch.prior.as_ref(), &stretch.spans());
    let mut walk = Walk {
        stretch,
        office,
        chute: Chute::at(stretch.farm),
        decided: Decided::default(),
        last_day: None,
    };
    for ((_, range), placed) in stretch.boots().into_iter().zip(&placed) {
        let voids = Voids::of(&stretch.records[range.clone()]);
        let restarted = walk.chute.restart();
        walk.leave(restarted);
        walk.last_day = None;
        for index in range.clone() {
            let starts = (index == range.start).then_some(placed);
            walk.record(index, starts, &placed.standing, &voids);
        }
    }
    let last = walk.chute.enter(Cow::Nobody);
    walk.leave(last);
    walk.decided
}

struct Walk<'a> {
    stretch: &'a Stretch,
    office: &'a Office,
    chute: Chute,
    decided: Decided,
    last_day: Option<Day>,
}

/// What a remark is about, where it is known.
#[derive(Clone, Copy, Default)]
struct About {
    herd: Option<HerdId>,
    day: Option<Day>,
    animal: Option<AnimalId>,
    place: Option<Place>,
}

impl Walk<'_> {
    fn record(
        &mut self,
        index: usize,
        starts: Option<&Placed>,
        standing: &Standing,
        voids: &Voids,
    ) {
        let (seq, opened) = &self.stretch.records[index];
        let seen = Seen {
            seq: *seq,
            opened,
            missing: self.stretch.missing_before(index),
            missed_void: voids.missed.contains(seq),
            starts,
        };
        let when = opened.as_ref().ok().and_then(|record| standing.when(record.uptime));
        let whose = self.office.whose(self.chute.farm);
        let day = when.and_then(|when| Day::of(when.at_ms, &self.office.zone(whose.herd())));
        // A record that does not open has no time of its own: the day of the one before is near.
        self.last_day = day.or(self.last_day);
        self.arrive(&seen, whose);
        let Ok(record) = opened else {
            self.decided.held += 1;
            return;
        };
        self.decided.opened += 1;
        if voids.voided.contains(seq) {
            self.decided.voided += 1;
            // The cow before has left all the same; who is here was taken back.
            if matches!(record.entry, Entry::Animal(_)) {
                let left = self.chute.enter(Cow::Nobody);
                self.leave(left);
            }
            return;
        }
        if let Some(when) = when {
            self.chute.stays_until(when.at_ms);
        }
        self.entry(*seq, record, when);
    }

    /// Record rules, and what damage and gaps do to the cow.
    fn arrive(&mut self, seen: &Seen<'_>, whose: Whose) {
        let about = About { herd: whose.herd(), day: self.last_day, ..About::default() };
        for rule in RULES {
            if let Check::Record(check) = rule.check
                && let Some(sentence) = check(seen)
            {
                self.remark(rule, seen.seq, about, sentence);
            }
        }
        let refused =
            matches!(seen.opened, Ok(record) if matches!(record.entry, Entry::Gap { .. }));
        if seen.missing.is_some() || seen.opened.is_err() || refused {
            let left = self.chute.enter(Cow::Uncertain);
            self.leave(left);
        }
    }

    /// The table: what each entry does to the chute.
    fn entry(&mut self, seq: Seq, record: &Record, when: Option<When>) {
        match &record.entry {
            Entry::Started(_) => {
                let left = self.chute.restart();
                self.leave(left);
            }
            Entry::Clock { .. }
            | Entry::Gap { .. }
            | Entry::Void { .. }
            | Entry::CalliperFault(_)
            | Entry::PlanLoaded { .. } => {}
            Entry::Visit { farm } => {
                let left = self.chute.enter(Cow::Nobody);
                self.leave(left);
                self.chute.farm = Some(*farm);
                self.decided.visits.push((seq, *farm));
            }
            Entry::Animal(number) => {
                let herd = self.office.whose(self.chute.farm).herd();
                let cow = match self.office.animal(herd, *number) {
                    Some(animal) => Cow::Known(animal, seq),
                    None => Cow::NoAnimal,
                };
                let left = self.chute.enter(cow);
                self.leave(left);
                self.said(seq, record, when);
            }
            Entry::AnimalLeft => {
                let left = self.chute.enter(Cow::Nobody);
                self.leave(left);
            }
            Entry::Reading(_) | Entry::Finding(_) | Entry::Action(_) | Entry::Score { .. } => {
                self.said(seq, record, when);
            }
        }
    }

    /// Moment rules; then a row, or none.
    fn said(&mut self, seq: Seq, record: &Record, when: Option<When>) {
        let whose = self.office.whose(self.chute.farm);
        let day = when.and_then(|when| Day::of(when.at_ms, &self.office.zone(whose.herd())));
        if let Entry::Reading(reading) = &record.entry
            && is_gauge(&record.entry)
        {
            self.chute.gauge(day, self.office.gauge_passes(reading.length));
        }
        let clip = match &record.entry {
            Entry::Reading(reading) => Some(self.chute.clip(reading, day)),
            _ => None,
        };
        let elsewhere = match (&record.entry, whose.herd(), self.chute.cow.animal()) {
            (Entry::Animal(_), Some(herd), Some(animal)) => self.office.elsewhere(herd, animal),
            _ => None,
        };
        let moment = Moment {
            seq,
            boot: record.boot,
            uptime: record.uptime,
            entry: &record.entry,
            whose,
            when,
            day,
            days: when.and_then(|when| self.days(when, whose)),
            cow: self.chute.cow,
            clip,
            before: &self.chute.said,
            elsewhere,
            limits: &self.office.limits,
        };
        let fired: Vec<(&Rule, String)> = RULES
            .iter()
            .filter_map(|rule| match rule.check {
                Check::Moment(check) => Some((rule, check(&moment)?)),
                Check::Record(_) | Check::History(_) => None,
            })
            .collect();
        let about = About {
            herd: whose.herd(),
            day: day.or(self.last_day),
            animal: moment.cow.animal(),
            place: Some(moment.place()),
        };
        let standing = row(&moment);
        let held = fired.iter().any(|(rule, _)| rule.severity == Severity::Held);
        match standing {
            Some(standing) if !held => self.stand(record, standing),
            _ => self.decided.held += 1,
        }
        for (rule, sentence) in fired {
            if !held || rule.severity == Severity::Held {
                self.remark(rule, seq, about, sentence);
            }
        }
    }

    fn stand(&mut self, record: &Record, row: Row) {
        match row {
            Row::Presence(presence) => self.chute.stay = Some(presence),
            Row::Observation(observation) => {
                if let (Said::Action(done), Place::Claw(claw)) =
                    (observation.said, observation.place)
                    && done.action.code() == TRIMMED
                {
                    self.chute.trim(claw);
                }
                if observation.animal.is_some() {
                    self.chute.said.push((record.uptime, observation));
                }
                self.decided.observations.push(observation);
            }
        }
    }

    /// The first and the last day on which a moment can have been.
    fn days(&self, when: When, whose: Whose) -> Option<(Day, Day)> {
        let open = when.uncertainty_ms?;
        let zone = self.office.zone(whose.herd());
        let first = Day::of(when.at_ms.saturating_sub(open), &zone)?;
        Some((first, Day::of(when.at_ms.saturating_add(open), &zone)?))
    }

    fn leave(&mut self, stay: Option<Presence>) {
        self.decided.presences.extend(stay);
    }

    fn remark(&mut self, rule: &Rule, seq: Seq, about: About, sentence: String) {
        self.decided.remarks.push(Remark {
            rule: rule.id,
            severity: rule.severity,
            level: Level::Log,
            herd: about.herd,
            device: self.stretch.device,
            log: self.stretch.log,
            seq,
            day: about.day,
            animal: about.animal,
            place: about.place.unwrap_or(Place::Cow),
            sentence,
        });
    }
}

/// A row of the herd tables.
enum Row {
    Presence(Presence),
    Observation(Observation),
}

/// The row of a moment; `None` where something it needs is missing, which a held rule has said.
fn row(moment: &Moment<'_>) -> Option<Row> {
    let when = moment.when?;
    let spot = Spot {
        herd: moment.whose.herd()?,
        seq: moment.seq,
        boot: moment.boot,
        when,
        day: moment.day?,
    };
    let said = match moment.entry {
        Entry::Animal(_) => {
            let animal = moment.cow.animal()?;
            return Some(Row::Presence(Presence { spot, animal, until_ms: when.at_ms }));
        }
        Entry::Reading(_) => Said::Reading(moment.clip?),
        Entry::Finding(finding) => Said::Finding(*finding),
        Entry::Action(done) => Said::Action(*done),
        Entry::Score { scale, value } => Said::Score { scale: *scale, value: *value },
        _ => return None,
    };
    let (animal, presence) = match moment.cow {
        // A gauge block is nobody's claw.
        _ if is_gauge(moment.entry) => (None, None),
        Cow::Known(animal, named) => (Some(animal), Some(named)),
        Cow::Nobody | Cow::Uncertain | Cow::NoAnimal => return None,
    };
    let place = if is_gauge(moment.entry) { Place::Cow } else { moment.place() };
    Some(Row::Observation(Observation { spot, animal, presence, place, said }))
}
