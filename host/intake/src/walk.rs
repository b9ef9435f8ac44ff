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

use hornrule_facts::What;
use hornrule_protocol::record::{Entry, Record};
use hornrule_protocol::{Claw, Place, Seq, codes};

use super::chute::{Chute, Cow, is_gauge};
use super::clock::{self, Placed, Standing};
use super::decision::Ruling;
use super::office::{At, Office, Whose};
use super::row::{Row, row};
use super::rules::{Begun, Check, Moment, RULES, Rule, Seen};
use super::stretch::{Stretch, Voids};
use hornrule_facts::codes::TRIMMED;
use hornrule_facts::observation::{Clip, Observation, Presence, When};
use hornrule_facts::remark::{Level, Remark, Severity};
use hornrule_facts::{AnimalId, Day, HerdId};
use hornrule_herd::{PlanLoad, Whereabouts};

/// What a stretch becomes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Decided {
    /// Where work on a farm starts.
    pub visits: Vec<Whereabouts>,
    /// Where a plan was loaded.
    pub loads: Vec<PlanLoad>,
    /// Cows in the chute.
    pub presences: Vec<Presence>,
    /// Where somebody washed and changed gloves and knives, and when, UTC milliseconds.
    pub washes: Vec<(Seq, i64)>,
    /// What was said of them.
    pub observations: Vec<Observation>,
    /// What the rules have to say.
    pub remarks: Vec<Remark>,
    /// How many records opened.
    pub opened: u32,
    /// How many were taken back.
    pub voided: u32,
    /// How many were discarded by a person.
    pub discarded: u32,
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
        chute: Chute::at(stretch.at),
        decided: Decided::default(),
        last_day: None,
        boot_from: 0,
        told_old: None,
    };
    for ((_, range), placed) in stretch.boots().into_iter().zip(&placed) {
        let voids = Voids::of(&stretch.records[range.clone()], &stretch.rulings);
        walk.boot_from = walk.decided.presences.len();
        let restarted = walk.chute.restart();
        walk.leave(restarted);
        (walk.last_day, walk.told_old) = (None, None);
        for index in range.clone() {
            let starts = (index == range.start).then_some(placed);
            walk.record(index, starts, &placed.standing, &voids);
        }
    }
    let last = walk.chute.enter(Cow::Nobody);
    walk.leave(last);
    walk.decided
}

/// About the trimmer and the tools.
fn is_washing(entry: &Entry) -> bool {
    matches!(entry, Entry::Action(done) if done.action.about == codes::About::Tools)
}

struct Walk<'a> {
    stretch: &'a Stretch,
    office: &'a Office,
    chute: Chute,
    decided: Decided,
    last_day: Option<Day>,
    /// The first stay of this boot among those decided.
    boot_from: usize,
    /// The day on which it was last said in this boot that the plan is of another one.
    told_old: Option<Day>,
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
            cut: voids.short.get(seq).map(|there| self.stretch.cut(index, *there)),
            starts,
        };
        let when = opened.as_ref().ok().and_then(|record| standing.when(record.uptime));
        let ruling = self.stretch.rulings.get(seq);
        let put = ruling.and_then(|ruling| ruling.herd);
        let whose = put.map_or_else(|| self.office.whose(self.chute.at), Whose::Herd);
        let day = when.and_then(|when| Day::of(when.at_ms, &self.office.zone(whose.herd())));
        // A record that does not open has no time of its own: the day of the one before is near.
        self.last_day = day.or(self.last_day);
        self.arrive(&seen, whose, ruling);
        let discarded = ruling.is_some_and(|ruling| ruling.discarded);
        self.decided.discarded += u32::from(discarded);
        let Ok(record) = opened else {
            self.decided.held += u32::from(!discarded);
            return;
        };
        self.decided.opened += 1;
        if discarded || voids.voided.contains(seq) {
            self.decided.voided += u32::from(!discarded);
            // The cow before has left all the same; who is here was taken back.
            if matches!(record.entry, Entry::Animal(_)) {
                let left = self.chute.enter(Cow::Nobody);
                self.leave(left);
            }
            return;
        }
        if is_washing(&record.entry) {
            // No cow's, and no part of her stay. Without a time it stands between no farms.
            self.decided.washes.extend(when.map(|when| (*seq, when.at_ms)));
            return;
        }
        if let Some(when) = when {
            self.chute.stays_until(when.at_ms);
        }
        match ruling {
            None => self.entry(*seq, record, when, &Ruling::default()),
            Some(ruling) => {
                let record = Record { entry: ruling.entry(record.entry), ..*record };
                self.entry(*seq, &record, when, ruling);
            }
        }
    }

    /// Record rules, and what damage and gaps do to the cow.
    fn arrive(&mut self, seen: &Seen<'_>, whose: Whose, ruling: Option<&Ruling>) {
        let animal = seen.cut.and_then(|_| self.chute.cow.animal());
        let about = About { herd: whose.herd(), day: self.last_day, animal, ..About::default() };
        for rule in RULES {
            if let Check::Record(check) = rule.check
                && let Some(sentence) = check(seen)
                && !ruling.is_some_and(|ruling| ruling.settles(rule.severity))
            {
                self.remark(rule, seen.seq, about, sentence);
            }
        }
        if let Some(ruling) = ruling {
            let zone = self.office.zone(whose.herd());
            let given = ruling.animal;
            let given = given.map(|cow| self.office.known_as(whose.herd(), cow, self.last_day));
            let animal = given.or(self.chute.cow.animal());
            let farm = ruling.herd.map_or("", |herd| self.office.name(herd));
            let sentence = ruling.sentence(seen.seq, &zone, farm);
            let about = About { animal, ..about };
            self.say((ruling.word(), Severity::Settled), seen.seq, about, sentence);
        }
        let refused =
            matches!(seen.opened, Ok(record) if matches!(record.entry, Entry::Gap { .. }));
        if seen.missing.is_some() || seen.opened.is_err() || refused {
            let left = self.chute.enter(Cow::Uncertain);
            self.leave(left);
        }
    }

    /// The table: what each entry does to the chute.
    fn entry(&mut self, seq: Seq, record: &Record, when: Option<When>, ruling: &Ruling) {
        match &record.entry {
            Entry::Started(_) => {
                let left = self.chute.restart();
                self.leave(left);
            }
            Entry::Clock { .. }
            | Entry::Gap { .. }
            | Entry::Void { .. }
            | Entry::CalliperFault(_)
            // Its parts are records of their own.
            | Entry::Bundle { .. } => {}
            Entry::PlanLoaded { plan, .. } => self.load(seq, *plan),
            Entry::Visit { farm } => self.visit(seq, Some(*farm), when, ruling),
            Entry::Animal(number) => {
                if ruling.herd.is_some() {
                    self.visit(seq, None, when, ruling);
                } else if self.chute.at.unkeyed {
                    self.begun(seq, None, when, ruling);
                }
                let herd = self.office.whose(self.chute.at).herd();
                let zone = self.office.zone(herd);
                let day = when.and_then(|when| Day::of(when.at_ms, &zone));
                let cow = match self.office.animal(herd, *number, day) {
                    Some(animal) => Cow::Known(animal, seq),
                    None => Cow::NoAnimal,
                };
                let left = self.chute.enter(cow);
                self.leave(left);
                self.said(seq, record, when, ruling);
            }
            Entry::AnimalLeft => {
                let left = self.chute.enter(Cow::Nobody);
                self.leave(left);
            }
            Entry::Reading(_) | Entry::Finding(_) | Entry::Action(_) | Entry::Score { .. } => {
                self.said(seq, record, when, ruling);
            }
        }
    }

    /// A plan is in the handheld.
    fn load(&mut self, seq: Seq, name: u32) {
        let before = self.chute.at;
        self.chute.at = self.office.load(before, name);
        let At { key, herd, .. } = self.chute.at;
        if herd != before.herd {
            let left = self.chute.enter(Cow::Nobody);
            self.leave(left);
        }
        self.decided.loads.push((Whereabouts { seq, key, herd }, name));
    }

    /// Work starts at a farm: the one keyed, or the one that a person has named.
    fn visit(&mut self, seq: Seq, key: Option<u8>, when: Option<When>, ruling: &Ruling) {
        let left = self.chute.enter(Cow::Nobody);
        self.leave(left);
        let at = self.chute.at;
        self.chute.at = match (ruling.herd, key) {
            (Some(herd), _) => At { key, herd: Some(herd), unkeyed: false, ..at },
            (None, Some(key)) => self.office.visit(at, key, when.map(|when| when.at_ms)),
            (None, None) => at,
        };
        let At { key, herd, .. } = self.chute.at;
        self.decided.visits.push(Whereabouts { seq, key, herd });
        if ruling.herd.is_none() {
            self.begun(seq, key, when, ruling);
        }
    }

    /// What there is to say of a visit whose farm the plan says; of those that nobody keyed, once a
    /// day.
    fn begun(&mut self, seq: Seq, key: Option<u8>, when: Option<When>, ruling: &Ruling) {
        let at = self.chute.at;
        let (Some(plan), Some(herd)) = (self.office.plan(at), at.herd) else { return };
        let day = when.and_then(|when| Day::of(when.at_ms, &self.office.zone(Some(herd))));
        if key.is_none() && day.is_some() && std::mem::replace(&mut self.told_old, day) == day {
            return;
        }
        let begun = Begun { seq, key, farm: self.office.name(herd), plan: plan.day, day };
        let about = About { herd: Some(herd), day: day.or(self.last_day), ..About::default() };
        for rule in RULES {
            if let Check::Visit(check) = rule.check
                && let Some(sentence) = check(&begun)
                && !ruling.settles(rule.severity)
            {
                self.remark(rule, seq, about, sentence);
            }
        }
    }

    /// Moment rules; then a row, or none.
    fn said(&mut self, seq: Seq, record: &Record, when: Option<When>, ruling: &Ruling) {
        let whose = self.office.whose(self.chute.at);
        let day = when.and_then(|when| Day::of(when.at_ms, &self.office.zone(whose.herd())));
        if let Entry::Reading(reading) = &record.entry
            && is_gauge(&record.entry)
        {
            self.chute.gauge(day, self.office.gauge_passes(reading.length));
        }
        let given = ruling.animal.map(|cow| self.office.known_as(whose.herd(), cow, day));
        let cow = self.cow(seq, given);
        let moved = cow != self.chute.cow;
        let clip = match &record.entry {
            Entry::Reading(reading) => {
                let clip = self.chute.clip(reading, day);
                let trimmed =
                    if moved { self.was_trimmed(cow, reading.place) } else { clip.trimmed };
                Some(Clip { trimmed, ..clip })
            }
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
            cow,
            clip,
            // What was keyed about the cow in the chute is not about another.
            before: if moved { &[] } else { &self.chute.said },
            elsewhere,
            limits: &self.office.limits,
        };
        let fired: Vec<(&Rule, String)> = RULES
            .iter()
            .filter_map(|rule| match rule.check {
                Check::Moment(check) => Some((rule, check(&moment)?)),
                Check::Record(_) | Check::Visit(_) | Check::History(_) => None,
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
            Some(standing) if ruling.accepted || !held => {
                self.stand(record, standing, moved);
                if ruling.accepted {
                    return;
                }
            }
            _ => self.decided.held += 1,
        }
        for (rule, sentence) in fired {
            if !held || rule.severity == Severity::Held {
                self.remark(rule, seq, about, sentence);
            }
        }
    }

    /// The cow in the chute, or the one to whom a person has given the record: in her stay of this
    /// boot, or else in a stay of her own that begins with this record.
    fn cow(&self, seq: Seq, given: Option<AnimalId>) -> Cow {
        let Some(animal) = given else { return self.chute.cow };
        if self.chute.cow.animal() == Some(animal) {
            return self.chute.cow;
        }
        let stays = &self.decided.presences[self.boot_from..];
        let hers = stays.iter().rev().find(|presence| presence.animal == animal);
        Cow::Known(animal, hers.map_or(seq, |presence| presence.spot.seq))
    }

    fn was_trimmed(&self, cow: Cow, place: Place) -> bool {
        let Cow::Known(_, named) = cow else { return false };
        self.decided.observations.iter().rev().any(|one| {
            let trimmed = matches!(one.what, What::Action(done) if done.action.code() == TRIMMED);
            let here = match place {
                Place::Claw(claw) => one.place.covers(claw),
                Place::Cow | Place::Foot(_) => one.place == place,
            };
            trimmed && one.presence == Some(named) && here
        })
    }

    fn stand(&mut self, record: &Record, row: Row, moved: bool) {
        match row {
            Row::Presence(presence) => self.chute.stay = Some(presence),
            Row::Observation(observation) if moved => {
                if let (Some(animal), Some(named)) = (observation.animal, observation.presence)
                    && named == observation.spot.seq
                {
                    let (spot, until_ms) = (observation.spot, observation.spot.when.at_ms);
                    self.decided.presences.push(Presence { spot, animal, until_ms });
                }
                self.decided.observations.push(observation);
            }
            Row::Observation(observation) => {
                if let What::Action(done) = observation.what
                    && done.action.code() == TRIMMED
                {
                    let trimmed = Claw::all().filter(|claw| observation.place.covers(*claw));
                    trimmed.for_each(|claw| self.chute.trim(claw));
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
        self.say((rule.id, rule.severity), seq, about, sentence);
    }

    fn say(
        &mut self,
        (rule, severity): (&'static str, Severity),
        seq: Seq,
        about: About,
        sentence: String,
    ) {
        self.decided.remarks.push(Remark {
            rule,
            severity,
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
