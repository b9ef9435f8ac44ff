//! What stands after a plan's head: bundles, cows, particulars. Checked whole when a plan is loaded
//! or mounted, read one by one at the chute.

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::Bundle;
use hornrule_protocol::bundle::BUNDLE;
use hornrule_protocol::message::Refusal;
use hornrule_protocol::plan::{HEAD, Head, Needs, PARTICULARS, Particulars, ROW, Row};

use super::bank::BODY;
use super::{InForce, Plans};

/// Whether this one comes after the one before; it is the one before from now on.
fn ascends<T: Ord + Copy>(before: &mut Option<T>, this: T) -> Result<(), Refusal> {
    if before.replace(this).is_some_and(|before| before >= this) {
        return Err(Refusal::PlanBroken);
    }
    Ok(())
}

impl<F: NorFlash> Plans<F> {
    /// Reads all rows of a plan: each is one, and each kind ascends.
    pub(super) fn check_rows(&mut self, bank: u32, head: &Head) -> Result<(), Refusal> {
        let mut before = None;
        for place in 0..head.bundles {
            let bundle = self.bundle_at(bank, place).map_err(|_| Refusal::FlashFault)?;
            ascends(&mut before, bundle.ok_or(Refusal::PlanBroken)?.number())?;
        }
        let mut before = None;
        for place in 0..head.animals {
            let row = self.row(bank, head, place).map_err(|_| Refusal::FlashFault)?;
            ascends(&mut before, row.who())?;
        }
        let mut before = None;
        for nth in 0..head.particulars {
            let one = self.particulars(bank, head, nth).map_err(|_| Refusal::FlashFault)?;
            let (place, _) = one.ok_or(Refusal::PlanBroken)?;
            if place >= head.animals {
                return Err(Refusal::PlanBroken);
            }
            ascends(&mut before, place)?;
        }
        Ok(())
    }

    pub(super) fn bundle_at(&mut self, bank: u32, place: u8) -> Result<Option<Bundle>, F::Error> {
        let mut bytes = [0; BUNDLE];
        let at = BODY + HEAD as u32 + BUNDLE as u32 * u32::from(place);
        self.banks.read(bank, at, &mut bytes)?;
        Ok(Bundle::from_bytes(&bytes))
    }

    fn row(&mut self, bank: u32, head: &Head, place: u16) -> Result<Row, F::Error> {
        let mut bytes = [0; ROW];
        let at = BODY + head.cows_at() as u32 + ROW as u32 * u32::from(place);
        self.banks.read(bank, at, &mut bytes)?;
        Ok(Row::from_bytes(bytes))
    }

    fn particulars(
        &mut self,
        bank: u32,
        head: &Head,
        nth: u16,
    ) -> Result<Option<(u16, Particulars)>, F::Error> {
        let mut bytes = [0; PARTICULARS];
        let at = BODY + head.particulars_at() as u32 + PARTICULARS as u32 * u32::from(nth);
        self.banks.read(bank, at, &mut bytes)?;
        Ok(Particulars::from_bytes(&bytes))
    }

    /// A cow's place and what she needs; `None` if she is not listed.
    pub(super) fn find(
        &mut self,
        plan: InForce,
        who: u64,
    ) -> Result<Option<(u16, Needs)>, F::Error> {
        let (mut low, mut high) = (0, plan.head.animals);
        while low < high {
            let middle = low + (high - low) / 2;
            let row = self.row(plan.bank, &plan.head, middle)?;
            match row.who().cmp(&who) {
                core::cmp::Ordering::Equal => return Ok(Some((middle, row.needs()))),
                core::cmp::Ordering::Less => low = middle + 1,
                core::cmp::Ordering::Greater => high = middle,
            }
        }
        Ok(None)
    }

    /// The particulars of the cow at this place; `None` if there are none of her.
    pub(super) fn particulars_of(
        &mut self,
        plan: InForce,
        place: u16,
    ) -> Result<Option<Particulars>, F::Error> {
        let (mut low, mut high) = (0, plan.head.particulars);
        while low < high {
            let middle = low + (high - low) / 2;
            // Each was one when the plan was checked.
            let Some((there, one)) = self.particulars(plan.bank, &plan.head, middle)? else {
                return Ok(None);
            };
            match there.cmp(&place) {
                core::cmp::Ordering::Equal => return Ok(Some(one)),
                core::cmp::Ordering::Less => low = middle + 1,
                core::cmp::Ordering::Greater => high = middle,
            }
        }
        Ok(None)
    }
}
