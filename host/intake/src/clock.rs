//! Puts (boot, uptime) on the wall clock.
//!
//! ```text
//!   boot 1 (anchored)        boot 2 (no anchor)            boot 3 (anchored)
//!   |----A-------|      ?<---|--------|--->?           |-----A====A---|
//!              end  <------- slides in here ------->  start
//! ```
//!
//! - **Anchored.** Each anchor says: at this uptime it was that time, ± half its round trip (± 1 s
//!   for a `Clock` record, which is sealed when its request has had its turn). Between two anchors
//!   the time runs on a straight line; beyond the last one, at the handheld's own rate. The bounds
//!   are what no clock within [`DRIFT_PPM`] of the truth can leave: each anchor opens a cone that
//!   widens with the distance, and the truth lies in all of them.
//! - **Doubted.** Two anchors that no clock within that drift can join contradict each other: the
//!   office's clock was wrong at one of them. The largest group that agrees counts. Where the
//!   others could be right as well, the bounds reach over both.
//! - **Bounded.** A boot without anchors lies somewhere between the end of the one before and the
//!   start of the one after, or the pull that brought it. With a bound on one side only, right
//!   beside it, and nobody can say how far off.
//! - **Unknown.** No anchor, and the office's clock was wrong as well. Such entries cannot be dated
//!   and are held until a pull has brought an anchor.

use hornrule_protocol::record::Entry;
use hornrule_protocol::{Boot, Record, Uptime};

use hornrule_facts::observation::{Certainty, When};
use hornrule_herd::inbox::Anchor;

/// How far off a handheld's crystal may run, parts per million. A common crystal is within 50 at
/// room temperature and within 150 in frost (common practice, no source).
pub const DRIFT_PPM: i64 = 200;
/// How late a `Clock` record may be sealed after the office looked at its clock.
pub const CLOCK_RECORD_MS: i64 = 1000;
/// How far the office's own clock may be set by its time service between two looks (common practice,
/// no source). Less than this is no contradiction.
pub const OFFICE_CLOCK_MS: i64 = 1000;
/// Anchors of one boot that are looked at: the tightest ones. More would say nothing new.
const MOST_TIES: usize = 64;
/// Below this a round trip is a large part of any drift.
const DRIFT_OVER_MS: i64 = 60_000;
/// 2000-01-01 and 2200-01-01: a clock outside is not set.
const SANE_MS: std::ops::Range<i64> = 946_684_800_000..7_258_118_400_000;

/// Whether a wall clock can be right.
#[must_use]
pub fn is_sane(unix_ms: i64) -> bool {
    SANE_MS.contains(&unix_ms)
}

/// Uptime and wall clock seen together, and how well.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tie {
    uptime_ms: i64,
    unix_ms: i64,
    spread_ms: i64,
}

/// Uptimes of a hostile record may exceed any clock; they become unknown later on.
fn uptime_ms(uptime: Uptime) -> i64 {
    i64::try_from(uptime.0).unwrap_or(i64::MAX)
}

/// The most that a crystal can gain or lose over a time, rounded up; and a millisecond, because an
/// uptime is cut to whole ones.
fn drift_ms(over: i128) -> i128 {
    (over.abs() * i128::from(DRIFT_PPM)).div_euclid(1_000_000) + 1
}

impl Tie {
    /// From a pull.
    #[must_use]
    pub fn from_anchor(anchor: &Anchor) -> Option<Self> {
        is_sane(anchor.unix_ms).then(|| Self {
            uptime_ms: uptime_ms(anchor.uptime),
            unix_ms: anchor.unix_ms,
            // Rounded up: half of an odd number is not less.
            spread_ms: i64::from(anchor.round_trip_ms).saturating_add(1) / 2 + OFFICE_CLOCK_MS,
        })
    }

    /// From a `Clock` record.
    #[must_use]
    pub fn from_record(record: &Record) -> Option<Self> {
        match record.entry {
            Entry::Clock { unix_ms } if is_sane(unix_ms) => Some(Self {
                uptime_ms: uptime_ms(record.uptime),
                unix_ms,
                spread_ms: CLOCK_RECORD_MS,
            }),
            _ => None,
        }
    }

    /// How much the wall clock is ahead of the uptime.
    fn offset(&self) -> i128 {
        i128::from(self.unix_ms) - i128::from(self.uptime_ms)
    }

    /// How far off the line of this anchor the truth may be at an uptime.
    fn reach(&self, uptime: i128) -> i128 {
        i128::from(self.spread_ms) + drift_ms(uptime - i128::from(self.uptime_ms))
    }

    /// Whether one clock within the allowed drift can have shown both.
    fn agrees(&self, other: &Self) -> bool {
        let reach = self.reach(other.uptime_ms.into()) + i128::from(other.spread_ms);
        (self.offset() - other.offset()).abs() <= reach
    }
}

/// How fast a handheld's clock runs beside the office's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Parts per million it runs fast.
    pub ppm: f64,
    /// The round trips leave it open by so much, either way.
    pub within_ppm: f64,
}

/// What the anchors of one boot say together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Course {
    /// Those that agree, by uptime. At least one.
    ties: Vec<Tie>,
    /// How many do not agree with them.
    doubted: usize,
    /// How far, at most, the doubted ones are off, milliseconds; more than zero where the office's
    /// clock was ahead there.
    off_ms: i64,
    /// A group of the doubted that is as large, and could be right as well.
    rival: Option<Box<Course>>,
}

impl Course {
    /// `None` without anchors.
    #[must_use]
    pub fn of(mut ties: Vec<Tie>) -> Option<Self> {
        ties.sort_unstable_by_key(|tie| (tie.spread_ms, *tie));
        ties.dedup();
        ties.truncate(MOST_TIES);
        ties.sort_unstable();
        let mut doubted: Vec<Tie> = Vec::new();
        loop {
            let conflicts = |tie: &Tie| ties.iter().filter(|other| !tie.agrees(other)).count();
            // The one that most others contradict goes; then the loosest; then the earliest,
            // because a wrong clock is more often put right than the other way round.
            let worst = (0..ties.len()).max_by_key(|i| {
                (conflicts(&ties[*i]), ties[*i].spread_ms, std::cmp::Reverse(*i))
            })?;
            if conflicts(&ties[worst]) == 0 {
                break;
            }
            doubted.push(ties.remove(worst));
        }
        doubted.sort_unstable();
        let mut course = Self { ties, doubted: doubted.len(), off_ms: 0, rival: None };
        for tie in &doubted {
            let here = course.at(tie.uptime_ms.into());
            let off = clamped(i128::from(tie.unix_ms) - here);
            if off.saturating_abs() > course.off_ms.saturating_abs() {
                course.off_ms = off;
            }
        }
        let rival = Self::of(doubted).filter(|rival| rival.ties.len() >= course.ties.len());
        course.rival = rival.map(Box::new);
        Some(course)
    }

    /// Anchors that contradict the others, and how far off they are at most, milliseconds.
    #[must_use]
    pub fn doubted(&self) -> Option<(usize, i64)> {
        (self.doubted > 0).then_some((self.doubted, self.off_ms))
    }

    /// How many anchors agree.
    #[must_use]
    pub fn agreeing(&self) -> usize {
        self.ties.len()
    }

    /// Whether nobody can say which anchors are the wrong ones.
    #[must_use]
    pub fn is_even(&self) -> bool {
        self.rival.is_some()
    }

    /// How the handheld's clock runs; `None` where its anchors are less than a minute apart.
    #[must_use]
    pub fn drift(&self) -> Option<Drift> {
        let (first, last) = (self.ties.first()?, self.ties.last()?);
        let office = last.unix_ms.saturating_sub(first.unix_ms);
        if office < DRIFT_OVER_MS {
            return None;
        }
        let gained = first.offset() - last.offset();
        let open = first.spread_ms.saturating_add(last.spread_ms).saturating_add(1);
        // Milliseconds of years are far below 2^53: exact as floats.
        let ppm = |ms: f64| ms / office as f64 * 1e6;
        Some(Drift { ppm: ppm(gained as f64), within_ppm: ppm(open as f64) })
    }

    /// On the straight line between the anchors around an uptime; beyond, at the handheld's rate.
    fn at(&self, uptime: i128) -> i128 {
        let after = self.ties.partition_point(|tie| i128::from(tie.uptime_ms) <= uptime);
        let offset = match (after.checked_sub(1).map(|i| &self.ties[i]), self.ties.get(after)) {
            (Some(left), Some(right)) => {
                let from = i128::from(left.uptime_ms);
                let (gone, whole) = (uptime - from, i128::from(right.uptime_ms) - from);
                left.offset() + (right.offset() - left.offset()) * gone / whole.max(1)
            }
            (Some(one), None) | (None, Some(one)) => one.offset(),
            // There is at least one.
            (None, None) => 0,
        };
        uptime + offset
    }

    /// Earliest and latest moment that an uptime can be.
    fn bounds(&self, uptime: i128) -> (i128, i128) {
        let cone = |tie: &Tie| {
            let (middle, reach) = (tie.offset() + uptime, tie.reach(uptime));
            (middle - reach, middle + reach)
        };
        let own = self.ties.iter().map(cone).reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)));
        let own = own.unwrap_or((i128::MIN, i128::MAX));
        match &self.rival {
            None => own,
            Some(rival) => {
                let other = rival.bounds(uptime);
                (own.0.min(other.0), own.1.max(other.1))
            }
        }
    }

    fn when(&self, uptime: i128) -> When {
        let (low, high) = self.bounds(uptime);
        let at = self.at(uptime).clamp(low.min(high), high.max(low));
        When {
            at_ms: clamped(at),
            uncertainty_ms: Some(clamped((at - low).max(high - at))),
            certainty: Certainty::Anchored,
        }
    }
}

fn clamped(ms: i128) -> i64 {
    i64::try_from(ms).unwrap_or(if ms < 0 { i64::MIN } else { i64::MAX })
}

/// One boot: its number, its last uptime known, and its anchors.
#[derive(Clone, Debug)]
pub struct Span {
    /// Its number.
    pub boot: Option<Boot>,
    /// The highest uptime seen.
    pub last: Uptime,
    /// When the pull that brought its last record began, UTC milliseconds since 1970-01-01: a boot
    /// without anchors was over by then, because a pull reads the clock of the one that is running.
    pub came_ms: Option<i64>,
    /// Its anchors.
    pub ties: Vec<Tie>,
}

/// Where a boot stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It has anchors.
    Anchored(Course),
    /// It lies between its neighbours.
    Between {
        /// It began no earlier: UTC milliseconds since 1970-01-01.
        earliest_ms: Option<i64>,
        /// It ended no later.
        latest_ms: Option<i64>,
        /// Its last uptime known.
        last: Uptime,
    },
    /// No boot of the log has an anchor.
    Unknown,
}

impl Standing {
    /// A moment of this boot; `None` where it is unknown or cannot be.
    #[must_use]
    pub fn when(&self, uptime: Uptime) -> Option<When> {
        let uptime = i128::from(uptime_ms(uptime));
        let bounded = |at, uncertainty: Option<i128>| When {
            at_ms: clamped(at),
            uncertainty_ms: uncertainty.map(clamped),
            certainty: Certainty::Bounded,
        };
        let when = match self {
            Self::Anchored(course) => course.when(uptime),
            Self::Between { earliest_ms, latest_ms, last } => {
                let to_go = (i128::from(uptime_ms(*last)) - uptime).max(0);
                let from = earliest_ms.map(|ms| i128::from(ms) + uptime);
                let to = latest_ms.map(|ms| i128::from(ms) - to_go);
                match (from, to) {
                    (Some(from), Some(to)) => {
                        let (low, high) = (from - drift_ms(uptime), to + drift_ms(to_go));
                        let middle = low + (high - low) / 2;
                        // Neighbours that contradict each other leave no room, and both may be
                        // right.
                        bounded(middle, Some((high - low).abs() / 2 + 1))
                    }
                    (Some(at), None) | (None, Some(at)) => bounded(at, None),
                    (None, None) => return None,
                }
            }
            Self::Unknown => return None,
        };
        is_sane(when.at_ms).then_some(when)
    }
}

/// A boot on the wall clock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Where it stands.
    pub standing: Standing,
    /// The wall clocks of this boot and of the one before say that this one began at least so many
    /// milliseconds before that one ended.
    pub back_ms: Option<i64>,
}

/// Places every boot of a log, in the order of the log. `prior` is the boot before the first one,
/// where it is known; it is not among the answers.
#[must_use]
pub fn place(prior: Option<&Span>, spans: &[Span]) -> Vec<Placed> {
    let courses: Vec<Option<Course>> =
        spans.iter().map(|span| Course::of(span.ties.clone())).collect();
    let end_of = |course: &Course, last: Uptime| {
        let last = uptime_ms(last);
        is_sane(course.when(last.into()).at_ms).then(|| course.bounds(last.into()))
    };
    let length = |span: &Span| {
        let length = i128::from(uptime_ms(span.last));
        length - drift_ms(length)
    };

    // Earliest start of each boot, from the left: the earliest end of the one before.
    let mut earliest: Vec<Option<i128>> = Vec::with_capacity(spans.len());
    let prior = prior.and_then(|span| Some((Course::of(span.ties.clone())?, span.last)));
    let mut end = prior.and_then(|(course, last)| end_of(&course, last)).map(|end| end.0);
    for (span, course) in spans.iter().zip(&courses) {
        earliest.push(end);
        end = match course {
            Some(course) => end_of(course, span.last).map(|end| end.0),
            None => end.map(|end| end + length(span)),
        };
    }
    // Latest end, from the right: the latest start of the next, and when it was pulled.
    let mut latest: Vec<Option<i128>> = vec![None; spans.len()];
    let mut next: Option<i128> = None;
    for (i, (span, course)) in spans.iter().zip(&courses).enumerate().rev() {
        let came = span.came_ms.filter(|ms| is_sane(*ms));
        let came = came.map(|ms| i128::from(ms) + i128::from(OFFICE_CLOCK_MS));
        latest[i] = [next, came].into_iter().flatten().min();
        next = match course {
            Some(course) => {
                let (low, high) = course.bounds(0);
                is_sane(clamped(low)).then_some(high)
            }
            None => latest[i].map(|end| end - length(span)),
        };
    }
    let placed = courses.into_iter().enumerate().map(|(i, course)| match course {
        Some(course) => {
            let back = earliest[i].map(|end| clamped(end - course.bounds(0).1));
            let back_ms = back.filter(|back| *back > 0);
            Placed { standing: Standing::Anchored(course), back_ms }
        }
        None => Placed { standing: between(earliest[i], latest[i], spans[i].last), back_ms: None },
    });
    placed.collect()
}

fn between(earliest: Option<i128>, latest: Option<i128>, last: Uptime) -> Standing {
    if earliest.is_none() && latest.is_none() {
        return Standing::Unknown;
    }
    let (earliest_ms, latest_ms) = (earliest.map(clamped), latest.map(clamped));
    Standing::Between { earliest_ms, latest_ms, last }
}

#[cfg(test)]
mod tests;
