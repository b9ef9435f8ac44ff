//! `hornrule herd list` and `show`: which farms there are, and how each is set.

use clap::Args;
use serde::Serialize;

use super::super::{Desk, Failure};
use hornrule_facts::{FarmSettings, Herd};
use hornrule_herd::Database;

/// List the farms in the database
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule herd list\n  hornrule herd list --json")]
pub(super) struct Options {
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// Show a farm's settings: language, unit, paper, target, currency, round
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule herd show --herd \"Alder Brook\"")]
pub(super) struct ShowOptions {
    /// Farm's name; needed if there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

/// What a script sees of a farm.
#[derive(Serialize)]
pub(super) struct Row {
    herd: String,
    farm: Option<u8>,
    zone: String,
    cows: usize,
    language: &'static str,
    unit: &'static str,
    paper: &'static str,
    /// Millimetres.
    target: Option<f64>,
    currency: String,
    address: Vec<String>,
    route: Option<u16>,
    vet: Vec<String>,
}

impl Row {
    pub(super) fn of(herd: &Database, listed: Herd) -> Result<Self, Failure> {
        let cows = herd.cows_listed(listed.herd)?;
        let Herd { name, farm, zone, settings, .. } = listed;
        let FarmSettings { language, unit, paper, target, currency, address, route, vet } =
            settings;
        Ok(Self {
            herd: name,
            farm,
            zone,
            cows,
            language: language.code(),
            unit: unit.code(),
            paper: paper.code(),
            target: target.map(|target| target.as_mm()),
            currency: currency.code().to_owned(),
            address,
            route,
            vet,
        })
    }

    pub(super) fn told(&self) -> String {
        let none = |what: &str| format!("none ({what})");
        let farm = self.farm.map_or_else(|| none("--key"), |farm| farm.to_string());
        let target =
            self.target.map_or_else(|| none("--target"), |mm| format!("{mm} mm dorsal wall"));
        let route = self.route.map_or_else(|| none("--route"), |route| route.to_string());
        let lines = |lines: &[String], what: &str| match lines {
            [] => none(what),
            lines => lines.join("\n          "),
        };
        let (address, vet) = (lines(&self.address, "--address"), lines(&self.vet, "--vet"));
        format!(
            "herd      {}\nfarm      {farm}\nzone      {}\ncows      {}\nlanguage  {}\n\
             unit      {}\npaper     {}\ntarget    {target}\ncurrency  {}\nroute     {route}\n\
             address   {address}\nvet       {vet}\n",
            self.herd, self.zone, self.cows, self.language, self.unit, self.paper, self.currency
        )
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let rows: Result<Vec<Row>, Failure> =
        herd.herds()?.into_iter().map(|listed| Row::of(&herd, listed)).collect();
    let rows = rows?;
    if options.json {
        println!("{}", super::super::json(&rows)?);
        return Ok(());
    }
    if rows.is_empty() {
        println!("There is no herd yet; import one with `hornrule herd import FILE --herd NAME`");
    }
    for row in rows {
        let farm = row.farm.map_or_else(|| "no farm key".to_owned(), |farm| format!("farm {farm}"));
        println!("{:<28} {farm:<12} {:<20} {} cows", row.herd, row.zone, row.cows);
    }
    Ok(())
}

pub(super) fn show(options: &ShowOptions, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let row = Row::of(&herd, super::chosen(&herd, options.herd.as_deref())?)?;
    if options.json {
        println!("{}", super::super::json(&row)?);
    } else {
        print!("{}", row.told());
    }
    Ok(())
}
