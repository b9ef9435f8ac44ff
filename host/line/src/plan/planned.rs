//! A day's plan as the office knows it, and its bytes.

use std::collections::BTreeSet;

use hornrule_protocol::plan::{
    BUNDLES_VERSION, Blinding, Floor, Gauge, Head, Limits, Needs, Order, Particulars, Row, VERSION,
};
use hornrule_protocol::{AnimalNumber, Bundle, Claw, HerdNumber, Iso11784, Nanometres, PlanNumber};

use hornrule_facts::Habits;

/// A cow of the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedCow {
    /// The key of her farm on this day.
    pub farm: u8,
    /// Her herd number.
    pub number: Option<HerdNumber>,
    /// Her tag.
    pub tag: Option<Iso11784>,
    /// Her name.
    pub name: Option<String>,
    /// What she needs.
    pub needs: Needs,
    /// What else the handheld knows of her.
    pub particulars: Particulars,
    /// Days that the longest of it is overdue; told by the office, not loaded.
    pub overdue: u32,
}

impl PlannedCow {
    /// Whether ways of gluing are drawn for her claws. Which ones, nothing tells that people read.
    #[must_use]
    pub fn is_drawn(&self) -> bool {
        Claw::all().any(|claw| self.particulars.way(claw).is_some())
    }
}

/// The plan of a day.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Planned {
    /// Which plan it is; `None` for one that is only shown.
    pub number: Option<PlanNumber>,
    /// Farms of the day: key and name.
    pub farms: Vec<(u8, String)>,
    /// The cows, by farm and number.
    pub cows: Vec<PlannedCow>,
    /// The measuring order.
    pub order: Order,
    /// The limits.
    pub limits: Limits,
    /// Whether limits are told.
    pub blinding: Blinding,
    /// The gauge block of the handheld.
    pub gauge: Option<Gauge>,
    /// The shortest dorsal wall that trimming may leave on cows without a floor of their own, half
    /// millimetres; 0: none.
    pub floor: u8,
    /// The largest usual difference in heel height between the claws of a foot, half millimetres;
    /// 0: none.
    pub heels: u8,
    /// Where work starts, and what is always done together.
    pub habits: Habits,
    /// What trial ways of gluing are called: way, name. For people; the handheld says numbers.
    pub trial_ways: Vec<(u8, String)>,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// Two cows that would be keyed alike.
    #[error(
        "{number} is in the plan twice (farm {farm}); correct the herd list and import it again"
    )]
    Twice {
        /// The key of the farm.
        farm: u8,
        /// The number.
        number: AnimalNumber,
    },
    /// More than the handheld has room for.
    #[error(
        "{cows} cows need {needed} bytes, and the handheld has room for {room}; plan fewer farms \
         (--farm)"
    )]
    TooLong {
        /// Numbers of the plan.
        cows: usize,
        /// Its bytes.
        needed: usize,
        /// The handheld's bytes.
        room: usize,
    },
}

/// What a handheld does not get of a plan: because its firmware is older, or for want of room.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// Bundles, and the claw at which work starts.
    pub habits: bool,
    /// Drawn ways of gluing.
    pub ways: bool,
    /// Open lesions, and which of block and wrap is due.
    pub known: bool,
    /// Floors and the limit for heels.
    pub floors: bool,
    /// How much horn has usually regrown.
    pub growth: bool,
    /// Tags of cows that have a herd number.
    pub tags: bool,
}

impl LeftOut {
    /// Whether the handheld gets all of it.
    #[must_use]
    pub fn is_nothing(self) -> bool {
        self == Self::default()
    }
}

/// What is given up for want of room, first to last: what only warns, then the tags. What is drawn
/// and what is open stays: a plan without it would be another plan.
const SHORTER: [LeftOut; 6] = {
    let all = LeftOut {
        habits: false,
        ways: false,
        known: false,
        floors: false,
        growth: false,
        tags: false,
    };
    let growth = LeftOut { growth: true, ..all };
    let lengths = LeftOut { floors: true, ..growth };
    [
        all,
        growth,
        lengths,
        LeftOut { tags: true, ..all },
        LeftOut { tags: true, ..growth },
        LeftOut { tags: true, ..lengths },
    ]
};

impl Planned {
    /// The bytes that are loaded into a handheld with so much room, and what was left out so that
    /// they fit: cows are then found by their herd numbers alone, or lengths of theirs not warned
    /// of.
    ///
    /// # Errors
    /// [`PlanError`].
    pub fn packed(&self, room: usize) -> Result<(Vec<u8>, LeftOut), PlanError> {
        let mut needed = 0;
        let mut cows = 0;
        for less in SHORTER {
            let rows = self.rows(&less)?;
            (cows, needed) = (rows.len(), self.head(&less, &rows).length());
            if needed <= room && u16::try_from(cows).is_ok() {
                return Ok((self.written(&less, &rows), self.really(less)));
            }
        }
        Err(PlanError::TooLong { cows, needed, room })
    }

    /// The bytes alone.
    ///
    /// # Errors
    /// [`PlanError`].
    pub fn bytes(&self, room: usize) -> Result<Vec<u8>, PlanError> {
        Ok(self.packed(room)?.0)
    }

    /// The plan as a handheld that reads up to this version can have it, and what it lacks.
    #[must_use]
    pub fn for_version(mut self, version: u8) -> (Self, LeftOut) {
        let none = LeftOut::default();
        let old = LeftOut { ways: true, known: true, floors: true, growth: true, ..none };
        let habits = version < BUNDLES_VERSION && self.habits != Habits::default();
        let left = LeftOut { habits, ..if version < VERSION { self.really(old) } else { none } };
        if version < VERSION {
            self.cows.iter_mut().for_each(|cow| cow.particulars = Particulars::NONE);
            (self.floor, self.heels) = (0, 0);
        }
        if habits {
            self.habits = Habits::default();
        }
        (self, left)
    }

    /// The shortest dorsal wall that trimming may leave on a cow of this plan.
    #[must_use]
    pub const fn floor_of(&self, cow: &PlannedCow) -> Option<Nanometres> {
        cow.particulars.floor().length(self.floor)
    }

    /// The largest usual difference in heel height between the claws of a foot.
    #[must_use]
    pub const fn heel_difference(&self) -> Option<Nanometres> {
        // The same steps as a floor's.
        Floor::OfPlan.length(self.heels)
    }

    /// Of this, what the plan has at all.
    fn really(&self, less: LeftOut) -> LeftOut {
        let any = |of: fn(&Particulars) -> bool| self.cows.iter().any(|cow| of(&cow.particulars));
        let floors = self.floor != 0
            || self.heels != 0
            || any(|hers| matches!(hers.floor(), Floor::HalfMm(_)));
        LeftOut {
            habits: less.habits && self.habits != Habits::default(),
            ways: less.ways && self.cows.iter().any(PlannedCow::is_drawn),
            known: less.known && any(Particulars::is_asked_after),
            floors: less.floors && floors,
            growth: less.growth && any(|hers| hers.growth().is_some()),
            tags: less.tags
                && self.cows.iter().any(|cow| cow.number.is_some() && cow.tag.is_some()),
        }
    }

    fn head(&self, less: &LeftOut, rows: &[(Row, Particulars)]) -> Head {
        let [floor, heels] = if less.floors { [0; 2] } else { [self.floor, self.heels] };
        let count = |rows: usize| u16::try_from(rows).unwrap_or(u16::MAX);
        Head {
            farms: self.farms.iter().map(|(farm, _)| 1u16 << (farm & 0xF)).sum(),
            animals: count(rows.len()),
            blinding: self.blinding,
            gauge: self.gauge,
            order: self.order,
            limits: self.limits,
            first_claws: self.habits.first_claws,
            // At most nine.
            bundles: self.habits.bundles().count() as u8,
            particulars: count(rows.iter().filter(|(_, hers)| !hers.is_none()).count()),
            floor,
            heels,
        }
    }

    fn written(&self, less: &LeftOut, rows: &[(Row, Particulars)]) -> Vec<u8> {
        let bundles = self.habits.bundles().flat_map(Bundle::to_bytes);
        let some = (0u16..).zip(rows).filter(|(_, (_, hers))| !hers.is_none());
        let particulars = some.flat_map(|(place, (_, hers))| hers.to_bytes(place));
        let cows = rows.iter().flat_map(|(row, _)| row.to_bytes());
        let head = self.head(less, rows).to_bytes();
        head.into_iter().chain(bundles).chain(cows).chain(particulars).collect()
    }

    /// Rows in the order of the plan, each with what else is known of her.
    fn rows(&self, less: &LeftOut) -> Result<Vec<(Row, Particulars)>, PlanError> {
        let mut seen = BTreeSet::new();
        let number = self.number.map(|number| (number.row(), Particulars::NONE));
        let mut rows: Vec<(Row, Particulars)> = number.into_iter().collect();
        for cow in &self.cows {
            let mut hers = cow.particulars;
            if less.floors {
                hers = hers.with_floor(Floor::OfPlan);
            }
            if less.growth {
                hers = hers.with_growth(0);
            }
            let tag = cow.tag.map(AnimalNumber::Tag);
            let tag = tag.filter(|_| !less.tags || cow.number.is_none());
            for number in cow.number.map(AnimalNumber::Herd).into_iter().chain(tag) {
                let row = Row::new(cow.farm, number, cow.needs);
                if !seen.insert(row.who()) {
                    return Err(PlanError::Twice { farm: cow.farm, number });
                }
                rows.push((row, hers));
            }
        }
        rows.sort_unstable_by_key(|(row, _)| *row);
        Ok(rows)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_protocol::Foot;
    use hornrule_protocol::plan::{FIRST_VERSION, HEAD, Need, ROW};

    fn cow(farm: u8, number: u32, tag: Option<u64>) -> PlannedCow {
        PlannedCow {
            farm,
            number: HerdNumber::new(number),
            tag: tag.map(|tag| Iso11784::from_decimal(tag).unwrap()),
            name: None,
            needs: Needs::NONE.with(Need::Recheck(Foot::LeftHind)),
            particulars: Particulars::NONE,
            overdue: 0,
        }
    }

    fn planned(cows: Vec<PlannedCow>) -> Planned {
        let farms = vec![(1, "Alder Brook".to_owned()), (2, "Tarn Edge".to_owned())];
        Planned { farms, cows, ..Planned::default() }
    }

    #[test]
    fn cows_stand_in_the_order_in_which_they_are_looked_up() {
        let plan = planned(vec![
            cow(2, 7, None),
            cow(1, 900, Some(276_000_312_312_345)),
            cow(1, 12, None),
        ]);
        let bytes = plan.bytes(16_320).unwrap();
        let head = Head::from_bytes(bytes[..HEAD].try_into().unwrap()).unwrap();
        assert_eq!((head.farms, head.animals, head.length()), (0b110, 4, bytes.len()));
        let rows: Vec<Row> =
            bytes[HEAD..].chunks(ROW).map(|row| Row::from_bytes(row.try_into().unwrap())).collect();
        assert!(rows.windows(2).all(|pair| pair[0].who() < pair[1].who()));
        // Without room for the tag, she is found by her herd number.
        let short = plan.bytes(HEAD + 3 * ROW).unwrap();
        assert_eq!(short.len(), HEAD + 3 * ROW);
        assert_eq!(
            plan.bytes(HEAD + 2 * ROW),
            Err(PlanError::TooLong { cows: 3, needed: 96, room: 88 })
        );
    }

    #[test]
    fn habits_are_in_a_plan_of_the_second_version_and_old_handhelds_get_the_first() {
        let mut plan = planned(vec![cow(1, 12, None)]);
        assert_eq!(plan.bytes(16_320).unwrap()[0], FIRST_VERSION);
        plan.habits.set("hind", "inner").unwrap();
        plan.habits.set("bundle-3", "31 this, 10 partner").unwrap();
        let bytes = plan.bytes(16_320).unwrap();
        let head = Head::from_bytes(bytes[..HEAD].try_into().unwrap()).unwrap();
        assert_eq!((bytes[0], head.bundles, head.length()), (BUNDLES_VERSION, 1, bytes.len()));
        assert_eq!(bytes[HEAD..HEAD + 2], [3, 2]);
        let nothing = LeftOut::default();
        for version in [BUNDLES_VERSION, VERSION] {
            assert_eq!(plan.clone().for_version(version), (plan.clone(), nothing));
        }
        let (old, left) = plan.for_version(FIRST_VERSION);
        let habits = LeftOut { habits: true, ..nothing };
        assert_eq!((old.bytes(16_320).unwrap()[0], left), (FIRST_VERSION, habits));
        let (_, left) = old.for_version(FIRST_VERSION);
        assert!(left.is_nothing(), "nothing is lost of a plan that has no habits");
    }

    /// Cow 12 has a floor and an open lesion, cow 9 a growth; the tag finds cow 9 too.
    fn third() -> Planned {
        let mut plan = planned(vec![cow(1, 12, None), cow(1, 9, Some(276_000_312_312_345))]);
        let hers = Particulars::NONE.with_lesion_of_foot(Foot::LeftHind);
        plan.cows[0].particulars = hers.with_floor(Floor::HalfMm(160));
        plan.cows[1].particulars = Particulars::NONE.with_growth(16);
        plan.heels = 6;
        plan
    }

    #[test]
    fn particulars_are_in_a_plan_of_the_third_version_beside_their_rows() {
        let plan = third();
        let (bytes, left) = plan.packed(16_320).unwrap();
        let head = Head::from_bytes(bytes[..HEAD].try_into().unwrap()).unwrap();
        assert_eq!((bytes[0], head.animals, head.particulars, head.heels), (VERSION, 3, 3, 6));
        assert!(head.length() == bytes.len() && left.is_nothing());
        let some: Vec<(u16, Particulars)> = bytes[head.particulars_at()..]
            .chunks(hornrule_protocol::plan::PARTICULARS)
            .map(|row| Particulars::from_bytes(row.try_into().unwrap()).unwrap())
            .collect();
        let [twelve, nine] = [plan.cows[0].particulars, plan.cows[1].particulars];
        assert_eq!(some, [(0, nine), (1, twelve), (2, nine)]);
        for version in [FIRST_VERSION, BUNDLES_VERSION] {
            let (old, left) = plan.clone().for_version(version);
            assert_eq!(old.bytes(16_320).unwrap()[0], FIRST_VERSION);
            let lacks = LeftOut { known: true, floors: true, growth: true, ..left };
            assert_eq!(left, lacks);
            assert!(!left.habits && !left.tags);
        }
        assert_eq!(plan.clone().for_version(VERSION), (plan, LeftOut::default()));
    }

    #[test]
    fn what_only_warns_gives_way_before_the_tags_and_what_is_open_never() {
        let plan = third();
        let all = HEAD + 3 * ROW + 3 * 12;
        let nothing = LeftOut::default();
        let growth = LeftOut { growth: true, ..nothing };
        let lengths = LeftOut { floors: true, ..growth };
        for (room, left) in [
            (all, nothing),
            (all - 1, growth),
            (all - 24, growth),
            (all - 25, LeftOut { tags: true, ..growth }),
            (all - 32, LeftOut { tags: true, ..growth }),
        ] {
            assert_eq!(plan.packed(room).unwrap().1, left, "{room}");
        }
        let least = plan.packed(all - 33);
        assert_eq!(least, Err(PlanError::TooLong { cows: 2, needed: all - 32, room: all - 33 }));
        // A floor alone gives way too.
        let mut floor = planned(vec![cow(1, 9, None)]);
        floor.cows[0].particulars = Particulars::NONE.with_floor(Floor::HalfMm(160));
        let (bytes, left) = floor.packed(HEAD + ROW).unwrap();
        assert_eq!((bytes[0], left), (FIRST_VERSION, LeftOut { growth: false, ..lengths }));
    }

    #[test]
    fn a_plans_number_is_the_first_row_after_its_bundles() {
        let mut plan = planned(vec![cow(1, 12, None), cow(1, 3, Some(276_000_312_312_345))]);
        plan.number = PlanNumber::new(7, 20_515);
        plan.habits.set("bundle-3", "31 this, 10 partner").unwrap();
        let bytes = plan.bytes(16_320).unwrap();
        let head = Head::from_bytes(bytes[..HEAD].try_into().unwrap()).unwrap();
        assert_eq!((head.bundles, head.animals, head.length()), (1, 4, bytes.len()));
        let row = |at: usize| Row::from_bytes(bytes[at..at + ROW].try_into().unwrap());
        assert_eq!(PlanNumber::of(row(head.cows_at())), plan.number);
        assert_eq!(PlanNumber::of(row(head.cows_at() + ROW)), None);
        // An old handheld gets another plan, with the same number.
        let (old, _) = plan.for_version(FIRST_VERSION);
        let bytes = old.bytes(16_320).unwrap();
        let first = Row::from_bytes(bytes[HEAD..HEAD + ROW].try_into().unwrap());
        assert_eq!(PlanNumber::of(first), old.number);
    }

    #[test]
    fn a_cow_twice_is_refused() {
        let number = AnimalNumber::Herd(HerdNumber::new(12).unwrap());
        let twice = planned(vec![cow(1, 12, None), cow(2, 12, None), cow(1, 12, None)]);
        assert_eq!(twice.bytes(16_320), Err(PlanError::Twice { farm: 1, number }));
        assert!(planned(vec![cow(1, 12, None), cow(2, 12, None)]).bytes(16_320).is_ok());
        let tag = Some(276_000_312_312_345);
        let tagged = planned(vec![cow(1, 12, tag), cow(2, 13, tag)]);
        assert!(matches!(tagged.bytes(16_320), Err(PlanError::Twice { farm: 2, .. })));
    }
}
