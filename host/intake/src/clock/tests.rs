//! Hand-made boots, both changes of the clock, and a simulated handheld whose true time is known.

use jiff::tz::TimeZone;
use proptest::prelude::*;

use super::*;
use hornrule_facts::Day;

/// 2026-03-02T08:00:00Z.
const EIGHT: i64 = 1_772_438_400_000;
const HOUR: i64 = 3_600_000;

fn tie(uptime: i64, unix_ms: i64, round_trip_ms: u32) -> Tie {
    let uptime = Uptime(uptime.cast_unsigned());
    Tie::from_anchor(&Anchor { boot: Boot(1), uptime, unix_ms, round_trip_ms }).unwrap()
}

fn span(boot: u16, last_ms: i64, ties: &[(i64, i64, u32)]) -> Span {
    let ties = ties.iter().map(|(uptime, unix, trip)| tie(*uptime, *unix, *trip)).collect();
    Span { boot: Some(Boot(boot)), last: Uptime(last_ms.cast_unsigned()), came_ms: None, ties }
}

fn placed(spans: &[Span]) -> Vec<Standing> {
    place(None, spans).into_iter().map(|placed| placed.standing).collect()
}

fn at(standing: &Standing, uptime_ms: i64) -> (i64, Option<i64>) {
    let when = standing.when(Uptime(uptime_ms.cast_unsigned())).unwrap();
    (when.at_ms, when.uncertainty_ms)
}

#[test]
fn between_two_anchors_time_runs_on_a_straight_line() {
    // 360 ms gained by the office in an hour: the handheld is 100 ppm slow (360 / 3,600,000).
    let standing = &placed(&[span(1, HOUR, &[(0, EIGHT, 40), (HOUR, EIGHT + HOUR + 360, 10)])])[0];
    assert_eq!(at(standing, 0), (EIGHT, Some(21 + OFFICE_CLOCK_MS)));
    assert_eq!(at(standing, HOUR / 2).0, EIGHT + HOUR / 2 + 180);
    // A quarter of an hour after the first anchor the second one bounds the early side: 2,700 s at
    // 200 ppm are 540 ms around its line, which is 360 ms later.
    let (quarter, open) = at(standing, HOUR / 4);
    assert_eq!(quarter, EIGHT + HOUR / 4 + 90);
    assert_eq!(open, Some(5 + OFFICE_CLOCK_MS + 540 + 1 - 360 + 90));
    // Beyond the last anchor at the handheld's own rate.
    assert_eq!(at(standing, 2 * HOUR).0, EIGHT + 2 * HOUR + 360);
    let Standing::Anchored(course) = standing else { panic!("not anchored") };
    let drift = course.drift().unwrap();
    // -360 ms in 3,600,360 ms, and 20 + 5 + 1 ms and twice the office's own second open:
    // 2,026 / 3,600,360.
    assert!((drift.ppm + 99.99).abs() < 0.001, "{drift:?}");
    assert!((drift.within_ppm - 562.7215).abs() < 0.001, "{drift:?}");
    assert_eq!(course.doubted(), None);
}

#[test]
fn anchors_a_minute_apart_tell_no_drift() {
    let near = Course::of(vec![tie(0, EIGHT, 10), tie(59_000, EIGHT + 59_000, 10)]).unwrap();
    assert_eq!(near.drift(), None);
    assert_eq!(Course::of(Vec::new()), None);
}

#[test]
fn one_wrong_anchor_among_three_is_doubted() {
    // The second was taken with the office's clock an hour ahead.
    let wrong = EIGHT + HOUR + HOUR;
    let ties = vec![tie(0, EIGHT, 10), tie(HOUR, wrong, 10), tie(2 * HOUR, EIGHT + 2 * HOUR, 10)];
    let course = Course::of(ties).unwrap();
    assert_eq!((course.agreeing(), course.doubted()), (2, Some((1, HOUR))));
    assert!(!course.is_even());
    let standing = Standing::Anchored(course);
    // As if it were not there: 3,600 s at 200 ppm are 720 ms.
    assert_eq!(at(&standing, HOUR), (EIGHT + HOUR, Some(5 + OFFICE_CLOCK_MS + 720 + 1)));
}

#[test]
fn two_anchors_that_contradict_leave_both_open() {
    // An hour later the office's clock has gone back by two.
    let course = Course::of(vec![tie(0, EIGHT, 10), tie(HOUR, EIGHT - HOUR, 10)]).unwrap();
    assert!(course.is_even());
    assert_eq!(course.doubted(), Some((1, 2 * HOUR)));
    let standing = Standing::Anchored(course);
    let (middle, open) = at(&standing, HOUR / 2);
    let open = open.unwrap();
    for truth in [EIGHT + HOUR / 2, EIGHT - 2 * HOUR + HOUR / 2] {
        assert!(middle - open <= truth && truth <= middle + open, "{truth}");
    }
}

#[test]
fn a_boot_between_two_lies_in_the_middle_of_its_room() {
    // Ends at nine; the next begins at noon; an hour of its own leaves two hours of room.
    let standings = placed(&[
        span(1, HOUR, &[(0, EIGHT, 0)]),
        span(2, HOUR, &[]),
        span(3, HOUR, &[(0, EIGHT + 4 * HOUR, 0)]),
    ]);
    let (start, open) = at(&standings[1], 0);
    // Within the drift of two hours and the office's own second.
    assert!((start - (EIGHT + 2 * HOUR)).abs() < 2500, "{start}");
    assert!((open.unwrap() - HOUR).abs() < 2500, "{open:?}");
    assert_eq!(standings[1].when(Uptime(0)).unwrap().certainty, Certainty::Bounded);
}

#[test]
fn two_boots_between_two_keep_their_order() {
    let standings = placed(&[
        span(1, HOUR, &[(0, EIGHT, 0)]),
        span(2, HOUR, &[]),
        span(3, HOUR, &[]),
        span(4, HOUR, &[(0, EIGHT + 3 * HOUR, 0)]),
    ]);
    for (i, hours) in [(1, 1), (2, 2)] {
        let (start, open) = at(&standings[i], 0);
        assert!((start - (EIGHT + hours * HOUR)).abs() < 3000, "{start}");
        assert!(open.unwrap() < 3000, "{open:?}");
    }
}

#[test]
fn one_neighbour_gives_a_place_but_no_certainty() {
    let standings = placed(&[span(1, HOUR, &[]), span(2, HOUR, &[(0, EIGHT, 0)])]);
    assert_eq!(at(&standings[0], HOUR), (EIGHT + 1 + OFFICE_CLOCK_MS, None));
    let standings = placed(&[span(1, HOUR, &[(0, EIGHT, 0)]), span(2, HOUR, &[])]);
    let (start, open) = at(&standings[1], 0);
    assert!((start - (EIGHT + HOUR)).abs() < 2000 && open.is_none());
}

#[test]
fn no_anchor_at_all_is_unknown_and_nonsense_is_no_anchor() {
    let nonsense = Anchor { boot: Boot(1), uptime: Uptime(0), unix_ms: 12, round_trip_ms: 0 };
    assert_eq!(Tie::from_anchor(&nonsense), None);
    let standings = placed(&[span(1, HOUR, &[]), span(2, HOUR, &[])]);
    assert_eq!(standings, [Standing::Unknown, Standing::Unknown]);
}

#[test]
fn an_uptime_beyond_any_calendar_is_unknown() {
    let standings = placed(&[span(1, HOUR, &[(0, EIGHT, 0)]), span(2, i64::MAX, &[])]);
    assert_eq!(standings[0].when(Uptime(u64::MAX)), None);
    assert_eq!(standings[1].when(Uptime(u64::MAX)), None);
}

#[test]
fn a_clock_that_went_back_between_two_boots_is_told() {
    // Ended at nine, began at half past eight.
    let first = span(1, HOUR, &[(0, EIGHT, 0)]);
    let second = span(2, HOUR, &[(0, EIGHT + HOUR / 2, 0)]);
    let back = |prior: Option<&Span>, spans: &[Span]| {
        place(prior, spans).last().and_then(|placed| placed.back_ms)
    };
    let told = back(None, &[first.clone(), second.clone()]).unwrap();
    assert!((told - HOUR / 2).abs() < 3000, "{told}");
    assert_eq!(back(Some(&first), std::slice::from_ref(&second)), Some(told));
    // A boot without anchors in between makes it worse by its length.
    let between = span(3, HOUR, &[]);
    let more = back(None, &[first.clone(), between, second]).unwrap();
    assert!((more - HOUR / 2 - HOUR).abs() < 4000, "{more}");
    let later = span(2, HOUR, &[(0, EIGHT + 2 * HOUR, 0)]);
    assert_eq!(back(None, &[first, later]), None);
}

/// The days of both changes in Berlin (tz database, rule EU: last Sunday of March and October,
/// 01:00 UTC): 2026-03-29 has 23 hours, 2026-10-25 has 25.
#[test]
fn a_day_with_a_change_of_the_clock_is_the_farms_day() {
    let berlin = TimeZone::get("Europe/Berlin").unwrap();
    let midnight = |date: &str| {
        let date: jiff::civil::Date = date.parse().unwrap();
        date.to_zoned_datetime(berlin.clone()).unwrap().timestamp().as_millisecond()
    };
    for (date, next, hours) in [("2026-03-29", "2026-03-30", 23), ("2026-10-25", "2026-10-26", 25)]
    {
        let (start, end) = (midnight(date), midnight(next));
        assert_eq!(end - start, hours * HOUR, "{date}");
        // A handheld that runs from the evening before to the morning after.
        let from = start - 2 * HOUR;
        let night = 30 * HOUR;
        let ties = [(0, from, 10), (night, from + night, 10)];
        let standing = &placed(&[span(1, night, &ties)])[0];
        let day = |wall: i64| {
            let uptime = Uptime((wall - from).cast_unsigned());
            Day::of(standing.when(uptime).unwrap().at_ms, &berlin).unwrap().to_string()
        };
        assert_eq!(day(start + 1_000), date);
        assert_eq!(day(end - 1_000), date);
        assert_eq!(day(end + 1_000), next);
        assert_ne!(day(start - 1_000), date);
        // Uptimes are not moved by the change: an hour is an hour.
        let hour = |n: i64| at(standing, n * HOUR).0;
        for n in 0..30 {
            assert_eq!(hour(n + 1) - hour(n), HOUR, "hour {n} of {date}");
        }
    }
}

/// One boot of a handheld whose true life is known.
#[derive(Clone, Debug)]
struct Lived {
    pause_ms: i64,
    /// How its crystal ran, piece by piece: true milliseconds, ppm.
    pieces: Vec<(i64, i64)>,
    /// Anchors: when, as a share of its length; way there and way back, ms; as a `Clock` record.
    anchors: Vec<(f64, i64, i64, bool)>,
}

fn life() -> impl Strategy<Value = Vec<Lived>> {
    let piece = (1..8 * HOUR, -DRIFT_PPM..=DRIFT_PPM);
    let anchor = (0.0..1.0f64, 0..400i64, 0..400i64, any::<bool>());
    let boot =
        (0..40 * HOUR, prop::collection::vec(piece, 1..4), prop::collection::vec(anchor, 0..4));
    let lived = |(pause_ms, pieces, anchors)| Lived { pause_ms, pieces, anchors };
    prop::collection::vec(boot.prop_map(lived), 1..6)
}

/// The handheld's clock after so much true time.
fn clock_after(pieces: &[(i64, i64)], mut gone: i64) -> i64 {
    let mut shown = 0i128;
    for (length, ppm) in pieces {
        let here = gone.min(*length);
        shown += i128::from(here) * i128::from(1_000_000 + ppm);
        gone -= here;
    }
    i64::try_from(shown / 1_000_000).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// True time lies within what is stated, whatever the crystal, the round trips and the pauses.
    #[test]
    fn the_truth_lies_within_the_bounds(
        life in life(),
        moments in prop::collection::vec(0.0..=1.0f64, 1..12),
    ) {
        let mut now = EIGHT;
        let (mut spans, mut began) = (Vec::new(), Vec::new());
        for (number, Lived { pause_ms, pieces, anchors }) in (1u16..).zip(&life) {
            now += pause_ms;
            let whole: i64 = pieces.iter().map(|piece| piece.0).sum();
            let ties = anchors.iter().map(|(share, there, back, as_record)| {
                let gone = (whole as f64 * share) as i64;
                let uptime = Uptime(clock_after(pieces, gone).cast_unsigned());
                let seen = now + gone;
                if *as_record {
                    // Told `there` ms before it was sealed; within the second that is allowed.
                    let entry = Entry::Clock { unix_ms: seen - there };
                    return Tie::from_record(&Record { boot: Boot(number), uptime, entry }).unwrap();
                }
                let (asked, trip) = (seen - there, there + back);
                let anchor = Anchor {
                    boot: Boot(number),
                    uptime,
                    unix_ms: asked + trip / 2,
                    round_trip_ms: u32::try_from(trip).unwrap(),
                };
                Tie::from_anchor(&anchor).unwrap()
            });
            let last = Uptime(clock_after(pieces, whole).cast_unsigned());
            // Every other boot is known to have been pulled a while after its end.
            let came_ms = (number % 2 == 1).then(|| now + whole + i64::from(number) * 60_000);
            spans.push(Span { boot: Some(Boot(number)), last, came_ms, ties: ties.collect() });
            began.push((now, whole, pieces));
            now += whole;
        }
        for (i, placed) in place(None, &spans).iter().enumerate() {
            let (start, whole, pieces) = &began[i];
            prop_assert_eq!(placed.back_ms, None, "no clock went back");
            if let Standing::Anchored(course) = &placed.standing {
                prop_assert_eq!(course.doubted(), None, "honest anchors agree");
                if let Some(drift) = course.drift() {
                    let most = pieces.iter().map(|piece| piece.1.abs()).max().unwrap() as f64;
                    prop_assert!(drift.ppm.abs() <= most + drift.within_ppm, "{:?}", drift);
                }
            }
            for moment in &moments {
                let gone = (*whole as f64 * moment) as i64;
                let uptime = Uptime(clock_after(pieces, gone).cast_unsigned());
                let Some(when) = placed.standing.when(uptime) else {
                    prop_assert!(spans.iter().all(|span| span.ties.is_empty()));
                    prop_assert!(spans[i..].iter().all(|span| span.came_ms.is_none()));
                    continue;
                };
                let truth = start + gone;
                if let Some(open) = when.uncertainty_ms {
                    let off = (when.at_ms - truth).abs();
                    prop_assert!(off <= open, "off by {off}, stated {open}: {:?}", placed.standing);
                }
            }
        }
    }

    /// One dishonest anchor among at least three honest ones that are near each other is doubted,
    /// and the truth stays within the bounds.
    #[test]
    fn a_clock_set_wrong_is_noticed(
        honest in prop::collection::btree_set(0..10 * HOUR, 3..6),
        wrong_at in 0..10 * HOUR,
        off in prop_oneof![-48 * HOUR..-60_000, 60_000..48 * HOUR],
    ) {
        let mut ties: Vec<Tie> = honest.iter().map(|up| tie(*up, EIGHT + up, 20)).collect();
        ties.push(tie(wrong_at, EIGHT + wrong_at + off, 20));
        let course = Course::of(ties).unwrap();
        let (doubted, most) = course.doubted().unwrap();
        prop_assert_eq!((doubted, course.is_even()), (1, false));
        prop_assert!((most - off).abs() < 10_000, "{most} for {off}");
        let standing = Standing::Anchored(course);
        for uptime in (0..10).map(|n| n * HOUR) {
            let (at, open) = at(&standing, uptime);
            prop_assert!((at - EIGHT - uptime).abs() <= open.unwrap());
        }
    }
}
