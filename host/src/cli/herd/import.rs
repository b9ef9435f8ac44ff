//! `hornrule herd import`: a herd list from a CSV file.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;
use hornrule_protocol::{AnimalNumber, HerdNumber};
use jiff::civil::Date;
use serde::Serialize;

use super::super::due::today;
use super::super::text::name;
use super::super::{Desk, Failure};
use hornrule_exchange::herd_csv::Encoding;
use hornrule_exchange::herd_merge::{Became, Difference, Field, How};
use hornrule_exchange::{HowToRead, Imported, Target, import_herd_as, preview_herd_as};
use hornrule_facts::{AnimalId, Day};
use hornrule_files::input;
use hornrule_herd::Database;

/// Import a herd list from a CSV file
///
/// The first line names the columns: `number` (needed), `tag` (15 digits, ISO 11784), `official`
/// (ear tag number), `name`, `born` and `calved` (like 2021-04-30), `breed`, `lactation`, `group`.
/// If the file uses other headings, give them with --map; they are remembered for the farm. Columns
/// are separated by comma, semicolon or tab. A list with a mistake is not imported at all.
///
/// A cow is recognised by her tag, else by her official number, else by her herd number. If she is
/// renumbered, she keeps her history. A cow no longer in the file leaves the list but stays in the
/// database. Changes are shown first; --yes accepts them without asking.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    hornrule herd import cows.csv --herd \"Alder Brook\" --farm 1 --zone Europe/Dublin\n  \
    hornrule herd import kuehe.csv --herd Lindenhof --map number=Stallnummer --map name=Name \
    --encoding latin-1 --dry-run")]
pub(super) struct Options {
    /// CSV file to import
    file: PathBuf,
    /// Farm's name
    #[arg(long, value_parser = name)]
    herd: String,
    /// Standing key that starts a visit there on a day without a plan: COW 0 KEY COW
    #[arg(long, value_name = "KEY")]
    farm: Option<u8>,
    /// Farm's time zone, an IANA name [default: unchanged; this computer's for a new farm]
    #[arg(long)]
    zone: Option<String>,
    /// The file's heading for a column; may be repeated. An empty heading clears it
    #[arg(long, value_name = "COLUMN=HEADING", value_parser = mapping)]
    map: Vec<(String, String)>,
    /// Encoding of the file: utf-8 or latin-1
    #[arg(long, value_name = "NAME", value_parser = encoding, default_value = "utf-8")]
    encoding: Encoding,
    /// Day from which new numbers apply [default: today]
    #[arg(long, value_name = "DATE")]
    since: Option<Date>,
    /// This number now belongs to another cow, though nothing in the file says so
    #[arg(long, value_name = "NUMBER", value_parser = cow)]
    other_cow: Vec<AnimalId>,
    /// This is the same cow, though birth date and tag differ
    #[arg(long, value_name = "NUMBER", value_parser = cow, conflicts_with = "other_cow")]
    same_cow: Vec<AnimalId>,
    /// Show what would change; import nothing
    #[arg(long)]
    dry_run: bool,
    /// Accept the changes without asking
    #[arg(long, short)]
    yes: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

fn mapping(text: &str) -> Result<(String, String), String> {
    let (field, heading) = text
        .split_once('=')
        .ok_or_else(|| format!("`{text}` is no mapping; write it like number=Stallnummer"))?;
    Ok((field.trim().to_lowercase(), heading.trim().to_lowercase()))
}

fn encoding(text: &str) -> Result<Encoding, String> {
    match text.to_lowercase().as_str() {
        "utf-8" | "utf8" => Ok(Encoding::Utf8),
        "latin-1" | "latin1" | "windows-1252" => Ok(Encoding::Windows1252),
        _ => Err(format!("`{text}` is none of: utf-8, latin-1")),
    }
}

fn cow(text: &str) -> Result<AnimalId, String> {
    let number = text.parse().ok().and_then(HerdNumber::new).map(AnimalNumber::Herd);
    number
        .and_then(AnimalId::from_number)
        .ok_or_else(|| format!("`{text}` is no herd number of 1 to 9 digits"))
}

#[derive(Serialize)]
struct ImportRow {
    imported: bool,
    added: u32,
    changed: u32,
    same: u32,
    left: u32,
    returned: u32,
    renumbered: u32,
    zone: String,
    ignored_columns: Vec<String>,
    cows: Vec<CowRow>,
}

/// A cow with changed data.
#[derive(Serialize)]
struct CowRow {
    cow: String,
    became: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    was: Option<String>,
    fields: Vec<FieldRow>,
}

#[derive(Serialize)]
struct FieldRow {
    field: &'static str,
    was: String,
    is: String,
}

pub(super) fn run(options: Options, desk: &Desk) -> Result<(), Failure> {
    let list = input::read(&options.file, input::LIST)?;
    let mut herd = desk.database()?;
    let (target, reading) = options.meant(&herd, desk)?;
    let wrong = |source| Failure::import(&options.file, source);
    let seen = preview_herd_as(&herd, &target, &reading, &list[..]).map_err(wrong)?;
    if options.dry_run {
        return options.tell(&target, seen, false, desk);
    }
    if touches(&seen) && !options.yes {
        eprint!("{}", told(&target, &seen));
        super::agree("nothing was imported")?;
    }
    let imported = import_herd_as(&mut herd, &target, &reading, &list[..]).map_err(wrong)?;
    options.tell(&target, imported, true, desk)
}

/// Whether the data of a cow already on the list would change.
const fn touches(seen: &Imported) -> bool {
    seen.changed + seen.left + seen.returned + seen.renumbered > 0
}

impl Options {
    fn meant(&self, herd: &Database, desk: &Desk) -> Result<(Target, HowToRead), Failure> {
        let herds = herd.herds()?;
        let there = herds.into_iter().find(|one| one.name == self.herd.trim());
        let zone = self.zone.clone().or_else(|| there.map(|one| one.zone));
        let zone = zone.unwrap_or_else(super::own_zone);
        // The import reports an unknown zone.
        let today = today(desk, &zone).or_else(|_| today(desk, "UTC"))?;
        let how = How {
            since: Some(self.since.map_or(today, Day::from_date)),
            other_cow: self.other_cow.iter().copied().collect::<BTreeSet<_>>(),
            same_cow: self.same_cow.iter().copied().collect(),
        };
        let headings = self.map.iter().cloned().collect();
        let reading = HowToRead { encoding: self.encoding, headings, how };
        Ok((Target { name: self.herd.clone(), farm: self.farm, zone }, reading))
    }

    fn tell(
        &self,
        target: &Target,
        told_of: Imported,
        imported: bool,
        desk: &Desk,
    ) -> Result<(), Failure> {
        if self.json {
            println!("{}", super::super::json(&row(target, told_of, imported))?);
            return Ok(());
        }
        print!("{}", told(target, &told_of));
        if self.zone.is_none() && told_of.new_farm {
            println!("{}", super::told_zone(&target.zone));
        }
        if imported {
            println!("database  {}", desk.db().display());
        } else {
            println!("Nothing was imported (--dry-run).");
        }
        Ok(())
    }
}

fn row(target: &Target, told: Imported, imported: bool) -> ImportRow {
    let Imported { added, changed, same, left, returned, renumbered, ignored, .. } = told;
    let cows = told.differences.iter().filter(|one| one.became != Became::Same).map(cow_row);
    ImportRow {
        imported,
        added,
        changed,
        same,
        left,
        returned,
        renumbered,
        zone: target.zone.clone(),
        ignored_columns: ignored,
        cows: cows.collect(),
    }
}

type Fields = [(Field, String, String)];

/// The word for the change, her old number, and the fields that changed.
fn parts(became: &Became) -> (&'static str, Option<AnimalId>, &Fields) {
    match became {
        Became::Added => ("added", None, &[]),
        Became::Changed(fields) => ("changed", None, fields),
        Became::Same => ("same", None, &[]),
        Became::Left => ("left", None, &[]),
        Became::Returned(fields) => ("returned", None, fields),
        Became::Renumbered { was, changed } => ("renumbered", Some(*was), changed),
        Became::NumberGivenAnew { was } => ("number given to another cow", Some(*was), &[]),
    }
}

fn cow_row(difference: &Difference) -> CowRow {
    let (became, was, fields) = parts(&difference.became);
    let fields = fields.iter().map(|(field, was, is)| FieldRow {
        field: field.key(),
        was: was.clone(),
        is: is.clone(),
    });
    CowRow {
        cow: difference.animal.to_string(),
        became,
        was: was.map(|was| was.to_string()),
        fields: fields.collect(),
    }
}

/// Counts, and a line for each cow with changed data. New cows are only counted.
fn told(target: &Target, told: &Imported) -> String {
    let Imported { added, changed, same, left, returned, renumbered, .. } = told;
    let mut text = format!(
        "herd      {}\ncows      {added} added, {changed} changed, {same} as they were, {left} \
         left the herd",
        target.name
    );
    if *returned > 0 {
        text += &format!(", {returned} returned");
    }
    if *renumbered > 0 {
        text += &format!(", {renumbered} renumbered");
    }
    text += "\n";
    for difference in &told.differences {
        if matches!(difference.became, Became::Same | Became::Added) {
            continue;
        }
        let (word, was, fields) = parts(&difference.became);
        let cow = match was {
            Some(was) => format!("{was} -> {}", difference.animal),
            None => difference.animal.to_string(),
        };
        text += &format!("  {cow:<20} {word}");
        for (at, (field, was, is)) in fields.iter().enumerate() {
            let none =
                |text: &str| if text.is_empty() { "none".to_owned() } else { text.to_owned() };
            let separator = if at == 0 { ": " } else { ", " };
            text += &format!("{separator}{} {} -> {}", field.key(), none(was), none(is));
        }
        text += "\n";
    }
    if !told.ignored.is_empty() {
        text += &format!("ignored   columns {}\n", told.ignored.join(", "));
    }
    text
}
