//! `hornrule agreement`: what readings and judgements are worth.

use clap::Args;

use super::evidence::{EvidenceOptions, cautions, figure, number};
use super::{Desk, Failure};
use hornrule_insight::icc::Icc;
use hornrule_questions::evidence::{self, Answer, Measured};

/// Show how readings repeat, people agree and the calliper holds
///
/// Repeats: two readings of one claw in one stay. Two people: two handhelds on one day. 95 %
/// intervals in brackets.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule agreement\n  \
                  hornrule agreement --herd \"Alder Brook\" --json")]
pub(super) struct Options {
    #[command(flatten)]
    evidence: EvidenceOptions,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (database, herds) = options.evidence.herds(desk)?;
    let agreement = evidence::agreement(&database, &herds)?;
    if options.evidence.json {
        println!("{}", super::json(&agreement)?);
        return Ok(());
    }
    if agreement.lengths.is_empty() {
        println!("No claw was measured twice in a stay, nor by two people on a day.");
    }
    agreement.lengths.iter().for_each(dimension);
    println!("Grades of the same claw by two people (0 sound to 3 severe)");
    for (name, kappa) in ["plain", "linear", "quadratic"].iter().zip(&agreement.grades) {
        println!("    kappa, {name}: {}", figure(kappa));
    }
    if agreement.judges > 2 {
        println!(
            "    {} people together, Fleiss' kappa: {}",
            agreement.judges,
            figure(&agreement.grades_of_many)
        );
    }
    for gauge in &agreement.gauges {
        let handheld = &gauge.handheld;
        match &gauge.chart {
            Answer::Told(chart) => println!(
                "Gauge block on {handheld}: {:.3} mm, limits {:.3} to {:.3}, {} of {} outside",
                chart.centre,
                chart.low,
                chart.high,
                chart.outside.len(),
                chart.n
            ),
            Answer::Refused(why) => println!("Gauge block on {handheld}: not given: {why}"),
        }
    }
    cautions(&agreement.cautions);
    Ok(())
}

fn dimension(one: &Measured) {
    println!("{}", one.dimension);
    match &one.repeat {
        Answer::Told(repeat) => println!(
            "    one person twice: error {} mm, {:.1} % of the length; two readings differ by less \
             than {:.2} mm ({} claws)",
            number(&repeat.tem),
            repeat.relative_percent,
            repeat.repeatability,
            repeat.tem.n
        ),
        Answer::Refused(why) => println!("    one person twice: not given: {why}"),
    }
    match &one.between {
        Answer::Told(two) => println!(
            "two people: first minus second {} mm; limits of agreement {:.2} to {:.2} mm ({} \
             claws)",
            number(&two.bias),
            two.lower.value,
            two.upper.value,
            two.bias.n
        ),
        Answer::Refused(why) => println!("    two people: not given: {why}"),
    }
    println!("    concordance: {}", figure(&one.concordance));
    match &one.icc {
        Answer::Told(icc) => coefficients(icc),
        Answer::Refused(why) => println!("    intraclass correlations: not given: {why}"),
    }
    match &one.budget {
        Answer::Told(budget) => println!(
            "    a single reading is uncertain by {:.2} mm (95 %, landmarks and calliper)",
            budget.expanded
        ),
        Answer::Refused(why) => println!("    uncertainty: not given: {why}"),
    }
}

fn coefficients(icc: &Icc) {
    for (one, mean) in [
        (icc.one_way, icc.one_way_mean),
        (icc.agreement, icc.agreement_mean),
        (icc.consistency, icc.consistency_mean),
    ] {
        println!("    {}: {}    {}: {}", one.method, number(&one), mean.method, number(&mean));
    }
}
