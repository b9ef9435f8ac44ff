//! What the office sees before the farm goes home. `NOTICES.md` has the rules.
//!
//! ```text
//! facts of the day --+
//! her casebook ------+--> of_cow --> Notice --> pull, review, office page; two of them the farmer's
//! herd list, target -+
//! ```

mod block;
mod regrown;
mod wall;
mod wrap;

#[cfg(test)]
mod tests;

use hornrule_casebook::{Case, Casebook, State};
use hornrule_facts::{Day, Fact, ListedAnimal};
use hornrule_herd::{Database, DatabaseError};
use hornrule_protocol::{DeviceId, LogId, Nanometres, Place, Seq};

use crate::visit::{Name, VisitReport};

pub use regrown::REGROWN_MM;
pub(crate) use regrown::{most as most_regrown, since as regrown_since};
pub use wall::{MATURE_HOLSTEIN, Sole, Target, sole, target_of};
pub use wrap::{BANDAGED, UNBANDAGED};

/// One thing to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Whose foot.
    pub name: Name,
    /// Which claw or foot.
    pub place: Place,
    /// What.
    pub what: Noticed,
}

/// What was noticed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Noticed {
    /// The block stands on the claw that has the lesion.
    BlockOnLesion {
        /// The day it was glued, or first seen.
        on: Day,
        /// The lesion: the worst of that claw.
        case: Case,
    },
    /// A wrap was put on a foot with an ulcer.
    WrapOnUlcer {
        /// The ulcer: the worst of that foot.
        case: Case,
    },
    /// The dorsal wall is shorter after trimming than the target.
    ShortWall {
        /// The last reading after trimming.
        length: Nanometres,
        /// What it is held against.
        target: Target,
    },
    /// More new horn was measured than can form.
    Regrown {
        /// The last reading.
        length: Nanometres,
        /// Days since the horn was opened, or the case found.
        days: i32,
        /// At most so much can form in that time.
        most: Nanometres,
    },
}

impl Noticed {
    /// Whether it is a caution for the animal, which the farmer reads too.
    #[must_use]
    pub const fn is_for_the_farmer(&self) -> bool {
        matches!(self, Self::BlockOnLesion { .. } | Self::ShortWall { .. })
    }
}

/// The visits of a pull that have something to look at: the farm's name, the day, and what. `from` is
/// the first record of the log that is new.
///
/// # Errors
/// [`DatabaseError`].
pub fn after_pull(
    database: &Database,
    (device, log): (DeviceId, LogId),
    from: Seq,
) -> Result<Vec<(String, Day, Vec<Notice>)>, DatabaseError> {
    let visits: Result<_, DatabaseError> =
        database.read(|rows| rows.visits_of_log(device, log, from));
    let mut all = Vec::new();
    for (herd, day) in visits? {
        let Some(report) = VisitReport::gather(database, herd, day)? else { continue };
        if !report.notices.is_empty() {
            all.push((report.farm, day, report.notices));
        }
    }
    Ok(all)
}

/// What the notices of a cow are made from.
pub(crate) struct Asked<'a> {
    /// Who.
    pub name: &'a Name,
    /// As the herd list has her.
    pub listed: Option<&'a ListedAnimal>,
    /// The farm's own target.
    pub target: Option<Nanometres>,
    /// The day of the visit.
    pub day: Day,
    /// Her findings and actions up to and with the day, in the order of time.
    pub facts: &'a [Fact],
    /// All that was said of her on the day, in the order of time.
    pub of_day: &'a [Fact],
    /// Her casebook, up to and with the day.
    pub book: &'a Casebook,
}

impl Asked<'_> {
    /// Her cases that are new or open at the end of the day.
    fn cases(&self) -> impl Iterator<Item = &Case> {
        let shows = |state| matches!(state, Some(State::New | State::Open));
        self.book.cases.iter().filter(move |case| shows(case.state_on(self.day)))
    }
}

/// Her notices, in the order of the table.
pub(crate) fn of_cow(asked: &Asked<'_>) -> Vec<Notice> {
    let mut all = block::notices(asked);
    all.extend(wrap::notices(asked));
    all.extend(wall::notices(asked));
    all.extend(regrown::notices(asked));
    let of = |(place, what)| Notice { name: asked.name.clone(), place, what };
    all.into_iter().map(of).collect()
}
