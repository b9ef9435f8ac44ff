//! Decides what is open on one cow from all that was said of her.
//!
//! | opens | on | closed by |
//! | --- | --- | --- |
//! | recheck | "see again"; phlegmon, active dermatitis, a treated lesion, one not healed yet | the foot seen on a later day |
//! | block off | a block glued on | the block taken off or found lost; another one glued there; that claw trimmed to form on a later day |
//! | wrap off | a wrap put on | taken off, left open, another one put on; a finding or horn work on that foot on a later day |
//! | vet | "vet now", "vet to see"; toe necrosis, severe swelling | the foot seen on a later day; for the cow, anything said on a later day |
//! | trim | a claw trimmed to form | a later trim |
//!
//! A foot was seen where a finding or an action names it. A length alone does not say that anybody
//! judged the lesion. What the trimmer keyed goes before any rule of the same day.

use std::collections::BTreeMap;

use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Foot, Place};

use super::need::{Because, Kind, Need};
use super::rules::DueRules;
use hornrule_facts::codes::{BLOCK_LOST, BLOCK_OFF, CLAW_LOWERED, CLEANED, HEALED, HORN_OPENED, LEFT_OPEN, SEE_AGAIN, TRIMMED, VET_NOW, VET_TO_SEE, WRAP_OFF, WRAP_ON};
use hornrule_facts::{AnimalId, Day, HerdId};

/// Code numbers that a rule speaks of.
const TOE_NECROSIS: u8 = 16;
const DIGITAL_DERMATITIS: u8 = 31;
const PHLEGMON: u8 = 34;
const SWELLING: u8 = 61;
const SEVERE: u8 = 3;
/// M1, M2 and M4.1 as keyed: the active stages.
const ACTIVE_STAGES: [u8; 3] = [1, 2, 5];

/// One thing said of a cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// A judgement.
    Found(Finding),
    /// Something done or to be done.
    Did(Done),
}

impl Told {
    /// Where.
    #[must_use]
    pub const fn place(&self) -> Place {
        match self {
            Self::Found(finding) => finding.place,
            Self::Did(done) => done.place,
        }
    }
}

/// Something open on a cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Open {
    /// When it is due.
    pub day: Day,
    /// Where.
    pub place: Place,
    /// What.
    pub kind: Kind,
    /// Why.
    pub because: Because,
    /// The day it comes from.
    pub since: Day,
}

impl Open {
    /// The same as a need of a cow.
    #[must_use]
    pub const fn of(self, herd: HerdId, animal: AnimalId) -> Need {
        let Self { day, place, kind, because, since } = self;
        Need { day, herd, animal, place, kind, because, since }
    }
}

/// What is open after all of this was said. In the order in which it was said, so that days rise.
#[must_use]
pub fn open(told: &[(Day, Told)], rules: &DueRules) -> Vec<Open> {
    let mut open = Vec::new();
    for day in told.chunk_by(|a, b| a.0 == b.0) {
        let Some((on, _)) = day.first() else { continue };
        let mut today = Today { on: *on, rules, open: &mut open };
        today.close_what_was_seen(day);
        for (_, told) in day {
            if let Told::Did(done) = told {
                today.act(done);
            }
        }
        today.recheck(day);
        today.vet(day);
    }
    open.sort_unstable();
    open
}

/// One day of one cow.
struct Today<'a> {
    on: Day,
    rules: &'a DueRules,
    open: &'a mut Vec<Open>,
}

/// Anything but "sound" and healed digital dermatitis.
#[must_use]
pub fn is_lesion(finding: &Finding) -> bool {
    let healed = finding.lesion.code() == DIGITAL_DERMATITIS && finding.grade == 0;
    finding.lesion.code() != 0 && !healed
}

/// Work on a lesion, beyond trimming to form.
fn is_treatment(done: &Done) -> bool {
    done.action.kind == ActionKind::BlockOn
        || matches!(done.action.code(), WRAP_ON | HORN_OPENED | CLAW_LOWERED | CLEANED..=69)
}

/// What nobody can do or see through a wrap.
fn needs_a_bare_foot(told: &Told) -> bool {
    match told {
        Told::Found(_) => true,
        Told::Did(done) => matches!(done.action.code(), TRIMMED | HORN_OPENED | CLAW_LOWERED),
    }
}

impl Today<'_> {
    fn add(&mut self, kind: Kind, place: Place, because: Because, days: u16) {
        let since = self.on;
        self.open.push(Open { day: since.plus(days), place, kind, because, since });
    }

    fn by_rule(&mut self, kind: Kind, place: Place, because: Because) {
        // Only what was keyed has no days of its own.
        let days = because.days(self.rules).unwrap_or_default();
        self.add(kind, place, because, days);
    }

    /// Takes out what is open of a kind where the place fits.
    fn close(&mut self, kind: Kind, fits: impl Fn(&Open) -> bool) {
        self.open.retain(|one| one.kind != kind || !fits(one));
    }

    /// What is open from earlier days is done with where the foot is seen today.
    fn close_what_was_seen(&mut self, day: &[(Day, Told)]) {
        let on = self.on;
        let seen = |place: Place| match place.foot() {
            Some(foot) => day.iter().any(|(_, told)| told.place().foot() == Some(foot)),
            None => day.iter().any(|(_, told)| told.place() != Place::Cow),
        };
        let bare = |place: Place| {
            let same = |told: &Told| told.place().foot() == place.foot();
            day.iter().any(|(_, told)| same(told) && needs_a_bare_foot(told))
        };
        self.open.retain(|one| match one.kind {
            _ if one.since >= on => true,
            Kind::Recheck => !seen(one.place),
            Kind::Vet => one.place != Place::Cow && !seen(one.place),
            Kind::WrapOff => !bare(one.place),
            Kind::BlockOff | Kind::Trim => true,
        });
    }

    /// What an action opens and closes by itself.
    fn act(&mut self, done: &Done) {
        let on = self.on;
        let foot = done.place.foot();
        let on_foot = |one: &Open| foot.is_some() && one.place.foot() == foot;
        match (done.action.kind, done.action.code()) {
            (ActionKind::BlockOn, _) => {
                self.close(Kind::BlockOff, |one| one.place == done.place);
                self.by_rule(Kind::BlockOff, done.place, Because::BlockGlued);
            }
            (_, BLOCK_OFF | BLOCK_LOST) => {
                // Said of a foot it is about both of its claws.
                let whole = matches!(done.place, Place::Foot(_));
                self.close(Kind::BlockOff, |one| {
                    one.place == done.place || (whole && on_foot(one))
                });
            }
            (_, WRAP_ON) => {
                self.close(Kind::WrapOff, on_foot);
                if let Some(foot) = foot {
                    self.by_rule(Kind::WrapOff, Place::Foot(foot), Because::Wrapped);
                }
            }
            (_, WRAP_OFF | LEFT_OPEN) => self.close(Kind::WrapOff, on_foot),
            (_, TRIMMED) => {
                // A claw with a block on cannot be trimmed to form.
                self.close(Kind::BlockOff, |one| one.place == done.place && one.since < on);
                self.close(Kind::Trim, |_| true);
                self.by_rule(Kind::Trim, Place::Cow, Because::Trimmed);
            }
            _ => {}
        }
    }

    fn recheck(&mut self, day: &[(Day, Told)]) {
        // Keyed for the cow, it speaks for all her feet; keyed for a foot, for that one. The last
        // wins.
        let mut keyed: BTreeMap<Option<Foot>, &Done> = BTreeMap::new();
        for (_, told) in day {
            if let Told::Did(done) = told
                && done.action.code() == SEE_AGAIN
            {
                keyed.insert(done.place.foot(), done);
            }
        }
        for done in keyed.values() {
            self.add(Kind::Recheck, done.place, Because::Keyed, done.days.into());
        }
        for foot in Foot::ALL {
            if keyed.contains_key(&None) || keyed.contains_key(&Some(foot)) {
                continue;
            }
            if let Some(because) = why_again(foot, day) {
                self.by_rule(Kind::Recheck, Place::Foot(foot), because);
            }
        }
    }

    /// What was keyed, and what a rule says; one line a place, the most urgent.
    fn vet(&mut self, day: &[(Day, Told)]) {
        let mut lines: BTreeMap<Place, Because> = BTreeMap::new();
        for (_, told) in day {
            let Some(because) = why_vet(told) else { continue };
            let now = because != Because::VetToSee;
            let line = lines.entry(told.place()).or_insert(because);
            if now && *line == Because::VetToSee {
                *line = because;
            }
        }
        for (place, because) in lines {
            self.by_rule(Kind::Vet, place, because);
        }
    }
}

/// Why the vet is wanted, where something says so.
#[must_use]
pub fn why_vet(told: &Told) -> Option<Because> {
    match told {
        Told::Did(done) => match done.action.code() {
            VET_NOW => Some(Because::VetNow),
            VET_TO_SEE => Some(Because::VetToSee),
            _ => None,
        },
        Told::Found(finding) => match finding.lesion.code() {
            TOE_NECROSIS => Some(Because::ToeNecrosis),
            SWELLING if finding.grade == SEVERE => Some(Because::Swelling),
            _ => None,
        },
    }
}

/// The soonest rule that wants to see a foot again after a day.
fn why_again(foot: Foot, day: &[(Day, Told)]) -> Option<Because> {
    let mut lesions: Vec<&Finding> = Vec::new();
    let mut unhealed: Vec<Place> = Vec::new();
    let mut treated = false;
    for (_, told) in day.iter().filter(|(_, told)| told.place().foot() == Some(foot)) {
        match told {
            Told::Found(finding) if is_lesion(finding) => lesions.push(finding),
            Told::Found(_) => {}
            Told::Did(done) if done.action.code() == HEALED => {
                // A lesion of the skin has no claw of its own: healed is said of the chosen one.
                lesions
                    .retain(|one| one.place != done.place && !matches!(one.place, Place::Foot(_)));
                unhealed.retain(|place| *place != done.place);
            }
            Told::Did(done) if done.action.kind == ActionKind::Healing => unhealed.push(done.place),
            Told::Did(done) => treated |= is_treatment(done),
        }
    }
    let active = |one: &&Finding| {
        one.lesion.code() == DIGITAL_DERMATITIS && ACTIVE_STAGES.contains(&one.grade)
    };
    if lesions.iter().any(|one| one.lesion.code() == PHLEGMON) {
        Some(Because::Phlegmon)
    } else if lesions.iter().any(active) {
        Some(Because::Dermatitis)
    } else if treated && !lesions.is_empty() {
        Some(Because::TreatedLesion)
    } else if !unhealed.is_empty() {
        Some(Because::NotHealed)
    } else {
        None
    }
}

#[cfg(test)]
mod tests;
