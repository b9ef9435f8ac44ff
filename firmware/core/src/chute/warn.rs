//! Warnings before she walks off. `WARNINGS.md` in this crate's folder has the rules.

use hornrule_protocol::codes::named::{DORSAL_WALL, HEEL_HEIGHT, REGROWN};
use hornrule_protocol::plan::{Floor, Particulars};
use hornrule_protocol::record::Reading;
use hornrule_protocol::{AnimalNumber, Claw, Entry, Place};

use super::spoken::{Before, Spoken};
use super::{Chute, DayPlan, Heels, Opened, Seen};
use crate::cue::Cue;

/// What is to be said of the cow who left last, and of the one who came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Leaving {
    /// Feet of the one who left, of which a lesion was not spoken of: bits by number.
    pub(super) feet: u8,
    /// It was said already, and she is still in hand: another farm was named.
    said: bool,
    /// The one who came was here before.
    again: bool,
}

impl Leaving {
    pub(super) const NOBODY: Self = Self { feet: 0, said: false, again: false };
}

impl Chute {
    /// Remembers what is said, as far as a warning asks; gives what UNDO is to bring back, and a
    /// warning to be heard instead of the usual cue.
    pub(super) fn note(&mut self, entry: &Entry, plan: &impl DayPlan) -> (Before, Option<Cue>) {
        match entry {
            Entry::Finding(finding) => {
                let before = self.spoken.before(finding.place.foot());
                let on_lesion = self.spoken.found(finding);
                (before, on_lesion.then_some(Cue::BlockOnLesion))
            }
            Entry::Action(done) => {
                let before = self.spoken.before(done.place.foot());
                let on_lesion = self.spoken.done(done);
                (before, on_lesion.then_some(Cue::BlockOnLesion))
            }
            Entry::Bundle { .. } => {
                let before = self.spoken.before(self.claw.map(|claw| claw.foot));
                let spoken = &mut self.spoken;
                let on_lesion = self.parts.iter().fold(false, |any, part| spoken.done(part) | any);
                (before, on_lesion.then_some(Cue::BlockOnLesion))
            }
            Entry::Reading(reading) => match reading.place {
                Place::Claw(claw) if self.cow.is_some() => {
                    (self.heels.before(claw), self.length_warning(reading, claw, plan))
                }
                _ => (Before::NOTHING, None),
            },
            _ => (Before::NOTHING, None),
        }
    }

    fn length_warning(
        &mut self,
        reading: &Reading,
        claw: Claw,
        plan: &impl DayPlan,
    ) -> Option<Cue> {
        let length = reading.length;
        let (holds, cue) = match reading.dimension.code {
            DORSAL_WALL => {
                let floor = plan.floor(self.hers.floor());
                let short = floor.is_some_and(|floor| length < floor);
                (short && self.walk.is_trimmed(claw), Cue::TooShortAfterTrim)
            }
            HEEL_HEIGHT => {
                self.heels.clip(claw, length);
                (self.are_heels_uneven(claw, plan), Cue::HeelsUneven)
            }
            REGROWN => (self.hers.growth().is_some_and(|most| length > most), Cue::GrewFast),
            _ => return None,
        };
        holds.then_some(cue)
    }

    fn are_heels_uneven(&self, claw: Claw, plan: &impl DayPlan) -> bool {
        let partner = Claw { side: claw.side.partner(), ..claw };
        let trimmed = self.walk.is_trimmed(claw) && self.walk.is_trimmed(partner);
        let most = plan.heel_difference();
        let uneven = self.heels.difference(claw).zip(most).is_some_and(|(is, most)| is > most);
        trimmed && uneven && !self.spoken.is_meant_uneven(claw.foot)
    }

    /// She leaves, or the farm is left. Nothing is forgotten of her yet: UNDO may bring her back.
    pub(super) fn leave(&mut self) {
        let silent = self.leaving.said || self.cow.is_none();
        let feet = if silent { 0 } else { self.spoken.not_spoken_of(&self.hers) };
        self.leaving = Leaving { feet, said: self.cow.is_some(), again: false };
    }

    /// This cow is in the chute. One who is in it already stays, with all that was said of her; but
    /// with another farm the same number is another cow.
    pub(super) fn come_in(&mut self, number: AnimalNumber, plan: &mut impl DayPlan) {
        if self.cow == Some(number) && !self.leaving.said {
            self.leaving = Leaving::NOBODY;
            return;
        }
        self.leave();
        self.cow = Some(number);
        let listing = plan.listing(self.farm, number);
        let row = listing.map(|listing| listing.place);
        let again = row.is_some_and(|row| self.seen.enter(row));
        self.leaving = Leaving { said: false, again, ..self.leaving };
        self.first_seen = row.filter(|_| !again);
        // Of a cow who is not listed nothing is known, and so no floor either.
        self.hers = listing
            .map_or(Particulars::NONE.with_floor(Floor::None), |listing| listing.particulars);
        self.spoken = Spoken::of(&self.hers);
        self.heels = Heels::new();
        self.opened = Opened::NONE;
    }

    /// Another plan is in force: its rows are other cows.
    pub fn plan_changed(&mut self) {
        (self.seen, self.first_seen) = (Seen::new(), None);
    }

    /// Her number is taken back.
    pub(super) fn was_never_in(&mut self) {
        if let Some(row) = self.first_seen.take() {
            self.seen.forget(row);
        }
        (self.hers, self.spoken) = (Particulars::NONE, Spoken::new());
    }

    /// Warnings to be heard after the cues of a cow who came, or of one who left.
    pub fn warnings(&self, entry: &Entry) -> impl Iterator<Item = Cue> + use<> {
        let moved = matches!(entry, Entry::Animal(_) | Entry::AnimalLeft | Entry::Visit { .. });
        let again = (moved && self.leaving.again).then_some(Cue::CowAgain);
        let silent = (moved && self.leaving.feet != 0).then_some(Cue::NotSpokenOf);
        again.into_iter().chain(silent)
    }

    /// Feet of the cow who left, of which a lesion was not spoken of: bits by number.
    pub(super) const fn not_spoken_of(&self) -> u8 {
        self.leaving.feet
    }
}
