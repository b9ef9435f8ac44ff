//! Who trims, below `[practice]` in `hornrule.toml`.

use hornrule_facts::Practice;
use hornrule_questions::toml_text::TomlText;
use toml::de::{DeTable, DeValue};

/// No line is longer, in characters: it would not fit on a letter's head.
pub const LONGEST: usize = 100;
/// An address has no more lines.
pub const MOST_LINES: usize = 8;

/// Why a practice was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PracticeError {
    /// No such line.
    #[error("line {line}: [practice] has no `{name}`; it has name, address, phone, email")]
    Key {
        /// The line.
        line: usize,
        /// What it says.
        name: String,
    },
    /// Not text of one line.
    #[error("line {line}: `{name}` must be one line of text, up to {LONGEST} characters")]
    Text {
        /// The line.
        line: usize,
        /// Which.
        name: &'static str,
    },
    /// Not lines of text.
    #[error(
        "line {line}: `address` must be up to {MOST_LINES} lines of text, like [\"Mill Lane 4\", \
         \"Otterford\"]"
    )]
    Lines {
        /// The line.
        line: usize,
    },
}

/// Reads what stands below `[practice]`; what it does not name is empty.
///
/// # Errors
/// [`PracticeError`].
pub(crate) fn read_practice(
    table: &DeTable<'_>,
    text: TomlText<'_>,
) -> Result<Practice, PracticeError> {
    let mut practice = Practice::default();
    for (key, value) in table {
        let one = |name| {
            line_of(value.get_ref()).ok_or(PracticeError::Text { line: text.line(value), name })
        };
        match key.get_ref().as_ref() {
            "name" => practice.name = one("name")?,
            "phone" => practice.phone = one("phone")?,
            "email" => practice.email = one("email")?,
            "address" => {
                let lines = lines_of(value.get_ref());
                practice.address = lines.ok_or(PracticeError::Lines { line: text.line(value) })?;
            }
            other => {
                return Err(PracticeError::Key { line: text.line(key), name: other.to_owned() });
            }
        }
    }
    Ok(practice)
}

fn line_of(value: &DeValue<'_>) -> Option<String> {
    let line = value.as_str()?.trim();
    let fits = line.chars().count() <= LONGEST && !line.chars().any(char::is_control);
    fits.then(|| line.to_owned())
}

fn lines_of(value: &DeValue<'_>) -> Option<Vec<String>> {
    let lines = value.as_array().filter(|lines| lines.len() <= MOST_LINES)?;
    lines.iter().map(|line| line_of(line.get_ref())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read_rules;

    #[test]
    fn a_practice_is_read_beside_the_numbers() {
        let text = "[practice]\nname = \"Claw trimming at the ford\"\n\
                    address = [\"Mill Lane 4\", \"Otterford\"]\nphone = \"+44 1632 960123\"\n\
                    [due]\nrecheck = 10\n";
        let numbers = read_rules(text).unwrap();
        let practice = Practice {
            name: "Claw trimming at the ford".to_owned(),
            address: vec!["Mill Lane 4".to_owned(), "Otterford".to_owned()],
            phone: "+44 1632 960123".to_owned(),
            email: String::new(),
        };
        assert_eq!((numbers.due.recheck, &numbers.practice), (10, &practice));
        assert_eq!(practice.lines(), ["Claw trimming at the ford", "Mill Lane 4", "Otterford"]);
        assert!(read_rules("").unwrap().practice.is_empty());
    }

    #[test]
    fn what_is_no_practice_is_told_with_its_line() {
        let long = format!("[practice]\nname = \"{}\"", "a".repeat(LONGEST + 1));
        let cases = [
            "[practice]\nfax = \"1\"",
            "[practice]\n\nphone = 441632",
            "[practice]\nname = \"a\\nb\"",
            "[practice]\naddress = \"Mill Lane 4\"",
            "[practice]\naddress = [1]",
            "practice = 3",
            &long,
        ];
        let told: Vec<String> =
            cases.iter().map(|text| read_rules(text).unwrap_err().to_string()).collect();
        insta::assert_snapshot!(told.join("\n"));
    }
}
