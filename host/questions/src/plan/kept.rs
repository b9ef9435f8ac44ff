//! What the office keeps of a plan: its number, its bytes, which key means which farm.
//!
//! Kept before it is loaded: a plan that was kept and never loaded does no harm, and one that was
//! loaded and not kept could not be read.

use hornrule_facts::{Day, Herd, HerdId, KeptPlan};
use hornrule_herd::{Database, DatabaseError, Fault, Rows};
use hornrule_line::plan::{PlanError, Planned};
use hornrule_protocol::PlanNumber;
use hornrule_protocol::seal::CRC;

/// For which day, when, and for how much room a plan is made.
#[derive(Clone, Copy, Debug)]
pub struct Maker {
    /// The day it is for.
    pub day: Day,
    /// Now, UTC milliseconds since 1970-01-01.
    pub made_ms: i64,
    /// Bytes that the handheld has room for.
    pub room: usize,
}

/// Why a plan was not kept.
#[derive(Debug, thiserror::Error)]
pub enum KeepError {
    /// The database did not do as asked.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// It is no plan.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// A day that no plan can have.
    #[error("a plan cannot be for {0}; give a day from 1970 to 2149")]
    Day(Day),
    /// All numbers are used up.
    #[error("this database has no number left for another plan")]
    Spent,
}

/// Numbers a plan and keeps it. One of the same day, farms and bytes that was kept before is that
/// plan, so that loading it again is no new plan. Gives what was kept, and the bytes to load.
///
/// # Errors
/// [`KeepError`]; nothing is kept then.
pub fn keep(
    database: &mut Database,
    planned: &Planned,
    farms: &[(u8, Herd)],
    maker: Maker,
) -> Result<(KeptPlan, Vec<u8>), KeepError> {
    let farms: Vec<(u8, HerdId)> = farms.iter().map(|(key, herd)| (*key, herd.herd)).collect();
    database.write_or_not(|rows| kept(rows, planned, &farms, maker))
}

fn kept(
    rows: &Rows<'_>,
    planned: &Planned,
    farms: &[(u8, HerdId)],
    maker: Maker,
) -> Result<Result<(KeptPlan, Vec<u8>), KeepError>, Fault> {
    let Maker { day, made_ms, room } = maker;
    let Ok(wire_day) = u16::try_from(day.0) else { return Ok(Err(KeepError::Day(day))) };
    let bytes_of = |number: u32| -> Result<Vec<u8>, KeepError> {
        let number = PlanNumber::new(number, wire_day).ok_or(KeepError::Spent)?;
        Ok(Planned { number: Some(number), ..planned.clone() }.bytes(room)?)
    };
    let plans = rows.plans()?;
    for (number, there) in rows.plan_bytes(day)? {
        let same = plans.iter().find(|plan| plan.number == number && plan.farms == farms);
        if let (Some(plan), Ok(bytes)) = (same, bytes_of(number))
            && bytes == there
        {
            return Ok(Ok((plan.clone(), bytes)));
        }
    }
    let mut number = rows.last_plan()?;
    loop {
        // A sum beyond 32 bits is no number of a plan.
        number = number.saturating_add(1);
        let bytes = match bytes_of(number) {
            Ok(bytes) => bytes,
            Err(error) => return Ok(Err(error)),
        };
        let name = CRC.checksum(&bytes);
        if !rows.knows_plan_name(name)? {
            let plan = KeptPlan { number, name, day, farms: farms.to_vec() };
            rows.insert_plan(&plan, made_ms, &bytes)?;
            return Ok(Ok((plan, bytes)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_kit::two_farms;
    use hornrule_protocol::bundle::BUNDLE;
    use hornrule_protocol::plan::{HEAD, ROW, Row};

    #[test]
    fn a_plan_that_differs_only_in_its_farms_has_another_name() {
        let (mut database, _) = two_farms();
        let herds = database.herds().unwrap();
        let maker = Maker { day: Day(20_515), made_ms: 0, room: 16_320 };
        let planned = Planned { farms: vec![(1, "one".to_owned())], ..Planned::default() };
        let of = |database: &mut Database, at: usize, day: i32| {
            let farms = [(1, herds[at].clone())];
            keep(database, &planned, &farms, Maker { day: Day(day), ..maker }).unwrap()
        };
        let (first, bytes) = of(&mut database, 0, 20_515);
        let (second, _) = of(&mut database, 1, 20_515);
        let (third, _) = of(&mut database, 0, 20_516);
        assert_eq!((first.number, second.number, third.number), (1, 2, 3));
        assert!(first.name != second.name && second.name != third.name);
        let row = Row::from_bytes(bytes[HEAD..HEAD + ROW].try_into().unwrap());
        let number = PlanNumber::of(row).unwrap();
        assert_eq!((number.number(), number.day()), (1, 20_515));
        // The same once more is the same.
        assert_eq!(of(&mut database, 0, 20_515), (first.clone(), bytes.clone()));
        // With other habits it is another plan, and without them again the one it was.
        let mut habits = planned.clone();
        habits.habits.set("bundle-1", "31 this, 10 partner").unwrap();
        let farms = [(1, herds[0].clone())];
        let (fourth, with) = keep(&mut database, &habits, &farms, maker).unwrap();
        assert_eq!((fourth.number, with.len()), (4, bytes.len() + BUNDLE));
        assert_eq!(of(&mut database, 0, 20_515).0, first);
        let all = database.read(|rows| rows.plans()).unwrap();
        assert_eq!(all, [first, second, third, fourth]);
        let beyond = Maker { day: Day(70_000), ..maker };
        assert!(matches!(keep(&mut database, &planned, &farms, beyond), Err(KeepError::Day(_))));
    }
}
