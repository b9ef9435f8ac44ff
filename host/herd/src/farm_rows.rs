//! Rows of how a farm's papers look, and where it lies on the round.

use hornrule_facts::{FarmSettings, Language, LengthUnit, Paper};
use hornrule_protocol::Nanometres;

use super::{Database, DatabaseError, Fault, HerdId, Rows, queries};
use hornrule_facts::bill::Currency;

/// The columns of the settings in `HERDS`, the first of them at `at`.
pub(super) fn settings_of(row: &rusqlite::Row<'_>, at: usize) -> Result<FarmSettings, Fault> {
    let wrong = |what: &str, value: &str| Fault::Stored(format!("`{value}` is no {what}"));
    let language: String = row.get(at)?;
    let (unit, paper): (u8, u8) = (row.get(at + 1)?, row.get(at + 2)?);
    let currency: String = row.get(at + 4)?;
    let address: String = row.get(at + 5)?;
    Ok(FarmSettings {
        language: Language::from_code(&language).ok_or_else(|| wrong("language", &language))?,
        unit: if unit == 0 { LengthUnit::Millimetre } else { LengthUnit::Inch },
        paper: if paper == 0 { Paper::A4 } else { Paper::Letter },
        target: row.get::<_, Option<i32>>(at + 3)?.map(Nanometres),
        currency: Currency::from_code(&currency).ok_or_else(|| wrong("currency", &currency))?,
        address: address.lines().map(str::to_owned).collect(),
        route: row.get(at + 6)?,
        vet: row.get::<_, String>(at + 7)?.lines().map(str::to_owned).collect(),
    })
}

impl Rows<'_> {
    /// Writes a farm's settings.
    pub fn set_farm(&self, herd: HerdId, settings: &FarmSettings) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::SET_FARM)?.execute((
            settings.language.code(),
            settings.unit as u8,
            settings.paper as u8,
            settings.target.map(|target| target.0),
            settings.currency.code(),
            settings.address.join("\n"),
            settings.route,
            settings.vet.join("\n"),
            herd.0,
        ))?;
        Ok(())
    }
}

impl Database {
    /// How a farm's papers look. The usual ones for a herd that is not there.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn farm_settings(&self, herd: HerdId) -> Result<FarmSettings, DatabaseError> {
        let herds = self.herds()?;
        let found = herds.into_iter().find(|listed| listed.herd == herd);
        Ok(found.map(|listed| listed.settings).unwrap_or_default())
    }

    /// Changes how a farm's papers look. Nothing is derived from it.
    ///
    /// # Errors
    /// [`DatabaseError`]; all is then as before.
    pub fn set_farm_settings(
        &mut self,
        herd: HerdId,
        settings: &FarmSettings,
    ) -> Result<(), DatabaseError> {
        self.write(|rows| rows.set_farm(herd, settings))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::two_farms;
    use hornrule_facts::bill::Currency;
    use hornrule_facts::{Language, LengthUnit, Paper};

    #[test]
    fn settings_come_back_as_they_were_set() {
        let (mut herd, first) = two_farms();
        assert_eq!(herd.farm_settings(first).unwrap(), FarmSettings::default());
        let derived = |herd: &Database| herd.read(|rows| rows.derived_rows()).unwrap();
        let before = derived(&herd);
        let set = FarmSettings {
            language: Language::German,
            unit: LengthUnit::Inch,
            paper: Paper::Letter,
            target: Some(Nanometres::from_mm(75)),
            currency: Currency::from_code("CHF").unwrap(),
            address: vec!["Lindenhof".to_owned(), "Hauptstrasse 1".to_owned()],
            route: Some(3),
            vet: vec!["Dr. Ash".to_owned(), "+44 1632 960200".to_owned()],
        };
        herd.set_farm_settings(first, &set).unwrap();
        assert_eq!(herd.farm_settings(first).unwrap(), set);
        let other = herd.herds().unwrap()[1].herd;
        assert_eq!(herd.farm_settings(other).unwrap(), FarmSettings::default());
        assert_eq!(herd.farm_settings(HerdId(99)).unwrap(), FarmSettings::default());
        assert_eq!(derived(&herd), before);
    }

    #[test]
    fn codes_come_back() {
        for one in Language::ALL {
            assert_eq!(Language::from_code(one.code()), Some(one));
        }
        for one in LengthUnit::ALL {
            assert_eq!(LengthUnit::from_code(one.code()), Some(one));
        }
        for one in Paper::ALL {
            assert_eq!(Paper::from_code(one.code()), Some(one));
        }
        assert_eq!((Language::from_code("fr"), Paper::from_code("A4")), (None, None));
    }
}
