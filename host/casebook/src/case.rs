//! A case: one lesion at one place, from found to healed.

use hornrule_facts::codes::DIGITAL_DERMATITIS;
use hornrule_facts::{AnimalId, Day, HerdId, Key};
use hornrule_protocol::codes::{Says, Seat};
use hornrule_protocol::record::Finding;
use hornrule_protocol::{Lesion, Nanometres, Place, Zone};

/// A lesion that nobody spoke of for longer than this is out of sight, and another case if it is
/// found again (common practice, no source: about two rechecks missed).
pub const FORGOTTEN_DAYS: i32 = 60;

/// Which case: the record that opened it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CaseId(pub Key);

impl core::fmt::Display for CaseId {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let (device, log, seq) = self.0;
        write!(f, "{:016x}-{:08x}-{}", device.0, log.0, seq.0)
    }
}

/// How a lesion looked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    /// Found again, with nothing said of how it does.
    Found,
    /// Better.
    Better,
    /// Unchanged.
    Unchanged,
    /// Worse.
    Worse,
}

/// A look at a case on a later day, which left it open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// When.
    pub day: Day,
    /// What was said; of several words of a day the worst.
    pub word: Word,
    /// Its grade from that day on.
    pub grade: u8,
}

/// How large it was on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// When.
    pub day: Day,
    /// Longest distance across it.
    pub length: Nanometres,
    /// At right angles to that.
    pub width: Nanometres,
}

impl Size {
    /// The area of an ellipse of this length and width, mm².
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        self.length.as_mm() * self.width.as_mm() * std::f64::consts::FRAC_PI_4
    }
}

/// How a case ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Keyed healed.
    Healed,
    /// Keyed sound at that place.
    Sound,
    /// Found again after so long that it is a new case: nobody knows when this one ended.
    OutOfSight,
    /// The digit is gone, and its horn with it: neither healed nor open.
    Amputated,
}

/// The end of a case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ended {
    /// When; of one out of sight, when the next was found.
    pub day: Day,
    /// How.
    pub how: End,
}

/// What a case is on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Found on that day.
    New,
    /// Found before and not closed, and spoken of within the last [`FORGOTTEN_DAYS`].
    Open,
    /// Found before and not closed, and nobody has spoken of it for longer than that.
    OutOfSight,
}

/// One lesion at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Case {
    /// Which.
    pub id: CaseId,
    /// Whose herd.
    pub herd: HerdId,
    /// Which cow.
    pub animal: AnimalId,
    /// Its claw; of the skin, its foot.
    pub place: Place,
    /// What.
    pub lesion: Lesion,
    /// When it was found.
    pub found: Day,
    /// How bad it was then: the highest grade of that day.
    pub grade: u8,
    /// What was said of it on the day it was found; `Found` where nothing was.
    pub word: Word,
    /// How bad it was when it was last found.
    pub last_grade: u8,
    /// The zone keyed last; `None` for the lesion's usual one.
    pub zone: Option<Zone>,
    /// Whether she had the same lesion at the same place before.
    pub again: bool,
    /// Looks on later days that left it open, by day.
    pub looks: Vec<Look>,
    /// Its end; `None` while it is open or out of sight.
    pub ended: Option<Ended>,
    /// What was done to the foot on the day it was found: action codes, rising. A block counts as the
    /// usual way's, however it was glued.
    pub done: Vec<u8>,
    /// Sizes, by day.
    pub sizes: Vec<Size>,
}

impl Case {
    /// The last day on which anybody spoke of it, while it was open.
    #[must_use]
    pub fn last_word(&self) -> Day {
        self.looks.last().map_or(self.found, |look| look.day)
    }

    /// What was said of it on the day it was last spoken of.
    #[must_use]
    pub fn word_on_last_day(&self) -> Word {
        self.looks.last().map_or(self.word, |look| look.word)
    }

    /// What it is at the end of a day; `None` before it was found and from its end on. What comes
    /// later does not count.
    #[must_use]
    pub fn state_on(&self, day: Day) -> Option<State> {
        if self.found >= day {
            return (self.found == day).then_some(State::New);
        }
        if self.ended.is_some_and(|ended| ended.day <= day) {
            return None;
        }
        let looks = self.looks.iter().rev().find(|look| look.day <= day);
        let last = looks.map_or(self.found, |look| look.day);
        Some(if day.0 - last.0 > FORGOTTEN_DAYS { State::OutOfSight } else { State::Open })
    }

    /// How bad it was at the end of a day: the grade keyed last.
    #[must_use]
    pub fn grade_on(&self, day: Day) -> u8 {
        let looks = self.looks.iter().rev().find(|look| look.day <= day);
        looks.map_or(self.grade, |look| look.grade)
    }

    /// The day on which it was seen healed or sound, where it was.
    #[must_use]
    pub fn healed(&self) -> Option<Day> {
        let healed = |ended: &Ended| matches!(ended.how, End::Healed | End::Sound);
        self.ended.filter(healed).map(|ended| ended.day)
    }

    /// The zone keyed, or the lesion's usual one; `None` for lesions without a zone.
    #[must_use]
    pub fn zone_or_usual(&self) -> Option<u8> {
        self.zone.map(|zone| zone.number()).or(self.lesion.zones.first().copied())
    }

    /// Whether it is in the horn of a claw.
    #[must_use]
    pub fn is_horn(&self) -> bool {
        self.lesion.seat == Seat::Claw
    }
}

/// Anything but "sound", signs and healed digital dermatitis.
#[must_use]
pub fn is_lesion(finding: &Finding) -> bool {
    let healed = finding.lesion.code() == DIGITAL_DERMATITIS && finding.grade == 0;
    finding.lesion.says == Says::Lesion && !healed
}

/// Where a finding counts: its claw, or for lesions of the skin its foot.
#[must_use]
pub fn seat_of(finding: &Finding) -> Place {
    match (finding.lesion.seat, finding.place.foot()) {
        (Seat::Foot, Some(foot)) => Place::Foot(foot),
        _ => finding.place,
    }
}
