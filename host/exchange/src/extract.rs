//! What an export is made from: a herd's rows over days, in one view of the database.
//!
//! ```text
//! herd tables --gather--> Extract (values) --> ade, beside, xlsx, study
//! ```

use std::collections::{BTreeMap, BTreeSet};

use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{DeviceId, Nanometres, Place, Scale};
use jiff::Timestamp;

use hornrule_facts::{AnimalId, Clip, Day, Fact, Herd, HerdId, Key, ListedAnimal, What, When};
use hornrule_herd::{Database, DatabaseError, Fault, Kinds, Rows, Span};

/// Something said, with when and how sure that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dated<T> {
    /// Its record.
    pub key: Key,
    /// When, on the wall clock.
    pub when: When,
    /// The day at the farm.
    pub day: Day,
    /// The cow; `None` for gauge blocks.
    pub animal: Option<AnimalId>,
    /// Where.
    pub place: Place,
    /// What.
    pub what: T,
    /// Said of the whole foot or cow, and one of the rows that it is read as.
    pub whole: bool,
}

impl<T> Dated<T> {
    const fn of(fact: &Fact, what: T) -> Self {
        let Fact { key, when, day, animal, place, whole, .. } = *fact;
        Self { key, when, day, animal, place, what, whole }
    }

    /// Its record in words; where one record is read as several rows, with the row's place.
    #[must_use]
    pub fn name(&self) -> String {
        let record = record_name(self.key);
        match (self.whole, self.place.foot()) {
            (true, Some(foot)) => {
                let side =
                    self.place.side().map_or(String::new(), |side| format!("-{}", side.name()));
                format!("{record}-{}{side}", foot.letters())
            }
            _ => record,
        }
    }

    /// By time, then by record.
    fn order(&self) -> (i64, i64, u32, u32) {
        let (device, log, seq) = self.key;
        (self.when.at_ms, device.0.cast_signed(), log.0, seq.0)
    }
}

/// What is known about a handheld.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// Versions of its firmware, as seen at pulls.
    pub firmware: BTreeSet<[u8; 3]>,
    /// Size and tolerance of its gauge block, where the office was told.
    pub gauge: Option<(Nanometres, Nanometres)>,
}

/// A herd's rows over days, each list in the order of time.
#[derive(Clone, Debug)]
pub struct Extract {
    /// The herd.
    pub herd: Herd,
    /// Its list, with the cows that left.
    pub list: BTreeMap<AnimalId, ListedAnimal>,
    /// Stays in the chute, each with its end in UTC milliseconds.
    pub stays: Vec<Dated<i64>>,
    /// Lengths of claws.
    pub readings: Vec<Dated<Clip>>,
    /// Findings.
    pub findings: Vec<Dated<Finding>>,
    /// Actions.
    pub actions: Vec<Dated<Done>>,
    /// Scores.
    pub scores: Vec<Dated<(Scale, u8)>>,
    /// Gauge blocks.
    pub gauges: Vec<Dated<Clip>>,
    /// Records that a rule doubts: too far off to count, or said twice.
    pub doubted: BTreeSet<Key>,
    /// The newest decision about a record, UTC milliseconds.
    pub decided: BTreeMap<Key, i64>,
    /// The handhelds that any of it came from.
    pub handhelds: BTreeMap<DeviceId, Known>,
}

impl Extract {
    /// Gathers a herd's rows; `None` where there is no such herd.
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn gather(herd: &Database, of: HerdId, days: Span) -> Result<Option<Self>, DatabaseError> {
        herd.read(|rows| gather(rows, of, days))
    }

    /// Handhelds, in the order of their numbers, of everything that is in it.
    fn devices(&self) -> BTreeSet<DeviceId> {
        let keys = self.stays.iter().map(|one| one.key);
        let keys = keys.chain(self.readings.iter().map(|one| one.key));
        let keys = keys.chain(self.findings.iter().map(|one| one.key));
        let keys = keys.chain(self.actions.iter().map(|one| one.key));
        let keys = keys.chain(self.scores.iter().map(|one| one.key));
        keys.chain(self.gauges.iter().map(|one| one.key)).map(|key| key.0).collect()
    }

    /// The cow's tag: of the list, or her name itself where she was keyed by tag.
    #[must_use]
    pub fn tag(&self, animal: AnimalId) -> Option<String> {
        let listed = self.list.get(&animal).and_then(|one| one.tag);
        let keyed = || (animal.number() > i64::from(u32::MAX)).then(|| animal.to_string());
        listed.map(|tag| tag.to_string()).or_else(keyed)
    }
}

fn gather(rows: &Rows<'_>, of: HerdId, days: Span) -> Result<Option<Extract>, Fault> {
    let Some(herd) = rows.herds()?.into_iter().find(|one| one.herd == of) else {
        return Ok(None);
    };
    let mut decided: BTreeMap<Key, i64> = BTreeMap::new();
    for one in rows.all_decisions()? {
        let at = decided.entry((one.device, one.log, one.seq)).or_insert(one.at_ms);
        *at = one.at_ms.max(*at);
    }
    let mut extract = Extract {
        herd,
        list: rows.animals(of)?.into_iter().map(|one| (one.animal, one)).collect(),
        stays: Vec::new(),
        readings: Vec::new(),
        findings: Vec::new(),
        actions: Vec::new(),
        scores: Vec::new(),
        gauges: Vec::new(),
        doubted: rows.doubted(of)?,
        decided,
        handhelds: BTreeMap::new(),
    };
    rows.each_fact(of, days, Kinds::ALL, |fact| extract.take(&fact))?;
    for fact in rows.gauge_facts(of, days)? {
        if let What::Reading(clip) = fact.what {
            extract.gauges.push(Dated::of(&fact, clip));
        }
    }
    extract.in_time();
    let firmwares = rows.firmwares()?;
    for device in extract.devices() {
        let seen = firmwares.iter().filter(|(of, _)| *of == device);
        let told = rows.handheld(device)?;
        let known = Known {
            firmware: seen.map(|(_, version)| *version).collect(),
            gauge: told.gauge.map(|size| (size, told.gauge_tolerance)),
        };
        extract.handhelds.insert(device, known);
    }
    Ok(Some(extract))
}

impl Extract {
    fn take(&mut self, fact: &Fact) {
        // Gauge blocks are no cow's, and have a list of their own.
        if fact.animal.is_none() {
            return;
        }
        match fact.what {
            What::Stay { until_ms } => self.stays.push(Dated::of(fact, until_ms)),
            What::Reading(clip) => self.readings.push(Dated::of(fact, clip)),
            What::Finding(finding) => self.findings.push(Dated::of(fact, finding)),
            What::Action(done) => self.actions.push(Dated::of(fact, done)),
            What::Score { scale, value } => self.scores.push(Dated::of(fact, (scale, value))),
        }
    }

    /// Facts come cow by cow; an export goes by time.
    fn in_time(&mut self) {
        self.stays.sort_by_key(Dated::order);
        self.readings.sort_by_key(Dated::order);
        self.findings.sort_by_key(Dated::order);
        self.actions.sort_by_key(Dated::order);
        self.scores.sort_by_key(Dated::order);
    }
}

/// A record's identity in words: handheld, log, number.
#[must_use]
pub fn record_name((device, log, seq): Key) -> String {
    format!("{:016x}-{:08x}-{}", device.0, log.0, seq.0)
}

/// RFC 3339 in UTC, to the millisecond. Beyond the years a calendar has, the nearest it has.
#[must_use]
pub fn utc(unix_ms: i64) -> String {
    let nearest = if unix_ms < 0 { Timestamp::MIN } else { Timestamp::MAX };
    let at = Timestamp::from_millisecond(unix_ms).unwrap_or(nearest);
    format!("{at:.3}")
}

/// A firmware's version as people write it.
#[must_use]
pub fn version([major, minor, patch]: [u8; 3]) -> String {
    format!("{major}.{minor}.{patch}")
}

/// Name and version of this program.
pub const SOFTWARE: &str = concat!("hornrule ", env!("CARGO_PKG_VERSION"));

#[cfg(test)]
mod tests {
    use hornrule_protocol::{LogId, Seq};

    use super::*;

    #[test]
    fn names_and_times_are_as_written_down() {
        let key = (DeviceId(0xc0ff_ee00_0000_0001), LogId(0xa1de_0001), Seq(140));
        assert_eq!(record_name(key), "c0ffee0000000001-a1de0001-140");
        // GNU date -u -d @1772532167.
        assert_eq!(utc(1_772_532_167_120), "2026-03-03T10:02:47.120Z");
        assert_eq!(utc(0), "1970-01-01T00:00:00.000Z");
        assert!(utc(i64::MAX).starts_with("9999-12-3") && utc(i64::MIN).starts_with("-009999"));
    }
}
