//! `hornrule review list`: what waits, and what was decided.

use clap::Args;
use serde::Serialize;

use super::super::desk::device_name;
use super::super::herd::chosen;
use super::super::notices;
use super::super::{Desk, Failure};
use super::chosen::{Filter, label, names};
use hornrule_facts::{Day, Severity, plain};
use hornrule_herd::Database;
use hornrule_protocol::Place;
use hornrule_questions::due::{Asked, left_to_office};

/// List entries that are held or flagged, and cows left to the office
///
/// A cow that was left to the office at the chute (DO 90) is listed until the office notes that it has
/// looked: `hornrule due done COW --duty office`.
/// Says too where the latest visits have something to look at before the farm goes home.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule review list\n  \
                  hornrule review list --held --herd \"Alder Brook\" --day 2026-03-03 --json")]
pub(super) struct Options {
    #[command(flatten)]
    filter: Filter,
    /// List decided entries instead
    #[arg(long)]
    decided: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    entry: u32,
    handheld: String,
    log: String,
    herd: Option<String>,
    day: Option<String>,
    cow: Option<String>,
    place: String,
    severity: &'static str,
    rule: String,
    sentence: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    if options.json {
        println!("{}", super::super::json(&rows(options, &herd)?)?);
    } else {
        print!("{}", told(options, &herd)?);
        if !options.decided {
            let seen = notices::of_latest(&herd, &options.filter)?;
            seen.iter().for_each(|one| print!("{}", one.told()));
        }
    }
    Ok(())
}

/// What waits of some entries.
pub(super) fn waiting(filter: Filter, herd: &Database) -> Result<String, Failure> {
    told(&Options { filter, decided: false, json: false }, herd)
}

fn rows(options: &Options, herd: &Database) -> Result<Vec<Row>, Failure> {
    let names = names(herd)?;
    let noted = options.filter.noted(herd)?;
    let wanted =
        noted.into_iter().filter(|one| (one.severity == Severity::Settled) == options.decided);
    let row = |one: hornrule_herd::Noted| Row {
        entry: one.key.2.0,
        handheld: device_name(one.key.0),
        log: format!("{:08x}", one.key.1.0),
        herd: one.herd.and_then(|herd| names.get(&herd).cloned()),
        day: one.day.map(|day| day.to_string()),
        cow: one.animal.map(|animal| animal.to_string()),
        place: one.place.to_string(),
        severity: one.severity.name(),
        rule: one.rule,
        sentence: one.sentence,
    };
    let mut rows: Vec<Row> = wanted.map(row).collect();
    for one in left(options, herd)? {
        rows.push(Row {
            entry: one.id.2.0,
            handheld: device_name(one.id.0),
            log: format!("{:08x}", one.id.1.0),
            herd: names.get(&one.herd).cloned(),
            day: one.days.first().map(Day::to_string),
            cow: Some(one.animal.to_string()),
            place: Place::Cow.to_string(),
            severity: OFFICE,
            rule: LEFT.to_owned(),
            sentence: asks(&one),
        });
    }
    Ok(rows)
}

/// What stands where a remark has its severity.
const OFFICE: &str = "office";
/// What stands where a remark has its rule.
const LEFT: &str = "look-in-office";

/// The cows left to the office, of the farm, day and rule that are asked for.
fn left(options: &Options, herd: &Database) -> Result<Vec<Asked>, Failure> {
    let Filter { herd: farm, day, rule, held, flagged } = &options.filter;
    if options.decided || *held || *flagged || rule.as_ref().is_some_and(|rule| rule != LEFT) {
        return Ok(Vec::new());
    }
    let farm = farm.as_deref().map(|name| chosen(herd, Some(name))).transpose()?;
    let day = day.map(Day::from_date);
    let mut all = left_to_office(herd)?;
    all.retain(|one| {
        farm.as_ref().is_none_or(|farm| farm.herd == one.herd)
            && day.is_none_or(|day| one.days.contains(&day))
    });
    Ok(all)
}

/// "Cow 412: to be looked at in the office, asked on 2026-03-03 and 2026-03-17."
fn asks(one: &Asked) -> String {
    let days: Vec<String> = one.days.iter().map(Day::to_string).collect();
    let cow = one.animal;
    format!(
        "Cow {cow}: to be looked at in the office, asked on {}. When it is done: `hornrule due done \
         {cow} --duty office`.",
        days.join(" and ")
    )
}

fn told(options: &Options, herd: &Database) -> Result<String, Failure> {
    let several = herd.logs()?.len() > 1;
    let names = names(herd)?;
    let noted = options.filter.noted(herd)?;
    let mut text = String::new();
    let mut heading = None;
    let mut count = 0;
    for one in noted.iter().filter(|one| (one.severity == Severity::Settled) == options.decided) {
        let of = (one.herd, one.day);
        if heading != Some(of) {
            heading = Some(of);
            let farm = one.herd.and_then(|herd| names.get(&herd));
            let farm = farm.map_or("no known farm", String::as_str);
            let day = one.day.map_or_else(|| "day unknown".to_owned(), |day| day.to_string());
            text += &format!("{farm}, {day}\n");
        }
        count += 1;
        let entry = label(one.key, several);
        text += &format!("  {entry:<6} {:<8} {}\n", one.severity.name(), one.rule);
        text += &format!("         {}\n", one.sentence);
    }
    let left = left(options, herd)?;
    for of_farm in left.chunk_by(|one, next| one.herd == next.herd) {
        let farm = of_farm.first().and_then(|one| names.get(&one.herd));
        text += &format!("{}, left to the office\n", farm.map_or("no known farm", String::as_str));
        for one in of_farm {
            text += &format!("  {:<6} {OFFICE:<8} {LEFT}\n", label(one.id, several));
            text += &format!("         {}\n", asks(one));
        }
    }
    let what = if options.decided { "decided" } else { "waiting" };
    text += &format!("{} {what}\n", plain::count(count, "remark", "remarks"));
    if !left.is_empty() {
        text += &format!("{} left to the office\n", plain::count(left.len(), "cow", "cows"));
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_kit::{LH_OUT, Story, take_in, two_farms};

    #[test]
    fn what_waits_is_listed_by_farm_and_day() {
        let (mut herd, _) = two_farms();
        let mut story = Story::at_work();
        story.cow(312).read(1, 30_000, LH_OUT).find(13, 4, LH_OUT).act(90, Place::Cow);
        story.visit(7).cow(313);
        take_in(&mut herd, &story);
        let options = Options { filter: Filter::default(), decided: false, json: false };
        insta::assert_snapshot!(told(&options, &herd).unwrap());
        let held = Filter { rule: Some("off-grade".to_owned()), ..Filter::default() };
        let options = Options { filter: held, decided: false, json: true };
        assert_eq!(rows(&options, &herd).unwrap().len(), 1);
        let left = Filter { rule: Some(LEFT.to_owned()), ..Filter::default() };
        let options = Options { filter: left, decided: false, json: true };
        assert_eq!(rows(&options, &herd).unwrap().len(), 1);
        let nobody = Filter { herd: Some("Ahornhof".to_owned()), ..Filter::default() };
        assert!(nobody.noted(&herd).unwrap_err().to_string().contains("Lindenhof"));
    }
}
