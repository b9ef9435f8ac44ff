//! `hornrule review decide` and `take-back`: a person's word about entries.

use std::io;

use clap::Args;

use super::super::text::{name, note};
use super::super::{Desk, Failure, say};
use super::chosen::{Filter, Log, Run, of_runs, run as read_run};
use super::interview::interview;
use hornrule_facts::AnimalId;
use hornrule_facts::Key;
use hornrule_facts::field;
use hornrule_facts::{Field, Verdict, plain};
use hornrule_herd::Database;
use hornrule_intake::decide::{Outcome, Signature};
use hornrule_intake::{decide, take_back};

/// Accept, correct, reassign or discard entries
///
/// Without a decision on the command line, each entry is shown and asked about. Without entries,
/// all that are held or flagged are taken, narrowed by --herd, --day, --rule, --held and --flagged.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule review decide\n  \
    hornrule review decide 41 --set grade=2 --who Anna --why \"M2 at the recheck\"\n  \
    hornrule review decide 52-57 --cow 313 --who Anna --why \"her number was in the gap\"\n  \
    hornrule review decide --herd \"Alder Brook\" --day 2026-03-03 --flagged --accept --who Anna \
    --why \"looked through\"")]
pub(super) struct Options {
    /// Entries, such as 41 or 41-47
    #[arg(
        value_name = "ENTRIES",
        value_parser = read_run,
        conflicts_with_all = ["herd", "day", "rule", "held", "flagged"]
    )]
    entries: Vec<Run>,
    #[command(flatten)]
    log: Log,
    #[command(flatten)]
    filter: Filter,
    #[command(flatten)]
    verdict: VerdictOptions,
    #[command(flatten)]
    said: SaidOptions,
}

#[derive(Debug, Args)]
#[group(multiple = false)]
struct VerdictOptions {
    /// Accept them as they are
    #[arg(long)]
    accept: bool,
    /// Discard them
    #[arg(long)]
    discard: bool,
    /// Give them to this cow
    #[arg(long, value_name = "NUMBER", value_parser = cow)]
    cow: Option<i64>,
    /// Correct a field: place, lesion, grade, zone, action, days, dimension, length,
    /// unit, scale, value, cow or farm
    #[arg(long, value_name = "FIELD=VALUE", value_parser = correction)]
    set: Vec<(Field, i64)>,
}

#[derive(Debug, Args)]
pub(super) struct SaidOptions {
    /// Name of the person who decides
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO", value_parser = name)]
    who: Option<String>,
    /// Reason
    #[arg(long, value_name = "REASON", value_parser = note)]
    why: Option<String>,
}

/// Take decisions back; both stay on record
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule review take-back 7 --who Anna --why \"wrong cow\"")]
pub(super) struct BackOptions {
    /// Numbers of the decisions, from `hornrule review show`
    #[arg(value_name = "DECISION", required = true)]
    decisions: Vec<i64>,
    #[command(flatten)]
    said: SaidOptions,
}

/// "312", or the 15 digits of a tag.
pub(super) fn cow(text: &str) -> Result<i64, String> {
    Field::Cow.read(text).ok_or_else(|| format!("`{text}` is not {}", Field::Cow.takes()))
}

/// "grade=2".
pub(super) fn correction(text: &str) -> Result<(Field, i64), String> {
    let (name, value) = text.split_once('=').ok_or("write it like grade=2")?;
    let field = Field::from_name(name.trim()).ok_or_else(|| {
        let names: Vec<&str> = Field::ALL.iter().map(|(_, name)| *name).collect();
        format!("there is no field `{}`; there are {}", name.trim(), names.join(", "))
    })?;
    let read = field.read(value).ok_or_else(|| format!("`{value}` is not {}", field.takes()))?;
    Ok((field, read))
}

/// A cow's number as decisions keep it.
pub(super) fn animal(number: i64) -> Option<AnimalId> {
    AnimalId::from_number(field::animal(number)?)
}

impl VerdictOptions {
    fn verdicts(&self) -> Vec<Verdict> {
        if self.accept {
            return vec![Verdict::Accept];
        }
        if self.discard {
            return vec![Verdict::Discard];
        }
        match self.cow.and_then(animal) {
            Some(animal) => vec![Verdict::Reassign(animal)],
            None => {
                self.set.iter().map(|(field, value)| Verdict::Correct(*field, *value)).collect()
            }
        }
    }
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let keys = if options.entries.is_empty() {
        options.filter.waiting(&herd)?
    } else {
        of_runs(&herd, &options.log, &options.entries)?
    };
    if keys.is_empty() {
        println!("Nothing waits for a decision.");
        return Ok(());
    }
    let verdicts = options.verdict.verdicts();
    let at_ms = desk.clock().unix_ms();
    if verdicts.is_empty() {
        let (who, why) = (options.said.who.clone(), options.said.why.clone());
        let (input, mut output) = (io::stdin(), say::Out);
        let signed = (who, why, at_ms);
        let done = interview(&mut herd, &keys, signed, &mut input.lock(), &mut output);
        return say::unless_closed(done);
    }
    let said = said(&options.said, at_ms);
    let asked: Vec<(Key, Verdict)> =
        keys.iter().flat_map(|key| verdicts.iter().map(move |verdict| (*key, *verdict))).collect();
    let outcome = decide(&mut herd, &said, &asked)?;
    print!("{}", told(&herd, &outcome)?);
    Ok(())
}

pub(super) fn back(options: &BackOptions, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let said = said(&options.said, desk.clock().unix_ms());
    let outcome = take_back(&mut herd, &said, &options.decisions)?;
    print!("{}", told(&herd, &outcome)?);
    Ok(())
}

pub(super) fn said(options: &SaidOptions, at_ms: i64) -> Signature {
    let text = |word: &Option<String>| word.clone().unwrap_or_default();
    Signature { who: text(&options.who), at_ms, why: text(&options.why) }
}

/// What was decided, and what still waits.
pub(super) fn told(herd: &Database, outcome: &Outcome) -> Result<String, Failure> {
    let numbers: Vec<String> = outcome.decisions.iter().map(ToString::to_string).collect();
    let what = plain::count(numbers.len(), "decision", "decisions");
    let mut text = format!("decided   {what}: {}\n", numbers.join(", "));
    for (seq, why) in &outcome.still_held {
        text += &format!("held      entry {}, still: {why}\n", seq.0);
    }
    let waiting = Filter::default().waiting(herd)?.len();
    text += &format!("waiting   {}\n", plain::count(waiting, "entry", "entries"));
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corrections_are_read_and_their_mistakes_named() {
        assert_eq!(correction("grade=2"), Ok((Field::Grade, 2)));
        assert_eq!(correction("place=LH outer"), Ok((Field::Place, 6)));
        let wrong =
            ["grade", "colour=2", "grade=x", "cow=0"].map(|text| correction(text).unwrap_err());
        insta::assert_snapshot!(wrong.join("\n"));
    }
}
