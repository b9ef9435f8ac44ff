//! `hornrule review visit`: a whole visit put at the farm where it was.

use clap::Args;
use hornrule_protocol::Seq;

use super::super::herd::chosen;
use super::super::herd::effect;
use super::super::{Desk, Failure};
use super::chosen::Log;
use super::decide::{SaidOptions, said, told};
use hornrule_intake::{Visit, preview_put_at, put_at};

/// Say at which farm a whole visit was
///
/// For a visit keyed at the wrong farm, or not keyed at all: one decision moves every entry from its
/// beginning to the next visit of that handheld. Nothing is erased; `hornrule review take-back` takes
/// the decision back.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    hornrule review visit 41 --farm Neuhof --dry-run\n  \
    hornrule review visit 41 --farm Neuhof --who Anna --why \"keyed 2 for 3\"\n  \
    hornrule review visit 87 --from-here --farm Neuhof --who Anna --why \"farm not keyed\"")]
pub(super) struct Options {
    /// Any entry of the visit
    #[arg(value_name = "ENTRY", value_parser = clap::value_parser!(u32).range(1..))]
    entry: u32,
    /// Farm where it was
    #[arg(long, value_name = "NAME")]
    farm: String,
    /// The visit began with the cow of this entry, and its farm was not keyed
    #[arg(long)]
    from_here: bool,
    /// Show what would move; decide nothing
    #[arg(long)]
    dry_run: bool,
    #[command(flatten)]
    log: Log,
    #[command(flatten)]
    said: SaidOptions,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let (device, log) = options.log.of(&herd)?;
    let farm = chosen(&herd, Some(&options.farm))?;
    let record = (device, log, Seq(options.entry));
    let visit = Visit { record, from_here: options.from_here };
    let mut signed = said(&options.said, desk.clock().unix_ms());
    if options.dry_run {
        // Nothing is kept, so nobody has to sign.
        for word in [&mut signed.who, &mut signed.why] {
            if word.trim().is_empty() {
                "not signed".clone_into(word);
            }
        }
        let would = preview_put_at(&mut herd, &signed, visit, farm.herd)?;
        println!("visit     from entry {} on, at {}", would.start.0, farm.name);
        print!("{}", effect::told(&herd, &would.moves)?);
        println!("Nothing was decided (--dry-run).");
        return Ok(());
    }
    let done = put_at(&mut herd, &signed, visit, farm.herd)?;
    println!("visit     from entry {} on, at {}", done.start.0, farm.name);
    print!("{}", effect::told(&herd, &done.moves)?);
    print!("{}", told(&herd, &done.outcome)?);
    Ok(())
}
