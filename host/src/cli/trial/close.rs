//! `hornrule trial close`: no more cows are drawn.

use clap::Args;

use super::super::herd::chosen;
use super::super::text::{name, note};
use super::super::{Desk, Failure};
use super::{sign, told};
use hornrule_questions::lot;

/// Close the open draw of a herd: it holds through today
///
/// Plans of later days carry no ways, `hornrule trial draw --show` gives the list with its seed,
/// and `hornrule blocks` may say which way to glue. A closed draw is never opened again.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule trial close --who Anna --why \"enough blocks\"")]
pub(super) struct Options {
    /// Farm's name; needed if there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Name of the person who closes it
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO", value_parser = name)]
    who: Option<String>,
    /// Reason
    #[arg(long, value_name = "REASON", value_parser = note)]
    why: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut database = desk.existing_database()?;
    let herd = chosen(&database, options.herd.as_deref())?;
    let signed = sign(&options.who, &options.why, &herd, desk)?;
    let kept = lot::close(&mut database, &herd, signed).map_err(Failure::lot)?;
    if options.json {
        println!("{}", super::super::json(&told::row(&kept))?);
        return Ok(());
    }
    print!("{}", told::of(&kept));
    println!("\nTry now:  hornrule blocks");
    Ok(())
}
