//! `hornrule report farm`: a farm over time.

use clap::Args;
use jiff::civil::Date;

use super::herd::chosen;
use super::paper::PaperOptions;
use super::{Desk, Failure};
use hornrule_facts::Day;
use hornrule_herd::Span;
use hornrule_papers::farm;
use hornrule_questions::farm::FarmTrend;
use hornrule_questions::farm::year_through;
use hornrule_questions::visit::list_visits;

/// Months that a period may have: more rows than anybody reads.
const MOST_MONTHS: i32 = 120;

/// Show a farm over time: lesions, healing, blocks and gait, month by month
///
/// Without days, it covers the twelve calendar months up to the latest visit.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule report farm --herd \"Alder Brook\"\n  \
                  hornrule report farm --herd \"Alder Brook\" --from 2025-04-01 \
                  --to 2025-09-30 --pdf farm.pdf")]
pub(super) struct FarmOptions {
    /// Farm's name; needed if there are several
    #[arg(long)]
    herd: Option<String>,
    /// First day, at the farm
    #[arg(long, value_name = "DATE")]
    from: Option<Date>,
    /// Last day, at the farm
    #[arg(long, value_name = "DATE")]
    to: Option<Date>,
    #[command(flatten)]
    paper: PaperOptions,
}

pub(super) fn run(options: &FarmOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let listed = chosen(&herd, options.herd.as_deref())?;
    let latest = list_visits(&herd)?.into_iter().find(|(of, ..)| *of == listed.herd);
    let Some((_, latest, _)) = latest else {
        return Err(Failure::Said(format!(
            "{} has no visit yet; pull one with `hornrule pull`",
            listed.name
        )));
    };
    let period = period(options, latest.date())?;
    let trend = FarmTrend::gather(&herd, listed.herd, period)?
        .ok_or_else(|| Failure::Said(format!("{} is no longer a herd", listed.name)))?;
    let said = options.paper.words(&trend.settings).with_trial_ways(herd.trial_ways()?);
    let page = farm::page(&trend, &said, options.paper.paper(&trend.settings));
    options.paper.deliver(&page, "every_lesion", || farm::json(&trend))
}

/// The days asked for; without any the twelve calendar months that end with the latest visit's.
fn period(options: &FarmOptions, latest: Date) -> Result<Span, Failure> {
    let through = options.to.unwrap_or(latest);
    let year = year_through(Day::from_date(through));
    let from = options.from.unwrap_or_else(|| year.from.date());
    if from > through {
        return Err(Failure::Said(format!(
            "the first day {from} is after the last day {through}; swap --from and --to"
        )));
    }
    let month = |date: Date| i32::from(date.year()) * 12 + i32::from(date.month());
    if month(through) - month(from) >= MOST_MONTHS {
        return Err(Failure::Said(format!(
            "{from} to {through} is more than {MOST_MONTHS} months; choose fewer with --from and \
             --to"
        )));
    }
    Ok(Span { from: Day::from_date(from), through: Day::from_date(through) })
}
