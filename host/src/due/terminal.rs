//! The due list as people read it on a terminal, 80 columns where names allow.

use super::list::{DueLine, DueList};
use super::phrases;
use crate::herd::Language;

/// The cow as the list names her.
#[must_use]
pub fn cow(line: &DueLine) -> String {
    match &line.name {
        Some(name) => format!("{} {name}", line.need.animal),
        None => line.need.animal.to_string(),
    }
}

impl DueList {
    /// The list as text.
    #[must_use]
    pub fn render_terminal(&self, language: Language) -> String {
        let mut text = String::new();
        let width = |of: fn(&DueLine, Language) -> String, most: usize| {
            let longest = self.lines.iter().map(|line| of(line, language).chars().count()).max();
            longest.unwrap_or_default().min(most)
        };
        let cows = width(|line, _| cow(line), 20);
        let places = width(|line, language| phrases::place(language, line.need.place), 24);
        let mut head = None;
        for group in self.groups() {
            let Some(first) = group.first() else { continue };
            let day = (!first.overdue).then_some(first.need.day);
            if head != Some(day) {
                text += &format!("{}\n", phrases::day_head(language, self, day));
                head = Some(day);
            }
            text += &format!("  {}\n", first.farm);
            for line in group {
                text += &format!(
                    "    {:<cows$}  {:<places$}  {}\n      {}\n",
                    cow(line),
                    phrases::place(language, line.need.place),
                    phrases::what(language, &line.need),
                    phrases::since(language, line),
                );
            }
            text += "\n";
        }
        text + &phrases::foot(language, self)
    }
}
