//! `hornrule rules`: what is looked for, and by which numbers.

use std::path::Path;

use clap::Args;
use serde::Serialize;

use super::{Desk, Failure};
use hornrule_exchange::{RuleNumbers, read_rules};
use hornrule_facts::due_rules::HEADING;
use hornrule_facts::limits::shown;
use hornrule_facts::{DUE_RULES, DueRule, DueRules, Floors, Habits, Practice};
use hornrule_facts::{Limits, THRESHOLDS, Threshold};
use hornrule_files::input::{self, InputError};
use hornrule_herd::{Database, DatabaseError};
use hornrule_intake::{RULES, Rule, in_force, set_limits};

/// The file that is looked for beside the database.
const BESIDE: &str = "hornrule.toml";

/// List the rules that check every entry
///
/// Held: the entry waits for a decision and is in no report. Flagged: it is in the reports, with a
/// remark. Limits can be changed in `hornrule.toml` beside the database, or in a file named with
/// --config; the herd tables are then rebuilt automatically. The last heading, `due`, has the
/// intervals of `hornrule due`; those need no rebuild. `[practice]` says who trims, for letters and
/// sheets. Below `[plan]` stand the habits that `hornrule plan` loads (hind, front, bundle-1 to
/// bundle-9), and what the handheld warns of: the shortest wall after trimming in millimetres (floor,
/// floor-first in the first lactation, floor-jersey of a breed) and how far the heels of a foot may be
/// apart (heels).
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule rules\n  hornrule rules --json\n\n\
                  A file with other limits:\n  [said-twice]\n  within = 8\n  \
                  [short-after-trimming]\n  least = 72.5\n  [due]\n  block-off = 35\n  \
                  [practice]\n  name = \"Claw trimming at the ford\"\n  \
                  address = [\"Mill Lane 4\", \"Otterford\"]\n  phone = \"+44 1632 960123\"\n  \
                  [plan]\n  hind = \"inner\"\n  bundle-1 = \"31 this, 32 this, 10 partner\"\n  \
                  floor = 72.5\n  heels = 3")]
pub(super) struct Options {
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    rule: &'static str,
    severity: &'static str,
    looks_for: &'static str,
    numbers: Vec<NumberRow>,
}

#[derive(Serialize)]
struct NumberRow {
    name: &'static str,
    value: String,
    unit: &'static str,
    default: String,
    source: &'static str,
    /// From when to what days count.
    #[serde(skip_serializing_if = "Option::is_none")]
    counts: Option<&'static str>,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let numbers = read(desk.config(), desk.db())?.unwrap_or_default();
    let mut rows: Vec<Row> = RULES.iter().map(|rule| row(rule, &numbers.limits)).collect();
    rows.push(due_row(&numbers.due));
    if options.json {
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    print!("{}{}", told(&rows), who(&desk.practice()?));
    Ok(())
}

/// Who trims, below the numbers of the same file.
fn who(practice: &Practice) -> String {
    if practice.is_empty() {
        return "practice               not set: name, address, phone and email on letters and \
                sheets\n"
            .to_owned();
    }
    let Practice { name, address, phone, email } = practice;
    let address = address.join(", ");
    let lines = [("name", name), ("address", &address), ("phone", phone), ("email", email)];
    let said = lines.iter().filter(|(_, text)| !text.is_empty());
    let said: Vec<String> = said.map(|(key, text)| format!("    {key} = {text}\n")).collect();
    format!("practice               who trims, on letters and sheets\n{}", said.concat())
}

fn row(rule: &Rule, limits: &Limits) -> Row {
    let usual = Limits::default();
    let number = |threshold: &Threshold| NumberRow {
        name: threshold.key,
        value: shown(threshold.value(limits)),
        unit: threshold.unit,
        default: shown(threshold.value(&usual)),
        source: threshold.source,
        counts: None,
    };
    let numbers = THRESHOLDS.iter().filter(|threshold| threshold.rule == rule.id).map(number);
    Row {
        rule: rule.id,
        severity: rule.severity.name(),
        looks_for: rule.looks_for,
        numbers: numbers.collect(),
    }
}

/// The days until things are due, which hold and flag nothing.
fn due_row(rules: &DueRules) -> Row {
    let usual = DueRules::default();
    let number = |rule: &DueRule| NumberRow {
        name: rule.key,
        value: rule.days(rules).to_string(),
        unit: "days",
        default: rule.days(&usual).to_string(),
        source: rule.source,
        counts: Some(rule.counts),
    };
    Row {
        rule: HEADING,
        severity: "days",
        looks_for: "when things are due; a keyed day never puts off a safety rule",
        numbers: DUE_RULES.iter().map(number).collect(),
    }
}

fn told(rows: &[Row]) -> String {
    let mut text = String::new();
    for row in rows {
        text += &format!("{:<22} {:<8} {}\n", row.rule, row.severity, row.looks_for);
        for number in &row.numbers {
            let changed = if number.value == number.default {
                String::new()
            } else {
                format!(" (default {})", number.default)
            };
            let counts = number.counts.map_or_else(String::new, |counts| format!(", {counts}"));
            let NumberRow { name, value, unit, .. } = number;
            text += &format!("    {name} = {value} {unit}{changed}{counts}\n");
            // Numbers of one rule that share a source say it once, after the last.
            let next = row.numbers.iter().skip_while(|one| one.name != number.name).nth(1);
            if next.is_none_or(|next| next.source != number.source) {
                text += &format!("      source: {}\n", number.source);
            }
        }
    }
    text
}

/// The numbers of the file named, or of the one beside the database; `None` if there is none.
fn read(config: Option<&Path>, db: &Path) -> Result<Option<RuleNumbers>, Failure> {
    let beside = db.with_file_name(BESIDE);
    let file = config.unwrap_or(&beside);
    let text = match input::text(file, input::BY_HAND) {
        Ok(text) => text,
        Err(error) if error.is_missing() && config.is_none() => return Ok(None),
        Err(InputError::Io { source, .. }) => {
            return Err(Failure::Config {
                file: file.to_owned(),
                why: format!("cannot be read ({source}); check its path, or leave out --config"),
            });
        }
        Err(other) => return Err(other.into()),
    };
    let numbers = read_rules(&text)
        .map_err(|error| Failure::Config { file: file.to_owned(), why: error.to_string() })?;
    Ok(Some(numbers))
}

/// Who trims, as the file says; nothing where it says nothing.
pub(super) fn practice(config: Option<&Path>, db: &Path) -> Result<Practice, Failure> {
    Ok(read(config, db)?.unwrap_or_default().practice)
}

/// Where work starts, and what is always done together, as the file says.
pub(super) fn habits(desk: &Desk) -> Result<Habits, Failure> {
    Ok(read(desk.config(), desk.db())?.unwrap_or_default().habits)
}

/// What the handheld warns of, as the file says.
pub(super) fn floors(desk: &Desk) -> Result<Floors, Failure> {
    Ok(read(desk.config(), desk.db())?.unwrap_or_default().floors)
}

/// Puts the numbers in force that the file says, or the defaults. Says so where all had to be
/// derived again.
pub(super) fn put_in_force(
    herd: &mut Database,
    config: Option<&Path>,
    db: &Path,
) -> Result<(), Failure> {
    let RuleNumbers { limits, due, .. } = read(config, db)?.unwrap_or_default();
    if herd.is_read_only() {
        if herd.due_rules()? != due || !in_force(herd, &limits)? {
            eprintln!(
                "hornrule: the database can only be read; answers go by the rules and numbers that \
                 it was last written with"
            );
        }
        return Ok(());
    }
    herd.set_due_rules(&due)?;
    let again: Result<bool, DatabaseError> = set_limits(herd, &limits);
    if again? {
        eprintln!(
            "hornrule: rules or their numbers have changed; the herd tables were derived again"
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What people read, whole.
    #[test]
    fn the_rules_as_listed() {
        let limits = Limits { short_mm: 72_500, ..Limits::default() };
        let mut rows: Vec<Row> = RULES.iter().map(|rule| row(rule, &limits)).collect();
        assert_eq!(RULES.len(), rows.len());
        rows.push(due_row(&DueRules { block_off: 35, ..DueRules::default() }));
        let text = told(&rows);
        assert!(text.contains("block-off = 35 days (default 28)"));
        assert!(text.contains("least = 72.5 mm (default 70)"));
        insta::assert_snapshot!(text);
    }

    #[test]
    fn a_file_beside_the_database_counts_and_its_mistakes_are_named() {
        let folder = tempfile::tempdir().unwrap();
        let db = folder.path().join("herd.db");
        assert_eq!(read(None, &db).unwrap(), None);
        let file = folder.path().join(BESIDE);
        std::fs::write(&file, "[said-twice]\nwithin = 8\n").unwrap();
        assert_eq!(read(None, &db).unwrap().unwrap().limits.twice_s, 8000);
        std::fs::write(&file, "[said-twice]\nwithn = 8\n").unwrap();
        let error = read(None, &db).unwrap_err().to_string();
        assert!(error.contains("hornrule.toml") && error.contains("line 2"), "{error}");
        let other = folder.path().join("other.toml");
        assert!(matches!(read(Some(&other), &db), Err(Failure::Config { .. })));
    }

    #[test]
    fn who_trims_is_said_with_the_rules() {
        assert!(who(&Practice::default()).contains("not set"));
        let phone = "+44 1632 960123".to_owned();
        let known = Practice { phone, ..Practice::default() };
        assert_eq!(who(&known).lines().last(), Some("    phone = +44 1632 960123"));
    }

    /// Other numbers derive everything again, once.
    #[test]
    fn other_numbers_are_put_in_force_once() {
        use hornrule_kit::{Inspect, LH_OUT, Story, take_in, two_farms};
        let (mut herd, _) = two_farms();
        let mut story = Story::at_work();
        story.cow(312).act(30, LH_OUT).read(1, 7100, LH_OUT);
        take_in(&mut herd, &story);
        let before = herd.dump();
        let stricter = Limits { short_mm: 72_000, ..Limits::default() };
        assert!(set_limits(&mut herd, &stricter).unwrap());
        assert!(!set_limits(&mut herd, &stricter).unwrap());
        assert_eq!(herd.dump().len(), before.len() + 1, "short-after-trimming fires");
        // What comes later goes by the same numbers.
        let mut later = Story::at_work();
        later.cow(312).act(30, LH_OUT).read(1, 7100, LH_OUT).read(1, 7110, LH_OUT);
        let told = take_in(&mut herd, &later);
        let short = told.remarks.iter().filter(|one| one.rule == "short-after-trimming").count();
        assert_eq!(short, 2);
        assert!(set_limits(&mut herd, &Limits::default()).unwrap());
    }
}
