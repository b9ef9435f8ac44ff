//! The one reader of the herd tables: facts of a herd over days, or of one cow, in one order.
//!
//! ```text
//! presence --+
//! reading  --+                              a cow's facts together,
//! finding  --+--> merged by cow, day, time --> one cow after the other
//! action   --+     (each table comes sorted)   never the whole herd at once
//! score    --+
//! ```

use std::collections::BTreeSet;

use hornrule_facts::fact::DOUBTING;
use hornrule_facts::{AnimalId, Certainty, Clip, Day, Fact, HerdId, Key, What, When, spread};
use hornrule_protocol::record::{CalliperKind, Done, Finding, UnitMode};
use hornrule_protocol::{
    Action, Claw, DeviceId, Dimension, Lesion, LogId, Nanometres, Place, Scale, Seq, Zone,
};
use rusqlite::{Params, Row, Statement};

use super::derived_rows::place_of;
use super::inbox_rows::device_of;
use super::{Database, DatabaseError, Fault, Rows, queries};

/// First and last day, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// The first.
    pub from: Day,
    /// The last.
    pub through: Day,
}

impl Span {
    /// Every day there is.
    pub const EVER: Self = Self { from: Day(i32::MIN), through: Day(i32::MAX) };

    /// All days up to and with this one.
    #[must_use]
    pub const fn through(day: Day) -> Self {
        Self { from: Day(i32::MIN), through: day }
    }

    /// One day.
    #[must_use]
    pub const fn day(day: Day) -> Self {
        Self { from: day, through: day }
    }

    /// Whether a day lies in it.
    #[must_use]
    pub fn has(self, day: Day) -> bool {
        self.from <= day && day <= self.through
    }
}

/// Which facts are read. Leaving a table out spares reading it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kinds(u8);

impl Kinds {
    /// Stays in the chute.
    pub const STAYS: Self = Self(1);
    /// Lengths of claws, and of gauge blocks, which are no cow's.
    pub const READINGS: Self = Self(2);
    /// Findings.
    pub const FINDINGS: Self = Self(4);
    /// Actions.
    pub const ACTIONS: Self = Self(8);
    /// Scores.
    pub const SCORES: Self = Self(16);
    /// All of them.
    pub const ALL: Self = Self(31);
    /// Findings, actions and scores: what opens and closes cases, blocks, wraps and referrals.
    pub const JUDGED: Self = Self(28);

    /// Both.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    const fn has(self, one: Self) -> bool {
        self.0 & one.0 != 0
    }
}

/// What a row of a table becomes.
type Make = fn(&Row<'_>) -> Result<(Place, What), Fault>;

/// A table: its kind, its text by days, its text by cow, and how its rows become facts.
const TABLES: [(Kinds, &str, &str, Make); 5] = [
    (Kinds::STAYS, queries::STAY_FACTS, queries::STAY_FACTS_OF_COW, stay),
    (Kinds::READINGS, queries::READING_FACTS, queries::READING_FACTS_OF_COW, reading),
    (Kinds::FINDINGS, queries::FINDING_FACTS, queries::FINDING_FACTS_OF_COW, finding),
    (Kinds::ACTIONS, queries::ACTION_FACTS, queries::ACTION_FACTS_OF_COW, action),
    (Kinds::SCORES, queries::SCORE_FACTS, queries::SCORE_FACTS_OF_COW, score),
];

/// The first column that is a table's own.
const OWN: usize = 11;

fn unknown(what: &str, code: u8) -> Fault {
    Fault::Stored(format!("{what} {code} stands in no code table"))
}

fn place(row: &Row<'_>) -> Result<Place, Fault> {
    place_of(row, 9, 10)
}

fn stay(row: &Row<'_>) -> Result<(Place, What), Fault> {
    Ok((Place::Cow, What::Stay { until_ms: row.get(OWN)? }))
}

fn reading(row: &Row<'_>) -> Result<(Place, What), Fault> {
    let code = row.get(OWN)?;
    let clip = Clip {
        dimension: Dimension::from_code(code).ok_or_else(|| unknown("dimension", code))?,
        length: Nanometres(row.get(OWN + 1)?),
        unit: match row.get(OWN + 2)? {
            0u8 => UnitMode::Millimetre,
            1 => UnitMode::Inch,
            other => return Err(unknown("unit", other)),
        },
        kind: match row.get(OWN + 3)? {
            0u8 => CalliperKind::Sync24,
            1 => CalliperKind::Bcd52,
            2 => CalliperKind::Words48,
            3 => CalliperKind::Nibbles28,
            other => return Err(unknown("calliper kind", other)),
        },
        trimmed: row.get(OWN + 4)?,
        gauge_ok: row.get(OWN + 5)?,
    };
    Ok((place(row)?, What::Reading(clip)))
}

fn finding(row: &Row<'_>) -> Result<(Place, What), Fault> {
    let (place, code) = (place(row)?, row.get(OWN)?);
    let finding = Finding {
        lesion: Lesion::from_code(code).ok_or_else(|| unknown("lesion", code))?,
        place,
        grade: row.get(OWN + 1)?,
        zone: row.get::<_, Option<u8>>(OWN + 2)?.and_then(Zone::new),
    };
    Ok((place, What::Finding(finding)))
}

fn action(row: &Row<'_>) -> Result<(Place, What), Fault> {
    let (place, code) = (place(row)?, row.get(OWN)?);
    let action = Action::from_code(code).ok_or_else(|| unknown("action", code))?;
    Ok((place, What::Action(Done { action, place, days: row.get(OWN + 1)? })))
}

fn score(row: &Row<'_>) -> Result<(Place, What), Fault> {
    let code = row.get(OWN)?;
    let scale = Scale::from_code(code).ok_or_else(|| unknown("scale", code))?;
    Ok((place(row)?, What::Score { scale, value: row.get(OWN + 1)? }))
}

fn fact(row: &Row<'_>, herd: HerdId, make: Make) -> Result<Fact, Fault> {
    let certainty = match row.get(6)? {
        0u8 => Certainty::Anchored,
        1 => Certainty::Bounded,
        other => return Err(unknown("clock", other)),
    };
    let (place, what) = make(row)?;
    Ok(Fact {
        key: (device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)),
        herd,
        when: When { at_ms: row.get(3)?, uncertainty_ms: row.get(5)?, certainty },
        day: Day(row.get(4)?),
        animal: row.get::<_, Option<i64>>(7)?.map(AnimalId),
        stay: row.get::<_, Option<u32>>(8)?.map(Seq),
        place,
        what,
        whole: false,
        doubted: false,
    })
}

/// A table's facts, the next one looked at.
struct Stream<'s> {
    rows: rusqlite::Rows<'s>,
    next: Option<Fact>,
    herd: HerdId,
    make: Make,
}

impl<'s> Stream<'s> {
    fn of(
        statement: &'s mut Statement<'_>,
        params: impl Params,
        herd: HerdId,
        make: Make,
    ) -> Result<Self, Fault> {
        let mut stream = Self { rows: statement.query(params)?, next: None, herd, make };
        stream.advance()?;
        Ok(stream)
    }

    /// The fact in front, and the one behind it into its place.
    fn advance(&mut self) -> Result<Option<Fact>, Fault> {
        let next = match self.rows.next()? {
            Some(row) => Some(fact(row, self.herd, self.make)?),
            None => None,
        };
        Ok(std::mem::replace(&mut self.next, next))
    }
}

/// Claws whose digit is gone: whose, which, and the first day on which that was said.
type Gone = Vec<(AnimalId, Claw, Day)>;

/// Facts of several tables in one order; what was said wider than a claw or foot as its claws or feet.
fn merged(
    streams: &mut [Stream<'_>],
    doubted: &BTreeSet<Key>,
    gone: &Gone,
    mut tell: impl FnMut(Fact),
) -> Result<(), Fault> {
    // A cow's facts of one day: no more is ever held.
    let mut day: Vec<Fact> = Vec::new();
    let mut told = |day: &mut Vec<Fact>| {
        let before = |(cow, _, since): &&(AnimalId, Claw, Day)| {
            day.first().is_some_and(|first| first.animal == Some(*cow) && *since <= first.day)
        };
        let gone: Vec<Claw> = gone.iter().filter(before).map(|(_, claw, _)| *claw).collect();
        spread(day, &gone);
        day.drain(..).for_each(&mut tell);
    };
    loop {
        let first = (0..streams.len())
            .filter_map(|at| Some((streams[at].next.as_ref()?.order(), at)))
            .min()
            .map(|(_, at)| at);
        let Some(at) = first else { break };
        if let Some(mut fact) = streams[at].advance()? {
            fact.doubted = !doubted.is_empty() && doubted.contains(&fact.key);
            let (cow, on) = (fact.animal, fact.day);
            if day.first().is_some_and(|first| first.animal != cow || first.day != on) {
                told(&mut day);
            }
            day.push(fact);
        }
    }
    told(&mut day);
    Ok(())
}

impl Rows<'_> {
    /// Records of a herd that a rule keeps out of statistics.
    pub fn doubted(&self, herd: HerdId) -> Result<BTreeSet<Key>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::FLAGS)?;
        let mut rows = statement.query([herd.0])?;
        let mut doubted = BTreeSet::new();
        while let Some(row) = rows.next()? {
            if DOUBTING.contains(&row.get_ref(3)?.as_str().unwrap_or_default()) {
                doubted.insert((device_of(row, 0)?, LogId(row.get(1)?), Seq(row.get(2)?)));
            }
        }
        Ok(doubted)
    }

    /// The claws of a herd whose digit is gone.
    fn amputated(&self, herd: HerdId) -> Result<Gone, Fault> {
        let mut statement = self.conn.prepare_cached(queries::AMPUTATED)?;
        let mut rows = statement.query([herd.0])?;
        let mut gone = Gone::new();
        while let Some(row) = rows.next()? {
            if let Place::Claw(claw) = place_of(row, 1, 2)? {
                gone.push((AnimalId(row.get(0)?), claw, Day(row.get(3)?)));
            }
        }
        Ok(gone)
    }

    /// Tells a herd's facts over days in the order of [`Fact::order`]: what is no cow's first.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn each_fact(
        &self,
        herd: HerdId,
        span: Span,
        kinds: Kinds,
        tell: impl FnMut(Fact),
    ) -> Result<(), Fault> {
        let tables = TABLES.iter().filter(|table| kinds.has(table.0));
        let mut statements = Vec::new();
        for (_, text, _, make) in tables {
            statements.push((self.conn.prepare_cached(text)?, *make));
        }
        let mut streams = Vec::new();
        for (statement, make) in &mut statements {
            let days = (herd.0, span.from.0, span.through.0);
            streams.push(Stream::of(statement, days, herd, *make)?);
        }
        merged(&mut streams, &self.doubted(herd)?, &self.amputated(herd)?, tell)
    }

    /// Tells a herd's facts over days, one cow after the other by number, each with all her facts.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn each_cow(
        &self,
        herd: HerdId,
        span: Span,
        kinds: Kinds,
        mut tell: impl FnMut(AnimalId, &[Fact]),
    ) -> Result<(), Fault> {
        self.each_owner(herd, span, kinds, |animal, facts| {
            if let Some(animal) = animal {
                tell(animal, facts);
            }
        })
    }

    /// The same, with what is no cow's before the first of them: readings of the gauge block.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn each_owner(
        &self,
        herd: HerdId,
        span: Span,
        kinds: Kinds,
        mut tell: impl FnMut(Option<AnimalId>, &[Fact]),
    ) -> Result<(), Fault> {
        let mut hers: Vec<Fact> = Vec::new();
        let mut of = |hers: &mut Vec<Fact>| {
            if let Some(first) = hers.first() {
                tell(first.animal, hers);
            }
            hers.clear();
        };
        self.each_fact(herd, span, kinds, |fact| {
            if hers.first().is_some_and(|first| first.animal != fact.animal) {
                of(&mut hers);
            }
            hers.push(fact);
        })?;
        of(&mut hers);
        Ok(())
    }

    /// A herd's facts over days.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn facts(&self, herd: HerdId, span: Span, kinds: Kinds) -> Result<Vec<Fact>, Fault> {
        let mut facts = Vec::new();
        self.each_fact(herd, span, kinds, |fact| facts.push(fact))?;
        Ok(facts)
    }

    /// All facts of one cow up to and with a day.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn facts_of_cow(
        &self,
        herd: HerdId,
        animal: AnimalId,
        through: Day,
    ) -> Result<Vec<Fact>, Fault> {
        let mut statements = Vec::new();
        for (_, _, text, make) in &TABLES {
            statements.push((self.conn.prepare_cached(text)?, *make));
        }
        let mut streams = Vec::new();
        for (statement, make) in &mut statements {
            let cow = (herd.0, animal.0, through.0);
            streams.push(Stream::of(statement, cow, herd, *make)?);
        }
        let mut facts = Vec::new();
        merged(&mut streams, &self.doubted(herd)?, &self.amputated(herd)?, |fact| {
            facts.push(fact)
        })?;
        Ok(facts)
    }

    /// Gauge blocks read on those days by handhelds that were at this farm that day, also those that
    /// stand under another farm, in the order of time. A check made before the visit was keyed stands under the farm before, and counts
    /// all the same.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn gauge_facts(&self, herd: HerdId, span: Span) -> Result<Vec<Fact>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::GAUGE_FACTS)?;
        let days = (herd.0, span.from.0, span.through.0);
        let mut stream = Stream::of(&mut statement, days, herd, reading)?;
        let mut facts = Vec::new();
        while let Some(fact) = stream.advance()? {
            facts.push(fact);
        }
        Ok(facts)
    }

    /// Herd, day and how many cows, newest first.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn visit_days(&self) -> Result<Vec<(HerdId, Day, u32)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::VISIT_DAYS)?;
        let days = statement
            .query_map([], |row| Ok((HerdId(row.get(0)?), Day(row.get(1)?), row.get(2)?)))?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    /// Visits in whose chute a handheld recorded a cow, from a record on: herd and day.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn visits_of_log(
        &self,
        device: DeviceId,
        log: LogId,
        from: Seq,
    ) -> Result<Vec<(HerdId, Day)>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::VISITS_OF_LOG)?;
        let days = statement.query_map((device.0.cast_signed(), log.0, from.0), |row| {
            Ok((HerdId(row.get(0)?), Day(row.get(1)?)))
        })?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    /// The last days of visits before a day, the newest first.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn days_before(&self, herd: HerdId, day: Day, most: usize) -> Result<Vec<Day>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::DAYS_BEFORE)?;
        // Asked for by a handful.
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let days = statement.query_map((herd.0, day.0, most), |row| Ok(Day(row.get(0)?)))?;
        Ok(days.collect::<Result<_, _>>()?)
    }

    /// Firmware that was seen on a handheld at any pull.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn firmwares(&self) -> Result<Vec<(DeviceId, [u8; 3])>, Fault> {
        let mut statement = self.conn.prepare_cached(queries::FIRMWARES)?;
        let seen = statement.query_map([], |row| {
            Ok((device_of(row, 0)?, [row.get(1)?, row.get(2)?, row.get(3)?]))
        })?;
        Ok(seen.collect::<Result<_, _>>()?)
    }
}

impl Database {
    /// A herd's facts over days, in the order of [`Fact::order`].
    ///
    /// # Errors
    /// [`DatabaseError`].
    pub fn facts(
        &self,
        herd: HerdId,
        span: Span,
        kinds: Kinds,
    ) -> Result<Vec<Fact>, DatabaseError> {
        self.read(|rows| rows.facts(herd, span, kinds))
    }
}
