//! What the office leaves on the handheld: the day's plan on flash, in two banks of which one is in
//! force, and how its calliper is read. `PLAN.md` in this crate's folder gives the format.
//!
//! ```text
//!          bank 0                         bank 1
//! +------+------+--------+-----+----+  +------+------+--------+-----+----+
//! | mark | head | bundle | cow | .. |  | mark | head | bundle | cow | .. |
//! +------+------+--------+-----+----+  +------+------+--------+-----+----+
//!   ^ written last, its checksum in a separate program operation; the higher turn is in force
//!
//! cow -> standing: binary search, eight bytes per step, only the head kept in memory
//! ```

mod bank;
mod load;
mod proved;
mod shelf;

pub use shelf::{CalliperShelf, PlanShelf};

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::bundle::BUNDLE;
use hornrule_protocol::calliper::CalliperSetting;
use hornrule_protocol::message::{PlanName, PlanState, Refusal};
use hornrule_protocol::plan::{
    Blinding, Gauge, HEAD, Head, Needs, Order, PlanError, ROW, Row, VERSION,
};
use hornrule_protocol::{AnimalNumber, Bundle, Dimension, Foot, Nanometres, Part, Side};

use crate::chute::{DayPlan, Standing};
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
        let mut before = None;
        for place in 0..head.bundles {
            let bundle = self.bundle_at(bank, place).map_err(|_| Refusal::FlashFault)?;
            let number = bundle.ok_or(Refusal::PlanBroken)?.number();
            if before.is_some_and(|before| before >= number) {
                return Err(Refusal::PlanBroken);
            }
            before = Some(number);
        }
        let mut before = None;
        for place in 0..head.animals {
            let row = self.row(bank, &head, place).map_err(|_| Refusal::FlashFault)?;
            if before.is_some_and(|before| before >= row.who()) {
                return Err(Refusal::PlanBroken);
            }
            before = Some(row.who());
        }
        Ok(head)
    }

    fn bundle_at(&mut self, bank: u32, place: u8) -> Result<Option<Bundle>, F::Error> {
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

    /// What this cow needs; `None` if she is not listed.
    fn find(&mut self, plan: InForce, who: u64) -> Result<Option<Needs>, F::Error> {
        let (mut low, mut high) = (0, plan.head.animals);
        while low < high {
            let middle = low + (high - low) / 2;
            let row = self.row(plan.bank, &plan.head, middle)?;
            match row.who().cmp(&who) {
                core::cmp::Ordering::Equal => return Ok(Some(row.needs())),
                core::cmp::Ordering::Less => low = middle + 1,
                core::cmp::Ordering::Greater => high = middle,
            }
        }
        Ok(None)
    }
}

impl<F: NorFlash> DayPlan for Plans<F> {
    fn standing(&mut self, farm: Option<u8>, number: AnimalNumber) -> Standing {
        let Some(plan) = self.in_force else { return Standing::NoPlan };
        let farm = match (number, farm.or(plan.head.only_farm())) {
            // A tag number is hers on every farm.
            (AnimalNumber::Tag(_), _) => 0,
            (AnimalNumber::Herd(_), Some(farm)) if plan.head.has_farm(farm) => farm,
            (AnimalNumber::Herd(_), _) => return Standing::FarmUnknown,
        };
        match self.find(plan, Row::new(farm, number, Needs::NONE).who()) {
            Ok(Some(needs)) => Standing::Listed(needs),
            Ok(None) => Standing::NotListed,
            // A flash that cannot be read says nothing about the cow.
            Err(_) => Standing::NoPlan,
        }
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
