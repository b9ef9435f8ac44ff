//! `hornrule trial draw`: which way each cow's blocks are glued, from a seed.

use clap::{Args, ValueEnum};

use super::super::herd::chosen;
use super::super::text::{name, note};
use super::super::{Desk, Failure};
use super::{sign, told};
use hornrule_facts::Herd;
use hornrule_facts::lot::{Design, Unit};
use hornrule_questions::lot::{self, SIZES};

/// Draw which way each cow's blocks are glued: seeded, balanced, concealed
///
/// Permuted blocks within the herd, of sizes that are drawn too. The list, its seed and its SHA-256
/// are kept before the first cow; publish the SHA-256, and nobody can change the list unnoticed. The
/// plan carries the ways, and the handheld tells one by count when the block is said (DO 10), not
/// before. Cows that are not on the herd list are not drawn; their blocks are as without a trial.
/// Balance is of the list: which of its cows get a block is decided at the chute.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    hornrule trial draw --ways 1,2 --who Anna --why \"does sanding pay?\"\n  \
    hornrule trial draw --herd \"Alder Brook\" --ways 1,2,3 --by claw --who Anna --why glues\n  \
    hornrule trial draw --show")]
pub(super) struct Options {
    /// Farm's name; needed if there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Trial ways to draw from, 1 to 9; the usual way takes part under a number of its own
    #[arg(long, value_name = "WAYS", value_delimiter = ',', required_unless_present = "show")]
    ways: Vec<u8>,
    /// One way for all claws of a cow, or one for each claw
    #[arg(long, value_name = "UNIT", value_enum, default_value_t = By::Cow)]
    by: By,
    /// How often each way may stand in a block
    #[arg(long, value_name = "SIZES", value_delimiter = ',', default_values_t = SIZES)]
    sizes: Vec<u8>,
    /// Seed: numbers thrown in front of witnesses, for instance [default: from the computer's source of
    /// randomness]
    #[arg(long, value_name = "TEXT")]
    seed: Option<String>,
    /// Show the list of the newest draw, with its seed, once it is closed
    #[arg(long, conflicts_with_all = ["ways", "by", "sizes", "seed"])]
    show: bool,
    /// Show an open one all the same; this look is noted for good
    #[arg(long, requires = "show")]
    open: bool,
    /// Name of the person who draws or looks
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO", value_parser = name)]
    who: Option<String>,
    /// Reason
    #[arg(long, value_name = "REASON", value_parser = note)]
    why: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// What a way is drawn for.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum By {
    Cow,
    Claw,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut database = desk.existing_database()?;
    let herd = chosen(&database, options.herd.as_deref())?;
    if options.show {
        return show(options, &mut database, &herd, desk);
    }
    let design = Design {
        by: match options.by {
            By::Cow => Unit::Cow,
            By::Claw => Unit::Claw,
        },
        ways: options.ways.clone(),
        sizes: options.sizes.clone(),
        seed: options.seed.clone().map_or_else(random, Ok)?,
    };
    let signed = sign(&options.who, &options.why, &herd, desk)?;
    let kept = lot::draw(&mut database, &herd, design, signed).map_err(Failure::lot)?;
    let names = database.trial_ways()?;
    for way in &kept.lot.design.ways {
        if !names.iter().any(|(named, _)| named == way) {
            eprintln!("hornrule: way {way} has no name: `hornrule trial {way} \"NAME\"`");
        }
    }
    if options.json {
        println!("{}", super::super::json(&told::row(&kept))?);
        return Ok(());
    }
    print!("{}", told::of(&kept));
    println!("\nPublish the SHA-256 before the first cow.\n\nTry now:  hornrule plan --show");
    Ok(())
}

fn show(
    options: &Options,
    database: &mut hornrule_herd::Database,
    herd: &Herd,
    desk: &Desk,
) -> Result<(), Failure> {
    let signed = options.open.then(|| sign(&options.who, &options.why, herd, desk)).transpose()?;
    let Some(kept) = lot::look(database, herd, signed).map_err(Failure::lot)? else {
        return Err(Failure::Said(
            "the draw is open: whoever knows the next way chooses the cow. Close it with \
             `hornrule trial close`; to look all the same, and on record for good, say --open, --who \
             and --why"
                .to_owned(),
        ));
    };
    if kept.closed().is_none() {
        eprintln!(
            "hornrule: this draw is open; that you have looked into it is on record, and `hornrule \
             trial` and `hornrule blocks` say so"
        );
    }
    if options.json {
        println!("{}", super::super::json(&told::shown(&kept))?);
        return Ok(());
    }
    print!("{}", kept.lot.text());
    Ok(())
}

/// 32 hexadecimal digits of the operating system's randomness.
fn random() -> Result<String, Failure> {
    let mut bytes = [0u8; 16];
    getrandom::fill(&mut bytes).map_err(|error| {
        Failure::Said(format!("this computer gives no random numbers ({error}); give a --seed"))
    })?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}
