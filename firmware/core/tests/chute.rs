//! The sentence table, checked row by row, and what must hold for any sequence of presses.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::chute::{Answer, Chute, DayPlan, Listing, Measured, NoPlan, Press, Standing};
use hornrule_core::cue::{Cue, Signal};
use hornrule_core::time::{Micros, Wake};
use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::plan::{Floor, Gauge, Need, Needs, Order};
use hornrule_protocol::record::{CalliperKind, Done, Finding, UnitMode};
use hornrule_protocol::{
    Action, AnimalNumber, Bundle, Claw, Dimension, Entry, Foot, HerdNumber, Iso11784, Lesion,
    Nanometres, Place, Scale, Seq, Side, Zone,
};
use proptest::prelude::*;

/// A day's plan on paper: cow 7 has her right hind foot due, cow 8 nothing, no others are listed.
struct Paper;

impl DayPlan for Paper {
    fn standing(&mut self, _: Option<u8>, number: AnimalNumber) -> Standing {
        let AnimalNumber::Herd(number) = number else { return Standing::NotListed };
        let needs = Needs::NONE;
        Standing::Listed(match number.get() {
            7 => needs.with(Need::Recheck(Foot::RightHind)),
            8 => needs,
            11 => needs.with(Need::DoNotTrim),
            12 => needs.with(Need::Vet).with(Need::DoNotTrim).with(Need::BlockOff(Foot::LeftHind)),
            13 => needs.with(Need::WholeCow),
            14 => needs
                .with(Need::Recheck(Foot::LeftHind))
                .with(Need::BlockOff(Foot::LeftHind))
                .with(Need::TrimFoot(Foot::LeftHind))
                .with(Need::TrimFoot(Foot::RightFore)),
            _ => return Standing::NotListed,
        })
    }

    fn listing(&mut self, _: Option<u8>, _: AnimalNumber) -> Option<Listing> {
        None
    }

    fn floor(&self, _: Floor) -> Option<Nanometres> {
        None
    }

    fn heel_difference(&self) -> Option<Nanometres> {
        None
    }

    fn has_farm(&self, farm: u8) -> bool {
        farm == 1
    }

    fn order(&self) -> Option<Order> {
        let width = Dimension::from_code(3).unwrap();
        Order::EMPTY.then(Dimension::DORSAL_WALL, 2)?.then(width, 1)
    }

    fn limits(&self, _: Dimension) -> Option<(Nanometres, Nanometres)> {
        Some((Nanometres::from_mm(70), Nanometres::from_mm(90)))
    }

    fn gauge(&self) -> Option<Gauge> {
        Some(Gauge { size: Nanometres::from_mm(75), tolerance: Nanometres(30_000) })
    }

    /// Work starts at the inner claw of the hind feet.
    fn first_claw(&self, foot: Foot) -> Side {
        match foot {
            Foot::LeftHind | Foot::RightHind => Side::Medial,
            Foot::LeftFore | Foot::RightFore => Side::Lateral,
        }
    }

    /// 1: open, lower, block on the partner, seen again. 2: trim all, pain relief.
    fn bundle(&mut self, number: u8) -> Option<Bundle> {
        let part = |code, at, days| BundlePart::new(Action::from_code(code)?, at, days);
        let parts = match number {
            1 => vec![
                part(31, At::ThisClaw, 0),
                part(32, At::ThisClaw, 0),
                part(10, At::Partner, 0),
                part(82, At::Foot, 14),
            ],
            2 => vec![part(30, At::Cow, 0), part(70, At::Cow, 0)],
            _ => return None,
        };
        parts.into_iter().try_fold(Bundle::new(number)?, |bundle, part| bundle.then(part?))
    }
}

/// A chute with a listener: commits each entry at once.
struct Bench<P> {
    chute: Chute,
    plan: P,
    said: Vec<Entry>,
    heard: Vec<Cue>,
}

impl<P: DayPlan> Bench<P> {
    fn with(plan: P) -> Self {
        Self { chute: Chute::new(), plan, said: Vec::new(), heard: Vec::new() }
    }

    fn commit(&mut self, entry: Entry) {
        self.said.push(entry);
        let seq = Seq(u32::try_from(self.said.len()).unwrap());
        if let Entry::Bundle { parts, .. } = entry {
            assert_eq!(self.chute.parts().len(), usize::from(parts));
            self.said.extend(self.chute.parts().iter().copied().map(Entry::Action));
        }
        let cue = self.chute.committed(seq, &entry, &mut self.plan);
        // As the device does: what is unusual or due is heard after "in flash".
        let stored = (!cue.is_promise()).then_some(Cue::Committed);
        let more = self.chute.more_of_cow().filter(|_| matches!(entry, Entry::Animal(_)));
        let cues: Vec<Cue> = stored.into_iter().chain([cue]).chain(more).collect();
        self.hear(&cues.iter().map(|cue| cue.signal()).collect::<Vec<_>>());
    }

    fn hear(&mut self, signals: &[Signal]) {
        self.chute.heard(signals);
        self.heard.extend(signals.iter().map(|one| one.cue));
    }

    fn press(&mut self, press: Press) {
        match self.chute.press(press, Micros(0), &mut self.plan) {
            Answer::Cue(cue) => self.hear(&[cue.signal()]),
            Answer::Asked => {
                let told = self.chute.tell(&self.plan);
                self.hear(&told);
            }
            Answer::Entry(entry) => self.commit(entry),
        }
    }

    /// Words as in the sentence table; digits may be run together.
    fn say(&mut self, words: &str) -> &mut Self {
        for word in words.split_whitespace() {
            match word {
                "LF" => self.press(Press::Foot(Foot::LeftFore)),
                "RF" => self.press(Press::Foot(Foot::RightFore)),
                "LH" => self.press(Press::Foot(Foot::LeftHind)),
                "RH" => self.press(Press::Foot(Foot::RightHind)),
                "FIND" => self.press(Press::Find),
                "DO" => self.press(Press::Do),
                "SIZE" => self.press(Press::Size),
                "SCORE" => self.press(Press::Score),
                "COW" => self.press(Press::Cow),
                "UNDO" => self.press(Press::Undo),
                digits => {
                    for digit in digits.bytes() {
                        assert!(digit.is_ascii_digit(), "{word}");
                        self.press(Press::Digit(digit - b'0'));
                    }
                }
            }
        }
        self
    }

    fn clip(&mut self, mm: i32) -> &mut Self {
        let measured = Measured {
            length: Nanometres::from_mm(mm),
            unit: UnitMode::Millimetre,
            kind: CalliperKind::Sync24,
        };
        let entry = self.chute.clip(measured, &self.plan);
        self.commit(entry);
        self
    }

    fn last_said(&self) -> Entry {
        *self.said.last().unwrap()
    }

    fn last_heard(&self) -> Cue {
        *self.heard.last().unwrap()
    }
}

fn bench() -> Bench<NoPlan> {
    Bench::with(NoPlan)
}

fn herd(number: u32) -> AnimalNumber {
    AnimalNumber::Herd(HerdNumber::new(number).unwrap())
}

fn claw(foot: Foot, side: Side) -> Place {
    Place::Claw(Claw { foot, side })
}

#[test]
fn cow_sentences() {
    let mut b = bench();
    assert_eq!(b.say("COW 412 COW").last_said(), Entry::Animal(herd(412)));
    assert_eq!(b.say("COW COW").last_said(), Entry::AnimalLeft);
    assert_eq!(b.say("COW 03 COW").last_said(), Entry::Visit { farm: 3 });
    assert_eq!(b.say("COW 999999999 COW").last_said(), Entry::Animal(herd(999_999_999)));
    // Published ISO 11784 example number (R package ISO11784Tools, README).
    let tag = AnimalNumber::Tag(Iso11784::from_decimal(999_123_456_789_012).unwrap());
    assert_eq!(b.say("COW 999123456789012 COW").last_said(), Entry::Animal(tag));
}

#[test]
fn numbers_that_name_nobody_are_refused() {
    for words in [
        "COW 0 COW",
        "COW 00 COW",
        "COW 012 COW",
        "COW 1234567890 COW",
        "COW 99912345678901 COW",
        // National code above 38 bits.
        "COW 999999999999999 COW",
        // A sixteenth digit.
        "COW 9991234567890123",
    ] {
        let mut b = bench();
        b.say(words);
        assert_eq!((b.said.len(), b.last_heard()), (0, Cue::Refused), "{words}");
    }
    // No cow in the chute to leave it.
    let mut b = bench();
    assert_eq!(b.say("COW COW").last_heard(), Cue::NoCow);
}

#[test]
fn foot_key_turns_from_outer_to_inner_claw_and_back() {
    let mut b = bench();
    b.say("COW 5 COW RH RH RH LF");
    assert_eq!(b.heard[3..], [Cue::Lateral, Cue::Medial, Cue::Lateral, Cue::Lateral]);
    // Nothing is recorded until something is entered about the claw.
    assert_eq!(b.said.len(), 1);
}

#[test]
fn find_sentences() {
    let mut b = bench();
    b.say("COW 5 COW RH RH");
    let su = Lesion::from_code(13).unwrap();
    let place = claw(Foot::RightHind, Side::Medial);
    let found = Finding { lesion: su, place, grade: 2, zone: None };
    assert_eq!(b.say("FIND 13 2").last_said(), Entry::Finding(found));
    let at = Finding { zone: Zone::new(4), grade: 3, ..found };
    assert_eq!(b.say("FIND 13 FIND 04 3").last_said(), Entry::Finding(at));
    // Skin codes are on the foot; the digit is the M stage, 5 for M4.1, 0 healed.
    let dd = Lesion::from_code(31).unwrap();
    for grade in [0, 5] {
        let foot = Finding { lesion: dd, place: Place::Foot(Foot::RightHind), grade, zone: None };
        assert_eq!(b.say(&format!("FIND 31 {grade}")).last_said(), Entry::Finding(foot));
    }
    let sound = Finding { lesion: Lesion::from_code(0).unwrap(), place, grade: 0, zone: None };
    assert_eq!(b.say("FIND 00").last_said(), Entry::Finding(sound));
}

#[test]
fn every_lesion_and_every_grade_can_be_said() {
    use hornrule_protocol::codes::Grades;
    for lesion in Lesion::all() {
        if lesion.grades == Grades::None {
            let mut b = bench();
            b.say("COW 5 COW LH").say(&format!("FIND {:02}", lesion.code));
            assert!(
                matches!(b.last_said(), Entry::Finding(f) if f.lesion == lesion && f.grade == 0)
            );
            continue;
        }
        for grade in 0..10 {
            let mut b = bench();
            b.say("COW 5 COW LH").say(&format!("FIND {:02} {grade}", lesion.code));
            let is_said = matches!(b.last_said(), Entry::Finding(f) if f.lesion == lesion);
            assert_eq!(is_said, lesion.grades.has(grade), "{} {grade}", lesion.name);
            assert_eq!(b.last_heard() == Cue::Refused, !lesion.grades.has(grade));
        }
    }
}

#[test]
fn every_action_can_be_said_and_finds_its_place() {
    use hornrule_protocol::codes::About;
    for action in Action::all() {
        let mut b = bench();
        b.say("COW 5 COW LH").say(&format!("DO {:02}", action.code));
        let days = if action.takes_days {
            assert_eq!(b.said.len(), 1, "days are still to come");
            b.say("14");
            14
        } else {
            0
        };
        let place = match action.about {
            About::Claw => claw(Foot::LeftHind, Side::Lateral),
            About::Foot | About::Cow => Place::Foot(Foot::LeftHind),
            About::Tools => Place::Cow,
        };
        assert_eq!(b.last_said(), Entry::Action(Done { action, place, days }));
        assert_eq!(b.last_heard(), Cue::Committed);
    }
}

/// Between two farms no cow is in the chute.
#[test]
fn washing_needs_no_cow_and_leaves_the_cow_in_hand_alone() {
    let washed = Done { action: Action::from_code(91).unwrap(), place: Place::Cow, days: 0 };
    let mut b = bench();
    b.say("DO 91");
    assert_eq!((b.last_said(), b.last_heard()), (Entry::Action(washed), Cue::Committed));
    b.say("UNDO");
    assert_eq!(b.last_heard(), Cue::Undone);
    let mut b = bench();
    b.say("COW 5 COW LH DO 91");
    assert_eq!(b.last_said(), Entry::Action(washed), "no foot's, whichever is in hand");
    b.say("FIND 71");
    let place = claw(Foot::LeftHind, Side::Lateral);
    let pain = Finding { lesion: Lesion::from_code(71).unwrap(), place, grade: 0, zone: None };
    assert_eq!(b.last_said(), Entry::Finding(pain), "three presses, no grade");
}

#[test]
fn what_needs_a_cow_or_a_claw_is_refused_without() {
    for words in ["FIND 13 2", "DO 30", "DO 81", "SCORE 1 3", "RH FIND 13 2"] {
        let mut b = bench();
        b.say(words);
        assert_eq!((b.said.len(), b.last_heard()), (0, Cue::NoCow), "{words}");
    }
    for words in ["FIND 13 2", "FIND 31 2", "DO 30", "DO 21"] {
        let mut b = bench();
        b.say("COW 5 COW").say(words);
        assert_eq!((b.said.len(), b.last_heard()), (1, Cue::NoClaw), "{words}");
    }
    // About the whole cow: needs no claw.
    let mut b = bench();
    b.say("COW 5 COW DO 81");
    let vet = Done { action: Action::from_code(81).unwrap(), place: Place::Cow, days: 0 };
    assert_eq!(b.last_said(), Entry::Action(vet));
}

#[test]
fn scores_are_taken_on_their_scale_only() {
    for scale in Scale::all() {
        for value in 0..10 {
            let mut b = bench();
            b.say("COW 5 COW").say(&format!("SCORE {} {value}", scale.code));
            let is_said = b.last_said() == Entry::Score { scale, value };
            assert_eq!(is_said, scale.has(value), "{} {value}", scale.name);
        }
    }
}

#[test]
fn codes_of_no_table_are_refused() {
    for words in ["FIND 10", "FIND 99", "DO 39", "SCORE 9", "FIND 13 FIND 13", "DO 82 00"] {
        let mut b = bench();
        b.say("COW 5 COW RH").say(words);
        assert_eq!((b.said.len(), b.last_heard()), (1, Cue::Refused), "{words}");
    }
}

#[test]
fn a_key_that_does_not_fit_drops_the_sentence() {
    for start in
        ["COW 4", "FIND", "FIND 1", "FIND 13 FIND", "DO 0", "DO 8", "DO 82 1", "SCORE", "SIZE"]
    {
        let mut b = bench();
        b.say("COW 5 COW RH").say(start).say("RH");
        assert_eq!(b.last_heard(), Cue::Refused, "{start}");
        // Keyed again from the start, it is accepted.
        b.say("FIND 13 2");
        assert_eq!(b.last_heard(), Cue::Committed, "{start}");
    }
}

#[test]
fn undo_inside_a_sentence_drops_it_and_after_it_voids_it() {
    let mut b = bench();
    b.say("COW 5 COW RH FIND 1 UNDO");
    assert_eq!((b.said.len(), b.last_heard()), (1, Cue::Dropped));
    b.say("FIND 13 2 UNDO");
    assert_eq!((b.last_said(), b.last_heard()), (Entry::Void { seq: Seq(2) }, Cue::Undone));
    // Can be repeated backwards: now the cow herself, then nothing.
    b.say("UNDO");
    assert_eq!(b.last_said(), Entry::Void { seq: Seq(1) });
    b.say("UNDO");
    assert_eq!((b.said.len(), b.last_heard()), (4, Cue::NothingToUndo));
    // The cow has left the chute together with her number.
    b.say("RH FIND 13 2");
    assert_eq!(b.last_heard(), Cue::NoCow);
}

#[test]
fn undo_of_leaving_brings_the_cow_back() {
    let mut b = bench();
    b.say("COW 5 COW COW COW UNDO RH FIND 13 2");
    assert_eq!(b.last_heard(), Cue::Committed);
}

#[test]
fn undo_reaches_no_further_than_the_cow() {
    let mut b = bench();
    b.say("COW 5 COW RH FIND 13 2 COW 6 COW UNDO UNDO");
    assert_eq!((b.last_said(), b.last_heard()), (Entry::Void { seq: Seq(3) }, Cue::NothingToUndo));
}

#[test]
fn clips_are_dorsal_wall_lengths_by_default_and_size_lasts_for_the_claw() {
    let mut b = bench();
    let dimension = |b: &Bench<NoPlan>| match b.last_said() {
        Entry::Reading(reading) => reading.dimension.code,
        other => panic!("{other:?}"),
    };
    b.say("COW 5 COW RH").clip(75);
    assert_eq!(dimension(&b), 1);
    b.say("SIZE 3").clip(50).clip(51);
    assert_eq!(dimension(&b), 3);
    b.say("RH").clip(75);
    assert_eq!(dimension(&b), 1);
}

#[test]
fn clips_walk_the_plans_order_and_undo_walks_back() {
    let mut b = Bench::with(Paper);
    let codes = |b: &Bench<Paper>| -> Vec<u8> {
        let readings = b.said.iter().filter_map(|entry| match entry {
            Entry::Reading(reading) => Some(reading.dimension.code),
            _ => None,
        });
        readings.collect()
    };
    b.say("COW 8 COW RH").clip(75);
    b.say("UNDO").clip(76).clip(77).clip(50).clip(51);
    assert_eq!(codes(&b), [1, 1, 1, 3, 3], "taken back, walked, and the last one repeated");
    // Another claw keeps its own place in the order, and the trimmer can return to this one.
    b.say("RH").clip(75).say("RH").clip(52).say("RH").clip(76).clip(53);
    assert_eq!(codes(&b)[5..], [1, 3, 1, 3]);
    // After trimming, measuring starts again; if that is undone, it continues as before.
    b.say("RH DO 30").clip(74).say("UNDO UNDO").clip(53);
    assert_eq!(codes(&b)[9..], [1, 3]);
    // SIZE does not affect the order.
    b.say("COW 8 COW RH").clip(75).say("SIZE 9").clip(20).say("LF RH").clip(76).clip(50);
    assert_eq!(codes(&b)[11..], [1, 9, 1, 3]);
}

#[test]
fn the_next_clip_is_told_by_count() {
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("COW 8 COW LH RH LH DO RH SIZE SIZE").last_heard(), Cue::NoClaw);
    assert_eq!(b.say("RH SIZE SIZE").last_heard(), Cue::Next1);
    assert_eq!(b.clip(75).say("SIZE SIZE").last_heard(), Cue::Next1, "two of them");
    assert_eq!(b.clip(75).say("SIZE SIZE").last_heard(), Cue::Next3);
    assert_eq!(b.clip(50).say("SIZE SIZE").last_heard(), Cue::TooShort, "that first");
    assert_eq!(b.say("SIZE SIZE").last_heard(), Cue::OrderDone);
    assert_eq!(b.say("SIZE 9 SIZE SIZE").last_heard(), Cue::Next9);
    assert_eq!(b.say("SIZE 0 SIZE SIZE").last_heard(), Cue::NextGauge);
    assert_eq!(b.said.len(), 5, "asking says nothing");
    // Without a plan there is no order to finish.
    let mut b = bench();
    assert_eq!(b.say("COW 8 COW RH").clip(75).say("SIZE SIZE").last_heard(), Cue::Next1);
}

/// What SIZE SIZE is answered with, each time that it is keyed.
fn asked(b: &mut Bench<Paper>, times: usize) -> Vec<Vec<Cue>> {
    let ask = |_| {
        let before = b.heard.len();
        b.say("SIZE SIZE");
        b.heard[before..].iter().copied().filter(|cue| *cue != Cue::KeyTaken).collect()
    };
    (0..times).map(ask).collect()
}

#[test]
fn why_a_foot_is_due_is_told_when_asked() {
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("COW 14 COW").last_heard(), Cue::CowDue);
    assert_eq!(asked(&mut b, 2), [[Cue::DueRf, Cue::DueLh]; 2], "which feet; and again");
    assert_eq!(b.say("LH").last_heard(), Cue::FootDue);
    let why = vec![Cue::DueRecheck, Cue::DueBlockOff, Cue::DueTrim];
    let next = vec![Cue::Next1];
    assert_eq!(asked(&mut b, 3), [why.clone(), next.clone(), why.clone()]);
    // Once work goes on, the next clip is the question; the foot is still due.
    assert_eq!(b.say("FIND 13 2").last_heard(), Cue::Committed);
    assert_eq!(asked(&mut b, 3), [next.clone(), why, next.clone()]);
    assert_eq!(b.say("RF").last_heard(), Cue::FootDue);
    assert_eq!(asked(&mut b, 1), [[Cue::DueTrim]]);
    assert_eq!(b.say("RH").last_heard(), Cue::Medial);
    assert_eq!(asked(&mut b, 2), [[Cue::Next1]; 2], "nothing else to tell of this foot");
    b.say("COW 13 COW");
    assert_eq!(asked(&mut b, 1), [[Cue::DueWhole]]);
    b.say("COW 8 COW");
    assert_eq!(asked(&mut b, 2), [[Cue::DueNothing]; 2]);
}

#[test]
fn why_a_sentence_was_not_done_is_told_when_asked() {
    let mut b = Bench::with(Paper);
    for (words, why) in [
        ("FIND 13 2", Cue::NoCow),
        ("UNDO", Cue::NothingToUndo),
        ("COW 8 COW LH DO RH FIND 13 2", Cue::NoClaw),
        ("FIND 99", Cue::Refused),
        ("FIND UNDO", Cue::Dropped),
        ("LH DO 07", Cue::NoBundle),
    ] {
        assert_eq!(b.say(words).last_heard(), why, "{words}");
        assert_eq!(asked(&mut b, 1), [[why]], "{words}");
    }
    // The foot in hand afterwards is asked about next, and then the same again.
    b.say("FIND 99");
    assert_eq!(asked(&mut b, 3), [[Cue::Refused], [Cue::Next1], [Cue::Refused]]);
}

/// A question that nothing answers is not done; why not is the next question.
#[test]
fn a_question_about_nothing_is_not_done_and_says_why_when_asked_again() {
    let mut b = Bench::with(Paper);
    b.say("SIZE SIZE");
    assert_eq!(b.last_heard(), Cue::NoCow);
    let told = b.chute.tell(&Paper);
    assert_eq!(told.as_slice(), [Cue::NoCow.told()]);
    assert_eq!(b.said.len(), 0);
}

#[test]
fn the_gauge_block_passes_or_fails_by_cue() {
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("SIZE 0").clip(75).last_heard(), Cue::GaugePassed);
    assert_eq!(b.clip(76).last_heard(), Cue::GaugeFailed);
    assert!(matches!(b.last_said(), Entry::Reading(r) if r.place == Place::Cow));
}

#[test]
fn a_farm_that_the_day_has_not_is_stored_and_heard() {
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("COW 01 COW").last_heard(), Cue::Committed);
    assert_eq!(b.say("COW 02 COW").last_heard(), Cue::FarmUnknown);
    assert_eq!(b.last_said(), Entry::Visit { farm: 2 });
}

#[test]
fn vet_and_do_not_trim_have_cues_of_their_own() {
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("COW 11 COW").last_heard(), Cue::DoNotTrim);
    assert_eq!(b.chute.more_of_cow().count(), 0);
    assert_eq!(b.say("COW 13 COW").last_heard(), Cue::CowDue);
    assert_eq!(b.say("RF").last_heard(), Cue::Lateral, "no foot of hers is due by itself");
    let all = [Cue::Committed, Cue::Vet, Cue::DoNotTrim, Cue::CowDue];
    assert!(b.say("COW 12 COW").heard.ends_with(&all));
    assert_eq!(b.say("LH").last_heard(), Cue::FootDue);
}

#[test]
fn a_clip_without_cow_or_claw_is_stored_and_heard_as_such() {
    let mut b = bench();
    assert_eq!(b.clip(75).last_heard(), Cue::Unplaced);
    assert!(matches!(b.last_said(), Entry::Reading(r) if r.place == Place::Cow));
    // A gauge block belongs to no claw.
    assert_eq!(b.say("SIZE 0").clip(75).last_heard(), Cue::Committed);
}

#[test]
fn lengths_outside_the_plans_limits_are_heard_apart() {
    let mut b = Bench::with(Paper);
    b.say("COW 8 COW RH");
    assert_eq!(b.clip(69).last_heard(), Cue::TooShort);
    b.say("LH");
    assert_eq!(b.clip(91).last_heard(), Cue::TooLong);
    b.say("LF");
    assert_eq!(b.clip(80).last_heard(), Cue::Committed);
}

#[test]
fn the_plan_is_heard_at_the_cow_and_on_the_foot() {
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("COW 8 COW").last_heard(), Cue::CowKnown);
    assert_eq!(b.say("COW 9 COW").last_heard(), Cue::CowUnknown);
    assert_eq!(b.say("COW 7 COW").last_heard(), Cue::CowDue);
    assert_eq!(b.say("LH").last_heard(), Cue::Medial);
    assert_eq!(b.say("RH").last_heard(), Cue::FootDue);
    assert_eq!(b.say("RH").last_heard(), Cue::Lateral);
}

#[test]
fn work_starts_at_the_claw_that_the_plan_says() {
    let mut b = Bench::with(Paper);
    b.say("COW 8 COW RH RH RH LF LF RH");
    let heard = [Cue::Medial, Cue::Lateral, Cue::Medial, Cue::Lateral, Cue::Medial, Cue::Medial];
    assert_eq!(b.heard[3..], heard);
    b.clip(75).say("RH").clip(75);
    let placed = |entry: &Entry| {
        matches!(entry, Entry::Reading(r) if r.place
        == claw(Foot::RightHind, Side::Lateral))
    };
    assert_eq!(b.said.iter().map(placed).collect::<Vec<_>>(), [false, false, true]);
    // Without a plan, the outer claw, as ever.
    assert_eq!(bench().say("COW 8 COW RH").last_heard(), Cue::Lateral);
}

fn trimmed(place: Place) -> Entry {
    Entry::Action(Done { action: Action::from_code(30).unwrap(), place, days: 0 })
}

fn act(code: u8, place: Place) -> Entry {
    Entry::Action(Done { action: Action::from_code(code).unwrap(), place, days: 0 })
}

#[test]
fn all_feet_or_one_are_trimmed_in_one_sentence_and_no_claw_is_left_in_hand() {
    let mut b = bench();
    assert_eq!(b.say("COW 5 COW DO DO").last_said(), trimmed(Place::Cow));
    assert_eq!((b.said.len(), b.last_heard()), (2, Cue::Committed));
    assert_eq!(b.say("DO LH").last_said(), trimmed(Place::Foot(Foot::LeftHind)));
    // The foot was named, not chosen: a finding has no claw, and the next key means the first.
    assert_eq!(b.say("FIND 13 2").last_heard(), Cue::NoClaw);
    assert_eq!(b.say("LH").last_heard(), Cue::Lateral);
    // The foot in hand stays in hand, and so does its claw.
    b.say("LH DO LH FIND 13 2");
    let found = |b: &Bench<NoPlan>| match b.last_said() {
        Entry::Finding(found) => found.place,
        other => panic!("{other:?}"),
    };
    assert_eq!(found(&b), claw(Foot::LeftHind, Side::Medial));
    // Another foot, or all, lets go of it.
    for words in ["DO RH", "DO DO"] {
        assert_eq!(b.say("LH").say(words).say("FIND 13 2").last_heard(), Cue::NoClaw, "{words}");
    }
    // Taken back as one.
    let mut b = bench();
    b.say("COW 5 COW DO DO UNDO");
    assert_eq!((b.last_said(), b.last_heard()), (Entry::Void { seq: Seq(2) }, Cue::Undone));
    // Not without a cow.
    for words in ["DO DO", "DO RH", "DO 33"] {
        assert_eq!(bench().say(words).last_heard(), Cue::NoCow, "{words}");
    }
}

#[test]
fn looked_at_and_not_trimmed_is_said_of_the_foot_in_hand_or_of_all() {
    let mut b = bench();
    assert_eq!(b.say("COW 5 COW DO 33").last_said(), act(33, Place::Cow));
    assert_eq!(b.say("RF DO 33").last_said(), act(33, Place::Foot(Foot::RightFore)));
    assert_eq!(b.say("FIND 00").last_heard(), Cue::Committed, "the claw stays in hand");
}

#[test]
fn measuring_starts_again_on_all_that_was_trimmed_and_goes_on_if_that_is_taken_back() {
    for (words, left, right) in [("DO DO", 1, 1), ("DO LH", 1, 3), ("DO 02", 1, 1)] {
        let mut b = Bench::with(Paper);
        b.say("COW 8 COW LH").clip(75).clip(75).say("RH").clip(75).clip(75).say(words);
        let dimension = |b: &mut Bench<Paper>, foot: &str| {
            // Away and back to the first claw, whichever is in hand.
            match b.say("RF").say(foot).clip(60).last_said() {
                Entry::Reading(reading) => reading.dimension.code,
                other => panic!("{other:?}"),
            }
        };
        let (l, r) = (dimension(&mut b, "LH"), dimension(&mut b, "RH"));
        assert_eq!((l, r), (left, right), "{words}");
        b.say("UNDO UNDO UNDO");
        let (l, r) = (dimension(&mut b, "LH"), dimension(&mut b, "RH"));
        assert_eq!((l, r), (3, 3), "{words} taken back");
    }
}

#[test]
fn a_bundle_is_sealed_as_itself_and_as_its_parts_and_taken_back_as_one() {
    let mut b = Bench::with(Paper);
    b.say("COW 8 COW LH LH FIND 13 2 DO 01");
    let sick = claw(Foot::LeftHind, Side::Lateral);
    let again = Done {
        action: Action::from_code(82).unwrap(),
        place: Place::Foot(Foot::LeftHind),
        days: 14,
    };
    let expected = [
        Entry::Bundle { bundle: 1, parts: 4 },
        act(31, sick),
        act(32, sick),
        act(10, claw(Foot::LeftHind, Side::Medial)),
        Entry::Action(again),
    ];
    assert_eq!((&b.said[2..], b.last_heard()), (&expected[..], Cue::Committed));
    b.say("UNDO");
    assert_eq!(b.last_said(), Entry::Void { seq: Seq(3) }, "the bundle's own number");
    b.say("UNDO");
    assert_eq!(b.last_said(), Entry::Void { seq: Seq(2) }, "then the finding");
}

#[test]
fn a_bundle_that_the_plan_has_not_or_that_has_no_claw_is_refused_whole() {
    for (words, why) in [
        ("DO 01", Cue::NoCow),
        ("COW 8 COW DO 01", Cue::NoClaw),
        ("COW 8 COW RH DO 03", Cue::NoBundle),
        ("COW 8 COW RH DO 00", Cue::NoBundle),
    ] {
        let mut b = Bench::with(Paper);
        b.say(words);
        assert_eq!(b.last_heard(), why, "{words}");
        assert!(!b.said.iter().any(|entry| matches!(entry, Entry::Bundle { .. })), "{words}");
    }
    // One about the cow alone needs no claw.
    let mut b = Bench::with(Paper);
    assert_eq!(b.say("COW 8 COW DO 02").last_said(), act(70, Place::Cow));
    assert_eq!(bench().say("COW 8 COW RH DO 01").last_heard(), Cue::NoBundle, "no plan");
}

/// Bundles are keyed where no action's code can be.
#[test]
fn no_action_has_a_code_below_ten() {
    assert!(Action::all().all(|action| action.code >= 10));
}

#[test]
fn a_sentence_left_half_said_is_forgotten() {
    let mut chute = Chute::new();
    chute.press(Press::Find, Micros(0), &mut NoPlan);
    let Wake::At(when) = chute.next_wake() else { panic!("it must want to be woken") };
    assert_eq!(chute.on_time(Micros(when.0 - 1)), None);
    assert_eq!(chute.on_time(when), Some(Cue::Dropped));
    assert_eq!((chute.on_time(when), chute.next_wake()), (None, Wake::OnInput));
}

fn any_press() -> impl Strategy<Value = Press> {
    prop_oneof![
        6 => (0u8..10).prop_map(Press::Digit),
        2 => (0u8..4).prop_map(|n| Press::Foot(Foot::from_number(n).unwrap())),
        1 => Just(Press::Find),
        1 => Just(Press::Do),
        1 => Just(Press::Size),
        1 => Just(Press::Score),
        3 => Just(Press::Cow),
        1 => Just(Press::Undo),
    ]
}

proptest! {
    /// P1, P7: whatever is pressed, a promise is heard exactly when an entry was recorded, and a
    /// `Void` names an earlier entry that has not been voided yet.
    #[test]
    fn p1_p7_any_presses(presses in prop::collection::vec(any_press(), 0..200)) {
        let mut b = bench();
        let mut voided = std::collections::BTreeSet::new();
        for press in presses {
            let (said, heard) = (b.said.len(), b.heard.len());
            b.press(press);
            let new = &b.heard[heard..];
            prop_assert!(!new.is_empty(), "every press is answered");
            let promises = new.iter().filter(|cue| cue.is_promise()).count();
            prop_assert_eq!(b.said.len() - said, promises);
            if let Some(Entry::Void { seq }) = b.said.get(said) {
                prop_assert!(usize::try_from(seq.0).unwrap() <= said);
                prop_assert!(voided.insert(*seq), "{:?} was voided twice", seq);
            }
        }
    }
}
