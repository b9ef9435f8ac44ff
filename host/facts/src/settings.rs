//! How a farm wants its papers, and where it lies on the round.

use hornrule_protocol::Nanometres;

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
    /// The farm's vet, line by line as on a letter: name, address, phone; empty where nobody said.
    pub vet: Vec<String>,
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
            vet: Vec::new(),
        }
    }
}
