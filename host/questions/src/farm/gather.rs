//! Gathers a farm over time.

use hornrule_facts::{Day, HerdId};
use hornrule_herd::{Database, DatabaseError, Fault, Kinds, Rows, Span};
use hornrule_protocol::Lesion;

use super::mind::mind;
use super::tally::Counting;
use super::{FarmTrend, Month};
use crate::books::Books;
use crate::derived::{self, Averages};
use crate::evidence::{Bands, Blocks, BlocksSeen, CasesSeen};
use crate::visit::Name;
use crate::visit::due::Due;

impl FarmTrend {
    /// Gathers a farm over a period. `None` where there is no such herd.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(
        database: &Database,
        of: HerdId,
        period: Span,
    ) -> Result<Option<Self>, DatabaseError> {
        database.read(|rows| gather(rows, of, period))
    }
}

/// A month while it is counted.
struct Counted {
    first: Day,
    month: Counting,
    so_far: Counting,
}

fn gather(rows: &Rows<'_>, of: HerdId, period: Span) -> Result<Option<FarmTrend>, Fault> {
    let Some(farm) = rows.herds()?.into_iter().find(|one| one.herd == of) else {
        return Ok(None);
    };
    let list = rows.animals(of)?;
    let visits: Vec<Day> = rows
        .visit_days()?
        .into_iter()
        .filter(|(herd, day, _)| *herd == of && *day <= period.through)
        .map(|(_, day, _)| day)
        .collect();
    let mut whole = Counting::of(period);
    let mut months: Vec<Counted> = months(&visits, period)
        .into_iter()
        .map(|(first, span)| {
            let so_far = Span { from: period.from, through: span.through };
            Counted { first, month: Counting::of(span), so_far: Counting::of(so_far) }
        })
        .collect();
    let (mut cases, mut blocks) = (CasesSeen::default(), BlocksSeen::default());
    let mut averages = Averages::default();
    let as_of = visits.iter().copied().filter(|day| period.has(*day)).max();
    let mut left_on: Vec<Due> = Vec::new();
    let books = Books::of(rows, of, period.through)?;
    rows.each_cow(of, Span::through(period.through), Kinds::ALL, |animal, facts| {
        let book = books.fold(animal, facts);
        let hers = list.iter().find(|one| one.animal == animal);
        let listed = hers.is_some_and(|one| one.in_herd);
        if let Some(day) = as_of {
            let needs = books.needs(animal, &book);
            let name = Name { animal, name: hers.and_then(|one| one.name.clone()) };
            let harmful = needs.iter().filter(|need| need.harm(day).is_some());
            left_on.extend(harmful.map(|need| Due::of(name.clone(), need)));
        }
        whole.take(facts, &book, listed);
        for one in &mut months {
            one.month.take(facts, &book, listed);
            one.so_far.take(facts, &book, listed);
        }
        cases.take(&book, period);
        blocks.take(&book, period);
        let lines = derived::values_of(facts);
        averages.take(lines.iter().filter(|line| period.has(line.day)));
    })?;
    left_on.sort_by_key(|due| (due.window.last, due.name.animal, due.place));
    let lesions = by_frequency(&whole);
    let whole = whole.tally(&lesions, &list);
    let months: Vec<Month> = months
        .into_iter()
        .map(|one| Month {
            first: one.first,
            tally: one.month.tally(&lesions, &list),
            so_far: one.so_far.tally(&[], &list).herd,
        })
        .collect();
    Ok(Some(FarmTrend {
        farm: farm.name,
        settings: farm.settings,
        period,
        first_visit: visits.iter().copied().min(),
        mind: mind(&whole, &months),
        whole,
        months,
        lesions,
        healing: cases.answer(Bands::Left),
        blocks: blocks.answer(Blocks::DIFFERENCE, Bands::Left),
        derived: averages.answer(),
        left_on,
        as_of,
    }))
}

/// Lesions with a case in the period, the most cases first.
fn by_frequency(whole: &Counting) -> Vec<Lesion> {
    let mut counts: Vec<(Lesion, u64)> = whole
        .by_lesion()
        .filter_map(|(code, cases)| Some((Lesion::from_code(code)?, cases)))
        .collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts.into_iter().map(|(lesion, _)| lesion).collect()
}

/// The months from the period's first visit to its last, each with its days in the period.
fn months(visits: &[Day], period: Span) -> Vec<(Day, Span)> {
    let days = || visits.iter().copied().filter(|day| period.has(*day));
    let (Some(first), Some(last)) = (days().min(), days().max()) else { return Vec::new() };
    let (mut spans, mut at) = (Vec::new(), first_of_month(first));
    while at <= last {
        let next = first_of_month(at.plus(31));
        let span = Span { from: at.max(period.from), through: Day(next.0 - 1).min(period.through) };
        spans.push((at, span));
        at = next;
    }
    spans
}

/// The first day of a day's month.
fn first_of_month(day: Day) -> Day {
    Day(day.0 - i32::from(day.date().day()) + 1)
}
