//! `hornrule healing`: how long lesions take.

use clap::Args;

use super::evidence::{EvidenceWords, cautions, figure, number, share};
use super::{Desk, Failure};
use crate::evidence::{Answer, Healing};

/// Say how long lesions take to be covered by sound horn, and how they shrink
///
/// From finding to healed, known only between two looks. 95 % intervals in brackets.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule healing\n  hornrule healing --herd \"Alder Brook\" --json"
)]
pub(super) struct Words {
    #[command(flatten)]
    evidence: EvidenceWords,
}

pub(super) fn run(words: &Words, desk: &Desk) -> Result<(), Failure> {
    let (_, _, said) = words.evidence.said(desk)?;
    let healing = Healing::of(&said);
    if words.evidence.json {
        println!("{}", super::json(&healing)?);
        return Ok(());
    }
    if healing.groups.is_empty() {
        println!("No lesion of a claw was found.");
        return Ok(());
    }
    for group in &healing.groups {
        println!(
            "{:<10} cases {}, healed {}, never seen again {}",
            group.what, group.cases, group.healed, group.unseen
        );
        println!("    days until half healed   {}", figure(&group.half_healed));
        println!("    still open after 28 days {}", share(&group.open_after_28_days));
    }
    match &healing.area {
        Answer::Told(area) => {
            // A slope on the logarithm's scale is a factor a week.
            let gone = |slope: f64| 100.0 * (1.0 - slope.exp());
            println!(
                "\nArea shrinks by {:.0} % a week ({:.0} to {:.0}; {} lesions; ln area {} a week)",
                gone(area.slope.value),
                gone(area.slope.high),
                gone(area.slope.low),
                area.slope.n,
                number(&area.slope)
            );
        }
        Answer::Refused(why) => println!("\nArea: not said: {why}"),
    }
    println!("Found again on a claw that had healed: {} of {}", healing.again.0, healing.again.1);
    println!(
        "\nMethod: Weibull curve for times between two looks; area by two-stage random slopes."
    );
    cautions(&healing.cautions);
    Ok(())
}
