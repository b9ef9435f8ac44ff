//! `hornrule cow`: one cow's history.

use clap::Args;

use super::paper::PaperWords;
use super::{Desk, Failure};
use crate::herd::{AnimalId, ListedHerd};
use crate::report::CowHistory;
use hornrule_protocol::{AnimalNumber, HerdNumber, Iso11784};

/// Show a cow's history: her feet over time, and what is due
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule cow 104\n  \
                  hornrule cow 104 --herd \"Alder Brook\" --pdf cow-104.pdf")]
pub(super) struct Words {
    /// Her number: the herd number, or the 15 digits of her electronic tag
    number: u64,
    /// The farm's name; needed where several farms have a cow of that number
    #[arg(long)]
    herd: Option<String>,
    #[command(flatten)]
    paper: PaperWords,
}

pub(super) fn run(words: &Words, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_herd()?;
    let animal = animal(words.number).ok_or_else(|| {
        let number = words.number;
        Failure::Said(format!("{number} is no cow's number: take 1 to 9 digits, or 15 of a tag"))
    })?;
    let farms: Vec<ListedHerd> = herd
        .herds()?
        .into_iter()
        .filter(|one| words.herd.as_ref().is_none_or(|name| *name == one.name))
        .collect();
    let mut found = Vec::new();
    for farm in &farms {
        found.extend(CowHistory::gather(&herd, farm.herd, animal)?);
    }
    match found.as_slice() {
        [] => Err(Failure::Said(format!(
            "no farm{} has a cow {}; `hornrule herd list` shows the herds",
            words.herd.as_ref().map_or_else(String::new, |name| format!(" called {name}")),
            words.number
        ))),
        [history] => {
            let said = words.paper.words(&history.settings);
            let page = history.page(&said, words.paper.paper(&history.settings));
            words.paper.deliver(&page, "days", || history.render_json())
        }
        several => {
            let names: Vec<&str> = several.iter().map(|one| one.farm.as_str()).collect();
            Err(Failure::Said(format!(
                "{} have a cow {}; say which with --herd",
                names.join(" and "),
                words.number
            )))
        }
    }
}

/// Up to 9 digits a herd number, else a tag.
fn animal(number: u64) -> Option<AnimalId> {
    let herd = u32::try_from(number).ok().and_then(HerdNumber::new).map(AnimalNumber::Herd);
    let keyed = herd.or_else(|| Iso11784::from_decimal(number).ok().map(AnimalNumber::Tag))?;
    AnimalId::from_number(keyed)
}
