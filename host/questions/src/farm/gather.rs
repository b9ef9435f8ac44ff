//! Gathers a farm's rows over time.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::Lesion;

use super::cases::{Case, cases};
use super::mind::mind;
use super::tally::{Material, Tally};
use super::{FarmTrend, Month, Period};
use crate::due::cow::Told;
use crate::evidence::{Bands, Blocks, Healing};
use hornrule_facts::{Day, HerdId, Herd};
use hornrule_herd::{Fault, Database, DatabaseError, Rows, Said};

/// Before anybody trimmed with a handheld.
const EVER: Day = Day(i32::MIN);

impl FarmTrend {
    /// Gathers a farm over a period. `None` where there is no such herd.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(herd: &Database, of: HerdId, period: Period) -> Result<Option<Self>, DatabaseError> {
        herd.read(|rows| gather(rows, of, period))
    }

    pub(super) fn of(farm: Herd, all: &Material, said: &[Said], period: Period) -> Self {
        let cases = cases(&all.said);
        let lesions = by_frequency(&cases, period);
        let whole = Tally::of(all, &cases, &lesions, period);
        let months: Vec<Month> = spans(all, period)
            .into_iter()
            .map(|(first, span)| {
                let until = Period { from: period.from, through: span.through };
                Month {
                    first,
                    tally: Tally::of(all, &cases, &lesions, span),
                    so_far: Tally::of(all, &[], &[], until).herd,
                }
            })
            .collect();
        Self {
            farm: farm.name,
            settings: farm.settings,
            period,
            first_visit: all.stays.iter().map(|(day, _)| *day).min(),
            mind: mind(&whole, &months),
            whole,
            months,
            lesions,
            healing: Healing::of(said, Bands::Left),
            blocks: Blocks::of(said, Blocks::DIFFERENCE, Bands::Left),
        }
    }
}

fn gather(rows: &Rows<'_>, of: HerdId, period: Period) -> Result<Option<FarmTrend>, Fault> {
    let Some(farm) = rows.herds()?.into_iter().find(|one| one.herd == of) else {
        return Ok(None);
    };
    let days = (EVER, period.through);
    let (mut told, mut finders) = (Vec::new(), BTreeSet::new());
    for one in rows.export_findings(of, days)? {
        finders.insert((one.day, one.key.0));
        told.extend(
            one.animal.map(|cow| (one.when.at_ms, one.key, one.day, cow, Told::Found(one.what))),
        );
    }
    for one in rows.export_actions(of, days)? {
        told.extend(
            one.animal.map(|cow| (one.when.at_ms, one.key, one.day, cow, Told::Did(one.what))),
        );
    }
    told.sort_by_key(|(at_ms, key, ..)| (*at_ms, *key));
    let stays = rows.export_stays(of, days)?;
    let scores = rows.export_scores(of, days)?;
    let all = Material {
        list: rows.animals(of)?,
        stays: stays.iter().filter_map(|one| Some((one.day, one.animal?))).collect(),
        said: told.into_iter().map(|(_, _, day, cow, told)| (day, cow, told)).collect(),
        finders,
        scores: scores.iter().filter_map(|one| Some((one.day, one.animal?, one.what))).collect(),
    };
    let mut said = rows.everything_said(of)?;
    said.retain(|one| period.from <= one.day && one.day <= period.through);
    Ok(Some(FarmTrend::of(farm, &all, &said, period)))
}

/// Lesions with a case in the period, the most cases first.
fn by_frequency(cases: &[Case], period: Period) -> Vec<Lesion> {
    let mut counts: BTreeMap<u8, (Lesion, usize)> = BTreeMap::new();
    for case in cases.iter().filter(|one| period.from <= one.day && one.day <= period.through) {
        counts.entry(case.lesion.code()).or_insert((case.lesion, 0)).1 += 1;
    }
    let mut counts: Vec<(Lesion, usize)> = counts.into_values().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts.into_iter().map(|(lesion, _)| lesion).collect()
}

/// The months from the period's first visit to its last, each with its days in the period.
fn spans(all: &Material, period: Period) -> Vec<(Day, Period)> {
    let days = || {
        let days = all.stays.iter().map(|(day, _)| *day);
        days.filter(|day| period.from <= *day && *day <= period.through)
    };
    let (Some(first), Some(last)) = (days().min(), days().max()) else { return Vec::new() };
    let (mut spans, mut at) = (Vec::new(), first_of_month(first));
    while at <= last {
        let next = first_of_month(at.plus(31));
        let span =
            Period { from: at.max(period.from), through: Day(next.0 - 1).min(period.through) };
        spans.push((at, span));
        at = next;
    }
    spans
}

/// The first day of a day's month.
pub(super) fn first_of_month(day: Day) -> Day {
    Day(day.0 - i32::from(day.date().day()) + 1)
}
