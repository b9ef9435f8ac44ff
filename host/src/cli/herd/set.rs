//! `hornrule herd set`: how a farm's papers look, and where it lies on the round.

use clap::Args;
use hornrule_protocol::Nanometres;

use super::super::gauge::mm;
use super::super::text::note;
use super::super::{Desk, Failure};
use super::farm::FarmOptions;
use super::list::Row;
use hornrule_facts::bill::Currency;
use hornrule_facts::{FarmSettings, Language, LengthUnit, Paper};

/// Set a farm's language, units, paper, address, vet and place on the round; its name, zone and key
///
/// A name, zone or key says what records are of which farm and day. What would move is shown first;
/// --yes accepts it without asking. A key stands from a day on and moves nothing before it.
///
/// Settings not named stay as they are. `none` clears a target or a place on the round; an empty
/// --address or --vet clears those lines.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    hornrule herd set --herd \"Alder Brook\" --language de --unit mm --paper a4 --target 75\n  \
    hornrule herd set --herd \"Alder Brook\" --route 2 --currency EUR \
    --address \"Alder Brook Farm\" --address \"Mill Lane 4\"\n  \
    hornrule herd set --herd \"Alder Brook\" --vet \"Ash Lane Vets\" --vet \"+44 1632 960200\"\n  \
    hornrule herd set --herd \"Alder Brook\" --key 3 --since 2026-04-01")]
pub(super) struct Options {
    /// Farm's name; needed if there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Language of its papers: en or de
    #[arg(long, value_name = "CODE", value_parser = language)]
    language: Option<Language>,
    /// Unit of lengths on its papers: mm or inch
    #[arg(long, value_name = "UNIT", value_parser = unit)]
    unit: Option<LengthUnit>,
    /// Paper: a4 or letter
    #[arg(long, value_name = "PAPER", value_parser = paper)]
    paper: Option<Paper>,
    /// Target for dorsal wall length after trimming, mm, or none
    #[arg(long, value_name = "MM", value_parser = target)]
    target: Option<Given<Nanometres>>,
    /// Currency of its bills, ISO 4217 code
    #[arg(long, value_name = "CODE", value_parser = currency)]
    currency: Option<Currency>,
    /// Address line on bills and letters; repeat for each line
    #[arg(long, value_name = "LINE", value_parser = line)]
    address: Vec<String>,
    /// Line of the vet's name, address and phone, for the letter; repeat for each line
    #[arg(long, value_name = "LINE", value_parser = line)]
    vet: Vec<String>,
    /// Place on the round: 1 to 999, lowest first, or none
    #[arg(long, value_name = "NUMBER", value_parser = route)]
    route: Option<Given<u16>>,
    #[command(flatten)]
    farm: FarmOptions,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// A value, or the word `none`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Given<T>(Option<T>);

/// The usual range of what is aimed at, nanometres: below and above it is a slip of the pen.
const TARGETS: std::ops::RangeInclusive<i32> = 40_000_000..=150_000_000;

fn language(text: &str) -> Result<Language, String> {
    Language::from_code(text).ok_or_else(|| format!("`{text}` is none of: en, de"))
}

fn unit(text: &str) -> Result<LengthUnit, String> {
    LengthUnit::from_code(text).ok_or_else(|| format!("`{text}` is none of: mm, inch"))
}

fn paper(text: &str) -> Result<Paper, String> {
    Paper::from_code(text).ok_or_else(|| format!("`{text}` is none of: a4, letter"))
}

fn target(text: &str) -> Result<Given<Nanometres>, String> {
    if text == "none" {
        return Ok(Given(None));
    }
    let length = mm(text)?;
    if !TARGETS.contains(&length.0) {
        return Err(format!("`{text}` is no dorsal wall length; give 40 to 150 mm, or none"));
    }
    Ok(Given(Some(length)))
}

fn currency(text: &str) -> Result<Currency, String> {
    Currency::from_code(text)
        .ok_or_else(|| format!("`{text}` is no currency of ISO 4217; write it like EUR"))
}

fn line(text: &str) -> Result<String, String> {
    if text.trim().chars().any(char::is_control) {
        return Err("a line of an address is one line; say --address again for the next".to_owned());
    }
    note(text)
}

fn route(text: &str) -> Result<Given<u16>, String> {
    if text == "none" {
        return Ok(Given(None));
    }
    let number = text.parse().ok().filter(|number| (1..=999).contains(number));
    number.map(|number| Given(Some(number))).ok_or_else(|| {
        format!("`{text}` is no place on the round; give a number from 1 to 999, or none")
    })
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let listed = super::chosen(&herd, options.herd.as_deref())?;
    let settings = options.changed(listed.settings.clone());
    let name = options.farm.apply(&mut herd, &listed, desk, options.json)?;
    herd.set_farm_settings(listed.herd, &settings)?;
    let row = Row::of(&herd, super::chosen(&herd, Some(&name))?)?;
    if options.json {
        println!("{}", super::super::json(&row)?);
    } else {
        print!("{}", row.told());
    }
    Ok(())
}

impl Options {
    fn changed(&self, was: FarmSettings) -> FarmSettings {
        let lines = |said: &[String], was: Vec<String>| match said {
            [] => was,
            said => said.iter().filter(|line| !line.is_empty()).cloned().collect(),
        };
        FarmSettings {
            language: self.language.unwrap_or(was.language),
            unit: self.unit.unwrap_or(was.unit),
            paper: self.paper.unwrap_or(was.paper),
            target: self.target.map_or(was.target, |given| given.0),
            currency: self.currency.unwrap_or(was.currency),
            address: lines(&self.address, was.address),
            route: self.route.map_or(was.route, |given| given.0),
            vet: lines(&self.vet, was.vet),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_read_or_refused() {
        assert_eq!(target("75.5"), Ok(Given(Some(Nanometres(75_500_000)))));
        assert_eq!(target("none"), Ok(Given(None)));
        assert_eq!(route("7"), Ok(Given(Some(7))));
        assert_eq!(route("none"), Ok(Given(None)));
        for wrong in ["3", "750", "-75", "75mm", ""] {
            assert!(target(wrong).is_err(), "{wrong}");
        }
        for wrong in ["0", "1000", "-1", "first", ""] {
            assert!(route(wrong).is_err(), "{wrong}");
        }
        assert!(line("one\ntwo").is_err());
    }
}
