//! What an import of a herd list changes: shown, and asked about.

use serde::Serialize;

use super::super::Failure;
use hornrule_exchange::herd_merge::{Became, Difference, Field};
use hornrule_exchange::{Imported, Target};
use hornrule_facts::AnimalId;

/// Rows of added cows on the terminal: the first list of a farm has nothing else.
const MOST_ADDED: u32 = 30;

/// Shows what an import would change and asks. Nothing is asked where nothing changes, or where it
/// was accepted before.
///
/// # Errors
/// [`Failure`] where it was not accepted, or nobody can be asked.
pub(in super::super) fn accepted(preview: &str, seen: &Imported, yes: bool) -> Result<(), Failure> {
    if yes || seen.differences.iter().all(|one| one.became == Became::Same) {
        return Ok(());
    }
    eprint!("{preview}");
    super::agree("nothing was imported")
}

#[derive(Serialize)]
pub(in super::super) struct ImportRow {
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
    name: Option<String>,
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

/// What a script sees.
pub(in super::super) fn row(told: Imported, imported: bool, zone: &str) -> ImportRow {
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
        zone: zone.to_owned(),
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
        name: difference.name.clone(),
        became,
        was: was.map(|was| was.to_string()),
        fields: fields.collect(),
    }
}

/// Counts, and a line for each cow that is not as she was.
pub(in super::super) fn told(target: &Target, told: &Imported) -> String {
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
    let mut more = 0u32;
    let mut shown = 0;
    for difference in &told.differences {
        match difference.became {
            Became::Same => continue,
            Became::Added if shown == MOST_ADDED => {
                more += 1;
                continue;
            }
            Became::Added => shown += 1,
            _ => {}
        }
        text += &line(difference);
    }
    if more > 0 {
        text += &format!("  and {more} more are added; --json shows them all\n");
    }
    if !told.ignored.is_empty() {
        text += &format!("ignored   columns {}\n", told.ignored.join(", "));
    }
    text
}

fn line(difference: &Difference) -> String {
    let (word, was, fields) = parts(&difference.became);
    let number = match was {
        Some(was) => format!("{was} -> {}", difference.animal),
        None => difference.animal.to_string(),
    };
    let cow = format!("{number} {}", difference.name.as_deref().unwrap_or_default());
    let mut text = format!("  {:<28} {word}", cow.trim_end());
    for (at, (field, was, is)) in fields.iter().enumerate() {
        let none = |text: &str| if text.is_empty() { "none".to_owned() } else { text.to_owned() };
        let separator = if at == 0 { ": " } else { ", " };
        text += &format!("{separator}{} {} -> {}", field.key(), none(was), none(is));
    }
    text + "\n"
}
