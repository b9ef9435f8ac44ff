//! Rows that intake derives: sweep them out from a record on, write them again.

use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_protocol::{DeviceId, Foot, LogId, Place, Seq};
use rusqlite::{Row, params};

use super::inbox_rows::device_number;
use super::{Fault, HerdId, Rows, queries};
use hornrule_facts::What;
use hornrule_facts::observation::{Observation, Presence};
use hornrule_facts::remark::Remark;

/// Foot (empty for the cow) and side (0 for foot and cow) of a place.
pub(super) fn place_columns(place: Place) -> (Option<u8>, u8) {
    (place.foot().map(Foot::number), place.side().map_or(0, |side| side.number()))
}

/// Back from foot and side.
pub(super) fn place_of(row: &Row<'_>, foot: usize, side: usize) -> Result<Place, Fault> {
    let (foot, side): (Option<u8>, u8) = (row.get(foot)?, row.get(side)?);
    match foot {
        None => Ok(Place::Cow),
        Some(foot) => side
            .checked_mul(4)
            .and_then(|claw| claw.checked_add(foot))
            .and_then(|byte| Place::try_from(byte).ok())
            .ok_or_else(|| Fault::Stored(format!("foot {foot}, side {side} is no place"))),
    }
}

impl Rows<'_> {
    /// Takes out every derived row of a log from `from` on. Gives the herds that lost any.
    pub fn sweep(&self, device: DeviceId, log: LogId, from: Seq) -> Result<Vec<HerdId>, Fault> {
        let device = device_number(device);
        self.conn.prepare_cached(queries::SWEEP_VISIT)?.execute((device, log.0, from.0))?;
        self.conn.prepare_cached(queries::SWEEP_PLAN_LOAD)?.execute((device, log.0, from.0))?;
        self.conn.prepare_cached(queries::SWEEP_WASH)?.execute((device, log.0, from.0))?;
        // Herd 0 holds the remarks that have no herd.
        let none = (device, log.0, from.0);
        self.conn.prepare_cached(queries::SWEEP_REMARK)?.execute((0, none.0, none.1, none.2))?;
        let mut touched = Vec::new();
        for herd in self.herds()? {
            let mut gone = 0;
            for table in [
                queries::SWEEP_PRESENCE,
                queries::SWEEP_READING,
                queries::SWEEP_FINDING,
                queries::SWEEP_ACTION,
                queries::SWEEP_SCORE,
                queries::SWEEP_REMARK,
            ] {
                let mut statement = self.conn.prepare_cached(table)?;
                gone += statement.execute((herd.herd.0, device, log.0, from.0))?;
            }
            if gone > 0 {
                touched.push(herd.herd);
            }
        }
        Ok(touched)
    }

    /// Writes a stay in the chute.
    pub fn insert_presence(
        &self,
        device: DeviceId,
        log: LogId,
        presence: &Presence,
    ) -> Result<(), Fault> {
        let spot = &presence.spot;
        let row = params![
            spot.herd.0,
            device_number(device),
            log.0,
            spot.seq.0,
            spot.boot.0,
            spot.when.at_ms,
            presence.until_ms,
            spot.day.0,
            spot.when.uncertainty_ms,
            spot.when.certainty.number(),
            presence.animal.0,
        ];
        self.conn.prepare_cached(queries::INSERT_PRESENCE)?.execute(row)?;
        Ok(())
    }

    /// Writes a thing said.
    pub fn insert_observation(
        &self,
        device: DeviceId,
        log: LogId,
        observation: &Observation,
    ) -> Result<(), Fault> {
        let (query, own): (_, Vec<Option<i64>>) = match &observation.what {
            What::Reading(clip) => (
                queries::INSERT_READING,
                vec![
                    Some(clip.dimension.code().into()),
                    Some(clip.length.0.into()),
                    Some(match clip.unit {
                        UnitMode::Millimetre => 0,
                        UnitMode::Inch => 1,
                    }),
                    Some(match clip.kind {
                        CalliperKind::Sync24 => 0,
                        CalliperKind::Bcd52 => 1,
                        CalliperKind::Words48 => 2,
                        CalliperKind::Nibbles28 => 3,
                    }),
                    Some(clip.trimmed.into()),
                    clip.gauge_ok.map(i64::from),
                ],
            ),
            What::Finding(finding) => (
                queries::INSERT_FINDING,
                vec![
                    Some(finding.lesion.code().into()),
                    Some(finding.grade.into()),
                    finding.zone.map(|zone| zone.number().into()),
                ],
            ),
            What::Action(done) => (
                queries::INSERT_ACTION,
                vec![Some(done.action.code().into()), Some(done.days.into())],
            ),
            // A stay has its own insert.
            What::Stay { .. } => return Ok(()),
            What::Score { scale, value } => {
                (queries::INSERT_SCORE, vec![Some(scale.code().into()), Some((*value).into())])
            }
        };
        let spot = &observation.spot;
        let (foot, side) = place_columns(observation.place);
        let shared = [
            Some(spot.herd.0),
            Some(device_number(device)),
            Some(log.0.into()),
            Some(spot.seq.0.into()),
            Some(spot.boot.0.into()),
            Some(spot.when.at_ms),
            Some(spot.day.0.into()),
            spot.when.uncertainty_ms,
            Some(spot.when.certainty.number().into()),
            observation.animal.map(|animal| animal.0),
            observation.presence.map(|seq| seq.0.into()),
            foot.map(i64::from),
            Some(side.into()),
        ];
        let row = rusqlite::params_from_iter(shared.into_iter().chain(own));
        self.conn.prepare_cached(query)?.execute(row)?;
        Ok(())
    }

    /// Writes a remark.
    pub fn insert_remark(&self, remark: &Remark) -> Result<(), Fault> {
        let (foot, side) = place_columns(remark.place);
        let row = params![
            remark.herd.map_or(0, |herd| herd.0),
            device_number(remark.device),
            remark.log.0,
            remark.seq.0,
            remark.rule,
            remark.severity.number(),
            remark.level as u8,
            remark.day.map(|day| day.0),
            remark.animal.map(|animal| animal.0),
            foot,
            side,
            remark.sentence,
        ];
        self.conn.prepare_cached(queries::INSERT_REMARK)?.execute(row)?;
        Ok(())
    }

    /// Takes out the remarks of the rules that look over a herd's history.
    pub fn sweep_history_remarks(&self, herd: HerdId) -> Result<(), Fault> {
        self.conn.prepare_cached(queries::SWEEP_HISTORY_REMARKS)?.execute([herd.0])?;
        Ok(())
    }
}
