//! The due list as a table for other programs.
//!
//! Columns: `overdue` (yes or no), `day`, `farm`, `cow`, `name`, `foot` (LF, RF, LH, RH or empty),
//! `claw` (outer, inner or empty), `what` (vet, recheck, block-off, wrap-off, trim), `why` (keyed or
//! the rule), `since`. UTF-8, comma, LF; days like 2026-03-31.

use hornrule_protocol::Side;
use serde::Serialize;

use crate::due::{Because, DueLine, DueList};

/// A line of the due list, for scripts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DueRow {
    /// Whether its day has gone by.
    pub overdue: bool,
    /// The day it is due.
    pub day: String,
    /// The farm's name.
    pub farm: String,
    /// The cow's number.
    pub cow: i64,
    /// Her name.
    pub name: Option<String>,
    /// LF, RF, LH, RH.
    pub foot: Option<&'static str>,
    /// outer or inner.
    pub claw: Option<&'static str>,
    /// What is due, one word.
    pub what: &'static str,
    /// keyed, or which rule.
    pub why: &'static str,
    /// The day it comes from.
    pub since: String,
}

impl DueRow {
    /// Of a line.
    #[must_use]
    pub fn of(line: &DueLine) -> Self {
        let need = &line.need;
        Self {
            overdue: line.overdue,
            day: need.day.to_string(),
            farm: line.farm.clone(),
            cow: need.animal.number(),
            name: line.name.clone(),
            foot: need.place.foot().map(|foot| foot.letters()),
            claw: need.place.side().map(|side| match side {
                Side::Lateral => "outer",
                Side::Medial => "inner",
            }),
            what: need.kind.word(),
            why: why(need.because),
            since: need.since.to_string(),
        }
    }
}

/// The reason in one word, for scripts.
const fn why(because: Because) -> &'static str {
    match because {
        Because::Keyed => "keyed",
        Because::Phlegmon => "phlegmon",
        Because::Dermatitis => "dermatitis",
        Because::TreatedLesion => "treated-lesion",
        Because::NotHealed => "not-healed",
        Because::BlockGlued => "block-glued",
        Because::Wrapped => "wrapped",
        Because::Trimmed => "trimmed",
        Because::VetNow => "vet-now",
        Because::VetToSee => "vet-to-see",
        Because::ToeNecrosis => "toe-necrosis",
        Because::Swelling => "swelling",
    }
}

/// The whole list as text.
///
/// # Errors
/// What the writer says; into memory it says nothing.
pub fn due_csv(list: &DueList) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::WriterBuilder::new().has_headers(false).from_writer(Vec::new());
    writer.write_record([
        "overdue", "day", "farm", "cow", "name", "foot", "claw", "what", "why", "since",
    ])?;
    for line in &list.lines {
        let row = DueRow::of(line);
        let cow = row.cow.to_string();
        writer.write_record([
            if row.overdue { "yes" } else { "no" },
            &row.day,
            &row.farm,
            &cow,
            row.name.as_deref().unwrap_or_default(),
            row.foot.unwrap_or_default(),
            row.claw.unwrap_or_default(),
            row.what,
            row.why,
            &row.since,
        ])?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}
