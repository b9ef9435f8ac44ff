//! Rows of how a farm's papers look, and where it lies on the round.

use hornrule_protocol::Nanometres;

use super::{Fault, Herd, HerdError, HerdId, Rows, queries};
use crate::bill::Currency;

/// In which language papers are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

impl Language {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// ISO 639-1.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The language of a code.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.code() == code)
    }
}

/// In which unit lengths are written. What is stored stays nanometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

impl LengthUnit {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Millimetre, Self::Inch];

    /// An inch, nanometres: exact since the agreement of 1959.
    pub const NM_PER_INCH: f64 = 25_400_000.0;

    /// As written on the command line.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "inch",
        }
    }

    /// The unit of a code.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.code() == code)
    }
}

/// On which paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl Paper {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// As written on the command line.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// The paper of a code.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.code() == code)
    }
}

/// How a farm's papers look, and where it lies on the round.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FarmSettings {
    /// The language of its papers.
    pub language: Language,
    /// The unit of lengths on them.
    pub unit: LengthUnit,
    /// The paper they are printed on.
    pub paper: Paper,
    /// The dorsal wall length that is aimed at when trimming; `None` where none was chosen.
    pub target: Option<Nanometres>,
    /// The currency of its bills.
    pub currency: Currency,
    /// Whom a bill or letter goes to, line by line; empty where nobody said.
    pub address: Vec<String>,
    /// Where it lies on the round, 1 to 999: the lower number comes first; `None` comes last.
    pub route: Option<u16>,
}

impl Default for FarmSettings {
    fn default() -> Self {
        Self {
            language: Language::English,
            unit: LengthUnit::Millimetre,
            paper: Paper::A4,
            target: None,
            currency: Currency::EURO,
            address: Vec::new(),
            route: None,
        }
    }
}

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
    })
}

impl Rows<'_> {
    pub(crate) fn set_farm(&self, herd: HerdId, settings: &FarmSettings) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::SET_FARM)?.execute((
            settings.language.code(),
            settings.unit as u8,
            settings.paper as u8,
            settings.target.map(|target| target.0),
            settings.currency.code(),
            settings.address.join("\n"),
            settings.route,
            herd.0,
        ))?;
        Ok(())
    }
}

impl Herd {
    /// How a farm's papers look. The usual ones for a herd that is not there.
    ///
    /// # Errors
    /// [`HerdError`].
    pub fn farm_settings(&self, herd: HerdId) -> Result<FarmSettings, HerdError> {
        let herds = self.herds()?;
        let found = herds.into_iter().find(|listed| listed.herd == herd);
        Ok(found.map(|listed| listed.settings).unwrap_or_default())
    }

    /// Changes how a farm's papers look. Nothing is derived from it.
    ///
    /// # Errors
    /// [`HerdError`]; all is then as before.
    pub fn set_farm_settings(
        &mut self,
        herd: HerdId,
        settings: &FarmSettings,
    ) -> Result<(), HerdError> {
        self.write(|rows| rows.set_farm(herd, settings))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::kit::two_farms;

    #[test]
    fn settings_come_back_as_they_were_set() {
        let (mut herd, first) = two_farms();
        assert_eq!(herd.farm_settings(first).unwrap(), FarmSettings::default());
        let before = herd.dump();
        let set = FarmSettings {
            language: Language::German,
            unit: LengthUnit::Inch,
            paper: Paper::Letter,
            target: Some(Nanometres::from_mm(75)),
            currency: Currency::from_code("CHF").unwrap(),
            address: vec!["Lindenhof".to_owned(), "Hauptstrasse 1".to_owned()],
            route: Some(3),
        };
        herd.set_farm_settings(first, &set).unwrap();
        assert_eq!(herd.farm_settings(first).unwrap(), set);
        let other = herd.herds().unwrap()[1].herd;
        assert_eq!(herd.farm_settings(other).unwrap(), FarmSettings::default());
        assert_eq!(herd.farm_settings(HerdId(99)).unwrap(), FarmSettings::default());
        assert_eq!(herd.dump(), before);
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
