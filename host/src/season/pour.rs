//! A season into a database, by the real path: inbox, then intake.

use hornrule_protocol::Nanometres;
use hornrule_protocol::seal::TooLong;

use super::{Evening, LOG, SECOND, Season, TRIMMER};
use hornrule_exchange::{ImportError, Target, import_herd};
use hornrule_herd::inbox::{InboxError, PullId, PullStart};
use hornrule_herd::{Database, DatabaseError};
use hornrule_intake as intake;
use hornrule_intake::{GaugeBlock, set_gauge};

/// What a season brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Poured {
    /// Evenings that brought anything new.
    pub pulls: u32,
    /// Records that were new.
    pub new: u32,
}

/// Why a season did not get in.
#[derive(Debug, thiserror::Error)]
pub enum SeasonError {
    /// The database.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// The inbox.
    #[error(transparent)]
    Inbox(#[from] InboxError),
    /// A herd list.
    #[error(transparent)]
    Import(#[from] ImportError),
    /// Our bug: a record that does not fit its envelope.
    #[error("an invented record does not fit: {0}")]
    Seal(TooLong),
}

/// Brings a season in. What is there already is not asked for again, as with a handheld whose
/// records were released; so a second time adds nothing.
///
/// # Errors
/// [`SeasonError`]; the evenings before it are in.
pub fn pour(season: &Season, herd: &mut Database) -> Result<Poured, SeasonError> {
    let mut poured = Poured::default();
    if herd.cursor(TRIMMER, LOG)? == hornrule_protocol::Seq::NONE {
        for farm in &season.farms {
            let (name, zone) = (farm.name.to_owned(), farm.zone.to_owned());
            let target = Target { name, farm: Some(farm.digit), zone };
            import_herd(herd, &target, farm.list.as_bytes())?;
        }
        let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
        for device in [TRIMMER, SECOND] {
            set_gauge(herd, device, Some(gauge))?;
        }
    }
    for evening in &season.evenings {
        let cursor = herd.cursor(evening.device, LOG)?;
        if cursor < evening.through {
            poured.new += pull(evening, herd)?;
            poured.pulls += 1;
        }
    }
    // A last evening that was stored and not derived, as when the demo was ended there.
    for device in [TRIMMER, SECOND] {
        let next = herd.cursor(device, LOG)?.next();
        intake::run(herd, device, LOG, next)?;
    }
    Ok(poured)
}

fn pull(evening: &Evening, herd: &mut Database) -> Result<u32, SeasonError> {
    let (new, pull) = store(evening, herd)?;
    intake::run(herd, evening.device, LOG, evening.from)?;
    herd.end_pull(pull, evening.anchor.unix_ms + 2000)?;
    Ok(new)
}

/// Into the inbox, and no further.
pub(super) fn store(evening: &Evening, herd: &mut Database) -> Result<(u32, PullId), SeasonError> {
    let start = PullStart {
        device: evening.device,
        log: LOG,
        firmware: [0, 1, 0],
        source: "invented season".to_owned(),
        started_ms: evening.anchor.unix_ms,
    };
    let pull = herd.begin_pull(&start)?;
    let stored = herd.store_anchored(pull, &evening.batch()?, Some(&evening.anchor))?;
    Ok((stored.new, pull))
}
