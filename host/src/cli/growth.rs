//! `hornrule growth`: how fast horn grows, and when claws are due.

use std::collections::BTreeMap;

use clap::Args;

use super::evidence::{EvidenceOptions, cautions, number};
use super::{Desk, Failure};
use hornrule_questions::derived::{AverageLine, Measure};
use hornrule_questions::evidence::{self, Answer};

/// How many claws are named.
const NAMED: usize = 10;

/// Show how fast the dorsal wall grows, and when claws are due
///
/// Growth is net of wear, from after one trimming to before the next. 95 % intervals in brackets.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule growth\n  \
                  hornrule growth --herd \"Alder Brook\" --trim-at 85 --trim-to 76")]
pub(super) struct Options {
    #[command(flatten)]
    evidence: EvidenceOptions,
    /// Length at which to trim again, mm; lists the claws and days
    #[arg(long, value_name = "MM", value_parser = millimetres)]
    trim_at: Option<f64>,
    /// Length to trim to, mm; counts claws cut shorter [default: the farm's target]
    #[arg(long, value_name = "MM", value_parser = millimetres)]
    trim_to: Option<f64>,
}

fn millimetres(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(mm) if (30.0..=200.0).contains(&mm) => Ok(mm),
        _ => Err("a dorsal wall is 30 to 200 mm long; for example 85".to_owned()),
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (database, herds) = options.evidence.herds(desk)?;
    let mut trim_to = BTreeMap::new();
    for one in database.herds()?.iter().filter(|one| herds.contains(&one.herd)) {
        let target = options.trim_to.or_else(|| Some(one.settings.target?.as_mm()));
        trim_to.extend(target.map(|mm| (one.herd, mm)));
    }
    let horn = evidence::growth(&database, &herds, options.trim_at, &trim_to)?;
    if options.evidence.json {
        println!("{}", super::json(&horn)?);
        return Ok(());
    }
    match &horn.growth {
        Answer::Told(growth) => {
            println!("Dorsal wall, net of wear: {} mm a month", number(&growth.slope));
            println!("    cows {}, times measured {}", growth.slope.n, growth.gains);
            match &growth.spread_between {
                Some(spread) => println!(
                    "    cows differ by {} mm a month (standard deviation)",
                    number(spread)
                ),
                None => {
                    println!(
                        "    cows differ by {:.2} mm a month (standard deviation)",
                        growth.spread
                    );
                }
            }
            if let Some(claws) = horn.claws {
                println!("    claws of a cow differ by {claws:.2} mm a month (standard deviation)");
            }
            println!(
                "    95 of 100 cows grow {:.1} to {:.1} mm a month",
                growth.next.0, growth.next.1
            );
        }
        Answer::Refused(why) => println!("Dorsal wall: not given: {why}"),
    }
    println!("    left out because a rule questions them: {}", horn.doubted);
    if let Some((short, all)) = horn.cut_short {
        println!("Cut shorter than the length to trim to: {short} of {all}");
    }
    let (above, all) = horn.regrown_above;
    println!(
        "Regrown horn above 1/8 inch in two weeks (common practice, no source): {above} of {all}"
    );
    derived(&horn.derived_means);
    if let Some(at) = horn.trim_at_mm.filter(|_| !horn.passing.is_empty()) {
        println!("\nThe first claws past {at} mm, by mean growth (95 of 100 cows between)");
        for one in horn.passing.iter().take(NAMED) {
            println!(
                "    {}  cow {}, {}  ({} to {})",
                one.day, one.cow, one.claw, one.between.0, one.between.1
            );
        }
        println!("    {} claws in all; --json lists them all", horn.passing.len());
    }
    if let Answer::Told(growth) = &horn.growth {
        println!("\nMethod: {}.", growth.slope.method);
    }
    cautions(&horn.cautions);
    Ok(())
}

/// Means of derived measures, each with its source.
fn derived(lines: &[AverageLine]) {
    let shown = || lines.iter().filter(|line| line.values > 0);
    if shown().count() == 0 {
        return;
    }
    println!("\nDerived from the lengths, not measured (means with cows as clusters)");
    for line in shown() {
        let claws = if line.hind { "hind" } else { "front" };
        let moment = if line.trimmed { "after" } else { "before" };
        let mean = match &line.mean {
            Answer::Told(told) => format!("{} {}", number(&told.mean), line.measure.unit()),
            Answer::Refused(why) => format!("not given: {why}"),
        };
        println!(
            "    {}, {claws}, {moment} trimming: {mean}; values {}, cows {}",
            line.measure.word(),
            line.values,
            line.cows
        );
    }
    for measure in Measure::ALL.iter().filter(|one| shown().any(|line| line.measure == **one)) {
        println!("    Source of {}: {}.", measure.word(), measure.source());
    }
    println!("    Arithmetic, not advice; not to be mixed with values measured another way.");
}
