//! Puts (boot, uptime) on the wall clock.
//!
//! ```text
//!   boot 1 (anchored)        boot 2 (no anchor)            boot 3 (anchored)
//!   |----A-------|      ?<---|--------|--->?           |-----A----A---|
//!              end  <------- slides in here ------->  start
//! ```
//!
//! - A boot with anchors: the nearest one by uptime, ± half its round trip, ± 100 ppm of the
//!   distance (a common crystal is within 50 ppm, common practice, no source; doubled for cold
//!   weather), ± 1 s where the anchor is a `Clock` record, because the handheld hears of the time
//!   by a request that waits its turn.
//! - A boot without: somewhere between the end of the one before and the start of the one after.
//!   In the middle, ± half the room it has. With a neighbour on one side only, right beside it, and
//!   nobody can say how far off.
//! - No anchor in the whole log: unknown. Such entries cannot be dated and are held until a pull
//!   has brought an anchor.
//!
//! A straight line between two anchors of one boot was the road not taken for now: at 100 ppm a
//! working day is within 3 seconds.

use hornrule_protocol::record::Entry;
use hornrule_protocol::{Boot, Record, Uptime};

use super::observation::{Certainty, When};
use crate::inbox::Anchor;

/// Allowed drift of the handheld's crystal, parts per million.
const DRIFT_PPM: i64 = 100;
/// How late a `Clock` record may be sealed after the office looked at its clock.
const CLOCK_RECORD_MS: i64 = 1000;
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

impl Tie {
    /// From a pull.
    #[must_use]
    pub fn from_anchor(anchor: &Anchor) -> Option<Self> {
        is_sane(anchor.unix_ms).then(|| Self {
            uptime_ms: uptime_ms(anchor.uptime),
            unix_ms: anchor.unix_ms,
            // Rounded up: half of an odd number is not less.
            spread_ms: i64::from(anchor.round_trip_ms).saturating_add(1) / 2,
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
}

/// One boot: its number, its last uptime known, and its anchors.
#[derive(Clone, Debug)]
pub struct Span {
    /// Its number.
    pub boot: Option<Boot>,
    /// The highest uptime seen.
    pub last: Uptime,
    /// Its anchors.
    pub ties: Vec<Tie>,
}

/// Where a boot stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It has anchors.
    Anchored(Vec<Tie>),
    /// It began about then.
    Between {
        /// UTC milliseconds since 1970-01-01.
        start_ms: i64,
        /// ± milliseconds; `None` where nobody can say.
        uncertainty_ms: Option<i64>,
    },
    /// No boot of the log has an anchor.
    Unknown,
}

impl Standing {
    /// A moment of this boot; `None` where it is unknown or cannot be.
    #[must_use]
    pub fn when(&self, uptime: Uptime) -> Option<When> {
        let uptime = uptime_ms(uptime);
        let when = match self {
            Self::Anchored(ties) => {
                let far = |tie: &Tie| uptime.saturating_sub(tie.uptime_ms).saturating_abs();
                // Among equally near ones the tightest, then a total order.
                let tie = ties.iter().min_by_key(|tie| (far(tie), tie.spread_ms, **tie))?;
                let drift = far(tie) / (1_000_000 / DRIFT_PPM) + 1;
                When {
                    at_ms: tie.unix_ms.saturating_add(uptime.saturating_sub(tie.uptime_ms)),
                    uncertainty_ms: Some(tie.spread_ms.saturating_add(drift)),
                    certainty: Certainty::Anchored,
                }
            }
            Self::Between { start_ms, uncertainty_ms } => When {
                at_ms: start_ms.saturating_add(uptime),
                uncertainty_ms: *uncertainty_ms,
                certainty: Certainty::Bounded,
            },
            Self::Unknown => return None,
        };
        is_sane(when.at_ms).then_some(when)
    }
}

/// Places every boot of a log, in the order of the log.
#[must_use]
pub fn place(spans: &[Span]) -> Vec<Standing> {
    let anchored: Vec<Option<Standing>> = spans
        .iter()
        .map(|span| (!span.ties.is_empty()).then(|| Standing::Anchored(span.ties.clone())))
        .collect();
    let at = |i: usize, uptime| anchored[i].as_ref()?.when(uptime).map(|when| when.at_ms);

    // Earliest start of each boot, from the left: the end of the one before.
    let mut earliest = Vec::with_capacity(spans.len());
    let mut end = None;
    for (i, span) in spans.iter().enumerate() {
        earliest.push(end);
        end = match anchored[i] {
            Some(_) => at(i, span.last),
            None => end.map(|end: i64| end.saturating_add(uptime_ms(span.last))),
        };
    }
    // Latest start, from the right: the start of the next, less its own length.
    let mut latest = vec![None; spans.len()];
    let mut next = None;
    for (i, span) in spans.iter().enumerate().rev() {
        latest[i] = next.map(|next: i64| next.saturating_sub(uptime_ms(span.last)));
        next = match anchored[i] {
            Some(_) => at(i, Uptime(0)),
            None => latest[i],
        };
    }
    let bounded = |i: usize| match (earliest[i], latest[i]) {
        (Some(low), Some(high)) => {
            // Drift can make the room negative; then it is none.
            let room = high.saturating_sub(low).max(0);
            Standing::Between {
                start_ms: low.saturating_add(room / 2),
                uncertainty_ms: Some(room / 2 + 1),
            }
        }
        (Some(start_ms), None) | (None, Some(start_ms)) => {
            Standing::Between { start_ms, uncertainty_ms: None }
        }
        (None, None) => Standing::Unknown,
    };
    anchored.iter().enumerate().map(|(i, one)| one.clone().unwrap_or_else(|| bounded(i))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-03-02T08:00:00Z.
    const EIGHT: i64 = 1_772_438_400_000;
    const HOUR: i64 = 3_600_000;

    fn span(boot: u16, last_ms: i64, ties: &[(i64, i64, u32)]) -> Span {
        let ties = ties.iter().filter_map(|(uptime, unix_ms, round_trip_ms)| {
            Tie::from_anchor(&Anchor {
                boot: Boot(boot),
                uptime: Uptime(uptime.cast_unsigned()),
                unix_ms: *unix_ms,
                round_trip_ms: *round_trip_ms,
            })
        });
        Span { boot: Some(Boot(boot)), last: Uptime(last_ms.cast_unsigned()), ties: ties.collect() }
    }

    fn at(standing: &Standing, uptime_ms: i64) -> (i64, Option<i64>) {
        let when = standing.when(Uptime(uptime_ms.cast_unsigned())).unwrap();
        (when.at_ms, when.uncertainty_ms)
    }

    #[test]
    fn the_nearest_anchor_counts_and_drift_grows_with_distance() {
        let placed = place(&[span(1, HOUR, &[(0, EIGHT, 40), (HOUR, EIGHT + HOUR + 200, 10)])]);
        assert_eq!(at(&placed[0], 10_000), (EIGHT + 10_000, Some(20 + 1 + 1)));
        // Ten minutes before the second anchor: 600 s at 100 ppm is 60 ms.
        let near_end = HOUR - 600_000;
        assert_eq!(at(&placed[0], near_end), (EIGHT + near_end + 200, Some(5 + 60 + 1)));
    }

    #[test]
    fn a_boot_between_two_lies_in_the_middle_of_its_room() {
        // Ends at nine; the next begins at noon; an hour of its own leaves two hours of room.
        let placed = place(&[
            span(1, HOUR, &[(0, EIGHT, 0)]),
            span(2, HOUR, &[]),
            span(3, HOUR, &[(0, EIGHT + 4 * HOUR, 0)]),
        ]);
        let start = EIGHT + 2 * HOUR;
        assert_eq!(at(&placed[1], 0), (start, Some(HOUR + 1)));
        assert_eq!(placed[1].when(Uptime(0)).unwrap().certainty, Certainty::Bounded);
    }

    #[test]
    fn two_boots_between_two_keep_their_order() {
        let placed = place(&[
            span(1, HOUR, &[(0, EIGHT, 0)]),
            span(2, HOUR, &[]),
            span(3, HOUR, &[]),
            span(4, HOUR, &[(0, EIGHT + 3 * HOUR, 0)]),
        ]);
        assert_eq!(at(&placed[1], 0), (EIGHT + HOUR, Some(1)));
        assert_eq!(at(&placed[2], 0), (EIGHT + 2 * HOUR, Some(1)));
    }

    #[test]
    fn one_neighbour_gives_a_place_but_no_certainty() {
        let placed = place(&[span(1, HOUR, &[]), span(2, HOUR, &[(0, EIGHT, 0)])]);
        assert_eq!(at(&placed[0], HOUR), (EIGHT, None));
        let placed = place(&[span(1, HOUR, &[(0, EIGHT, 0)]), span(2, HOUR, &[])]);
        assert_eq!(at(&placed[1], 0), (EIGHT + HOUR, None));
    }

    #[test]
    fn no_anchor_at_all_is_unknown_and_nonsense_is_no_anchor() {
        let placed = place(&[span(1, HOUR, &[(0, 12, 0)]), span(2, HOUR, &[])]);
        assert_eq!(placed, [Standing::Unknown, Standing::Unknown]);
    }

    #[test]
    fn an_uptime_beyond_any_calendar_is_unknown() {
        let placed = place(&[span(1, HOUR, &[(0, EIGHT, 0)]), span(2, i64::MAX, &[])]);
        assert_eq!(placed[0].when(Uptime(u64::MAX)), None);
        assert_eq!(placed[1].when(Uptime(u64::MAX)), None);
    }
}
