//! `hornrule herd import`: a herd list from a CSV file.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;
use hornrule_protocol::{AnimalNumber, HerdNumber};
use jiff::civil::Date;

use super::super::due::today;
use super::super::text::name;
use super::super::{Desk, Failure};
use super::changes;
use hornrule_exchange::herd_csv::Encoding;
use hornrule_exchange::herd_merge::How;
use hornrule_exchange::{HowToRead, Imported, Target, import_herd_seen, preview_herd_as};
use hornrule_facts::{AnimalId, Day};
use hornrule_files::input;
use hornrule_herd::Database;

/// Import a herd list from a CSV file
///
/// The first line names the columns: `number` (needed), `tag` (15 digits, ISO 11784), `official`
/// (ear tag number), `name`, `born` and `calved` (like 2021-04-30), `breed`, `lactation`, `group`.
/// If the file uses other headings, give them with --map; they are remembered for the farm. Columns
/// are separated by comma, semicolon or tab. All mistakes of a list are shown at once, and a list with
/// a mistake is not imported at all.
///
/// A cow is recognised by her tag, else by her official number, else by her herd number. If she is
/// renumbered, she keeps her history. A cow no longer in the file leaves the list but stays in the
/// database. What each cow becomes is shown first, and then you are asked; --yes accepts it without
/// asking.
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
    /// Accept what is shown without asking; needed where there is no terminal
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

pub(super) fn run(options: Options, desk: &Desk) -> Result<(), Failure> {
    let list = input::read(&options.file, input::LIST)?;
    let herd = desk.database_or_none()?;
    let (target, reading) = options.meant(&herd, desk)?;
    let wrong = |source| Failure::import(&options.file, source);
    let seen = preview_herd_as(&herd, &target, &reading, &list[..]).map_err(wrong)?;
    drop(herd);
    if options.dry_run {
        return options.tell(&target, seen, false, desk);
    }
    changes::accepted(&changes::told(&target, &seen), &seen, options.yes)?;
    let mut herd = desk.database()?;
    let imported =
        import_herd_seen(&mut herd, &target, &reading, &seen, &list[..]).map_err(wrong)?;
    options.tell(&target, imported, true, desk)
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
            part: false,
        };
        let headings = self.map.iter().cloned().collect();
        let today = Some(today);
        let reading = HowToRead { encoding: self.encoding, headings, how, today };
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
            println!("{}", super::super::json(&changes::row(told_of, imported, &target.zone))?);
            return Ok(());
        }
        print!("{}", changes::told(target, &told_of));
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
