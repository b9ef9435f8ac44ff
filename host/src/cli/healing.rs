//! `hornrule healing`: how long lesions take.

use clap::Args;

use super::evidence::{EvidenceOptions, cautions, figure, number, share};
use super::{Desk, Failure};
use hornrule_questions::evidence::{self, Answer, Bands, Kind, SEED, Treated};

/// Show how long lesions take to heal, and how they shrink
///
/// Healed means covered by sound horn. When it happened is known only to lie between two looks. 95
/// % intervals in brackets.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule healing\n  hornrule healing --herd \"Alder Brook\" --json"
)]
pub(super) struct Options {
    #[command(flatten)]
    evidence: EvidenceOptions,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (database, herds) = options.evidence.herds(desk)?;
    let healing = evidence::healing(&database, &herds, Bands::Drawn)?;
    if options.evidence.json {
        println!("{}", super::json(&healing)?);
        return Ok(());
    }
    if healing.groups.is_empty() {
        println!("No lesion of a claw was found.");
        return Ok(());
    }
    let mut kind = None;
    for group in &healing.groups {
        if kind != Some(group.kind) {
            println!("{}", headed(group.kind));
            kind = Some(group.kind);
        }
        println!(
            "{:<10} cases {}, healed {}, never seen again {}",
            group.what, group.cases, group.healed, group.unseen
        );
        println!("    days until half healed   {}", figure(&group.half_healed));
        println!("    still open after 28 days {}", share(&group.open_after_28_days));
        println!("        nonparametric        {}", share(&group.without_form_after_28_days));
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
        Answer::Refused(why) => println!("\nArea: not given: {why}"),
    }
    println!("\nWith the treatment against without, within severities, by cow");
    for one in &healing.treated {
        println!(
            "{:<10} lesions with {}, without {}: {}",
            one.what,
            one.with,
            one.without,
            verdict(one)
        );
    }
    println!(
        "\nFound on a claw that had healed before: {} of {}",
        healing.again.0, healing.again.1
    );
    let next = &healing.recurrence;
    println!(
        "Healed claws seen again: {}; with a recurrence {}; never seen again {}",
        next.claws, next.again, next.unseen
    );
    println!("    share with a recurrence   {}", share(&next.share));
    println!("    still sound after 120 days {}", share(&next.sound_after_120_days));
    println!(
        "\nMethod: Weibull curve for interval-censored times; nonparametric: Turnbull's estimate, \
         interval by bootstrap over cows ({} draws); log-rank test permuted by cow within \
         severities, p after Holm; area by two-stage random slopes. Seed {SEED}.",
        healing.draws()
    );
    cautions(&healing.cautions);
    Ok(())
}

const fn headed(kind: Kind) -> &'static str {
    match kind {
        Kind::Severity => "By severity when found",
        Kind::Lesion => "\nBy lesion",
        Kind::Action => "\nBy what was done to the foot when it was found (one may be in several)",
    }
}

/// What the test of a treatment says.
fn verdict(one: &Treated) -> String {
    let (test, p) = match (&one.test, one.p_holm) {
        (Answer::Told(test), Some(p)) => (test, p),
        (Answer::Told(test), None) => (test, test.shuffled.p),
        (Answer::Refused(why), _) => return format!("not given: {why}"),
    };
    let which = if test.score > 0.0 { "sooner" } else { "later" };
    if p < 0.05 {
        format!("healed {which} with it than chance explains (p = {p:.4})")
    } else {
        format!("no difference is shown (p = {p:.2}), which does not mean there is none")
    }
}
