//! What the office leaves on the handheld: the day's plan on flash, in two banks of which one is in
//! force, and how its calliper is read. `PLAN.md` in this crate's folder gives the format.
//!
//! ```text
//!          bank 0                         bank 1
//! +------+------+--------+-----+----+  +------+------+--------+-----+----+
//! | mark | head | bundle | cow | .. |  | mark | head | bundle | cow | .. |   then particulars
//! +------+------+--------+-----+----+  +------+------+--------+-----+----+
//!   ^ written last, its checksum in a separate program operation; the higher turn is in force
//!
//! cow -> standing: binary search, eight bytes per step, only the head kept in memory
//! ```

mod bank;
mod load;
mod proved;
mod rows;
mod shelf;

pub use shelf::{CalliperShelf, PlanShelf};

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::calliper::CalliperSetting;
use hornrule_protocol::message::{PlanName, PlanState, Refusal};
use hornrule_protocol::plan::{
    Blinding, Floor, Gauge, HEAD, Head, Needs, Order, Particulars, PlanError, Row, VERSION,
};
use hornrule_protocol::{AnimalNumber, Bundle, Dimension, Foot, Nanometres, Part, Side};

use crate::chute::{DayPlan, Listing, Standing};
use bank::{BODY, Banks, Mark};
use load::Loading;
use proved::Proved;

/// The plans on flash.
#[derive(Debug)]
pub struct Plans<F: NorFlash> {
    banks: Banks<F>,
    in_force: Option<InForce>,
    loading: Option<Loading>,
    proved: Option<Proved<F>>,
}

/// The plan in force: all that memory holds of it.
#[derive(Clone, Copy, Debug)]
struct InForce {
    bank: u32,
    mark: Mark,
    head: Head,
}

impl<F: NorFlash> Plans<F> {
    /// Looks for a plan. A flash that cannot be read, or holds no intact plan, has none: the day
    /// goes ahead without.
    pub fn mount(flash: F) -> Self {
        let mut plans =
            Self { banks: Banks::new(flash), in_force: None, loading: None, proved: None };
        plans.in_force = plans.newest();
        plans
    }

    /// Adds storage for the calliper's proved setting: two pages of its own.
    #[must_use]
    pub fn with_calliper(mut self, flash: F) -> Self {
        self.proved = Some(Proved::mount(flash));
        self
    }

    /// Returns the calliper's flash, if there is one.
    pub fn into_calliper_flash(self) -> Option<F> {
        self.proved.map(Proved::into_flash)
    }

    /// Returns the flash.
    pub fn into_flash(self) -> F {
        self.banks.into_flash()
    }

    /// The flash, for tests to inspect.
    pub const fn flash(&self) -> &F {
        self.banks.flash()
    }

    /// The newest intact plan. A damaged one leaves the older one in force.
    fn newest(&mut self) -> Option<InForce> {
        let mut newest: Option<InForce> = None;
        for bank in 0..bank::BANKS {
            let Ok(Some(mark)) = self.banks.mark(bank) else { continue };
            if newest.is_none_or(|other| mark.turn > other.mark.turn)
                && let Ok(head) = self.check(bank, &mark)
            {
                newest = Some(InForce { bank, mark, head });
            }
        }
        newest
    }

    /// Reads a whole plan and returns its head.
    fn check(&mut self, bank: u32, mark: &Mark) -> Result<Head, Refusal> {
        let length = usize::from(mark.length);
        if length > self.banks.room() || length < HEAD {
            return Err(Refusal::PlanBroken);
        }
        if self.banks.checksum(bank, mark.length).map_err(|_| Refusal::FlashFault)? != mark.plan {
            return Err(Refusal::PlanBroken);
        }
        let mut bytes = [0; HEAD];
        self.banks.read(bank, BODY, &mut bytes).map_err(|_| Refusal::FlashFault)?;
        let head = Head::from_bytes(&bytes).map_err(|error| match error {
            PlanError::Version(_) => Refusal::PlanVersion,
            PlanError::Malformed => Refusal::PlanBroken,
        })?;
        if head.length() != length {
            return Err(Refusal::PlanBroken);
        }
        self.check_rows(bank, &head)?;
        Ok(head)
    }

    /// The farm under which a number is looked up; `Err` where none is named.
    fn farm_of(head: &Head, farm: Option<u8>, number: AnimalNumber) -> Result<u8, Standing> {
        match (number, farm.or(head.only_farm())) {
            // A tag number is hers on every farm.
            (AnimalNumber::Tag(_), _) => Ok(0),
            (AnimalNumber::Herd(_), Some(farm)) if head.has_farm(farm) => Ok(farm),
            (AnimalNumber::Herd(_), _) => Err(Standing::FarmUnknown),
        }
    }

    /// Whether limits are signalled; `None` if no plan says so.
    fn open_head(&self) -> Option<Head> {
        self.in_force.map(|plan| plan.head).filter(|head| head.blinding == Blinding::Open)
    }
}

impl<F: NorFlash> DayPlan for Plans<F> {
    fn standing(&mut self, farm: Option<u8>, number: AnimalNumber) -> Standing {
        let Some(plan) = self.in_force else { return Standing::NoPlan };
        let farm = match Self::farm_of(&plan.head, farm, number) {
            Ok(farm) => farm,
            Err(standing) => return standing,
        };
        match self.find(plan, Row::new(farm, number, Needs::NONE).who()) {
            Ok(Some((_, needs))) => Standing::Listed(needs),
            Ok(None) => Standing::NotListed,
            // A flash that cannot be read says nothing about the cow.
            Err(_) => Standing::NoPlan,
        }
    }

    fn listing(&mut self, farm: Option<u8>, number: AnimalNumber) -> Option<Listing> {
        let plan = self.in_force?;
        let farm = Self::farm_of(&plan.head, farm, number).ok()?;
        let who = Row::new(farm, number, Needs::NONE).who();
        let (place, _) = self.find(plan, who).ok().flatten()?;
        let found = self.particulars_of(plan, place).ok().flatten().unwrap_or(Particulars::NONE);
        let blind = plan.head.blinding == Blinding::Blind;
        let particulars = if blind { found.blind() } else { found };
        Some(Listing { place, particulars })
    }

    fn has_farm(&self, farm: u8) -> bool {
        self.in_force.is_none_or(|plan| plan.head.has_farm(farm))
    }

    fn order(&self) -> Option<Order> {
        self.in_force.map(|plan| plan.head.order).filter(|order| !order.is_empty())
    }

    fn limits(&self, dimension: Dimension) -> Option<(Nanometres, Nanometres)> {
        let head = self.in_force.map(|plan| plan.head).unwrap_or_default();
        (head.blinding == Blinding::Open).then(|| head.limits.of(dimension))
    }

    fn floor(&self, own: Floor) -> Option<Nanometres> {
        self.open_head()?.floor_of(own)
    }

    fn heel_difference(&self) -> Option<Nanometres> {
        self.open_head()?.heel_difference()
    }

    fn gauge(&self) -> Option<Gauge> {
        self.in_force?.head.gauge
    }

    fn first_claw(&self, foot: Foot) -> Side {
        self.in_force.map(|plan| plan.head.first_claws).unwrap_or_default().of(foot)
    }

    fn bundle(&mut self, number: u8) -> Option<Bundle> {
        let plan = self.in_force?;
        // A flash that cannot be read has no bundle: the keys are refused.
        let mut all = (0..plan.head.bundles).map(|place| self.bundle_at(plan.bank, place));
        all.find_map(|bundle| bundle.ok().flatten().filter(|bundle| bundle.number() == number))
    }
}

impl<F: NorFlash> CalliperShelf for Plans<F> {
    fn calliper(&self) -> Option<CalliperSetting> {
        self.proved.as_ref()?.setting()
    }

    fn calliper_store(&mut self, setting: CalliperSetting) -> Result<(), Refusal> {
        self.proved.as_mut().map_or(Err(Refusal::NotKept), |proved| proved.store(setting))
    }
}

impl<F: NorFlash> PlanShelf for Plans<F> {
    fn plan_state(&self) -> PlanState {
        let in_force =
            self.in_force.map(|plan| PlanName { plan: plan.mark.plan, animals: plan.head.animals });
        // `room` always fits 16 bits.
        PlanState { version: VERSION, room: self.banks.room() as u16, in_force }
    }

    fn plan_begin(&mut self, length: u16, plan: u32) -> Result<u16, Refusal> {
        self.begin(length, plan)
    }

    fn plan_part(&mut self, at: u16, bytes: &Part) -> Result<u16, Refusal> {
        self.part(at, bytes.as_bytes())
    }

    fn plan_commit(&mut self, plan: u32) -> Result<PlanName, Refusal> {
        self.commit(plan)
    }
}
