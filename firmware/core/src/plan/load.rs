//! A plan on its way into the bank that is not in force.
//!
//! ```text
//! begin: the bank's mark is erased      part, part, ..: in order      commit: check, then the mark
//!        |<------------------- the other bank stays in force ------------------->|
//! ```
//!
//! Progress is kept in memory only: a power loss ends the load, and the office starts again.

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::message::{PlanName, Refusal};

use super::bank::{BODY, Mark};
use super::{InForce, Plans};

/// A load under way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Loading {
    bank: u32,
    length: u16,
    plan: u32,
    /// Everything before this position is written.
    next: u16,
}

fn broken<E>(_: E) -> Refusal {
    Refusal::FlashFault
}

impl<F: NorFlash> Plans<F> {
    pub(super) fn begin(&mut self, length: u16, plan: u32) -> Result<u16, Refusal> {
        self.loading = None;
        if self.banks.room() == 0 {
            return Err(Refusal::NoPlans);
        }
        if usize::from(length) > self.banks.room() {
            return Err(Refusal::PlanTooLong);
        }
        if !length.is_multiple_of(4) {
            return Err(Refusal::PlanBroken);
        }
        let bank = self.in_force.map_or(0, |plan| 1 - plan.bank);
        self.banks.clear(bank).map_err(broken)?;
        self.loading = Some(Loading { bank, length, plan, next: 0 });
        Ok(0)
    }

    pub(super) fn part(&mut self, at: u16, bytes: &[u8]) -> Result<u16, Refusal> {
        let loading = self.loading.ok_or(Refusal::PlanOrder)?;
        let end = u32::from(at) + bytes.len() as u32;
        if !end.is_multiple_of(4) || !at.is_multiple_of(4) || end > u32::from(loading.length) {
            return Err(Refusal::PlanOrder);
        }
        // Sent again because the answer was lost.
        if end <= u32::from(loading.next) {
            return Ok(loading.next);
        }
        if at != loading.next {
            return Err(Refusal::PlanOrder);
        }
        if let Err(error) = self.banks.write(loading.bank, BODY + u32::from(at), bytes) {
            // A partial write cannot be repeated without an erase.
            self.loading = None;
            return Err(broken(error));
        }
        // At most `length`, which has 16 bits.
        let next = end as u16;
        self.loading = Some(Loading { next, ..loading });
        Ok(next)
    }

    pub(super) fn commit(&mut self, plan: u32) -> Result<PlanName, Refusal> {
        if let Some(known) = self.in_force.filter(|known| known.mark.plan == plan) {
            self.loading = None;
            return Ok(PlanName { plan, animals: known.head.animals });
        }
        let loading = self.loading.take().ok_or(Refusal::PlanOrder)?;
        if loading.plan != plan || loading.next != loading.length {
            return Err(Refusal::PlanOrder);
        }
        let Loading { bank, length, plan, .. } = loading;
        let turn = self.in_force.map_or(0, |old| old.mark.turn).saturating_add(1);
        let mark = Mark { turn, length, plan };
        let head = self.check(bank, &mark)?;
        self.banks.set(bank, mark).map_err(broken)?;
        if self.banks.mark(bank).map_err(broken)? != Some(mark) {
            return Err(Refusal::FlashFault);
        }
        self.in_force = Some(InForce { bank, mark, head });
        Ok(PlanName { plan, animals: head.animals })
    }
}
