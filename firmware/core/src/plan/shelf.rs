//! What the device needs from whatever keeps the day's plan: a flash, or nothing.

use hornrule_protocol::Part;
use hornrule_protocol::calliper::CalliperSetting;
use hornrule_protocol::message::{PlanName, PlanState, Refusal};

use crate::chute::NoPlan;

/// Takes a plan piece by piece. The plan in force stays in force until a new one is complete.
pub trait PlanShelf {
    /// Which plan is in force, and how much room there is.
    fn plan_state(&self) -> PlanState;

    /// A plan follows. Returns where its next piece begins.
    ///
    /// # Errors
    /// `NoPlans`, `PlanTooLong`, `PlanBroken`, `FlashFault`.
    fn plan_begin(&mut self, length: u16, plan: u32) -> Result<u16, Refusal>;

    /// A piece of it. One already there changes nothing. Returns where the next begins.
    ///
    /// # Errors
    /// `PlanOrder`, `FlashFault`.
    fn plan_part(&mut self, at: u16, bytes: &Part) -> Result<u16, Refusal>;

    /// Puts it in force; one already in force stays so.
    ///
    /// # Errors
    /// `PlanOrder`, `PlanVersion`, `PlanBroken`, `FlashFault`; the old plan stays in force.
    fn plan_commit(&mut self, plan: u32) -> Result<PlanName, Refusal>;
}

/// Keeps the calliper's proved setting.
pub trait CalliperShelf {
    /// The setting in force; `None` if none was proved.
    fn calliper(&self) -> Option<CalliperSetting>;

    /// Puts a setting in force; one already in force is not written again.
    ///
    /// # Errors
    /// `NotKept`, `FlashFault`; the old one stays in force.
    fn calliper_store(&mut self, setting: CalliperSetting) -> Result<(), Refusal>;
}

/// A handheld that keeps none.
impl CalliperShelf for NoPlan {
    fn calliper(&self) -> Option<CalliperSetting> {
        None
    }

    fn calliper_store(&mut self, _setting: CalliperSetting) -> Result<(), Refusal> {
        Err(Refusal::NotKept)
    }
}

/// A handheld that keeps no plan.
impl PlanShelf for NoPlan {
    fn plan_state(&self) -> PlanState {
        PlanState { version: 0, room: 0, in_force: None }
    }

    fn plan_begin(&mut self, _length: u16, _plan: u32) -> Result<u16, Refusal> {
        Err(Refusal::NoPlans)
    }

    fn plan_part(&mut self, _at: u16, _bytes: &Part) -> Result<u16, Refusal> {
        Err(Refusal::NoPlans)
    }

    fn plan_commit(&mut self, _plan: u32) -> Result<PlanName, Refusal> {
        Err(Refusal::NoPlans)
    }
}
