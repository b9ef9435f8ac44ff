//! The numbers of the rules as a text file, `hornrule.toml`.
//!
//! ```toml
//! [said-twice]               # a rule's id, as `hornrule rules` lists them
//! within = 8                 # seconds
//! [short-after-trimming]
//! least = 72.5               # millimetres
//! [due]                      # whole days until things are due
//! block-off = 35
//! [practice]                 # who trims, for letters and sheets: see `practice_toml`
//! phone = "+44 1632 960123"
//! [plan]                     # where work starts, bundles, floors: `habits`, `floors` of the facts
//! hind = "inner"
//! floor = 72.5
//! ```
//!
//! What is not named keeps its default. A heading or name that no rule has is an error, because a
//! slip of the pen would otherwise change nothing and say nothing.

use toml::de::{DeTable, DeValue};

use hornrule_facts::decimal::decimal;
use hornrule_facts::due_rules::{HEADING, MOST as MOST_DAYS};
use hornrule_facts::floors;
use hornrule_facts::habits::{self, NoHabit};
use hornrule_facts::limits::{Limits, MOST, PER_UNIT, THRESHOLDS};
use hornrule_facts::practice::HEADING as PRACTICE;
use hornrule_facts::{DUE_RULES, DueRules, Floors, Habits, Practice};
use hornrule_questions::toml_text::TomlText;

use crate::practice_toml::{PracticeError, read_practice};

/// Why a file was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RulesError {
    /// Not TOML.
    #[error("line {line} cannot be read: {why}; write it like `within = 8` below `[said-twice]`")]
    Text {
        /// The line.
        line: usize,
        /// What the reader says.
        why: String,
    },
    /// No such heading.
    #[error("line {line}: no rule with limits is named `{name}`; `hornrule rules` lists them")]
    Rule {
        /// The line.
        line: usize,
        /// What it says.
        name: String,
    },
    /// No such number of that rule.
    #[error("line {line}: the rule {rule} has no limit `{name}`; it has {known}")]
    Key {
        /// The line.
        line: usize,
        /// The rule.
        rule: String,
        /// What it says.
        name: String,
        /// What it could say.
        known: String,
    },
    /// A value that is no such number.
    #[error("line {line}: `{name}` must be a number from 0 to {MOST} with at most three decimals")]
    Value {
        /// The line.
        line: usize,
        /// Which number.
        name: String,
    },
    /// A value that is not a number of days.
    #[error("line {line}: `{name}` must be a whole number of days, 0 to {MOST_DAYS}")]
    Days {
        /// The line.
        line: usize,
        /// Which number.
        name: String,
    },
    /// Not a practice's name, address, phone or email.
    #[error(transparent)]
    Practice(#[from] PracticeError),
    /// A value that is no habit.
    #[error("line {line}: `{name}`: {what}")]
    Habit {
        /// The line.
        line: usize,
        /// Which.
        name: String,
        /// What is wrong, or what it should be.
        what: String,
    },
    /// Two ends the wrong way round.
    #[error("`{least}` is more than `{most}` of the rule unusual-length; change one of them")]
    Ends {
        /// The lower end.
        least: String,
        /// The upper end.
        most: String,
    },
}

/// All that such a file can name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RuleNumbers {
    /// What entries are checked against.
    pub limits: Limits,
    /// Days until things are due.
    pub due: DueRules,
    /// Who trims.
    pub practice: Practice,
    /// What the plan says of how this trimmer works.
    pub habits: Habits,
    /// What the plan warns of at the chute.
    pub floors: Floors,
}

/// Reads a file's text; what it does not name keeps its default.
///
/// # Errors
/// [`RulesError`].
pub fn read_rules(text: &str) -> Result<RuleNumbers, RulesError> {
    let text = TomlText(text);
    let table = DeTable::parse(text.0).map_err(|error| {
        let (line, why) = text.unread(&error);
        RulesError::Text { line, why }
    })?;
    let RuleNumbers { mut limits, mut due, mut practice, mut habits, mut floors } =
        RuleNumbers::default();
    for (heading, numbers) in table.get_ref() {
        let rule = heading.get_ref().as_ref();
        let known: Vec<_> = THRESHOLDS.iter().filter(|one| one.rule == rule).collect();
        let unknown = || RulesError::Rule { line: text.line(heading), name: rule.to_owned() };
        let DeValue::Table(numbers) = numbers.get_ref() else { return Err(unknown()) };
        if rule == HEADING {
            read_days(numbers, &mut due, text)?;
            continue;
        }
        if rule == PRACTICE {
            practice = read_practice(numbers, text)?;
            continue;
        }
        if rule == habits::HEADING {
            read_plan(numbers, (&mut habits, &mut floors), text)?;
            continue;
        }
        if known.is_empty() {
            return Err(unknown());
        }
        for (key, value) in numbers {
            let name = key.get_ref().as_ref();
            let Some(threshold) = known.iter().find(|one| one.key == name) else {
                let keys: Vec<&str> = known.iter().map(|one| one.key).collect();
                return Err(RulesError::Key {
                    line: text.line(key),
                    rule: rule.to_owned(),
                    name: name.to_owned(),
                    known: keys.join(", "),
                });
            };
            let number = match value.get_ref() {
                DeValue::Integer(number) if number.radix() == 10 => thousandths(number.as_str()),
                DeValue::Float(number) => thousandths(number.as_str()),
                _ => None,
            };
            let wrong = || RulesError::Value { line: text.line(value), name: name.to_owned() };
            threshold.set(&mut limits, number.ok_or_else(wrong)?);
        }
    }
    ends(&limits)?;
    Ok(RuleNumbers { limits, due, practice, habits, floors })
}

/// The days below `[due]`.
fn read_days(days: &DeTable<'_>, due: &mut DueRules, text: TomlText<'_>) -> Result<(), RulesError> {
    for (key, value) in days {
        let name = key.get_ref().as_ref();
        let Some(rule) = DUE_RULES.iter().find(|one| one.key == name) else {
            let keys: Vec<&str> = DUE_RULES.iter().map(|one| one.key).collect();
            return Err(RulesError::Key {
                line: text.line(key),
                rule: HEADING.to_owned(),
                name: name.to_owned(),
                known: keys.join(", "),
            });
        };
        let number = match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
            _ => None,
        };
        let wrong = || RulesError::Days { line: text.line(value), name: name.to_owned() };
        rule.set(due, number.filter(|days| *days <= MOST_DAYS).ok_or_else(wrong)?);
    }
    Ok(())
}

/// What stands below `[plan]`.
fn read_plan(
    said: &DeTable<'_>,
    (habits, floors): (&mut Habits, &mut Floors),
    text: TomlText<'_>,
) -> Result<(), RulesError> {
    for (key, value) in said {
        let name = key.get_ref().as_ref();
        let wrong = |what: String| RulesError::Habit {
            line: text.line(value),
            name: name.to_owned(),
            what,
        };
        let number = match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            _ => "",
        };
        if let Some(set) = floors.set(name, number) {
            set.map_err(wrong)?;
            continue;
        }
        let DeValue::String(words) = value.get_ref() else {
            return Err(wrong("must be text in quotes".to_owned()));
        };
        habits.set(name, words).map_err(|error| match error {
            NoHabit::Key => RulesError::Key {
                line: text.line(key),
                rule: habits::HEADING.to_owned(),
                name: name.to_owned(),
                known: format!("{}, {}", habits::KEYS, floors::KEYS),
            },
            NoHabit::Value(what) => wrong(what),
        })?;
    }
    Ok(())
}

/// "72.5" is 72,500; `None` for what is no such number.
fn thousandths(text: &str) -> Option<i64> {
    decimal(text, 3).filter(|number| *number <= MOST * PER_UNIT)
}

fn ends(limits: &Limits) -> Result<(), RulesError> {
    for pair in THRESHOLDS.windows(2) {
        let [least, most] = pair else { continue };
        let same = least.key.strip_suffix("-least").zip(most.key.strip_suffix("-most"));
        if same.is_some_and(|(a, b)| a == b) && least.value(limits) > most.value(limits) {
            return Err(RulesError::Ends {
                least: least.key.to_owned(),
                most: most.key.to_owned(),
            });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_named_changes_and_the_rest_does_not() {
        let text = "# ours\n[said-twice]\nwithin = 8\n\n[short-after-trimming]\nleast = 72.5\n";
        let limits = read_rules(text).unwrap().limits;
        let expected = Limits { twice_s: 8_000, short_mm: 72_500, ..Limits::default() };
        assert_eq!(limits, expected);
        assert_eq!(read_rules("").unwrap(), RuleNumbers::default());
        let due = read_rules("[due]\nblock-off = 35\nwrap-off = 0\n").unwrap().due;
        assert_eq!(due, DueRules { block_off: 35, wrap_off: 0, ..DueRules::default() });
        let said = "[plan]\nhind = \"inner\"\nbundle-1 = \"31 this, 10 partner\"\n";
        let habits = read_rules(said).unwrap().habits;
        let limits = read_rules("[plan]\nfloor = 72.5\nfloor-jersey = 68\nheels = 3\n").unwrap();
        assert_eq!((limits.floors.any, limits.floors.heels), (Some(145), Some(6)));
        assert_eq!(limits.floors.of_breed("Jersey"), Some(136));
        assert_eq!(habits.bundles().count(), 1);
        assert_eq!(habits.first_claws.of(hornrule_protocol::Foot::LeftHind).name(), "medial");
    }

    #[test]
    fn errors_name_the_line() {
        let cases = [
            "[said-twice]\nwithin = ",
            "[said-twice]\nwithin = 8\n[said-thrice]\nwithin = 8",
            "within = 8",
            "[said-twice]\nwithin = 8\nwihtin = 9",
            "[said-twice]\nwithin = \"8\"",
            "[said-twice]\nwithin = 0.0001",
            "[said-twice]\nwithin = -1",
            "[said-twice]\nwithin = 1e9",
            "[said-twice]\nwithin = 100001",
            "[unusual-length]\ndorsal-wall-length-least = 130",
            "[damaged]\nwithin = 1",
            "[due]\nrecheck = 14\nblock = 28",
            "[due]\nblock-off = 3651",
            "[due]\nblock-off = 28.5",
            "[due]\nblock-off = -1",
            "due = 28",
            "[plan]\nhind = \"left\"",
            "[plan]\nfore = \"outer\"",
            "[plan]\nfloor = \"72.5\"",
            "[plan]\nheels = 3.3",
            "[plan]\nbundle-1 = 31",
            "[plan]\nbundle-1 = \"31 this, 21 this\"",
        ];
        let told: Vec<String> =
            cases.iter().map(|text| read_rules(text).unwrap_err().to_string()).collect();
        insta::assert_snapshot!(told.join("\n"));
    }
}
