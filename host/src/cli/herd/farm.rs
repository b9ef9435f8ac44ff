//! A farm's name, time zone and standing key: what changes, and what that moves.

use clap::Args;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::super::due::today;
use super::super::{Desk, Failure};
use super::{agree, effect};
use hornrule_facts::{Day, Herd, standing_at};
use hornrule_herd::Database;
use hornrule_intake::{FarmChange, KeyChange, preview_farm, set_farm};

/// What says which farm and which day records are of.
#[derive(Debug, Args)]
pub(super) struct FarmOptions {
    /// Another name for the farm
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Its time zone, an IANA name
    #[arg(long, value_name = "ZONE")]
    zone: Option<String>,
    /// Its standing key, 1 to 9, or none: what starts a visit there on a day without a plan
    #[arg(long, value_name = "KEY", value_parser = key)]
    key: Option<Standing>,
    /// Day from which the key stands for it, or always [default: today; always for a key that no
    /// other farm ever had]
    #[arg(long, value_name = "DATE", value_parser = since, requires = "key")]
    since: Option<Since>,
    /// Accept what moves without asking
    #[arg(long, short)]
    yes: bool,
}

/// A key, or none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Standing(Option<u8>);

/// From a day on, or always.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Since(Option<Day>);

fn key(text: &str) -> Result<Standing, String> {
    if text == "none" {
        return Ok(Standing(None));
    }
    let key = text.parse().ok().filter(|key| (1..=9).contains(key));
    key.map(|key| Standing(Some(key)))
        .ok_or_else(|| format!("`{text}` is no key; give 1 to 9, or none"))
}

fn since(text: &str) -> Result<Since, String> {
    if text == "always" {
        return Ok(Since(None));
    }
    let date: Result<Date, _> = text.parse();
    date.map(|date| Since(Some(Day::from_date(date))))
        .map_err(|_| format!("`{text}` is no date like 2026-03-24; give one, or always"))
}

impl FarmOptions {
    /// Changes the farm as asked, with what that moves shown first. Gives its name after that.
    pub(super) fn apply(
        &self,
        database: &mut Database,
        herd: &Herd,
        desk: &Desk,
        quiet: bool,
    ) -> Result<String, Failure> {
        let change = self.change(database, herd, desk)?;
        if change == FarmChange::default() {
            return Ok(herd.name.clone());
        }
        let moves = preview_farm(database, herd, &change).map_err(Failure::farm)?;
        let said = said(database, herd, &change)? + &effect::told(database, &moves)?;
        if moves.is_empty() || self.yes {
            if !quiet {
                print!("{said}");
            }
        } else {
            eprint!("{said}");
            agree("nothing was changed")?;
        }
        set_farm(database, herd, &change).map_err(Failure::farm)?;
        Ok(change.name.unwrap_or_else(|| herd.name.clone()))
    }

    fn change(&self, database: &Database, herd: &Herd, desk: &Desk) -> Result<FarmChange, Failure> {
        let differs = |now: &str, asked: &Option<String>| {
            asked.as_deref().map(str::trim).filter(|asked| *asked != now).map(str::to_owned)
        };
        let zone = differs(&herd.zone, &self.zone);
        // The change itself reports an unknown zone.
        let known = zone.as_deref().filter(|zone| TimeZone::get(zone).is_ok());
        let today = today(desk, known.unwrap_or(&herd.zone))?;
        let key = match self.key {
            None => None,
            Some(Standing(key)) => {
                let said = database.standing_keys()?;
                let others =
                    |key: u8| said.iter().any(|one| one.key == key && one.herd != herd.herd);
                let usual = key.is_none_or(others).then_some(today);
                let since = self.since.map_or(usual, |since| since.0);
                Some(KeyChange { key, since, today })
            }
        };
        Ok(FarmChange { name: differs(&herd.name, &self.name), zone, key })
    }
}

/// What changes, a line each.
fn said(database: &Database, herd: &Herd, change: &FarmChange) -> Result<String, Failure> {
    let mut text = String::new();
    if let Some(name) = &change.name {
        text += &format!(
            "name      {} -> {name}; a price list or study that names the farm needs the new name\n",
            herd.name
        );
    }
    if let Some(zone) = &change.zone {
        text += &format!("zone      {} -> {zone}; days are the farm's own\n", herd.zone);
    }
    let Some(KeyChange { key, since, .. }) = change.key else { return Ok(text) };
    let from = since.map_or_else(|| "always".to_owned(), |since| format!("from {since} on"));
    let Some(key) = key else { return Ok(text + &format!("key       none, {from}\n")) };
    text += &format!("key       {key}, {from}\n");
    let (said, herds) = (database.standing_keys()?, database.herds()?);
    let other = standing_at(&said, key, |_| since).filter(|other| *other != herd.herd);
    if let Some(other) = herds.iter().find(|one| Some(one.herd) == other) {
        text += &format!("          until then it stands for {}\n", other.name);
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_days_are_read_or_refused() {
        assert_eq!(key("3"), Ok(Standing(Some(3))));
        assert_eq!(key("none"), Ok(Standing(None)));
        assert_eq!(since("always"), Ok(Since(None)));
        assert_eq!(since("1970-01-02"), Ok(Since(Some(Day(1)))));
        for wrong in ["0", "10", "-1", ""] {
            assert!(key(wrong).is_err(), "{wrong}");
        }
        assert!(since("tomorrow").is_err());
    }
}
