//! `hornrule blocks`: how long blocks stay on, by the way they were glued.

use clap::Args;

use super::evidence::{EvidenceWords, cautions, share};
use super::{Desk, Failure};
use crate::evidence::{Bands, Blocks};

/// Say how long blocks stay on, and whether a trial way of gluing is better
///
/// A block's fate is known only between two looks: seen on, seen gone. Shares have their 95 %
/// interval in brackets.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule blocks\n  hornrule blocks --herd \"Alder Brook\" --difference 20"
)]
pub(super) struct Words {
    #[command(flatten)]
    evidence: EvidenceWords,
    /// The difference that would matter, blocks in 100: how many blocks show it
    #[arg(
        long,
        value_name = "POINTS",
        default_value = "15",
        value_parser = clap::value_parser!(u8).range(1..=50)
    )]
    difference: u8,
}

pub(super) fn run(words: &Words, desk: &Desk) -> Result<(), Failure> {
    let (_, _, said) = words.evidence.said(desk)?;
    let blocks = Blocks::of(&said, f64::from(words.difference) / 100.0, Bands::Drawn);
    if words.evidence.json {
        println!("{}", super::json(&blocks)?);
        return Ok(());
    }
    if blocks.ways.is_empty() {
        println!("No block was glued (DO 10 to DO 19).");
        return Ok(());
    }
    for way in &blocks.ways {
        println!("{}  {}", way.action, way.name);
        println!("    blocks {}, lost {}, never seen again {}", way.blocks, way.lost, way.unseen);
        println!("    on at the first recheck  {}", share(&way.at_recheck));
        println!("    on after 28 days         {}", share(&way.after_28_days));
        println!("        without a form       {}", share(&way.without_form_after_28_days));
        let risk: Vec<String> = way.at_risk.iter().map(u64::to_string).collect();
        println!("    followed at 0, 7, 14, 21, 28 days: {}", risk.join(", "));
    }
    for one in &blocks.against {
        println!("\n{} against the usual way\n  {}", one.action, one.sentence);
    }
    println!(
        "\nMethod: Weibull curve for times between two looks; without a form, Turnbull's, its interval by \
         drawing cows {} times; log-rank test shuffled by cow, p after Holm; share at recheck with cows as \
         bunches. Seed {}.",
        Blocks::DRAWS,
        blocks.seed
    );
    cautions(&blocks.cautions);
    Ok(())
}
