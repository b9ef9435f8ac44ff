//! Rows of which farm a key means: plans, standing keys; and, derived, where work began in a log.

use hornrule_facts::{Day, HerdId, KeptPlan, Key, StandingKey, key_of};
use hornrule_protocol::{DeviceId, LogId, Seq};
use rusqlite::OptionalExtension;

use super::inbox_rows::{device_number, device_of};
use super::{Database, DatabaseError, Fault, Rows, queries};

/// Where work is, from a record of a log on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Whereabouts {
    /// The record.
    pub seq: Seq,
    /// The key in force; `None` where none is.
    pub key: Option<u8>,
    /// The herd, where it is known.
    pub herd: Option<HerdId>,
}

/// A plan as it stands in a log: where it was loaded, where work is after that, its name.
pub type PlanLoad = (Whereabouts, u32);

/// A cow's stay: its record, herd and day.
pub type StayAt = (Key, HerdId, Day);

impl Rows<'_> {
    /// All that was said of standing keys, by day and then in the order in which it was said.
    pub fn standing_keys(&self) -> Result<Vec<StandingKey>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::STANDING_KEYS)?;
        let rows = statement.query_map([], |row| {
            Ok(StandingKey {
                key: row.get(0)?,
                herd: HerdId(row.get(1)?),
                since: row.get::<_, Option<i32>>(2)?.map(Day),
                holds: row.get(3)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Says something of a standing key.
    pub fn insert_standing_key(&self, said: &StandingKey) -> Result<(), Fault> {
        let row = (said.key, said.herd.0, said.since.map(|day| day.0), said.holds);
        self.conn.prepare_cached(queries::INSERT_STANDING_KEY)?.execute(row)?;
        Ok(())
    }

    /// Gives a key to a herd from a day on (`None`: always), or none. The other keys that stand for the
    /// herd no longer do, but from `today` on at the earliest: what was said before stays where it is.
    pub fn give_key(
        &self,
        herd: HerdId,
        key: Option<u8>,
        since: Option<Day>,
        today: Day,
    ) -> Result<(), Fault> {
        let until = since.map_or(today, |since| since.max(today));
        loop {
            let said = self.standing_keys()?;
            let others: Vec<StandingKey> =
                said.into_iter().filter(|one| Some(one.key) != key).collect();
            let Some(other) = key_of(&others, herd, Some(until)) else { break };
            let since = Some(until);
            self.insert_standing_key(&StandingKey { key: other, herd, since, holds: false })?;
        }
        if let Some(key) = key {
            self.insert_standing_key(&StandingKey { key, herd, since, holds: true })?;
        }
        Ok(())
    }

    /// Every plan that was kept, by number.
    pub fn plans(&self) -> Result<Vec<KeptPlan>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::PLANS)?;
        let rows = statement.query_map([], |row| {
            let (number, name, day) = (row.get(0)?, row.get(1)?, Day(row.get(2)?));
            Ok(KeptPlan { number, name, day, farms: Vec::new() })
        })?;
        let mut plans: Vec<KeptPlan> = rows.collect::<Result<_, _>>()?;
        let mut statement = self.conn.prepare_cached(queries::PLAN_FARMS)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let number: u32 = row.get(0)?;
            let at = plans.binary_search_by_key(&number, |plan| plan.number);
            let plan = at.ok().and_then(|at| plans.get_mut(at));
            let plan = plan.ok_or_else(|| Fault::Stored(format!("plan {number} is not there")))?;
            plan.farms.push((row.get(1)?, HerdId(row.get(2)?)));
        }
        Ok(plans)
    }

    /// The bytes of the plans of a day, the latest first: number, bytes.
    pub fn plan_bytes(&self, day: Day) -> Result<Vec<(u32, Vec<u8>)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::PLAN_BYTES)?;
        let rows = statement.query_map([day.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The highest number of a plan; 0 where there is none.
    pub fn last_plan(&self) -> Result<u32, Fault> {
        let mut statement = self.conn.prepare_cached(queries::LAST_PLAN)?;
        Ok(statement.query_row([], |row| row.get(0))?)
    }

    /// Whether a plan of this name was kept, or stands in any log.
    pub fn knows_plan_name(&self, name: u32) -> Result<bool, Fault> {
        for query in [queries::PLAN_NAME_TAKEN, queries::PLAN_NAME_LOADED] {
            let count: u32 =
                self.conn.prepare_cached(query)?.query_row([name], |row| row.get(0))?;
            if count > 0 {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Keeps a plan. `made_ms`: UTC milliseconds since 1970-01-01.
    pub fn insert_plan(&self, plan: &KeptPlan, made_ms: i64, bytes: &[u8]) -> Result<(), Fault> {
        let row = (plan.number, plan.name, plan.day.0, made_ms, bytes);
        self.conn.prepare_cached(queries::INSERT_PLAN)?.execute(row)?;
        for (key, herd) in &plan.farms {
            let row = (plan.number, key, herd.0);
            self.conn.prepare_cached(queries::INSERT_PLAN_FARM)?.execute(row)?;
        }
        Ok(())
    }

    /// Writes where work on a farm starts in a log.
    pub fn insert_visit(
        &self,
        device: DeviceId,
        log: LogId,
        visit: &Whereabouts,
    ) -> Result<(), Fault> {
        let key = visit.key.unwrap_or(0);
        let row = (device_number(device), log.0, visit.seq.0, key, visit.herd.map(|herd| herd.0));
        self.conn.prepare_cached(queries::INSERT_VISIT)?.execute(row)?;
        Ok(())
    }

    /// Writes where a plan was loaded in a log.
    pub fn insert_plan_load(
        &self,
        device: DeviceId,
        log: LogId,
        (after, name): &PlanLoad,
    ) -> Result<(), Fault> {
        let herd = after.herd.map(|herd| herd.0);
        let row = (device_number(device), log.0, after.seq.0, name, after.key, herd);
        self.conn.prepare_cached(queries::INSERT_PLAN_LOAD)?.execute(row)?;
        Ok(())
    }

    /// The last visit before a record.
    pub fn visit_before(
        &self,
        device: DeviceId,
        log: LogId,
        seq: Seq,
    ) -> Result<Option<Whereabouts>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::VISIT_BEFORE)?;
        let key = (device_number(device), log.0, seq.0);
        Ok(statement.query_row(key, whereabouts).optional()?)
    }

    /// The last plan loaded before a record.
    pub fn plan_load_before(
        &self,
        device: DeviceId,
        log: LogId,
        seq: Seq,
    ) -> Result<Option<PlanLoad>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::PLAN_LOAD_BEFORE)?;
        let key = (device_number(device), log.0, seq.0);
        let found = statement.query_row(key, |row| Ok((whereabouts(row)?, row.get(3)?)));
        Ok(found.optional()?)
    }

    /// Every stay of every cow, by handheld, log and number.
    pub fn stays_of_all(&self) -> Result<Vec<StayAt>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::STAYS_OF_ALL)?;
        let rows = statement.query_map([], |row| {
            let key = (device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?));
            Ok((key, HerdId(row.get(3)?), Day(row.get(4)?)))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn whereabouts(row: &rusqlite::Row<'_>) -> Result<Whereabouts, rusqlite::Error> {
    // No key is 0: where the office said where the work was, none was keyed.
    let key = row.get::<_, Option<u8>>(1)?.filter(|key| *key > 0);
    Ok(Whereabouts { seq: Seq(row.get(0)?), key, herd: row.get::<_, Option<i64>>(2)?.map(HerdId) })
}

impl Database {
    /// All that was said of standing keys, by day and then in the order in which it was said.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn standing_keys(&self) -> Result<Vec<StandingKey>, DatabaseError> {
        self.read(|rows| rows.standing_keys())
    }
}
