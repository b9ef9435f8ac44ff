//! `hornrule blocks`: how long blocks stay on, by the way they were glued.

use clap::Args;

use super::evidence::{EvidenceOptions, cautions, points, share};
use super::{Desk, Failure};
use hornrule_questions::evidence::{self, Answer, Bands};

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
        .called(&database.trial_ways()?);
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
