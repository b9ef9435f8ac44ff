//! One visit: one farm, one day. Plain values.
//!
//! ```text
//! facts of the day --------------------------------+
//! casebooks of the herd up to that day --classes,   +--> VisitReport
//! cases, referrals, needs; earlier visits likewise--+
//! ```

mod clean;
mod compare;
pub mod due;
mod gather;
mod ribbon;
mod trust;

pub use clean::{Clean, SignLine};
pub use compare::EARLIER;
pub(crate) use gather::CowSaid;
pub use gather::list_visits;
pub use ribbon::{Depth, Gait, Mark};

use hornrule_protocol::record::Done;
use hornrule_protocol::{Claw, DeviceId, Dimension, Foot, Lesion, Nanometres, Place, Scale, Side};

use crate::derived::OfVisit;
use crate::notices::Notice;
use due::{Due, Vet};
use hornrule_casebook::{Case, Class};
use hornrule_facts::{AnimalId, Day, FarmSettings, HerdId};

/// A cow as a report names her.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Name {
    /// Her number.
    pub animal: AnimalId,
    /// Her name in the herd list.
    pub name: Option<String>,
}

impl core::fmt::Display for Name {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match &self.name {
            Some(name) => write!(f, "{} {name}", self.animal),
            None => self.animal.fmt(f),
        }
    }
}

/// Cows by class; `host/casebook/CASES.md` says which is which.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Classes {
    /// With a case found on that day.
    pub new: usize,
    /// With a case open from before, and none new.
    pub open: usize,
    /// Examined, with neither.
    pub sound: usize,
    /// Not examined: only scored, or only keyed.
    pub not_examined: usize,
}

impl Classes {
    /// One cow more.
    pub fn add(&mut self, class: Class) {
        let count = match class {
            Class::New => &mut self.new,
            Class::Open => &mut self.open,
            Class::Sound => &mut self.sound,
            Class::NotExamined => &mut self.not_examined,
        };
        *count += 1;
    }

    /// Cows with a lesion.
    #[must_use]
    pub const fn with_lesion(&self) -> usize {
        self.new + self.open
    }

    /// What every share of cows is of.
    #[must_use]
    pub const fn of(&self) -> usize {
        self.new + self.open + self.sound
    }
}

/// The visit in numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    /// Different cows that were in the chute.
    pub cows: usize,
    /// Of them by class: with a new lesion, with one open from before, examined and sound, not
    /// examined. Together they are all of them.
    pub classes: Classes,
    /// Of the herd list: how many of its cows were seen, and how many it has. `None` without a
    /// list.
    pub listed: Option<(usize, usize)>,
    /// Different claws trimmed to form.
    pub claws_trimmed: usize,
    /// Blocks glued on.
    pub blocks: usize,
    /// Cows scored for gait, and how many of them are lame on their scale.
    pub scored: usize,
    /// See `scored`.
    pub lame: usize,
    /// Whether some times of the day are only estimated.
    pub times_estimated: bool,
}

/// One lesion of the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LesionLine {
    /// Which.
    pub lesion: Lesion,
    /// Cows that have it.
    pub cows: usize,
    /// Claws that have it; feet, for lesions of the skin.
    pub places: usize,
    /// Cases of it found on that day.
    pub new: usize,
    /// Cases of it open from before.
    pub open: usize,
    /// How many cases of each digit, as last found, in the order of the scale.
    pub grades: Vec<(u8, usize)>,
}

/// One finding of a claw or foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Found {
    /// What.
    pub lesion: Lesion,
    /// The digit keyed after it: severity or stage.
    pub digit: u8,
    /// How bad, in words; `None` for "sound".
    pub grade: Option<&'static str>,
    /// Where: the zone keyed, or the lesion's usual one.
    pub zone: Option<u8>,
    /// Whether the zone was keyed.
    pub zone_keyed: bool,
}

/// One claw or foot of a cow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClawLine {
    /// Which.
    pub place: Place,
    /// What was found.
    pub found: Vec<Found>,
    /// What was done.
    pub done: Vec<Done>,
    /// Longest distance across the lesion: the last reading.
    pub lesion_length: Option<Nanometres>,
    /// The same at right angles to it.
    pub lesion_width: Option<Nanometres>,
    /// Dorsal wall length before trimming: the last reading.
    pub wall_before: Option<Nanometres>,
    /// The same after trimming.
    pub wall_after: Option<Nanometres>,
}

/// One cow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CowLine {
    /// Who.
    pub name: Name,
    /// The class she is in.
    pub class: Class,
    /// Her cases that are new or open on that day.
    pub cases: Vec<Case>,
    /// Scores: scale and value.
    pub scores: Vec<(Scale, u8)>,
    /// Her claws and feet, in the order LF, RF, LH, RH; then what was said of the cow.
    pub claws: Vec<ClawLine>,
    /// Claws that were trimmed to form and of which nothing else was said: one line for all.
    pub only_trimmed: Vec<Claw>,
}

/// Lengths of one dimension in one state of trim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// How many readings.
    pub readings: usize,
    /// The shortest.
    pub least: Nanometres,
    /// The middle one, or half way between the middle two.
    pub median: Nanometres,
    /// The longest.
    pub most: Nanometres,
}

/// One dimension of the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LengthLine {
    /// Which.
    pub dimension: Dimension,
    /// Before trimming.
    pub before: Option<Spread>,
    /// After trimming.
    pub after: Option<Spread>,
}

/// How a calliper was checked on the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GaugeLine {
    /// The handheld it hangs on.
    pub device: DeviceId,
    /// What it read on its gauge block, in order, and whether that passed; `None` where the office
    /// was not told the block's size.
    pub readings: Vec<(Nanometres, Option<bool>)>,
}

/// Claws or feet that have a lesion at one zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// Which foot.
    pub foot: Foot,
    /// Which claw; `None` for the skin of the foot.
    pub side: Option<Side>,
    /// Which zone, 0 to 12.
    pub zone: u8,
    /// How many.
    pub count: usize,
}

/// A claw whose dorsal wall is shorter after trimming than the farm aims at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Short {
    /// Who.
    pub name: Name,
    /// Which claw.
    pub claw: Claw,
    /// The last reading after trimming.
    pub length: Nanometres,
}

/// An earlier visit to the same herd.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// When.
    pub day: Day,
    /// Cows in the chute by class.
    pub classes: Classes,
    /// How many of them had each lesion that was found on any of these days.
    pub lesions: Vec<(Lesion, usize)>,
}

/// A remark, and how often it was made in the same words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RemarkLine {
    /// The rule that fired.
    pub rule: String,
    /// Cows it was made of, each once.
    pub cows: Vec<AnimalId>,
    /// Why, and what to do.
    pub sentence: String,
    /// How often.
    pub times: usize,
}

/// All of a visit.
#[derive(Clone, Debug, PartialEq)]
pub struct VisitReport {
    /// The herd.
    pub herd: HerdId,
    /// The farm's name.
    pub farm: String,
    /// The day, in the farm's time zone.
    pub day: Day,
    /// How the farm wants its papers, and which dorsal wall length it aims at.
    pub settings: FarmSettings,
    /// The handhelds that recorded it.
    pub handhelds: Vec<DeviceId>,
    /// In numbers.
    pub summary: Summary,
    /// Cows for the vet, the most urgent first.
    pub vet: Vec<Vet>,
    /// Feet to be seen again and blocks to come off, the next first.
    pub due: Vec<Due>,
    /// Lesions, the most frequent first.
    pub lesions: Vec<LesionLine>,
    /// Signs of the day, the most frequent first.
    pub signs: Vec<SignLine>,
    /// Whether washing was keyed before this farm, for each handheld that came from another one.
    pub clean: Vec<Clean>,
    /// Claws and feet with a lesion, by zone.
    pub spots: Vec<Spot>,
    /// The day cow by cow, in the order of the chute.
    pub ribbon: Vec<Mark>,
    /// Earlier visits, the newest first; at most [`EARLIER`].
    pub earlier: Vec<Earlier>,
    /// Claws shorter than the farm's target, the shortest first; empty without a target.
    pub short: Vec<Short>,
    /// How many claws were measured after trimming.
    pub walls_after: usize,
    /// Cows in the order of their numbers.
    pub cows: Vec<CowLine>,
    /// Lengths by dimension.
    pub lengths: Vec<LengthLine>,
    /// What is derived from the lengths.
    pub derived: OfVisit,
    /// Readings taken without a passed gauge check of that day.
    pub unchecked_readings: usize,
    /// Checks of the callipers.
    pub gauges: Vec<GaugeLine>,
    /// What the office looks at before the farm goes home, cow by cow.
    pub notices: Vec<Notice>,
    /// Entries in this report that should be checked.
    pub flagged: Vec<RemarkLine>,
    /// Entries that are not in this report, and why.
    pub held: Vec<RemarkLine>,
    /// What people decided about entries of this visit; the rule is the word for it.
    pub settled: Vec<RemarkLine>,
    /// How many entries in the whole database belong to no known farm.
    pub unplaced: usize,
}
