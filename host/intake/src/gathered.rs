//! A herd's whole history as the rules over it want it, gathered from its facts.

use std::collections::BTreeMap;

use hornrule_facts::{AnimalId, Day, Fact, HerdId, Limits, ListedAnimal, What};
use hornrule_herd::{Fault, Kinds, Rows, Span};
use hornrule_protocol::codes::{ActionKind, Says};
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{DeviceId, LogId, Place, Seq};

use super::history::{Acted, Checks, History, Measure, Met, Units};

/// Dimensions of a claw that are compared with each other over time: wall, heel, width, length, toe.
const COMPARED: std::ops::RangeInclusive<u8> = 1..=5;

/// One handheld's log on one day.
type LogDay = (DeviceId, LogId, Day);

/// Everything that the rules look at.
#[derive(Default)]
pub(super) struct Gathered {
    met: Vec<Met>,
    units: BTreeMap<LogDay, Units>,
    checks: BTreeMap<LogDay, Checks>,
    acts: Vec<Acted>,
    measures: Vec<Measure>,
    first_findings: BTreeMap<(AnimalId, u8), i64>,
}

impl Gathered {
    /// Of a herd, all days.
    pub(super) fn of(rows: &Rows<'_>, herd: HerdId) -> Result<Self, Fault> {
        let mut all = Self::default();
        let kinds = Kinds::STAYS.and(Kinds::READINGS).and(Kinds::JUDGED);
        rows.each_fact(herd, Span::EVER, kinds, |fact| all.take(&fact))?;
        all.met.sort_by_key(|met| (met.device, met.log, met.seq));
        let key = |met: &Met| (met.device, met.log, met.seq);
        all.acts.sort_by_key(|act| (act.at_ms, key(&act.met)));
        all.measures.sort_by_key(|one| {
            let claw = (one.met.animal, one.place.foot(), one.place.side());
            (claw, one.dimension.code(), one.at_ms, key(&one.met))
        });
        Ok(all)
    }

    fn take(&mut self, fact: &Fact) {
        let (device, log, seq) = fact.key;
        let log_day = (device, log, fact.day);
        if let What::Reading(clip) = fact.what {
            let units = self.units.entry(log_day).or_insert_with(|| no_units(log_day));
            let (count, first) = match clip.unit {
                UnitMode::Millimetre => (&mut units.millimetre, &mut units.first_millimetre),
                UnitMode::Inch => (&mut units.inch, &mut units.first_inch),
            };
            earliest(count, first, seq);
        }
        let Some(animal) = fact.animal else { return };
        let met = Met { device, log, seq, day: fact.day, animal };
        match fact.what {
            What::Stay { .. } => self.met.push(met),
            What::Reading(clip) => {
                let checks = self.checks.entry(log_day).or_insert_with(|| no_checks(log_day));
                checks.readings += 1;
                checks.failed += u32::from(clip.gauge_ok == Some(false));
                if clip.gauge_ok != Some(true) {
                    earliest(&mut checks.unchecked, &mut checks.first_unchecked, seq);
                }
                if matches!(fact.place, Place::Claw(_)) && COMPARED.contains(&clip.dimension.code())
                {
                    self.measures.push(Measure {
                        met,
                        presence: fact.stay.unwrap_or(Seq::NONE),
                        place: fact.place,
                        at_ms: fact.when.at_ms,
                        dimension: clip.dimension,
                        length: clip.length,
                        trimmed: clip.trimmed,
                    });
                }
            }
            What::Finding(finding) => {
                if let Some(foot) =
                    fact.place.foot().filter(|_| finding.lesion.says == Says::Lesion)
                {
                    let first = self.first_findings.entry((animal, foot.number()));
                    let first = first.or_insert(fact.when.at_ms);
                    *first = fact.when.at_ms.min(*first);
                }
            }
            What::Action(done) => {
                let of_block_or_healing = matches!(
                    done.action.kind,
                    ActionKind::BlockOn | ActionKind::BlockSeen | ActionKind::Healing
                );
                if of_block_or_healing && fact.place.foot().is_some() {
                    let (place, at_ms, action) = (fact.place, fact.when.at_ms, done.action);
                    self.acts.push(Acted { met, place, at_ms, action });
                }
            }
            What::Score { .. } => {}
        }
    }

    /// Asks something of it.
    pub(super) fn with<T>(
        self,
        limits: Limits,
        list: &[ListedAnimal],
        ask: impl FnOnce(&History<'_>) -> T,
    ) -> T {
        let (units, checks): (Vec<_>, Vec<_>) =
            (self.units.into_values().collect(), self.checks.into_values().collect());
        ask(&History {
            limits,
            list,
            met: &self.met,
            units: &units,
            checks: &checks,
            acts: &self.acts,
            measures: &self.measures,
            first_findings: &self.first_findings,
        })
    }
}

/// One more, and the number of the first.
fn earliest(count: &mut u32, first: &mut Seq, seq: Seq) {
    *first = if *count == 0 { seq } else { seq.min(*first) };
    *count += 1;
}

const fn no_units((device, log, day): LogDay) -> Units {
    let none = Seq::NONE;
    Units { device, log, day, millimetre: 0, inch: 0, first_millimetre: none, first_inch: none }
}

const fn no_checks((device, log, day): LogDay) -> Checks {
    let none = Seq::NONE;
    Checks { device, log, day, readings: 0, unchecked: 0, failed: 0, first_unchecked: none }
}
