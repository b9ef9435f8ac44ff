//! What people decide, and what becomes of it.

use hornrule_protocol::{Place, Seq};

use super::super::rebuild;
use super::*;
use crate::farms::{take_in, two_farms};
use hornrule_facts::AnimalId;
use hornrule_kit::{DEVICE, EIGHT, Inspect, LH_IN, LH_OUT, LOG, Story};

fn anna() -> Signature {
    Signature { who: "Anna".to_owned(), at_ms: EIGHT, why: "asked on the farm".to_owned() }
}

fn key(seq: u32) -> Key {
    (DEVICE, LOG, Seq(seq))
}

/// At work (entries 1 to 3), then told, taken in, decided.
fn herd_of(tell: impl FnOnce(&mut Story)) -> Database {
    let (mut herd, _) = two_farms();
    let mut story = Story::at_work();
    tell(&mut story);
    take_in(&mut herd, &story);
    herd
}

fn once(herd: &mut Database, seq: u32, verdict: Verdict) -> Result<Outcome, DecideError> {
    decide(herd, &anna(), &[(key(seq), verdict)])
}

/// The words that remarks carry, by record.
fn words(herd: &Database) -> Vec<String> {
    herd.column("remark", "seq || ' ' || rule")
}

#[test]
fn a_held_length_is_corrected_and_the_correction_taken_back() {
    // 5: a length that cannot be, keyed with the point in the wrong place.
    let mut herd = herd_of(|s| {
        s.cow(312).read(1, 80_050, LH_OUT);
    });
    let before = herd.dump();
    assert_eq!(herd.count("reading"), 0);
    let outcome = once(&mut herd, 5, Verdict::Correct(Field::Length, 80_050_000)).unwrap();
    assert_eq!(outcome, Outcome { decisions: vec![1], still_held: vec![] });
    assert_eq!(herd.column("reading", "length_nm"), ["80050000"]);
    assert_eq!(words(&herd), ["5 corrected", "5 no-gauge-check"]);
    assert_eq!(
        herd.column("remark", "sentence")[0],
        "Entry 5 was corrected: length is 80.05 mm (Anna, 2026-03-02: asked on the farm)."
    );
    take_back(&mut herd, &anna(), &[1]).unwrap();
    assert_eq!(herd.dump(), before);
    // P7: both decisions are there.
    assert_eq!(herd.count("decision"), 2);
    let again = take_back(&mut herd, &anna(), &[1]);
    assert!(matches!(again, Err(DecideError::NotInForce(1))));
    assert!(matches!(take_back(&mut herd, &anna(), &[2]), Err(DecideError::NotInForce(2))));
    assert!(matches!(take_back(&mut herd, &anna(), &[9]), Err(DecideError::NoDecision(9))));
}

#[test]
fn a_correction_is_held_against_the_rules_again() {
    let mut herd = herd_of(|s| {
        s.cow(312).find(13, 4, LH_OUT);
    });
    let outcome = once(&mut herd, 5, Verdict::Correct(Field::Grade, 5)).unwrap();
    assert_eq!(outcome.still_held.len(), 1);
    assert!(outcome.still_held[0].1.contains("keyed with 5"), "{outcome:?}");
    assert_eq!(once(&mut herd, 5, Verdict::Correct(Field::Grade, 2)).unwrap().still_held, []);
    assert_eq!(herd.column("finding", "grade"), ["2"]);
}

#[test]
fn what_is_accepted_is_asked_about_no_more() {
    // Flagged by a rule of the moment and by two of the history.
    let mut herd = herd_of(|s| {
        s.cow(312).read(1, 5900, LH_OUT).act(50, LH_OUT);
    });
    let flagged = ["5 no-gauge-check", "5 unusual-length", "6 healed-from-nothing"];
    assert_eq!(words(&herd), flagged);
    decide(&mut herd, &anna(), &[(key(5), Verdict::Accept), (key(6), Verdict::Accept)]).unwrap();
    assert_eq!(words(&herd), ["5 accepted", "6 accepted"]);
    assert_eq!(herd.count("reading"), 1);
}

#[test]
fn a_held_entry_can_be_accepted_where_it_is_complete_and_only_there() {
    let mut herd = herd_of(|s| {
        s.act(30, LH_OUT).cow(312).read(1, 20_100, LH_OUT);
    });
    assert_eq!(once(&mut herd, 6, Verdict::Accept).unwrap().still_held, []);
    assert_eq!(herd.count("reading"), 1);
    // Without a cow there is no row; nothing is kept of the attempt.
    let before = (herd.dump(), herd.count("decision"));
    let error = once(&mut herd, 4, Verdict::Accept).unwrap_err();
    assert!(matches!(error, DecideError::Incomplete { seq: Seq(4), .. }), "{error}");
    assert_eq!((herd.dump(), herd.count("decision")), before);
}

#[test]
fn entries_after_a_gap_are_given_to_the_cow_that_was_meant() {
    // 4: cow 312; 5, 6 lost; 7 to 9 said of nobody knows whom; 10: the next cow.
    let mut herd = herd_of(|s| {
        s.cow(312).lose(2).act(30, LH_OUT).read(1, 7700, LH_OUT).read(1, 8100, LH_IN).cow(313);
    });
    assert_eq!((herd.count("action"), herd.count("presence")), (0, 2));
    let to = Verdict::Reassign(AnimalId(351));
    let all = [(key(7), to), (key(8), to), (key(9), to)];
    assert_eq!(decide(&mut herd, &anna(), &all).unwrap().still_held, []);
    // A stay of her own, which begins with the first of them.
    assert_eq!(herd.column("presence", "animal"), ["312", "351", "313"]);
    assert_eq!(herd.column("presence", "seq"), ["4", "7", "10"]);
    assert_eq!(herd.column("reading", "animal"), ["351", "351"]);
    assert_eq!(herd.column("reading", "presence"), ["7", "7"]);
    assert_eq!(herd.column("reading", "trimmed"), ["1", "0"]);
}

#[test]
fn an_entry_said_of_the_cow_before_goes_to_her_stay() {
    let mut herd = herd_of(|s| {
        s.cow(312).cow(313).find(13, 2, LH_OUT);
    });
    once(&mut herd, 6, Verdict::Reassign(AnimalId(312))).unwrap();
    assert_eq!(herd.column("finding", "animal"), ["312"]);
    assert_eq!(herd.column("finding", "presence"), ["4"]);
    assert_eq!(herd.count("presence"), 2);
}

#[test]
fn another_number_for_the_cow_moves_all_that_was_said_of_her() {
    let mut herd = herd_of(|s| {
        s.cow(321).find(13, 2, LH_OUT).act(10, LH_IN);
    });
    // Giving the naming itself to a cow is correcting the number.
    once(&mut herd, 4, Verdict::Reassign(AnimalId(312))).unwrap();
    for table in ["presence", "finding", "action"] {
        assert_eq!(herd.column(table, "animal"), ["312"], "{table}");
    }
    assert_eq!(words(&herd), ["4 corrected"]);
}

#[test]
fn a_farm_that_was_not_keyed_right_is_corrected() {
    let mut herd = herd_of(|s| {
        s.visit(7).cow(312);
    });
    assert_eq!(herd.count("presence"), 0);
    once(&mut herd, 4, Verdict::Correct(Field::Farm, 1)).unwrap();
    assert_eq!(herd.count("presence"), 1);
}

#[test]
fn what_is_discarded_is_as_if_not_said() {
    let mut herd = herd_of(|s| {
        s.cow(312).act(30, LH_OUT).act(10, LH_IN).undo(0);
    });
    assert_eq!(herd.count("action"), 1);
    once(&mut herd, 5, Verdict::Discard).unwrap();
    assert_eq!(herd.count("action"), 0);
    // An UNDO that was a slip: the block is on after all.
    once(&mut herd, 7, Verdict::Discard).unwrap();
    assert_eq!(herd.column("action", "action"), ["10"]);
    // A later decision overrides an earlier one.
    once(&mut herd, 5, Verdict::Accept).unwrap();
    assert_eq!(herd.column("action", "action"), ["30", "10"]);
}

#[test]
fn a_damaged_record_can_only_be_discarded() {
    let mut herd = herd_of(|s| {
        s.cow(312).damage();
    });
    for verdict in
        [Verdict::Accept, Verdict::Correct(Field::Cow, 5), Verdict::Reassign(AnimalId(5))]
    {
        let error = once(&mut herd, 4, verdict);
        assert!(matches!(error, Err(DecideError::Unreadable(Seq(4)))));
    }
    once(&mut herd, 4, Verdict::Discard).unwrap();
    assert_eq!(words(&herd), ["4 discarded"]);
}

#[test]
fn decisions_that_make_no_sense_keep_nothing() {
    let mut herd = herd_of(|s| {
        s.cow(312).score(1, 2);
    });
    let before = herd.dump();
    let grade = Verdict::Correct(Field::Grade, 2);
    let refused = [
        once(&mut herd, 99, Verdict::Accept),
        once(&mut herd, 5, grade),
        once(&mut herd, 5, Verdict::Correct(Field::Scale, 99)),
        once(&mut herd, 3, Verdict::Reassign(AnimalId(312))),
        decide(
            &mut herd,
            &Signature { why: " ".to_owned(), ..anna() },
            &[(key(5), Verdict::Discard)],
        ),
        // The second of two spoils the first.
        decide(&mut herd, &anna(), &[(key(5), Verdict::Discard), (key(5), grade)]),
    ];
    let told: Vec<String> = refused.into_iter().map(|one| one.unwrap_err().to_string()).collect();
    insta::assert_snapshot!(told.join("\n"));
    assert_eq!((herd.dump(), herd.count("decision")), (before, 0));
}

/// What stands in the inbox is as it came, whatever was decided.
#[test]
fn p7_nothing_is_erased() {
    let mut herd = herd_of(|s| {
        s.cow(312).read(1, 9000, LH_OUT).read(0, 7500, Place::Cow);
    });
    let bytes = |herd: &Database| herd.column("sealed", "hex(bytes)");
    let before = bytes(&herd);
    once(&mut herd, 4, Verdict::Discard).unwrap();
    once(&mut herd, 5, Verdict::Correct(Field::Length, 1)).unwrap();
    take_back(&mut herd, &anna(), &[1, 2]).unwrap();
    assert_eq!(bytes(&herd), before);
    assert_eq!(herd.decisions().unwrap().len(), 4);
    let dump = herd.dump();
    rebuild(&mut herd).unwrap();
    assert_eq!(herd.dump(), dump);
}
