//! Rows of what the office was told: herds, herd lists, handhelds.

use hornrule_protocol::{DeviceId, Iso11784, Nanometres};
use rusqlite::{OptionalExtension, params};

use super::farm_rows::{FarmSettings, settings_of};
use super::inbox_rows::device_number;
use super::{AnimalId, Day, Fault, Herd, HerdError, HerdId, Rows, queries};

/// A herd.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedHerd {
    /// Its number in this database.
    pub herd: HerdId,
    /// The farm's name.
    pub name: String,
    /// The digit keyed to start a visit there, 1 to 9.
    pub farm: Option<u8>,
    /// IANA name of its time zone.
    pub zone: String,
    /// How its papers look, and where it lies on the round.
    pub settings: FarmSettings,
}

/// A cow of the herd list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedAnimal {
    /// Her herd number.
    pub animal: AnimalId,
    /// Her electronic tag.
    pub tag: Option<Iso11784>,
    /// Her name.
    pub name: Option<String>,
    /// When she was born.
    pub born: Option<Day>,
    /// Her official ear tag number, without blanks.
    pub official: Option<String>,
    /// Her breed.
    pub breed: Option<String>,
    /// Her lactation number.
    pub lactation: Option<u8>,
    /// When she last calved.
    pub calved: Option<Day>,
    /// The group she stands in.
    pub pen: Option<String>,
    /// The day since which she is in no list; `None` while she is in it, and where nobody knows.
    pub left_on: Option<Day>,
    /// Whether she stood in the last list.
    pub in_herd: bool,
}

impl ListedAnimal {
    /// A cow in the herd of whom only the number is known.
    #[must_use]
    pub const fn numbered(animal: AnimalId) -> Self {
        Self {
            animal,
            tag: None,
            name: None,
            born: None,
            official: None,
            breed: None,
            lactation: None,
            calved: None,
            pen: None,
            left_on: None,
            in_herd: true,
        }
    }
}

/// From a day on the cow that had one number has another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Renumbered {
    /// From this day on.
    pub since: Day,
    /// The number keyed on days before.
    pub was: AnimalId,
    /// The number she has.
    pub now: AnimalId,
}

/// What the office knows about a handheld.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Handheld {
    pub(crate) herd: Option<HerdId>,
    pub(crate) gauge: Option<Nanometres>,
    pub(crate) gauge_tolerance: Nanometres,
}

impl Default for Handheld {
    fn default() -> Self {
        // 0.03 mm: the largest error usually allowed to a calliper of 0.01 mm step up to 200 mm
        // (from memory of tolerance tables, not read in a source).
        Self { herd: None, gauge: None, gauge_tolerance: Nanometres(30_000) }
    }
}

impl Rows<'_> {
    pub(crate) fn herds(&self) -> Result<Vec<ListedHerd>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::HERDS)?;
        let mut rows = statement.query([])?;
        let mut herds = Vec::new();
        while let Some(row) = rows.next()? {
            herds.push(ListedHerd {
                herd: HerdId(row.get(0)?),
                name: row.get(1)?,
                farm: row.get(2)?,
                zone: row.get(3)?,
                settings: settings_of(row, 4)?,
            });
        }
        Ok(herds)
    }

    pub(crate) fn insert_herd(
        &self,
        name: &str,
        farm: Option<u8>,
        zone: &str,
    ) -> Result<HerdId, Fault> {
        let mut statement = self.conn.prepare_cached(queries::INSERT_HERD)?;
        Ok(HerdId(statement.query_row((name, farm, zone), |row| row.get(0))?))
    }

    pub(crate) fn update_herd(
        &self,
        herd: HerdId,
        farm: Option<u8>,
        zone: &str,
    ) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::UPDATE_HERD)?.execute((farm, zone, herd.0))?;
        Ok(())
    }

    pub(crate) fn animals(&self, herd: HerdId) -> Result<Vec<ListedAnimal>, Fault> {
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
    pub(crate) fn write_animals(
        &self,
        herd: HerdId,
        animals: &[ListedAnimal],
    ) -> Result<(), Fault> {
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
    pub(crate) fn renumbered(&self, herd: HerdId) -> Result<Vec<Renumbered>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::RENUMBERED)?;
        let rows = statement.query_map([herd.0], |row| {
            let (was, now) = (AnimalId(row.get(1)?), AnimalId(row.get(2)?));
            Ok(Renumbered { since: Day(row.get(0)?), was, now })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Writes all of a herd's renumberings in place of those before.
    pub(crate) fn write_renumbered(&self, herd: HerdId, all: &[Renumbered]) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::CLEAR_RENUMBERED)?.execute([herd.0])?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_RENUMBERED)?;
        for one in all {
            statement.execute((herd.0, one.since.0, one.was.0, one.now.0))?;
        }
        Ok(())
    }

    /// Which heading of a farm's file stands for which of our columns.
    pub(crate) fn headings(&self, herd: HerdId) -> Result<Vec<(String, String)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::HEADINGS)?;
        let rows = statement.query_map([herd.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    pub(crate) fn write_headings(
        &self,
        herd: HerdId,
        all: &[(String, String)],
    ) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::CLEAR_HEADINGS)?.execute([herd.0])?;
        let mut statement = self.conn.prepare_cached(queries::INSERT_HEADING)?;
        for (field, heading) in all {
            statement.execute((herd.0, field, heading))?;
        }
        Ok(())
    }

    pub(crate) fn handheld(&self, device: DeviceId) -> Result<Handheld, Fault> {
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

    pub(crate) fn set_handheld(&self, device: DeviceId, handheld: &Handheld) -> Result<(), Fault> {
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

impl Herd {
    /// All herds, in the order they were made.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn herds(&self) -> Result<Vec<ListedHerd>, HerdError> {
        self.read(|rows| rows.herds())
    }

    /// The herd list of a herd, by number; cows that left are in it with `in_herd` false.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn animals(&self, herd: HerdId) -> Result<Vec<ListedAnimal>, HerdError> {
        self.read(|rows| rows.animals(herd))
    }

    /// How many cows are on the herd list now.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn cows_listed(&self, herd: HerdId) -> Result<usize, HerdError> {
        Ok(self.animals(herd)?.iter().filter(|animal| animal.in_herd).count())
    }
}
