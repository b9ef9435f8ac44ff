//! A day's plan as the office knows it, and its bytes.

use std::collections::BTreeSet;

use hornrule_protocol::plan::{Blinding, Gauge, Head, Limits, Needs, Order, ROW, Row, VERSION};
use hornrule_protocol::{AnimalNumber, Bundle, HerdNumber, Iso11784, PlanNumber};

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
    /// Days that the longest of it is overdue; told by the office, not loaded.
    pub overdue: u32,
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

impl Planned {
    /// The bytes that are loaded into a handheld with so much room. Where herd numbers and tags do
    /// not both fit, cows are found by their herd numbers alone.
    ///
    /// # Errors
    /// [`PlanError`].
    pub fn bytes(&self, room: usize) -> Result<Vec<u8>, PlanError> {
        let bundles: Vec<u8> = self.habits.bundles().flat_map(Bundle::to_bytes).collect();
        let head = Head {
            farms: self.farms.iter().map(|(farm, _)| 1u16 << (farm & 0xF)).sum(),
            animals: 0,
            blinding: self.blinding,
            gauge: self.gauge,
            order: self.order,
            limits: self.limits,
            first_claws: self.habits.first_claws,
            // At most nine.
            bundles: self.habits.bundles().count() as u8,
            ..Head::default()
        };
        let all = self.rows(true)?;
        let fits = head.cows_at() + ROW * all.len() <= room;
        let rows = if fits { all } else { self.rows(false)? };
        let needed = head.cows_at() + ROW * rows.len();
        let too_long = PlanError::TooLong { cows: rows.len(), needed, room };
        let Ok(animals) = u16::try_from(rows.len()) else { return Err(too_long) };
        if needed > room {
            return Err(too_long);
        }
        let head = Head { animals, ..head };
        let rows = rows.into_iter().flat_map(Row::to_bytes);
        Ok(head.to_bytes().into_iter().chain(bundles).chain(rows).collect())
    }

    /// The plan as a handheld that reads up to this version can have it, and whether it is all of
    /// it: an old one knows no bundles and starts at the outer claw.
    #[must_use]
    pub fn for_version(mut self, version: u8) -> (Self, bool) {
        let whole = version >= VERSION || self.habits == Habits::default();
        if !whole {
            self.habits = Habits::default();
        }
        (self, whole)
    }

    /// Rows in the order of the plan.
    fn rows(&self, tags: bool) -> Result<Vec<Row>, PlanError> {
        let mut seen = BTreeSet::new();
        let mut rows: Vec<Row> = self.number.map(PlanNumber::row).into_iter().collect();
        for cow in &self.cows {
            let tag = cow.tag.map(AnimalNumber::Tag).filter(|_| tags || cow.number.is_none());
            for number in cow.number.map(AnimalNumber::Herd).into_iter().chain(tag) {
                let row = Row::new(cow.farm, number, cow.needs);
                if !seen.insert(row.who()) {
                    return Err(PlanError::Twice { farm: cow.farm, number });
                }
                rows.push(row);
            }
        }
        rows.sort_unstable();
        Ok(rows)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_protocol::Foot;
    use hornrule_protocol::plan::{FIRST_VERSION, HEAD, Need};

    fn cow(farm: u8, number: u32, tag: Option<u64>) -> PlannedCow {
        PlannedCow {
            farm,
            number: HerdNumber::new(number),
            tag: tag.map(|tag| Iso11784::from_decimal(tag).unwrap()),
            name: None,
            needs: Needs::NONE.with(Need::Recheck(Foot::LeftHind)),
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
        assert_eq!((bytes[0], head.bundles, head.length()), (VERSION, 1, bytes.len()));
        assert_eq!(bytes[HEAD..HEAD + 2], [3, 2]);
        assert_eq!(plan.clone().for_version(VERSION), (plan.clone(), true));
        let (old, whole) = plan.for_version(FIRST_VERSION);
        assert_eq!((old.bytes(16_320).unwrap()[0], whole), (FIRST_VERSION, false));
        let (_, whole) = old.for_version(FIRST_VERSION);
        assert!(whole, "nothing is lost of a plan that has no habits");
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
