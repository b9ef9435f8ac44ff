//! Warnings at the chute: each row of `firmware/core/WARNINGS.md`, what raises it and what silences
//! it. What was keyed is stored in every case.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_board_sim::{Handheld, Identity, Played, Player, Story};
use hornrule_core::cue::{Cue, Family};
use hornrule_core::log::Log;
use hornrule_protocol::{DeviceId, Entry, LogId, Seq, open};
use hornrule_testkit::flash::Flash;

const IDENTITY: Identity = Identity { device: DeviceId(1), fresh_log: LogId(2) };

/// Cow 1 has what is said of her, cow 2 nothing.
struct Told {
    handheld: Handheld<Flash<1024>>,
    /// What was heard of each line, without ticks.
    heard: Vec<Vec<Cue>>,
}

fn tell(plan: &str, lines: &[&str]) -> Told {
    let mut handheld = Handheld::new(Flash::blank(16), IDENTITY, 0);
    let mut player = Player::new(1);
    let before = format!("power on\noffice clock\noffice plan 1:2 {plan}\nkeys COW 1 COW");
    let mut heard = Vec::new();
    for text in [before.as_str()].iter().chain(lines) {
        let story: Story = text.parse().unwrap();
        let from = handheld.heard().len();
        for line in &story.lines {
            assert_eq!(player.play(&mut handheld, line).unwrap(), Played::Done);
        }
        let cues = handheld.heard()[from..].iter().map(|one| one.cue);
        heard.push(cues.filter(|cue| cue.family() != Family::Taken).collect());
    }
    heard.remove(0);
    Told { handheld, heard }
}

/// The warnings of these lines, in their order.
fn warned(plan: &str, lines: &[&str]) -> Vec<Cue> {
    let all = tell(plan, lines).heard.into_iter().flatten();
    all.filter(|cue| {
        matches!(
            cue,
            Cue::BlockOnLesion
                | Cue::TooShortAfterTrim
                | Cue::HeelsUneven
                | Cue::GrewFast
                | Cue::CowAgain
                | Cue::NotSpokenOf
        )
    })
    .collect()
}

fn entries(mut told: Told) -> Vec<Entry> {
    told.handheld.power_off();
    let mut log = Log::mount(told.handheld.flash().unwrap().clone(), LogId(9)).ok().unwrap();
    let mut entries = Vec::new();
    let mut from = Seq::FIRST;
    while let Some(sealed) = log.read_from(from).unwrap() {
        entries.push(open(IDENTITY.device, IDENTITY.fresh_log, &sealed).unwrap().entry);
        from = sealed.seq().next();
    }
    entries
}

const BUNDLES: &str = "1:1 bundle=1:31-this,10-this bundle=2:31-this,10-partner";

#[test]
fn a_block_on_the_lesion_is_warned_of_and_stored() {
    let told = tell(BUNDLES, &["keys LH FIND 13 2", "keys DO 10"]);
    assert_eq!(told.heard[1], [Cue::Committed, Cue::BlockOnLesion]);
    let stored = entries(told);
    assert!(matches!(stored.last(), Some(Entry::Action(done)) if done.action.code() == 10));
    for (lines, expected) in [
        (&["keys LH FIND 13 2", "keys LH DO 10"][..], 0),
        // The other way round, and by a trial way.
        (&["keys LH DO 14", "keys FIND 13 2"], 1),
        (&["keys LH DO 14", "keys LH FIND 13 2"], 0),
        // In a bundle.
        (&["keys LH FIND 13 2", "keys DO 01"], 1),
        (&["keys LH FIND 13 2", "keys DO 02"], 0),
        // The partner as bad, or worse; less bad; skin; a shape.
        (&["keys LH FIND 13 2 LH FIND 22 1 LH DO 10"], 0),
        (&["keys LH FIND 19 2 LH FIND 13 1 LH DO 10"], 0),
        (&["keys LH FIND 13 1 LH FIND 19 3 LH DO 10"], 1),
        (&["keys LH FIND 31 2 DO 10"], 0),
        (&["keys LH FIND 52 2 DO 10"], 0),
        // Sound or healed; the block is off again; the finding or the block is taken back.
        (&["keys LH FIND 13 1 DO 50 DO 10"], 0),
        (&["keys LH DO 10 DO 41 FIND 13 1"], 0),
        (&["keys LH FIND 13 1 UNDO DO 10"], 0),
        (&["keys LH DO 10 UNDO FIND 13 1"], 0),
        (&["keys LH FIND 13 1 DO 10 UNDO LH DO 10"], 1),
        // Another cow, another foot.
        (&["keys LH FIND 13 1 COW 2 COW LH DO 10"], 0),
        (&["keys LH FIND 13 1 RH DO 10"], 0),
    ] {
        let raised = warned(BUNDLES, lines);
        assert_eq!(raised, vec![Cue::BlockOnLesion; expected], "{lines:?}");
    }
    // Open from before: of a kind that is not known here, so any lesion of the partner counts.
    let open = "1:1=open-LH-outer";
    let again = "keys COW 2 COW";
    assert_eq!(warned(open, &["keys LH DO 51 DO 10", again]), [Cue::BlockOnLesion]);
    assert_eq!(warned(open, &["keys LH DO 50 DO 10", again]), []);
    assert_eq!(warned(open, &["keys LH FIND 00 DO 10", again]), []);
    assert_eq!(warned(open, &["keys LH DO 51 LH FIND 19 1 LH DO 10", again]), []);
}

#[test]
fn a_wall_below_the_floor_is_warned_of_once_it_is_said_to_be_trimmed() {
    let short = [Cue::TooShortAfterTrim];
    let none: [Cue; 0] = [];
    let floor = "1:1 floor=75";
    for (plan, lines, expected) in [
        (floor, &["keys DO DO LH", "clip 74.99 mm"][..], &short[..]),
        (floor, &["keys DO DO LH", "clip 75.00 mm"], &none),
        (floor, &["keys DO LH LH", "clip 74 mm"], &short),
        (floor, &["keys LH DO 30", "clip 74 mm"], &short),
        // Not trimmed, or not this claw; or the word is taken back.
        (floor, &["keys LH", "clip 74 mm", "keys DO 30"], &none),
        (floor, &["keys LH DO 30 LH", "clip 74 mm"], &none),
        (floor, &["keys LH DO 30 UNDO", "clip 74 mm"], &none),
        (floor, &["keys DO DO UNDO LH", "clip 74 mm"], &none),
        // Hers; none; a cow who is not listed; another dimension.
        ("1:1=floor-80 floor=75", &["keys DO DO LH", "clip 79 mm"], &short),
        ("1:1=no-floor floor=75", &["keys DO DO LH", "clip 65 mm"], &none),
        ("1:1", &["keys DO DO LH", "clip 65 mm"], &none),
        ("1:3 floor=75", &["keys DO DO LH", "clip 65 mm"], &none),
        (floor, &["keys DO DO LH SIZE 3", "clip 65 mm"], &none),
        ("1:1 floor=75 blind", &["keys DO DO LH", "clip 65 mm"], &none),
    ] {
        assert_eq!(warned(plan, lines), expected, "{plan} {lines:?}");
    }
    // It says more than "shorter than usual", and is heard instead of it.
    let told = tell(floor, &["keys DO DO LH", "clip 50 mm", "keys RH DO 30", "clip 200 mm"]);
    assert_eq!(told.heard[1], [Cue::Committed, Cue::TooShortAfterTrim]);
    assert_eq!(told.heard[3], [Cue::Committed, Cue::TooLong]);
    let lengths = entries(told).into_iter().filter(|one| matches!(one, Entry::Reading(_)));
    assert_eq!(lengths.count(), 2);
}

#[test]
fn heels_are_compared_once_both_are_trimmed_and_unless_it_is_meant() {
    let uneven = [Cue::HeelsUneven];
    let none: [Cue; 0] = [];
    let both = ["clip 40 mm", "keys LH SIZE 2", "clip 36.99 mm"];
    let after = |first: &'static str| [&[first][..], &both].concat();
    let plan = "1:1 heels=3";
    for (plan, first, expected) in [
        (plan, "keys DO DO LH SIZE 2", &uneven[..]),
        (plan, "keys LH DO 30 LH DO 30 LH SIZE 2", &uneven),
        ("1:1 heels=3.5", "keys DO DO LH SIZE 2", &none),
        ("1:1", "keys DO DO LH SIZE 2", &none),
        ("1:1 heels=3 blind", "keys DO DO LH SIZE 2", &none),
        (plan, "keys LH SIZE 2", &none),
        (plan, "keys LH DO 30 SIZE 2", &none),
        (plan, "keys DO DO LH DO 32 SIZE 2", &none),
        (plan, "keys DO DO LH DO 10 LH LH SIZE 2", &none),
        (plan, "keys DO DO RH DO 32 LH SIZE 2", &uneven),
        (plan, "keys DO DO LH DO 32 UNDO SIZE 2", &uneven),
    ] {
        assert_eq!(warned(plan, &after(first)), expected, "{plan} {first}");
    }
    // Clipped again and again taken back: the last one that stands counts.
    let measured = ["keys DO DO LH SIZE 2", "clip 40 mm", "keys LH SIZE 2", "clip 38 mm"];
    let with = |more: &[&'static str]| warned(plan, &[&measured[..], more].concat());
    assert_eq!(with(&["clip 36 mm"]), uneven);
    assert_eq!(with(&["clip 36 mm", "keys UNDO LH SIZE 2", "clip 40.5 mm"]), uneven);
    assert_eq!(with(&["keys UNDO", "keys LH SIZE 2", "clip 60 mm"]), none, "no partner");
    // In between, other feet.
    assert_eq!(with(&["keys RH SIZE 2", "clip 30 mm", "keys LH SIZE 2", "clip 30 mm"]), uneven);
}

#[test]
fn more_horn_than_grows_is_warned_of_where_it_is_known() {
    let fast = [Cue::GrewFast];
    let none: [Cue; 0] = [];
    for (plan, clip, expected) in [
        ("1:1=growth-3.2", "clip 3.21 mm", &fast[..]),
        ("1:1=growth-3.2", "clip 3.20 mm", &none),
        ("1:1=growth-3.2", "clip 12 mm", &fast),
        ("1:1", "clip 9 mm", &none),
        ("1:1=growth-3.2 blind", "clip 9 mm", &none),
    ] {
        assert_eq!(warned(plan, &["keys LH SIZE 7", clip]), expected, "{plan} {clip}");
    }
}

#[test]
fn a_cow_who_comes_again_is_warned_of_within_the_visit() {
    let again = [Cue::CowAgain];
    let none: [Cue; 0] = [];
    let plan = "1:1 2:1";
    // Two farms in the plan: which one is said first.
    let first = "keys COW 0 1 COW COW 1 COW";
    for (lines, expected) in [
        (&[first, "keys COW 2 COW", "keys COW 1 COW"][..], &again[..]),
        (&[first, "keys COW COW", "keys COW 1 COW"], &again),
        (&[first, "keys COW 1 COW"], &none),
        (&[first, "keys COW 2 COW", "keys COW 2 COW"], &none),
        // Not on the list; taken back; another farm; the power was off.
        (&[first, "keys COW 9 COW", "keys COW 1 COW", "keys COW 9 COW"], &again),
        (&[first, "keys COW 2 COW", "keys UNDO", "keys COW 2 COW"], &none),
        (
            &[first, "keys COW 2 COW", "keys COW 1 COW UNDO", "keys COW 1 COW"],
            &[again[0], again[0]],
        ),
        (&[first, "keys COW 0 2 COW", "keys COW 1 COW"], &none),
        (&[first, "power off", "power on", "keys COW 0 1 COW COW 1 COW"], &none),
        (&[first, "office plan 1:1=vet 2:7", "keys COW 2 COW", "keys COW 1 COW"], &none),
    ] {
        assert_eq!(warned(plan, lines), expected, "{lines:?}");
    }
}

#[test]
fn what_was_open_and_not_spoken_of_is_asked_for_when_she_leaves() {
    let silent = [Cue::NotSpokenOf];
    let none: [Cue; 0] = [];
    let claw = "1:1=open-LH-outer";
    let foot = "1:1=open-RH";
    for (plan, lines, expected) in [
        (claw, &["keys COW 2 COW"][..], &silent[..]),
        (claw, &["keys COW COW"], &silent),
        (claw, &["keys COW COW", "keys COW 2 COW"], &silent),
        (claw, &["keys COW 0 1 COW", "keys COW 2 COW"], &silent),
        // Said in passing: no answer.
        (claw, &["keys DO DO", "keys COW 2 COW"], &silent),
        (claw, &["keys LH LH FIND 19 1", "keys COW 2 COW"], &silent),
        (claw, &["keys RH FIND 00", "keys COW 2 COW"], &silent),
        // Words about it.
        (claw, &["keys LH FIND 13 1", "keys COW 2 COW"], &none),
        (claw, &["keys LH FIND 00", "keys COW 2 COW"], &none),
        (claw, &["keys LH DO 52", "keys COW 2 COW"], &none),
        (claw, &["keys LH DO 82 14", "keys COW 2 COW"], &none),
        (claw, &["keys LH DO 51 UNDO", "keys COW 2 COW"], &silent),
        (foot, &["keys COW 2 COW"], &silent),
        (foot, &["keys RH FIND 31 0", "keys COW 2 COW"], &none),
        (foot, &["keys RH DO 51", "keys COW 2 COW"], &none),
        (foot, &["keys RH FIND 00", "keys COW 2 COW"], &silent),
        // A blind day asks too. She is still here; she never was.
        ("1:1=open-RH blind", &["keys COW 2 COW"], &silent),
        (claw, &["keys COW 1 COW", "keys LH DO 51", "keys COW 2 COW"], &none),
        (claw, &["keys LH DO 51", "keys COW 1 COW", "keys COW 2 COW"], &none),
        (claw, &["keys UNDO", "keys COW 2 COW"], &none),
        // Taken back, said after all, and gone.
        (claw, &["keys COW COW UNDO", "keys LH DO 51", "keys COW COW"], &silent),
    ] {
        assert_eq!(warned(plan, lines), expected, "{plan} {lines:?}");
    }
    // After the next cow's own cue; asked, its count and which foot.
    let told = tell("1:1=open-LH-outer,open-RF", &["keys COW 2 COW", "keys SIZE SIZE"]);
    assert_eq!(told.heard[0], [Cue::CowKnown, Cue::NotSpokenOf]);
    assert_eq!(
        told.heard[1],
        [Cue::DueNothing, Cue::NotSpokenOf, Cue::DueRf, Cue::DueLh],
        "her own answer first"
    );
    // Gone back to her: said, and asked for no more.
    let back = ["keys COW 2 COW", "keys COW 1 COW", "keys LH DO 51", "keys COW 2 COW"];
    assert_eq!(warned(claw, &back), [Cue::NotSpokenOf, Cue::CowAgain, Cue::CowAgain]);
}
