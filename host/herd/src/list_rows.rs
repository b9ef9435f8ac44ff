//! Rows of what the office was told: herds, herd lists, handhelds.

use hornrule_facts::{Handheld, Herd, ListedAnimal, Renumbered, StandingKey, key_of};
use hornrule_protocol::{DeviceId, Iso11784, Nanometres};
use rusqlite::{OptionalExtension, params};

use super::farm_rows::settings_of;
use super::inbox_rows::device_number;
use super::{AnimalId, Database, DatabaseError, Day, Fault, HerdId, Rows, queries};

impl Rows<'_> {
    /// All herds, in the order they were made.
    pub fn herds(&self) -> Result<Vec<Herd>, Fault> {
        let keys = self.standing_keys()?;
        let mut statement = self.conn.prepare_cached(queries::HERDS)?;
        let mut rows = statement.query([])?;
        let mut herds = Vec::new();
        while let Some(row) = rows.next()? {
            let herd = HerdId(row.get(0)?);
            herds.push(Herd {
                herd,
                name: row.get(1)?,
                farm: key_of(&keys, herd, None),
                zone: row.get(2)?,
                settings: settings_of(row, 3)?,
            });
        }
        Ok(herds)
    }

    /// Makes a herd; gives its number. A key stands for it always.
    pub fn insert_herd(&self, name: &str, key: Option<u8>, zone: &str) -> Result<HerdId, Fault> {
        let mut statement = self.conn.prepare_cached(queries::INSERT_HERD)?;
        let herd = HerdId(statement.query_row((name, zone), |row| row.get(0))?);
        if let Some(key) = key {
            self.insert_standing_key(&StandingKey { key, herd, since: None, holds: true })?;
        }
        Ok(herd)
    }

    /// Writes a herd's name and time zone.
    pub fn update_herd(&self, herd: HerdId, name: &str, zone: &str) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::UPDATE_HERD)?.execute((name, zone, herd.0))?;
        Ok(())
    }

    /// The herd list of a herd, by number, with the cows that left.
    pub fn animals(&self, herd: HerdId) -> Result<Vec<ListedAnimal>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::ANIMALS)?;
        let mut rows = statement.query([herd.0])?;
        let mut animals = Vec::new();
        while let Some(row) = rows.next()? {
            animals.push(ListedAnimal {
                animal: AnimalId(row.get(0)?),
                tag: row.get::<_, Option<i64>>(1)?.map(tag_of).transpose()?,
                name: row.get(2)?,
                born: row.get::<_, Option<i32>>(3)?.map(Day),
                in_herd: row.get(4)?,
                official: row.get(5)?,
                breed: row.get(6)?,
                lactation: row.get(7)?,
                calved: row.get::<_, Option<i32>>(8)?.map(Day),
                pen: row.get(9)?,
                left_on: row.get::<_, Option<i32>>(10)?.map(Day),
            });
        }
        Ok(animals)
    }

    /// Writes a whole herd list in place of the one before.
    pub fn write_animals(&self, herd: HerdId, animals: &[ListedAnimal]) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::CLEAR_ANIMALS)?.execute([herd.0])?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_ANIMAL)?;
        for one in animals {
            let tag = one.tag.map(AnimalId::tag_number);
            let day = |day: Option<Day>| day.map(|day| day.0);
            statement.execute(params![
                herd.0,
                one.animal.0,
                tag,
                one.name,
                day(one.born),
                one.in_herd,
                one.official,
                one.breed,
                one.lactation,
                day(one.calved),
                one.pen,
                day(one.left_on),
            ])?;
        }
        Ok(())
    }

    /// Who has another number since when, by rising day: the day, the old and the new number.
    pub fn renumbered(&self, herd: HerdId) -> Result<Vec<Renumbered>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::RENUMBERED)?;
        let rows = statement.query_map([herd.0], |row| {
            let (was, now) = (AnimalId(row.get(1)?), AnimalId(row.get(2)?));
            Ok(Renumbered { since: Day(row.get(0)?), was, now })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Writes all of a herd's renumberings in place of those before.
    pub fn write_renumbered(&self, herd: HerdId, all: &[Renumbered]) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::CLEAR_RENUMBERED)?.execute([herd.0])?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_RENUMBERED)?;
        for one in all {
            statement.execute((herd.0, one.since.0, one.was.0, one.now.0))?;
        }
        Ok(())
    }

    /// Which heading of a farm's file stands for which of our columns.
    pub fn headings(&self, herd: HerdId) -> Result<Vec<(String, String)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::HEADINGS)?;
        let rows = statement.query_map([herd.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Writes which heading of a farm's file stands for which column.
    pub fn write_headings(&self, herd: HerdId, all: &[(String, String)]) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::CLEAR_HEADINGS)?.execute([herd.0])?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_HEADING)?;
        for (field, heading) in all {
            statement.execute((herd.0, field, heading))?;
        }
        Ok(())
    }

    /// What the office knows about a handheld; the usual where it knows nothing.
    pub fn handheld(&self, device: DeviceId) -> Result<Handheld, Fault> {
        let mut statement = self.conn.prepare_cached(queries::HANDHELD)?;
        let found = statement.query_row([device_number(device)], |row| {
            Ok(Handheld {
                herd: row.get::<_, Option<i64>>(0)?.map(HerdId),
                gauge: row.get::<_, Option<i32>>(1)?.map(Nanometres),
                gauge_tolerance: Nanometres(row.get(2)?),
            })
        });
        Ok(found.optional()?.unwrap_or_default())
    }

    /// Writes what the office knows about a handheld.
    pub fn set_handheld(&self, device: DeviceId, handheld: &Handheld) -> Result<(), Fault> {
        let row = (
            device_number(device),
            handheld.herd.map(|herd| herd.0),
            handheld.gauge.map(|gauge| gauge.0),
            handheld.gauge_tolerance.0,
        );
        self.conn.prepare_cached(queries::SET_HANDHELD)?.execute(row)?;
        Ok(())
    }
}

fn tag_of(number: i64) -> Result<Iso11784, Fault> {
    u64::try_from(number)
        .ok()
        .and_then(|number| Iso11784::from_decimal(number).ok())
        .ok_or_else(|| Fault::Stored(format!("{number} in the herd list is no tag number")))
}

impl Database {
    /// All herds, in the order they were made.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn herds(&self) -> Result<Vec<Herd>, DatabaseError> {
        self.read(|rows| rows.herds())
    }

    /// The herd list of a herd, by number; cows that left are in it with `in_herd` false.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn animals(&self, herd: HerdId) -> Result<Vec<ListedAnimal>, DatabaseError> {
        self.read(|rows| rows.animals(herd))
    }

    /// How many cows are on the herd list now.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn cows_listed(&self, herd: HerdId) -> Result<usize, DatabaseError> {
        Ok(self.animals(herd)?.iter().filter(|animal| animal.in_herd).count())
    }
}
