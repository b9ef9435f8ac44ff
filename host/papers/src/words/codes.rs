//! What the code tables' rows are called in a language. Ids are made from the rows' numbers.

use hornrule_core::cue::{Cue, Family};
use hornrule_protocol::{Action, Dimension, Foot, Lesion, Place, Scale, Side, Zone};

use super::Words;
use hornrule_facts::codes::trial_name;

impl Words {
    /// A text that a number names; the fallback if there is none.
    fn code(&self, table: &str, code: u8, fallback: &str) -> String {
        self.find(&format!("{table}-{code}"), None).unwrap_or_else(|| fallback.to_owned())
    }

    /// "sole ulcer".
    #[must_use]
    pub fn lesion(&self, lesion: Lesion) -> String {
        self.code("lesion", lesion.code(), lesion.name)
    }

    /// "trimmed to form"; with the name of a trial way where it has one. Days, where it takes some,
    /// are the caller's to say.
    #[must_use]
    pub fn action(&self, action: Action) -> String {
        let text = self.code("action", action.code(), action.name);
        match trial_name(&self.trial_ways, action.code()) {
            Some(name) => format!("{text} ({name})"),
            None => text,
        }
    }

    /// "dorsal wall length".
    #[must_use]
    pub fn dimension(&self, dimension: Dimension) -> String {
        self.code("dimension", dimension.code(), dimension.name)
    }

    /// Where a dimension is measured: "toe tip to heel along the sole".
    #[must_use]
    pub fn landmarks(&self, dimension: Dimension) -> String {
        self.code("landmarks", dimension.code(), dimension.landmarks)
    }

    /// "sole and bulb junction".
    #[must_use]
    pub fn zone(&self, zone: Zone) -> String {
        self.code("zone", zone.number(), zone.region())
    }

    /// What a cue tells.
    #[must_use]
    pub fn cue(&self, cue: Cue) -> String {
        self.code("cue", cue as u8, cue.meaning())
    }

    /// What a family of cues is called.
    #[must_use]
    pub fn family(&self, family: Family) -> String {
        self.code("family", family as u8, family.name())
    }

    /// What to do when a family is heard.
    #[must_use]
    pub fn advice(&self, family: Family) -> String {
        self.code("advice", family as u8, family.advice())
    }

    /// What the sentence at this place of the table says.
    #[must_use]
    pub fn sentence(&self, place: usize, english: &str) -> String {
        self.find(&format!("sentence-{place}"), None).unwrap_or_else(|| english.to_owned())
    }

    /// "locomotion".
    #[must_use]
    pub fn scale(&self, scale: Scale) -> String {
        self.code("scale", scale.code(), scale.name)
    }

    /// "moderate", "M2"; `None` for lesions without a grade.
    #[must_use]
    pub fn grade(&self, lesion: Lesion, digit: u8) -> Option<String> {
        let word = lesion.grades.word(digit)?;
        Some(
            self.find(&format!("grade-{}", word.replace('.', "-")), None)
                .unwrap_or_else(|| word.to_owned()),
        )
    }

    /// "left hind".
    #[must_use]
    pub fn foot(&self, foot: Foot) -> String {
        self.code("foot", foot.number(), foot.letters())
    }

    /// "LH", in German "HL".
    #[must_use]
    pub fn foot_letters(&self, foot: Foot) -> String {
        self.code("foot-letters", foot.number(), foot.letters())
    }

    /// "outer" or "inner".
    #[must_use]
    pub fn side(&self, side: Side) -> String {
        self.code("side", side.number(), side.name())
    }

    /// "LH outer", "LH", "cow": short, for tables and lists.
    #[must_use]
    pub fn place(&self, place: Place) -> String {
        match (place.foot(), place.side()) {
            (None, _) => self.find("place-cow", None).unwrap_or_else(|| "cow".to_owned()),
            (Some(foot), None) => self.foot_letters(foot),
            (Some(foot), Some(side)) => format!("{} {}", self.foot_letters(foot), self.side(side)),
        }
    }

    /// What a rule that fired is about; `None` for one that has no words.
    #[must_use]
    pub fn rule(&self, id: &str) -> Option<String> {
        self.find(&format!("rule-{id}"), None)
    }

    /// "January" to "December", by number from 1.
    pub(super) fn month_name(&self, month: u8) -> String {
        self.code("month", month, "")
    }

    /// "Jan" to "Dec".
    pub(super) fn month_short(&self, month: u8) -> String {
        self.code("month-short", month, "")
    }

    /// "Monday" to "Sunday", by number from 1.
    pub(super) fn weekday(&self, weekday: u8) -> String {
        self.code("weekday", weekday, "")
    }
}
