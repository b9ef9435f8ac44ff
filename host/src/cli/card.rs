//! `hornrule card`: the code card, to be hung up at the chute.

use clap::Args;

use super::due::today;
use super::paper::PaperOptions;
use super::{Desk, Failure, rules};
use hornrule_facts::FarmSettings;
use hornrule_papers::Card;

/// Write the code card: keys, codes, zones and cues on one sheet
///
/// It takes both sides where one would be too small to read. It is made from the tables that the
/// handheld and the office use, so it always matches them. Bundles and where work starts are those
/// below `[plan]` in `hornrule.toml`. Print it on weatherproof paper, or laminate it, and hang it at
/// the chute.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule card --pdf card.pdf\n  \
                  hornrule card --pdf card.pdf --paper letter --unit inch\n  \
                  hornrule card --html karte.html --language de")]
pub(super) struct Options {
    #[command(flatten)]
    paper: PaperOptions,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    // No farm's card: what is not asked for is as on a farm that has set nothing.
    let settings = FarmSettings::default();
    let said = options.paper.words(&settings);
    let card = Card::gather(&said, &rules::habits(desk)?);
    // No farm, so no zone of one.
    let page = card.page(&said, options.paper.paper(&settings), today(desk, "UTC")?);
    options.paper.deliver(&page, "lesions", || card.clone())
}
