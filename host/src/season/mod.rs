//! A season: ten months of two invented farms, with the truth behind them known.
//!
//! ```text
//! seed --> farms, cows, lesions, blocks --trimmer's day--> entries --sealed--> inbox --> intake
//!                     |
//!                     +--> Truth: how long blocks last, how fast horn grows, when sores heal
//! ```
//!
//! A trimmer visits each farm about every two weeks: cows whose turn it is, lame ones, and those to
//! be seen again. What she says becomes the records that a handheld seals, mistakes included, and
//! each evening is pulled. From the wire's far side on, all is the real path: the inbox stores the
//! sealed bytes and intake derives the herd tables.
//!
//! The truth stays here as values, so that statistics made from the herd tables can be held
//! against what was put in. Farms, cows, ways of gluing and figures are invented; the figures that
//! lean on a source say so in [`truth`].

mod cow;
mod narrator;
mod pour;
mod trimmer;
pub mod truth;
mod visit;

#[cfg(test)]
mod evidence_tests;
#[cfg(test)]
mod figure_tests;
#[cfg(test)]
mod tests;

use hornrule_protocol::{DeviceId, LogId, Record, Seq, seal};

pub use pour::{Poured, SeasonError, pour};
pub use truth::Truth;

use hornrule_facts::Batch;
use hornrule_herd::inbox::Anchor;

/// The season that the demo plays.
pub const SEED: u64 = 20_250_512;
/// The trimmer's handheld.
pub const TRIMMER: DeviceId = DeviceId(0xC0FF_EE00_0000_0002);
/// The handheld of a second person, who measures and judges beside the trimmer on some days.
pub const SECOND: DeviceId = DeviceId(0xC0FF_EE00_0000_0003);
/// Their logs.
pub const LOG: LogId = LogId(0x5EA5_0001);

/// An invented farm and its herd list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Farm {
    /// Its name.
    pub name: &'static str,
    /// The digit keyed at its gate.
    pub digit: u8,
    /// IANA time zone.
    pub zone: &'static str,
    /// The herd list as a text table.
    pub list: String,
}

/// What one evening's pull brings.
#[derive(Clone, Debug, PartialEq)]
pub struct Evening {
    /// The handheld.
    pub device: DeviceId,
    /// First record.
    pub from: Seq,
    /// Last record.
    pub through: Seq,
    /// The records between them, all of them.
    pub records: Vec<Record>,
    /// Its uptime beside the office's clock.
    pub anchor: Anchor,
}

impl Evening {
    /// The records as the handheld seals them.
    ///
    /// # Errors
    /// [`SeasonError::Seal`], which no record of this version reaches.
    pub fn batch(&self) -> Result<Batch, SeasonError> {
        let numbered = (self.from.0..).zip(&self.records);
        let sealed = numbered
            .map(|(seq, record)| seal(self.device, LOG, Seq(seq), record))
            .collect::<Result<_, _>>()
            .map_err(SeasonError::Seal)?;
        let Self { device, from, through, .. } = *self;
        Ok(Batch { device, log: LOG, from, through, sealed })
    }
}

/// Ten months.
#[derive(Clone, Debug)]
pub struct Season {
    /// The farms.
    pub farms: Vec<Farm>,
    /// Every pull, in the order of time.
    pub evenings: Vec<Evening>,
    /// What was put in.
    pub truth: Truth,
}

impl Season {
    /// The season of a seed: the same for the same seed.
    #[must_use]
    pub fn of(seed: u64) -> Self {
        visit::Year::of(seed).live()
    }
}
