//! `hornrule blocks`: how long blocks stay on, by the way they were glued.

use clap::Args;

use super::evidence::{EvidenceOptions, cautions, points, share};
use super::{Desk, Failure};
use hornrule_questions::evidence::{self, Answer, Bands, Ends, Period, TakenOff};

/// Show how long blocks stay on, and compare ways of gluing
///
/// When a block came off is known only to lie between two looks. Shares have 95 % intervals in
/// brackets.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule blocks\n  hornrule blocks --herd \"Alder Brook\" --difference 20"
)]
pub(super) struct Options {
    #[command(flatten)]
    evidence: EvidenceOptions,
    /// Smallest difference that matters, blocks in 100, for the sample size
    #[arg(
        long,
        value_name = "POINTS",
        default_value = "15",
        value_parser = clap::value_parser!(u8).range(1..=50)
    )]
    difference: u8,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (database, herds) = options.evidence.herds(desk)?;
    let difference = f64::from(options.difference) / 100.0;
    let blocks = evidence::blocks(&database, &herds, difference, Bands::Drawn)?
        .called(&database.trial_ways()?)
        .with_facts(&database.way_facts()?);
    if options.evidence.json {
        println!("{}", super::json(&blocks)?);
        return Ok(());
    }
    if blocks.ways.is_empty() {
        println!("No block was glued (DO 10 to DO 19).");
        return Ok(());
    }
    for way in &blocks.ways {
        let called = way.called.as_ref().map_or_else(String::new, |name| format!(" ({name})"));
        println!("{}  {}{called}", way.action, way.name);
        println!("    blocks {}, lost {}, never seen again {}", way.blocks, way.lost, way.unseen);
        println!("    {}", ends(&way.ends));
        way.facts.iter().flatten().for_each(|period| println!("    {}", held(period)));
        println!("    on at the first recheck  {}", share(&way.at_recheck));
        println!("    on after 28 days         {}", share(&way.after_28_days));
        println!("        nonparametric        {}", share(&way.without_form_after_28_days));
        let risk: Vec<String> = way.at_risk.iter().map(u64::to_string).collect();
        println!("    followed at 0, 7, 14, 21, 28 days: {}", risk.join(", "));
    }
    for one in &blocks.against {
        println!("\n{} against the usual way\n  {}", one.action, one.sentence);
        let fisher = match &one.fisher_p {
            Answer::Told(p) => format!("; Fisher's exact test p = {p:.3}"),
            Answer::Refused(_) => String::new(),
        };
        println!(
            "  On at the first recheck, less the usual way: {}{fisher}",
            points(&one.at_recheck)
        );
    }
    println!(
        "\nMethod: Weibull curve for interval-censored times; nonparametric: Turnbull's estimate, \
         interval by bootstrap over cows ({} draws); log-rank test permuted by cow, p after Holm; \
         share at recheck and its difference (Newcombe, method 10) allow for blocks of one cow \
         being alike; Fisher's test treats blocks as independent. Seed {}.",
        blocks.draws(),
        blocks.seed
    );
    cautions(&blocks.cautions);
    Ok(())
}

/// "glued 12 (1 on a cold claw, 2 on a wet one); taken off 5: done 3, worn 1, no reason 1".
fn ends(ends: &Ends) -> String {
    let TakenOff { no_reason, done, worn, loose, twisted, sore } = ends.taken_off;
    let reasons = [
        (done, "work done"),
        (worn, "worn"),
        (sore, "claw sore"),
        (loose, "loose"),
        (twisted, "twisted"),
        (no_reason, "no reason"),
    ];
    let given = reasons.iter().filter(|(n, _)| *n > 0);
    let given: Vec<String> = given.map(|(n, why)| format!("{why} {n}")).collect();
    let taken: u64 = reasons.iter().map(|(n, _)| n).sum();
    let colon = if given.is_empty() { String::new() } else { format!(": {}", given.join(", ")) };
    format!(
        "glued {} (cold {}, wet {}); still on {}, found lost {}, off otherwise {}, taken off {taken}{colon}",
        ends.glued, ends.glued_cold, ends.glued_wet, ends.still_on, ends.found_lost, ends.otherwise
    )
}

/// "2026-03-01 to 2026-03-31: wood, glue 4711, sole ground, 25 mm; blocks 7".
fn held(period: &Period) -> String {
    let days = period.through.as_ref().map_or_else(
        || format!("from {}", period.since),
        |through| format!("{} to {through}", period.since),
    );
    let height = period.height_mm.map(|mm| format!("{mm} mm high"));
    let known = [&period.material, &period.glue, &period.surface];
    let known = known.into_iter().filter(|text| !text.is_empty()).cloned().chain(height);
    format!("{days}: {}; blocks {}", known.collect::<Vec<_>>().join(", "), period.blocks)
}
