//! `hornrule blocks`: how long blocks stay on, by the way they were glued.

use clap::Args;

use super::evidence::{EvidenceOptions, cautions, points, share};
use super::{Desk, Failure};
use hornrule_facts::codes::BLOCK_USUAL;
use hornrule_facts::plain;
use hornrule_questions::evidence::{
    self, Adherence, Against, Answer, Bands, BlockWay, Departure, DrawTold, DrawnBlocks, Ends,
    Period, TakenOff,
};

/// Show how long blocks stay on, and compare ways of gluing
///
/// When a block came off is known only to lie between two looks. Shares have 95 % intervals in
/// brackets. Blocks whose way was drawn (`hornrule trial draw`) stand apart from those whose way was
/// chosen: as drawn, and as used.
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
    if blocks.ways.is_empty() && blocks.drawn.is_empty() {
        println!("No block was glued (DO 10 to DO 19).");
        return Ok(());
    }
    if !blocks.drawn.is_empty() && !blocks.ways.is_empty() {
        println!("Ways that were chosen");
    }
    print!("{}", of_ways(&blocks.ways));
    print!("{}", of_against(&blocks.against, BLOCK_USUAL));
    for one in &blocks.drawn {
        print!("{}", of_drawn(one));
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

/// Each way, in words.
fn of_ways(ways: &[BlockWay]) -> String {
    let mut text = String::new();
    for way in ways {
        let called = way.called.as_ref().map_or_else(String::new, |name| format!(" ({name})"));
        let risk: Vec<String> = way.at_risk.iter().map(u64::to_string).collect();
        text += &format!(
            "{}  {}{called}\n    blocks {}, lost {}, never seen again {}\n    {}\n{}    \
             on at the first recheck  {}\n    on after 28 days         {}\n        \
             nonparametric        {}\n    followed at 0, 7, 14, 21, 28 days: {}\n",
            way.action,
            way.name,
            way.blocks,
            way.lost,
            way.unseen,
            ends(&way.ends),
            way.facts.iter().flatten().map(held).collect::<String>(),
            share(&way.at_recheck),
            share(&way.after_28_days),
            share(&way.without_form_after_28_days),
            risk.join(", ")
        );
    }
    text
}

/// Each way against the one that all are held against.
fn of_against(against: &[Against], held: u8) -> String {
    let other = match held {
        BLOCK_USUAL => "the usual way".to_owned(),
        held => held.to_string(),
    };
    let mut text = String::new();
    for one in against {
        let fisher = match &one.fisher_p {
            Answer::Told(p) => format!("; Fisher's exact test p = {p:.3}"),
            Answer::Refused(_) => String::new(),
        };
        text += &format!(
            "\n{} against {other}\n  {}\n  On at the first recheck, less {other}: {}{fisher}\n",
            one.action,
            one.sentence,
            points(&one.at_recheck)
        );
    }
    text
}

/// Ways that were drawn.
fn of_drawn(drawn: &DrawnBlocks) -> String {
    let mut text = String::new();
    for DrawTold { draw, farm, day, by, cows, closed, looks, .. } in &drawn.draws {
        let holds = match closed {
            None => "open".to_owned(),
            Some(last) => format!("closed, through {last}"),
        };
        let looks = match looks {
            0 => String::new(),
            n => format!("; looked into while open: {}", plain::count(*n, "time", "times")),
        };
        text +=
            &format!("\nDraw {draw}, {farm}: {cows} cows by {by}, from {day}, {holds}{looks}\n");
    }
    let Adherence { blocks, as_drawn } = drawn.adherence;
    if blocks == 0 {
        return text + "No block was glued on a drawn claw.\n";
    }
    let held = drawn.as_drawn.first().map_or(BLOCK_USUAL, |way| way.action);
    text += &format!("\nAs drawn (intention to treat)\n{}", of_ways(&drawn.as_drawn));
    text += &of_against(&drawn.against, held);
    text += &format!("\nAs used (nothing is concluded from it)\n{}", of_ways(&drawn.as_used));
    text += &format!("\nGlued as drawn: {as_drawn} of {blocks}\n");
    for Departure { farm, cow, day, foot, claw, drawn, used } in &drawn.departures {
        text += &format!("  {farm} {cow}, {day}, {foot} {claw}: drawn {drawn}, glued {used}\n");
    }
    text
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

/// A line: "2026-03-01 to 2026-03-31: wood, glue 4711, sole ground, 25 mm; blocks 7".
fn held(period: &Period) -> String {
    let days = period.through.as_ref().map_or_else(
        || format!("from {}", period.since),
        |through| format!("{} to {through}", period.since),
    );
    let height = period.height_mm.map(|mm| format!("{mm} mm high"));
    let known = [&period.material, &period.glue, &period.surface];
    let known = known.into_iter().filter(|text| !text.is_empty()).cloned().chain(height);
    format!("    {days}: {}; blocks {}\n", known.collect::<Vec<_>>().join(", "), period.blocks)
}
