//! `hornrule cow`: one cow's history.

use clap::Args;

use super::paper::PaperOptions;
use super::{Desk, Failure};
use hornrule_exchange::official::official;
use hornrule_facts::{AnimalId, Herd, ListedAnimal};
use hornrule_herd::{Database, DatabaseError};
use hornrule_papers::cow as papers;
use hornrule_protocol::{AnimalNumber, HerdNumber, Iso11784};
use hornrule_questions::cow::CowHistory;

/// Show a cow's history: her feet over time, and what is due
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule cow 104\n  \
                  hornrule cow 104 --herd \"Alder Brook\" --pdf cow-104.pdf\n  \
                  hornrule cow \"999 000000000104\"")]
pub(super) struct Options {
    /// Her herd number, the 15 digits of her electronic tag, or her official number
    #[arg(value_parser = sought)]
    number: Sought,
    /// Farm's name; needed if several farms have a cow with that number
    #[arg(long)]
    herd: Option<String>,
    #[command(flatten)]
    paper: PaperOptions,
}

/// By what a cow is looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Sought {
    Number(HerdNumber),
    Tag(Iso11784),
    /// With the letters of her country.
    Official(String),
}

impl std::fmt::Display for Sought {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{}", number.get()),
            Self::Tag(tag) => write!(f, "with the tag {tag}"),
            Self::Official(number) => write!(f, "with the official number {number}"),
        }
    }
}

/// A herd number, a tag or an official number; blanks are as people write long numbers.
fn sought(text: &str) -> Result<Sought, String> {
    let digits: String = text.chars().filter(|c| *c != ' ').collect();
    let wrong = |what: String| {
        format!(
            "{what}; take her herd number (1 to 9 digits), the 15 digits of her tag, or her official \
             number as in the herd list"
        )
    };
    if digits.is_empty() || !digits.chars().all(|c| c.is_ascii_digit()) {
        let number = official(text).map(Sought::Official);
        return number.map_err(|why| wrong(format!("`{text}` is no cow's number: it {why}")));
    }
    // A number of more digits than any cow has is refused by its length below.
    let value = digits.parse().unwrap_or(u64::MAX);
    match digits.len() {
        1..=9 => {
            let number = u32::try_from(value).ok().and_then(HerdNumber::new);
            number
                .map(Sought::Number)
                .ok_or_else(|| wrong(format!("no cow has the number {digits}")))
        }
        15 => {
            let tag = Iso11784::from_decimal(value).ok().filter(|tag| tag.country() > 0);
            tag.map(Sought::Tag).ok_or_else(|| wrong(format!("no animal carries the tag {digits}")))
        }
        many => Err(wrong(format!("{digits} has {many} digits"))),
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let farms = match &options.herd {
        Some(name) => vec![super::herd::chosen(&herd, Some(name))?],
        None => herd.herds()?,
    };
    let mut found = Vec::new();
    for farm in &farms {
        if let Some(animal) = animal(&herd, farm, &options.number)? {
            found.extend(CowHistory::gather(&herd, farm.herd, animal)?);
        }
    }
    match found.as_slice() {
        [] => Err(Failure::Said(not_there(&options.number, &farms))),
        [history] => {
            let said = options.paper.words(&history.settings).with_trial_ways(herd.trial_ways()?);
            let farm = farms.iter().find(|farm| farm.name == history.farm);
            let today = super::due::today(desk, farm.map_or("UTC", |farm| farm.zone.as_str()))?;
            let paper = options.paper.paper(&history.settings);
            let page = papers::page(history, &said, paper, today);
            options.paper.deliver(&page, "days", || papers::json(history))
        }
        several => {
            let names: Vec<&str> = several.iter().map(|one| one.farm.as_str()).collect();
            Err(Failure::Said(format!(
                "{} have a cow {}; choose one with --herd",
                names.join(" and "),
                options.number
            )))
        }
    }
}

/// The cow as the database names her: a tag may stand in the herd list beside a herd number.
fn animal(
    herd: &Database,
    farm: &Herd,
    sought: &Sought,
) -> Result<Option<AnimalId>, DatabaseError> {
    let (tag, number) = match sought {
        Sought::Number(number) => return Ok(AnimalId::from_number(AnimalNumber::Herd(*number))),
        // 15 digits may be either.
        Sought::Tag(tag) => (Some(*tag), tag.to_string()),
        Sought::Official(number) => (None, number.clone()),
    };
    let hers = |one: &ListedAnimal| {
        tag.is_some() && one.tag == tag || one.official.as_ref() == Some(&number)
    };
    let listed = herd.animals(farm.herd)?.into_iter().find(hers);
    let keyed = tag.and_then(|tag| AnimalId::from_number(AnimalNumber::Tag(tag)));
    Ok(listed.map(|one| one.animal).or(keyed))
}

fn not_there(sought: &Sought, farms: &[Herd]) -> String {
    let names: Vec<&str> = farms.iter().map(|farm| farm.name.as_str()).collect();
    let there = match names.as_slice() {
        [] => {
            return "there is no herd yet; import one with `hornrule herd import FILE --herd NAME`"
                .to_owned();
        }
        [name] => (*name).to_owned(),
        several => format!("any of {}", several.join(", ")),
    };
    let what_to_try = match sought {
        Sought::Number(_) => "`hornrule herd import` brings a new list",
        Sought::Tag(_) | Sought::Official(_) => {
            "tags come with the herd list (`hornrule herd import`); try her herd number"
        }
    };
    format!("there is no cow {sought} at {there}: {what_to_try}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_tags_are_read_and_their_mistakes_named() {
        let number = |n| Ok(Sought::Number(HerdNumber::new(n).unwrap()));
        assert_eq!(sought("104"), number(104));
        assert_eq!(sought("0104"), number(104));
        let tag = Sought::Tag(Iso11784::from_decimal(999_000_000_000_104).unwrap());
        assert_eq!(sought("999000000000104"), Ok(tag.clone()));
        assert_eq!(sought("999 0000 0000 0104"), Ok(tag));
        let number = Sought::Official("DE0312312345".to_owned());
        assert_eq!(sought("de 03 123 12345"), Ok(number));
        for (text, part) in [
            ("", "is no cow's number"),
            ("Berta", "`Berta` is no cow's number: it has not up to 12 digits"),
            ("-3", "has not 15 digits"),
            ("0", "no cow has the number 0"),
            ("1234567890", "has 10 digits"),
            ("99900000000010400000000000", "has 26 digits"),
            ("000123456789012", "no animal carries the tag 000123456789012"),
        ] {
            let said = sought(text).unwrap_err();
            assert!(said.contains(part) && said.contains("15 digits of her tag"), "{said}");
        }
    }
}
