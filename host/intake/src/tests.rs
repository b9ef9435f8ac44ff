//! The walk and the rules, over whole stories.

use hornrule_facts::{AnimalId, Day, HerdId, Severity, What};
use hornrule_protocol::record::{Entry, StartCause, UnitMode};
use hornrule_protocol::{AnimalNumber, DeviceId, Iso11784, Nanometres, Place, Sealed, Seq};

use super::{GaugeBlock, Intake, RULES, rebuild, run, set_gauge, set_works_at};
use crate::farms::{begin, import, keep_plan, take_in, two_farms};
use hornrule_facts::Batch;
use hornrule_herd::inbox::Anchor;
use hornrule_herd::{Database, Kinds, Span};
use hornrule_kit::{DEVICE, EIGHT, Inspect, LF_OUT, LH, LH_IN, LH_OUT, LOG, RF_OUT, RH_OUT, Story};

/// A rule, a story in which it fires, and one like it in which it does not.
type Case = (&'static str, fn(&mut Story), fn(&mut Story));

const MM: UnitMode = UnitMode::Millimetre;
const INCH: UnitMode = UnitMode::Inch;

/// Every story begins at work at farm 1, unless it says otherwise by beginning anew.
const CASES: &[Case] = &[
    ("damaged", |s| void(s.cow(312).damage()), |s| void(s.cow(312))),
    ("newer", |s| void(s.cow(312).newer()), |s| void(s.cow(312))),
    ("malformed", |s| void(s.cow(312).nonsense()), |s| void(s.cow(312))),
    ("numbers-missing", |s| void(s.cow(312).lose(2).cow(313)), |s| void(s.cow(312).cow(313))),
    ("log-was-full", |s| void(s.cow(312).full(9)), |s| void(s.cow(312))),
    (
        "nothing-to-undo",
        // The clock cannot be taken back.
        |s| void(s.say(Entry::Void { seq: Seq(2) })),
        |s| void(s.cow(312).act(30, LH_OUT).undo(0)),
    ),
    (
        "bundle-cut-short",
        |s| {
            void(
                s.cow(312).say(Entry::Bundle { bundle: 1, parts: 3 }).start().clock(EIGHT + 60_000),
            )
        },
        |s| void(s.cow(312).bundle(1, &[(31, LH_OUT), (10, LH_IN)]).cow(313)),
    ),
    ("calliper-fault", |s| void(s.fault()), |s| void(s.cow(312).read(1, 8000, LH_OUT))),
    ("clock-nonsense", |s| void(s.clock(5)), |s| void(s.clock(EIGHT + 60_000))),
    (
        "clock-bounded",
        |s| void(s.start().visit(1).cow(312).start().clock(EIGHT + 7_200_000)),
        |s| void(s.start().clock(EIGHT + 3_600_000).visit(1).cow(312)),
    ),
    (
        "clock-contradicts",
        |s| void(s.wait(3_600_000).clock(EIGHT - 7_200_000)),
        |s| void(s.wait(3_600_000).clock(EIGHT + 3_612_000)),
    ),
    (
        "clock-backwards",
        |s| void(s.wait(3_600_000).cow(312).start().clock(EIGHT + 1_800_000)),
        |s| void(s.wait(3_600_000).cow(312).start().clock(EIGHT + 7_200_000)),
    ),
    (
        "handheld-fault",
        |s| void(s.start_by(StartCause::Panic).clock(EIGHT + 60_000)),
        |s| void(s.start_by(StartCause::Reset).clock(EIGHT + 60_000)),
    ),
    (
        "old-plan",
        // The plan of the day before; one of the day.
        |s| void(s.plan(1).visit(1).cow(312)),
        |s| void(s.plan(2).visit(1).cow(312)),
    ),
    ("unknown-farm", |s| void(s.visit(7).cow(312)), |s| void(s.visit(2).cow(312))),
    (
        "no-visit",
        |s| void(anew(s).start().clock(EIGHT).cow(312)),
        |s| void(anew(s).start().clock(EIGHT).visit(2).cow(312)),
    ),
    (
        "clock-unknown",
        |s| void(anew(s).start().visit(1).cow(312)),
        |s| void(anew(s).start().visit(1).cow(312).clock(EIGHT)),
    ),
    (
        "after-gap",
        |s| void(s.cow(312).full(1).act(30, LH_OUT)),
        |s| void(s.cow(312).full(1).cow(313).act(30, LH_OUT)),
    ),
    (
        "no-cow",
        |s| void(s.cow(312).left().act(30, LH_OUT)),
        |s| void(s.cow(312).act(30, LH_OUT).left().read(0, 8000, Place::Cow)),
    ),
    (
        "no-animal",
        |s| void(s.say(tagged(312)).act(30, LH_OUT)),
        |s| void(s.say(tagged(276_000_312_312_345)).act(30, LH_OUT)),
    ),
    (
        "no-claw",
        |s| void(s.cow(312).read(1, 8000, Place::Cow)),
        |s| {
            s.cow(312).read(1, 8000, LH_OUT).find(0, 0, LH).act(81, Place::Cow);
            void(s.act(30, Place::Cow).act(30, LH).act(33, Place::Cow));
        },
    ),
    (
        "impossible-length",
        |s| void(s.cow(312).read(1, 20_001, LH_OUT)),
        |s| void(s.cow(312).read(1, 20_000, LH_OUT)),
    ),
    ("off-grade", |s| void(s.cow(312).find(13, 4, LH_OUT)), |s| void(s.cow(312).find(31, 4, LH))),
    ("off-scale", |s| void(s.cow(312).score(1, 0)), |s| void(s.cow(312).score(2, 0))),
    (
        "unusual-length",
        |s| void(s.cow(312).read(1, 5999, LH_OUT)),
        |s| void(s.cow(312).read(1, 6000, LH_OUT)),
    ),
    (
        "short-after-trimming",
        |s| void(s.cow(312).act(30, LH_OUT).read(1, 6999, LH_OUT)),
        |s| void(s.cow(312).read(1, 6999, LH_OUT).act(30, LH_OUT).read(1, 7000, LH_OUT)),
    ),
    (
        "day-uncertain",
        // Off at nine in the evening, on again some time before six in the morning.
        |s| void(night(s).cow(312).start().clock(EIGHT + 22 * 3_600_000)),
        |s| void(s.start().cow(312).start().clock(EIGHT + 7_200_000)),
    ),
    (
        "toe-above-wall",
        |s| void(s.cow(312).read(1, 7000, LH_OUT).read(5, 7001, LH_OUT)),
        // Another claw; the same height; another state of trim.
        |s| {
            s.cow(312).read(1, 7000, LH_OUT).read(5, 7100, LH_IN).read(5, 7000, LH_OUT);
            void(s.act(30, LH_OUT).read(5, 7100, LH_OUT));
        },
    ),
    (
        "said-twice",
        |s| void(s.cow(312).find(13, 2, LH_OUT).at_once().find(13, 2, LH_OUT)),
        |s| {
            s.cow(312).find(13, 2, LH_OUT).find(13, 2, LH_OUT).at_once().find(13, 1, LH_OUT);
            void(s.read(1, 8000, LH_OUT).at_once().read(1, 8000, LH_OUT));
        },
    ),
    (
        "trimmed-twice",
        |s| void(s.cow(312).act(30, LH_OUT).act(30, LH_OUT)),
        // Another claw, taken back, and a slip of the thumb, which is said twice.
        |s| {
            s.cow(312).act(30, LH_OUT).act(30, LH_IN).undo(0).act(30, LH_IN);
            void(s.at_once().act(30, LH_IN).cow(313).act(30, LH_OUT));
        },
    ),
    (
        "found-twice",
        |s| void(s.cow(312).find(13, 2, LH_OUT).find(13, 1, LH_OUT)),
        |s| {
            s.cow(312).find(11, 2, LH_OUT).find_at(11, 2, 5, LH_OUT).find(11, 2, LH_IN);
            void(s.find(12, 2, LH_OUT).cow(313).find(11, 2, LH_OUT));
        },
    ),
    (
        "block-on-lesion",
        |s| void(s.cow(312).act(10, LH_OUT).find(13, 2, LH_OUT)),
        |s| void(s.cow(312).find(13, 2, LH_OUT).act(10, LH_IN).cow(313).act(10, LH_OUT)),
    ),
    (
        "unlikely-zone",
        |s| void(s.cow(312).find_at(13, 2, 9, LH_OUT)),
        |s| void(s.cow(312).find_at(13, 2, 4, LH_OUT).find_at(51, 1, 9, LH)),
    ),
    (
        "on-two-farms",
        |s| void(s.cow(777)),
        // Listed here; listed nowhere; at a farm without a list.
        |s| void(s.cow(312).cow(778).visit(2).cow(777)),
    ),
    ("not-listed", |s| void(s.cow(352)), |s| void(s.cow(312).visit(2).cow(352))),
    (
        "mixed-units",
        |s| void(s.cow(312).clip(1, 80_010_000, LH_OUT, INCH).clip(1, 80_000_000, LH_IN, MM)),
        |s| void(s.cow(312).clip(1, 80_010_000, LH_OUT, INCH).clip(1, 80_010_000, LH_IN, INCH)),
    ),
    (
        "no-gauge-check",
        |s| void(s.cow(312).read(1, 8000, LH_OUT)),
        |s| void(s.read(0, 7500, Place::Cow).cow(312).read(1, 8000, LH_OUT)),
    ),
    (
        "recheck-before-lesion",
        |s| void(s.cow(312).act(51, RH_OUT).find(13, 2, RH_OUT)),
        |s| void(s.cow(312).find(13, 2, RH_OUT).act(51, RH_OUT).cow(313).act(51, RH_OUT)),
    ),
    (
        "no-block-there",
        |s| void(s.cow(312).act(10, LH_IN).act(41, LH_IN).act(42, LH_IN)),
        // Seen once, it is there.
        |s| void(s.cow(312).act(10, LH_IN).act(40, LH_IN).act(41, LH_IN).cow(313)),
    ),
    (
        "far-from-history",
        // 10 mm in a day; allowed are 5 and a third.
        |s| void(s.cow(312).read(1, 8000, LH_OUT).wait(86_400_000).cow(312).read(1, 9000, LH_OUT)),
        // 10 mm in 30 days; another claw; after trimming.
        |s| {
            s.cow(312).read(1, 8000, LH_OUT).wait(30 * 86_400_000);
            s.cow(312).read(1, 9000, LH_OUT).read(1, 7000, LH_IN);
            void(s.act(30, LH_OUT).read(1, 7500, LH_OUT));
        },
    ),
    (
        "far-from-feet",
        |s| {
            void(
                s.cow(312)
                    .read(1, 9601, LF_OUT)
                    .read(1, 8000, RF_OUT)
                    .read(1, 8100, LH_OUT)
                    .read(1, 8200, RH_OUT),
            )
        },
        |s| {
            void(
                s.cow(312)
                    .read(1, 9600, LF_OUT)
                    .read(1, 8000, RF_OUT)
                    .read(1, 8100, LH_OUT)
                    .read(1, 8200, RH_OUT)
                    .cow(313)
                    .read(1, 9900, LH_OUT)
                    .read(1, 8000, RH_OUT),
            )
        },
    ),
    (
        "healed-from-nothing",
        |s| void(s.cow(312).find(13, 2, LH_OUT).act(50, RH_OUT)),
        |s| void(s.cow(312).find(13, 2, LH_OUT).act(50, LH_IN)),
    ),
];

fn void(_: &mut Story) {}

/// At work until nine in the evening; then on again, and never told the time.
fn night(story: &mut Story) -> &mut Story {
    story.wait(13 * 3_600_000).left().start()
}

fn anew(story: &mut Story) -> &mut Story {
    *story = Story::of(DEVICE);
    story
}

fn tagged(number: u64) -> Entry {
    Entry::Animal(AnimalNumber::Tag(Iso11784::from_decimal(number).unwrap()))
}

fn told(tell: fn(&mut Story)) -> Intake {
    let (mut herd, _) = two_farms();
    import(&mut herd, "Eschenhof", 3, "number\n777\n");
    let day = Day::from_date("2026-03-02".parse().unwrap());
    for (number, day) in [(1, Day(day.0 - 1)), (2, day)] {
        keep_plan(&mut herd, number, day, &[(1, HerdId(1)), (2, HerdId(2))]);
    }
    let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
    set_gauge(&mut herd, DEVICE, Some(gauge)).unwrap();
    let mut story = Story::at_work();
    tell(&mut story);
    take_in(&mut herd, &story)
}

fn fires(intake: &Intake, rule: &str) -> bool {
    intake.remarks.iter().any(|remark| remark.rule == rule)
}

#[test]
fn every_rule_fires_where_it_should_and_only_there() {
    for rule in RULES {
        assert!(CASES.iter().any(|(id, ..)| *id == rule.id), "{} has no case", rule.id);
    }
    for (id, fire, silent) in CASES {
        assert!(fires(&told(*fire), id), "{id} is silent");
        let quiet = told(*silent);
        assert!(!fires(&quiet, id), "{id} fires without need: {:?}", quiet.remarks);
    }
}

/// What people read.
#[test]
fn sentences() {
    let mut text = String::new();
    for (id, fire, _) in CASES {
        for remark in told(*fire).remarks.iter().filter(|remark| remark.rule == *id) {
            let severity = remark.severity.name();
            text.push_str(&format!("{id} ({severity}), entry {}\n", remark.seq.0));
            text.push_str(&format!("  {}\n", remark.sentence));
        }
    }
    insta::assert_snapshot!(text);
}

/// Held: a remark and no row. Flagged: both. Accepted: a row only.
#[test]
fn every_record_is_in_exactly_one_place() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
    set_gauge(&mut herd, DEVICE, Some(gauge)).unwrap();
    story.cow(312).read(0, 7500, Place::Cow).read(1, 8000, LH_OUT);
    story.read(1, 5000, LH_OUT).read(1, 30_000, LH_OUT).find(13, 2, LH_OUT).undo(0);
    let intake = take_in(&mut herd, &story);
    assert_eq!(intake.opened, 10);
    assert_eq!((intake.accepted, intake.flagged, intake.held, intake.voided), (3, 1, 1, 1));
    assert_eq!(herd.count("reading"), 3);
    assert_eq!(herd.count("finding"), 0);
    let severities: Vec<_> = intake.remarks.iter().map(|remark| remark.severity).collect();
    assert_eq!(severities, [Severity::Flagged, Severity::Held]);
}

#[test]
fn a_cow_taken_back_leaves_nobody_in_the_chute() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).act(30, LH_OUT).cow(313).undo(0).act(30, RH_OUT).cow(351).act(30, RH_OUT);
    let intake = take_in(&mut herd, &story);
    assert_eq!((intake.accepted, intake.held, intake.voided), (4, 1, 1));
    assert!(fires(&intake, "no-cow"));
}

#[test]
fn a_trim_taken_back_does_not_make_readings_after_trimming() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).act(30, LH_OUT).undo(0).read(1, 8000, LH_OUT);
    story.act(30, LH_OUT).read(1, 7500, LH_OUT).read(1, 7600, LH_IN);
    take_in(&mut herd, &story);
    assert_eq!(herd.column("reading", "trimmed"), ["0", "1", "0"]);
}

#[test]
fn a_tag_in_the_herd_list_is_its_cow_and_another_tag_is_itself() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.say(tagged(276_000_312_312_345)).say(tagged(276_000_312_312_346));
    take_in(&mut herd, &story);
    assert_eq!(herd.column("presence", "animal"), ["312", "276000312312346"]);
    // A newer list knows the second tag too: what is here is derived again.
    import(&mut herd, "Lindenhof", 1, "number,tag\n312,276000312312345\n313,276000312312346\n");
    assert_eq!(herd.column("presence", "animal"), ["312", "313"]);
}

#[test]
fn a_stay_lasts_to_the_next_cow_and_the_day_is_the_farms() {
    let (mut herd, _) = two_farms();
    let mut story = Story::of(DEVICE);
    // 23:30 in Berlin is 22:30 UTC.
    story.start().clock(EIGHT + 15 * 3_600_000 + 1_800_000).visit(1);
    story.cow(312).wait(1_800_000).cow(313).left();
    take_in(&mut herd, &story);
    let day = |n: i64| (EIGHT / 86_400_000 + n).to_string();
    assert_eq!(herd.column("presence", "day"), [day(0), day(1)]);
    // Six seconds for the sentence itself.
    assert_eq!(herd.column("presence", "until_ms - at_ms"), ["1806000", "6000"]);
}

#[test]
fn the_gauge_says_what_readings_after_it_are_worth() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).read(1, 8000, LH_OUT).read(0, 7503, Place::Cow).read(1, 8000, LH_OUT);
    story.read(0, 7504, Place::Cow).read(1, 8000, LH_OUT).start().clock(EIGHT + 3_600_000);
    story.cow(313).read(1, 8000, LH_OUT);
    take_in(&mut herd, &story);
    assert_eq!(herd.column("reading", "gauge_ok"), ["", "", "", "", "", ""]);
    // 75 mm, by default ± 0.03 mm: 75.03 passes, 75.04 does not. A start forgets.
    let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
    set_gauge(&mut herd, DEVICE, Some(gauge)).unwrap();
    assert_eq!(herd.column("reading", "gauge_ok"), ["", "1", "1", "0", "0", ""]);
}

#[test]
fn the_farm_outlives_a_start_and_the_cow_does_not() {
    let (mut herd, first) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).start().clock(EIGHT + 3_600_000).act(30, LH_OUT).cow(313).act(30, LH_OUT);
    let intake = take_in(&mut herd, &story);
    assert!(fires(&intake, "no-cow"));
    assert_eq!(herd.column("action", "herd"), [first.number().to_string()]);
}

#[test]
fn a_handheld_that_works_at_one_herd_needs_no_visit() {
    let (mut herd, first) = two_farms();
    let mut story = Story::of(DEVICE);
    story.start().clock(EIGHT).cow(312);
    assert!(fires(&take_in(&mut herd, &story), "no-visit"));
    set_works_at(&mut herd, DEVICE, Some(first)).unwrap();
    assert_eq!(herd.count("presence"), 1);
    // A gauge block told later leaves the herd as it is, and the other way round.
    let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
    set_gauge(&mut herd, DEVICE, Some(gauge)).unwrap();
    assert_eq!(herd.count("presence"), 1);
    set_works_at(&mut herd, DEVICE, Some(first)).unwrap();
    story.read(0, 7500, Place::Cow).cow(313).read(1, 8000, LH_OUT);
    take_in(&mut herd, &story);
    assert_eq!(herd.column("reading", "gauge_ok"), ["1", "1"]);
}

#[test]
fn the_herd_of_a_farm_number_brings_in_what_was_held() {
    let mut herd = Database::in_memory().unwrap();
    let mut story = Story::at_work();
    story.cow(312).act(30, LH_OUT);
    assert_eq!(take_in(&mut herd, &story).held, 2);
    assert_eq!(herd.count("presence"), 0);
    import(&mut herd, "Lindenhof", 1, "number\n312\n");
    assert_eq!((herd.count("presence"), herd.count("action")), (1, 1));
    assert_eq!(herd.count("remark"), 0);
}

#[test]
fn an_anchor_from_a_pull_dates_what_was_held() {
    let (mut herd, _) = two_farms();
    let mut story = Story::of(DEVICE);
    story.start().visit(1).cow(312);
    assert!(fires(&take_in(&mut herd, &story), "clock-unknown"));
    let (boot, uptime) = *story.times.last().unwrap();
    let anchor = Anchor { boot, uptime, unix_ms: EIGHT, round_trip_ms: 40 };
    let pull = begin(&mut herd);
    herd.anchor(pull, DEVICE, LOG, &anchor).unwrap();
    let intake = run(&mut herd, DEVICE, LOG, story.last().next()).unwrap();
    assert_eq!((intake.accepted, intake.held), (1, 0));
    assert_eq!(herd.column("presence", "at_ms"), [EIGHT.to_string()]);
    // Half the round trip, a rounding, and the office's own second.
    assert_eq!(herd.column("presence", "uncertainty_ms"), ["1021"]);
}

/// What is missing is asked again when the handheld says that it is lost, without any new record.
#[test]
fn numbers_not_pulled_become_numbers_lost() {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).lose(3).cow(313);
    let pull = begin(&mut herd);
    let whole = story.batch();
    let part = |from: u32, through: u32| {
        let inside = |one: &&Sealed| (from..=through).contains(&one.seq().0);
        let sealed = story.sealed.iter().filter(inside).cloned().collect();
        Batch { from: Seq(from), through: Seq(through), sealed, ..whole.clone() }
    };
    let sentence = |herd: &mut Database| {
        let intake = run(herd, DEVICE, LOG, story.last().next()).unwrap();
        let mut missing = intake.remarks.iter().filter(|one| one.rule == "numbers-missing");
        missing.next().map(|one| one.sentence.clone()).unwrap()
    };
    herd.store(pull, &part(1, 4)).unwrap();
    herd.store(pull, &part(8, 8)).unwrap();
    assert!(sentence(&mut herd).starts_with("Entries 5 to 7 are not here yet"));
    herd.store(pull, &part(5, 7)).unwrap();
    assert!(sentence(&mut herd).starts_with("Entries 5 to 7 are lost on the handheld"));
}

/// History rules look over all logs, in whatever order they come.
#[test]
fn a_lesion_pulled_later_from_another_handheld_quietens_healed() {
    let (mut herd, _) = two_farms();
    let mut today = Story::at_work();
    today.cow(312).act(50, RH_OUT);
    assert!(fires(&take_in(&mut herd, &today), "healed-from-nothing"));
    let mut before = Story::of(DeviceId(2));
    before.start().clock(EIGHT - 14 * 86_400_000).visit(1).cow(312).find(13, 2, RH_OUT);
    take_in(&mut herd, &before);
    assert_eq!(herd.count("remark"), 0);
}

#[test]
fn nothing_at_all_is_nothing() {
    let mut herd = Database::in_memory().unwrap();
    assert_eq!(run(&mut herd, DEVICE, LOG, Seq::FIRST).unwrap(), Intake::default());
    assert_eq!(rebuild(&mut herd).unwrap(), []);
}

/// The actions that stand in the tables of a story, by code and place.
fn actions(told: impl FnOnce(&mut Story)) -> Vec<(u8, Place)> {
    let (mut herd, lindenhof) = two_farms();
    let mut story = Story::at_work();
    told(&mut story);
    take_in(&mut herd, &story);
    let facts = herd.facts(lindenhof, Span::EVER, Kinds::ACTIONS).unwrap();
    let acted = facts.iter().filter_map(|fact| match fact.what {
        What::Action(done) => Some((done.action.code(), done.place)),
        _ => None,
    });
    acted.collect()
}

#[test]
fn a_bundle_is_its_parts_and_taken_back_with_them() {
    let parts = [(31, LH_OUT), (10, LH_IN)];
    assert_eq!(actions(|s| void(s.cow(312).bundle(1, &parts))), parts);
    // The bundle is the record before its two parts.
    assert_eq!(actions(|s| void(s.cow(312).act(20, LH).bundle(1, &parts).undo(2))), [(20, LH)]);
    // What was keyed later by itself stays, also where power failed between two parts: the next
    // number is then of another boot, or of another time.
    let cut = |s: &mut Story| {
        s.cow(312).say(Entry::Bundle { bundle: 1, parts: 3 });
        void(s.act(31, LH_OUT).act(10, LH_IN).undo(2));
    };
    assert_eq!(actions(cut), [(31, LH_OUT), (10, LH_IN)]);
}

/// It says whether a further part can come, and nothing of a bundle that was taken back.
#[test]
fn a_bundle_cut_short_is_told_unless_it_was_taken_back() {
    let told = |after: fn(&mut Story)| {
        let (mut herd, _) = two_farms();
        let mut story = Story::at_work();
        story.cow(312).bundle_cut(1, 3, &[(31, LH_OUT), (32, LH_OUT)]);
        after(&mut story);
        let intake = take_in(&mut herd, &story);
        let remark = intake.remarks.iter().find(|one| one.rule == "bundle-cut-short");
        remark.map(|one| (one.animal, one.sentence.contains("Pull again")))
    };
    let hers = |may_come| Some((Some(AnimalId(312)), may_come));
    assert_eq!(told(|s| void(s.cow(313))), hers(false));
    assert_eq!(told(|s| void(s.act(10, LH_IN))), hers(false), "six seconds later, so no part");
    assert_eq!(told(|s| void(s.lose(1).start())), hers(false), "a number torn by the cut");
    assert_eq!(told(|_| ()), hers(true), "the pull may have broken off");
    assert_eq!(told(|s| void(s.undo(2))), None, "taken back");
}

#[test]
fn lengths_after_all_feet_were_trimmed_are_after_trimming() {
    let (mut herd, lindenhof) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).read(1, 8000, LH_OUT).act(30, LH).read(1, 7600, LH_OUT).read(1, 8100, RH_OUT);
    story.act(30, Place::Cow).read(1, 7700, RH_OUT);
    take_in(&mut herd, &story);
    let facts = herd.facts(lindenhof, Span::EVER, Kinds::READINGS).unwrap();
    let trimmed: Vec<bool> = facts
        .iter()
        .filter_map(|fact| match fact.what {
            What::Reading(clip) => Some(clip.trimmed),
            _ => None,
        })
        .collect();
    assert_eq!(trimmed, [false, true, false, true]);
}

/// The plan in force says which farm a key means; a bundle and what is keyed for all feet go there.
#[test]
fn bundles_and_wide_words_are_at_the_farm_of_the_plan() {
    let (mut herd, lindenhof) = two_farms();
    let eschenhof = import(&mut herd, "Eschenhof", 3, "number\n777\n");
    let day = Day::from_date("2026-03-02".parse().unwrap());
    keep_plan(&mut herd, 9, day, &[(1, eschenhof), (2, lindenhof)]);
    let mut story = Story::at_work();
    story.plan(9).visit(1).cow(777).bundle(1, &[(31, LH_OUT), (10, LH_IN)]).act(30, Place::Cow);
    story.visit(2).cow(312).bundle(1, &[(31, LH_OUT), (10, LH_IN)]).undo(2);
    story.act(33, Place::Cow);
    take_in(&mut herd, &story);
    let acted = |of| {
        let facts = herd.facts(of, Span::EVER, Kinds::ACTIONS).unwrap();
        facts.iter().map(|fact| (fact.animal, fact.whole)).collect::<Vec<_>>()
    };
    let hers = |number, whole| (Some(hornrule_facts::AnimalId(number)), whole);
    let mut wide = vec![hers(777, false); 2];
    wide.extend(vec![hers(777, true); 8]);
    assert_eq!(acted(eschenhof), wide);
    assert_eq!(acted(lindenhof), vec![hers(312, true); 4]);
}

/// Whether washing was keyed between the farms, of the visit to the second one.
fn washed(told: impl FnOnce(&mut Story)) -> Vec<Option<i64>> {
    let (mut herd, _) = two_farms();
    let eschenhof = import(&mut herd, "Eschenhof", 3, "number\n777\n");
    let mut story = Story::at_work();
    told(&mut story);
    let intake = take_in(&mut herd, &story);
    assert_eq!((intake.held, intake.remarks.len()), (0, 0), "{:?}", intake.remarks);
    assert_eq!(herd.count("action"), 0, "washing is no cow's");
    let day = Day::from_date("2026-03-02".parse().unwrap());
    let arrived = herd.read(|rows| rows.arrived(eschenhof, day)).unwrap();
    arrived.iter().map(|one| one.washed_ms).collect()
}

#[test]
fn washing_counts_between_the_last_cow_there_and_the_first_cow_here() {
    let at = |minutes: i64| Some(EIGHT + minutes * 60_000);
    // Nobody said that the cow left: washing is no part of her stay.
    let before = washed(|s| void(s.cow(312).act(91, Place::Cow).visit(3).cow(777)));
    assert!(before[0] > at(0), "{before:?}");
    let after = washed(|s| void(s.cow(312).left().visit(3).act(91, Place::Cow).cow(777)));
    assert!(after[0] > at(0), "{after:?}");
    let evening =
        washed(|s| void(s.cow(312).act(91, Place::Cow).wait(3_600_000).visit(3).cow(777)));
    assert!(evening[0] > at(0), "{evening:?}");
    assert_eq!(
        washed(|s| void(s.cow(312).visit(3).cow(777).act(91, Place::Cow))),
        [None],
        "too late"
    );
    let early = |s: &mut Story| void(s.act(91, Place::Cow).cow(312).visit(3).cow(777));
    assert_eq!(washed(early), [None], "before the cows of the farm before");
    let back = |s: &mut Story| void(s.cow(312).act(91, Place::Cow).undo(0).visit(3).cow(777));
    assert_eq!(washed(back), [None], "taken back");
    assert_eq!(washed(|s| void(s.visit(3).cow(777))), [], "it was at no other farm");
}

/// From the day on which a digit is gone, "all four feet" are trimmed but for that claw.
#[test]
fn a_claw_that_is_gone_is_not_trimmed() {
    let (mut herd, lindenhof) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).act(30, Place::Cow).left().wait(2 * 86_400_000);
    story.cow(312).find(64, 0, LH_OUT).act(30, Place::Cow).left().wait(30 * 86_400_000);
    story.cow(312).act(30, LH).cow(313).act(30, LH);
    take_in(&mut herd, &story);
    let trimmed = |cow: i64| -> Vec<usize> {
        let facts = herd.facts(lindenhof, Span::EVER, Kinds::ACTIONS).unwrap();
        let hers: Vec<_> = facts.iter().filter(|fact| fact.animal == Some(AnimalId(cow))).collect();
        hers.chunk_by(|one, other| one.day == other.day).map(<[_]>::len).collect()
    };
    assert_eq!(trimmed(312), [8, 7, 1]);
    assert_eq!(trimmed(313), [2], "another cow");
}
