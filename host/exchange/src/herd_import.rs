//! Brings a herd list into the database, or says what that would change.
//!
//! ```text
//! file --herd_csv--> cows --herd_merge--> list after, differences, renumberings
//!                                             |  one transaction
//!                          animal, renumbered, heading; herd tables derived again
//! ```
//!
//! Cows that are not in the file any more are kept with `in_herd` 0, because their records are.

use std::collections::BTreeMap;
use std::io::Read;

use jiff::tz::TimeZone;

use super::error::ImportError;
use super::herd_csv::{self, Encoding, File, Headings, is_column};
use super::herd_merge::{Became, Difference, How, Merged, merge};
use hornrule_facts::text::{NAME, fitting};
use hornrule_facts::{AnimalId, Day, Herd, HerdId, ListedAnimal, Renumbered};
use hornrule_herd::{Database, Fault, Rows};
use hornrule_intake::{give_key_with_list, rebuild_rows, recheck_rows};

/// Which herd a list is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    /// The farm's name; a new one makes a new herd.
    pub name: String,
    /// Its standing key, 1 to 9: what is keyed to start a visit there on a day without a plan; `None`
    /// leaves it as it is.
    pub farm: Option<u8>,
    /// IANA time zone, for example `Europe/Berlin`.
    pub zone: String,
}

/// How a file is to be read and taken.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HowToRead {
    /// How its bytes are letters.
    pub encoding: Encoding,
    /// What it calls our columns, beside what the farm's last file was told; an empty heading
    /// forgets.
    pub headings: Headings,
    /// How cows are known again.
    pub how: How,
    /// The day it is at the farm: no birth and no calving is after it. `None` asks for no such thing.
    pub today: Option<Day>,
}

/// What an import did, or would do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imported {
    /// The herd; number 0 where it would be a new one.
    pub herd: HerdId,
    /// Whether the farm is new.
    pub new_farm: bool,
    /// Cows that were not in the list.
    pub added: u32,
    /// Cows with changed data.
    pub changed: u32,
    /// Cows that are as they were.
    pub same: u32,
    /// Cows that were in the herd and are not in the file.
    pub left: u32,
    /// Cows that had left and are back.
    pub returned: u32,
    /// Cows that have another number; those whose number was given to another among them.
    pub renumbered: u32,
    /// Columns that were ignored.
    pub ignored: Vec<String>,
    /// What becomes of each cow, by number.
    pub differences: Vec<Difference>,
}

/// Imports a herd list as it is, by its own column names, and looks for no renumbered cows.
///
/// # Errors
/// [`ImportError`]; nothing is imported then.
pub fn import_herd(
    herd: &mut Database,
    target: &Target,
    list: impl Read,
) -> Result<Imported, ImportError> {
    import_herd_as(herd, target, &HowToRead::default(), list)
}

/// Imports a herd list, and brings the herd tables in line with it.
///
/// # Errors
/// [`ImportError`]; nothing is imported then.
pub fn import_herd_as(
    herd: &mut Database,
    target: &Target,
    reading: &HowToRead,
    list: impl Read,
) -> Result<Imported, ImportError> {
    import(herd, target, reading, None, list)
}

/// The same, if it still does what a preview said that it would.
///
/// # Errors
/// [`ImportError`]; nothing is imported then.
pub fn import_herd_seen(
    herd: &mut Database,
    target: &Target,
    reading: &HowToRead,
    seen: &Imported,
    list: impl Read,
) -> Result<Imported, ImportError> {
    import(herd, target, reading, Some(seen), list)
}

fn import(
    herd: &mut Database,
    target: &Target,
    reading: &HowToRead,
    seen: Option<&Imported>,
    list: impl Read,
) -> Result<Imported, ImportError> {
    let bytes = read(target, list)?;
    herd.write_or_not(|rows| {
        let plan = match plan(rows, target, reading, &bytes)? {
            Ok(plan) => plan,
            Err(refused) => return Ok(Err(refused)),
        };
        if seen.is_some_and(|seen| *seen != plan.told()) {
            return Ok(Err(ImportError::Changed));
        }
        Ok(Ok(apply(rows, target, plan)?))
    })
}

/// What an import would do; writes nothing.
///
/// # Errors
/// [`ImportError`], as the import itself.
pub fn preview_herd(
    herd: &Database,
    target: &Target,
    list: impl Read,
) -> Result<Imported, ImportError> {
    preview_herd_as(herd, target, &HowToRead::default(), list)
}

/// The same of [`import_herd_as`].
///
/// # Errors
/// [`ImportError`], as the import itself.
pub fn preview_herd_as(
    herd: &Database,
    target: &Target,
    reading: &HowToRead,
    list: impl Read,
) -> Result<Imported, ImportError> {
    let bytes = read(target, list)?;
    let plan = herd.read(|rows| plan(rows, target, reading, &bytes))??;
    Ok(plan.told())
}

/// Holds the target to what can be, and reads the file's bytes.
fn read(target: &Target, mut list: impl Read) -> Result<Vec<u8>, ImportError> {
    if target.name.trim().is_empty() {
        return Err(ImportError::NoName);
    }
    fitting(&target.name, NAME).map_err(|why| ImportError::Name { why })?;
    if TimeZone::get(&target.zone).is_err() {
        return Err(ImportError::Zone { zone: target.zone.clone() });
    }
    if let Some(farm) = target.farm.filter(|farm| !(1..=9).contains(farm)) {
        return Err(ImportError::FarmDigit { farm });
    }
    let mut bytes = Vec::new();
    list.read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A list neither takes a key from another farm nor changes that of its own.
fn check_farm(herds: &[Herd], target: &Target) -> Result<(), ImportError> {
    let Some(farm) = target.farm else { return Ok(()) };
    for herd in herds {
        let name = || herd.name.clone();
        match (herd.name == target.name.trim(), herd.farm) {
            (true, Some(has)) if has != farm => {
                return Err(ImportError::OtherKey { farm, has, name: name() });
            }
            (false, Some(has)) if has == farm => {
                return Err(ImportError::FarmTaken { farm, name: name() });
            }
            _ => {}
        }
    }
    Ok(())
}

/// All that an import will write.
struct Plan {
    there: Option<Herd>,
    before: Vec<ListedAnimal>,
    merged: Merged,
    renumbered: Vec<Renumbered>,
    headings: Headings,
    ignored: Vec<String>,
    /// The day of the import.
    today: Option<Day>,
}

fn plan(
    rows: &Rows<'_>,
    target: &Target,
    reading: &HowToRead,
    bytes: &[u8],
) -> Result<Result<Plan, ImportError>, Fault> {
    let herds = rows.herds()?;
    if let Err(taken) = check_farm(&herds, target) {
        return Ok(Err(taken));
    }
    let there = herds.into_iter().find(|herd| herd.name == target.name.trim());
    let (mut before, mut renumbered, mut headings) = (Vec::new(), Vec::new(), Headings::new());
    if let Some(there) = &there {
        before = rows.animals(there.herd)?;
        renumbered = rows.renumbered(there.herd)?;
        headings.extend(rows.headings(there.herd)?);
    }
    for (field, heading) in &reading.headings {
        if !is_column(field) {
            return Ok(Err(ImportError::NoField { field: field.clone() }));
        }
        if heading.is_empty() {
            headings.remove(field);
        } else {
            headings.insert(field.clone(), heading.to_lowercase());
        }
    }
    let file = match herd_csv::parse(bytes, reading.encoding, &headings, reading.today) {
        Ok(file) => file,
        Err(refused) => return Ok(Err(refused)),
    };
    let File { cows, has, ignored } = file;
    let merged = merge(&before, &cows, &has, &reading.how, reading.how.since);
    if let Some(since) = reading.how.since {
        let last = renumbered.iter().map(|one| one.since).max();
        if let Some(last) = last.filter(|last| *last > since && !merged.renumbered.is_empty()) {
            return Ok(Err(ImportError::TooEarly { since, last }));
        }
        renumbered = composed(renumbered, since, &merged.renumbered);
    }
    let today = reading.how.since;
    Ok(Ok(Plan { there, before, merged, renumbered, headings, ignored, today }))
}

/// What was, and after it on one more day. Two renumberings of one day become one.
fn composed(all: Vec<Renumbered>, since: Day, new: &[(AnimalId, AnimalId)]) -> Vec<Renumbered> {
    let mut next: BTreeMap<AnimalId, AnimalId> = new.iter().copied().collect();
    let (same_day, mut composed): (Vec<_>, Vec<_>) =
        all.into_iter().partition(|one| one.since == since);
    for mut one in same_day {
        one.now = next.remove(&one.now).unwrap_or(one.now);
        composed.push(one);
    }
    composed.extend(next.into_iter().map(|(was, now)| Renumbered { since, was, now }));
    // There and back again on one day is no renumbering.
    composed.retain(|one| one.was != one.now);
    composed.sort_unstable();
    composed
}

impl Plan {
    fn told(&self) -> Imported {
        let mut told = Imported {
            herd: self.there.as_ref().map_or(HerdId(0), |there| there.herd),
            new_farm: self.there.is_none(),
            added: 0,
            changed: 0,
            same: 0,
            left: 0,
            returned: 0,
            renumbered: 0,
            ignored: self.ignored.clone(),
            differences: self.merged.differences.clone(),
        };
        for difference in &told.differences {
            match difference.became {
                Became::Added => told.added += 1,
                Became::Changed(_) => told.changed += 1,
                Became::Same => told.same += 1,
                Became::Left => told.left += 1,
                Became::Returned(_) => told.returned += 1,
                Became::Renumbered { .. } | Became::NumberGivenAnew { .. } => told.renumbered += 1,
            }
        }
        told
    }
}

fn apply(rows: &Rows<'_>, target: &Target, plan: Plan) -> Result<Imported, Fault> {
    let (herd, placed_anew) = match &plan.there {
        Some(there) => {
            rows.update_herd(there.herd, &there.name, &target.zone)?;
            let keyed = target.farm.is_some_and(|key| there.farm != Some(key));
            (there.herd, keyed || target.zone != there.zone)
        }
        None => (rows.insert_herd(target.name.trim(), None, &target.zone)?, true),
    };
    if let Some(key) = target.farm {
        give_key_with_list(rows, herd, key, plan.today)?;
    }
    let told = Imported { herd, ..plan.told() };
    let Plan { before, merged, renumbered, headings, .. } = plan;
    rows.write_animals(herd, &merged.after)?;
    rows.write_renumbered(herd, &renumbered)?;
    rows.write_headings(herd, &headings.into_iter().collect::<Vec<_>>())?;
    // Numbers and tags say who is meant, key and zone say which farm and day: all that is derived
    // anew. Anything else only matters to what is asked of the herd's history.
    let cows = |list: &[ListedAnimal]| -> Vec<_> {
        list.iter().map(|one| (one.animal, one.tag)).collect()
    };
    if placed_anew || !merged.renumbered.is_empty() || cows(&before) != cows(&merged.after) {
        rebuild_rows(rows)?;
    }
    recheck_rows(rows, herd)?;
    Ok(told)
}

#[cfg(test)]
mod tests;
