//! Exercises against the real core: what is asked for is what the answer leaves in flash.

use hornrule_board_sim::Rehearsal;
use hornrule_core::cue::Cue;
use hornrule_protocol::codes::{ActionRow, DimensionRow, LesionRow, Row, ScaleRow};
use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{Entry, Seq};

use super::*;
use hornrule_facts::{Habits, Language};
use hornrule_papers::words::Words;
use std::rc::Rc;

use hornrule_line::keying::{Stroke, read_strokes, show_strokes};

/// A trainee on the real core.
struct Chute {
    handheld: Rehearsal,
    session: Session,
}

fn flash(handheld: &Rehearsal) -> Vec<(Seq, Entry)> {
    handheld.in_flash().into_iter().map(|(seq, record)| (seq, record.entry)).collect()
}

impl Chute {
    fn new(exercise: &Exercise) -> Self {
        let mut handheld = Rehearsal::with_plan(&exercise.plan).unwrap();
        for stroke in &exercise.given {
            let Stroke::Key(key) = stroke else { panic!("nothing given is a clip") };
            handheld.press(*key).unwrap();
        }
        handheld.run_until_ms(handheld.now_ms() + 500);
        handheld.heard();
        let session = Session::new(exercise.clone(), &english(), &flash(&handheld));
        Self { handheld, session }
    }

    fn say(&mut self, strokes: &[Stroke]) -> &Session {
        for stroke in strokes {
            self.session.on(Event::Stroke(*stroke), self.handheld.now_ms());
            match stroke {
                Stroke::Key(key) => self.handheld.press(*key).unwrap(),
                Stroke::Clip => {
                    let jaws = self.session.jaws();
                    self.handheld.clip(jaws, UnitMode::Millimetre).unwrap();
                }
            }
            self.settle();
        }
        &self.session
    }

    fn settle(&mut self) {
        let now_ms = self.handheld.now_ms();
        for cue in self.handheld.heard() {
            self.session.on(Event::Cue(cue), now_ms);
        }
        self.session.on(Event::Flash(flash(&self.handheld)), now_ms);
    }
}

fn english() -> Rc<Words> {
    Rc::new(Words::new(Language::English))
}

fn all(seed: u64) -> Vec<Exercise> {
    course(Course { lesson: None, count: None, seed, habits: Habits::default() }, &english())
}

fn said(exercise: &Exercise, keys: &str) -> Session {
    Chute::new(exercise).say(&read_strokes(keys).unwrap()).clone()
}

/// The exercise in which cow 27 stands in the chute and this entry is asked for.
fn cow_27(keys: &str) -> Exercise {
    let mut handheld = Rehearsal::new().unwrap();
    for stroke in read_strokes(&format!("COW 27 COW {keys}")).unwrap() {
        if let Stroke::Key(key) = stroke {
            handheld.press(key).unwrap();
        }
    }
    let wants = hornrule_line::keying::standing(&flash(&handheld));
    let given = read_strokes("COW 27 COW").unwrap();
    let (lesson, answer) = (Lesson::Findings, read_strokes(keys).unwrap());
    Exercise { lesson, say: String::new(), given, wants, answer, plan: Vec::new(), kind: None }
}

#[test]
fn every_answer_said_to_the_core_is_right_at_once() {
    let mut inner = Habits::default();
    inner.set("hind", "inner").unwrap();
    inner.set("bundle-7", "31 this, 82 foot 14, 70 cow").unwrap();
    let turned =
        |seed| course(Course { lesson: None, count: None, seed, habits: inner }, &english());
    let days = (0..9).flat_map(|seed| day(seed, &Habits::default(), &english()));
    let days = days.chain(day(1, &inner, &english()));
    for exercise in (0..3).flat_map(all).chain((4..9).flat_map(turned)).chain(days) {
        let mut chute = Chute::new(&exercise);
        assert_eq!(chute.session.state(), State::Waiting, "{}", exercise.say);
        let answer = show_strokes(&exercise.answer);
        let session = chute.say(&exercise.answer);
        assert!(matches!(session.state(), State::Done { .. }), "{}: {answer}", exercise.say);
        assert_eq!((session.slips(), session.notes()), (0, &[][..]), "{}: {answer}", exercise.say);
    }
}

/// Nothing shorter says it: an answer with any stroke left out is not done.
#[test]
fn no_stroke_of_an_answer_is_idle() {
    for exercise in all(7).into_iter().filter(|one| one.lesson < Lesson::WholeCows) {
        for left_out in 0..exercise.answer.len() {
            let mut answer = exercise.answer.clone();
            answer.remove(left_out);
            let state = Chute::new(&exercise).say(&answer).state();
            // A herd number is right with all its digits only, and so on for every stroke.
            assert!(
                !matches!(state, State::Done { .. }),
                "{}: {}",
                exercise.say,
                show_strokes(&answer)
            );
        }
    }
}

#[test]
fn each_row_of_each_table_is_asked_for() {
    let asked: Vec<Entry> = all(1).into_iter().flat_map(|one| one.wants).collect();
    let count = |asks: &dyn Fn(&Entry) -> bool| asked.iter().any(asks);
    for row in LesionRow::TABLE {
        assert!(
            count(&|e| matches!(e, Entry::Finding(f) if f.lesion.code() == row.code)),
            "{}",
            row.name
        );
    }
    for row in ActionRow::TABLE {
        assert!(
            count(&|e| matches!(e, Entry::Action(d) if d.action.code() == row.code)),
            "{}",
            row.name
        );
    }
    for row in DimensionRow::TABLE {
        let asks = |e: &Entry| matches!(e, Entry::Reading(r) if r.dimension.code() == row.code);
        assert!(count(&asks), "{}", row.name);
    }
    for row in ScaleRow::TABLE {
        let asks = |e: &Entry| matches!(e, Entry::Score { scale, .. } if scale.code() == row.code);
        assert!(count(&asks), "{}", row.name);
    }
}

#[test]
fn what_went_wrong_is_told_in_plain_words() {
    let exercise = cow_27("RH FIND 13 2");
    for (keys, note) in [
        ("RH FIND 13 3", "Keyed was severity severe; asked is moderate. UNDO takes it back."),
        ("RH FIND 14 2", "Keyed was 14 bulb ulcer; asked is 13 sole ulcer. UNDO takes it back."),
        ("RH FIND 13 FIND 05 2", "Keyed was zone 05; asked is the usual zone. UNDO takes it back."),
        (
            "RH RH FIND 13 2",
            "That went to: right hind, inner claw; asked is: right hind, outer claw. The foot key \
             again changes the claw. UNDO takes it back.",
        ),
        ("DO 70", "Not asked for: pain relief given, the cow. UNDO takes it back."),
        ("FIND 13 2", "No foot is chosen: press LF, RF, LH or RH first."),
        (
            "RH FIND 13 4",
            "sole ulcer: the last digit is the severity: 1 slight, 2 moderate, 3 severe.",
        ),
        ("RH FIND 24", "No lesion has this code."),
        ("RH FIND 13 FIND 13", "Zones go from 00 to 12."),
        ("RH DO 85", "No action has this code."),
        ("RH DO 82 00", "See again in 00 days says nothing."),
        ("SCORE 7", "No scale has this digit."),
        ("SCORE 1 7", "locomotion goes from 1 to 5."),
        ("5", "A digit begins no sentence: begin with COW, a foot, FIND, DO, SIZE or SCORE."),
        ("COW 012 COW", "A herd number has no zero before it; 0 and one digit is a farm."),
        (
            "COW 1234567890 COW",
            "A herd number has 1 to 9 digits; a tag number has 15, country before it.",
        ),
        ("DO 01", "The plan has no bundle of this number, or no foot is chosen for it."),
        ("COW COW DO DO", "Not asked for: the cow left. UNDO takes it back."),
        ("COW COW FIND 13 2", "Not asked for: the cow left. UNDO takes it back."),
        ("FIND RH", "RH does not fit there. What was half said is dropped: say it from its start."),
    ] {
        let session = said(&exercise, keys);
        assert_eq!(session.notes().first().map(String::as_str), Some(note), "{keys}");
        assert!(!matches!(session.state(), State::Done { .. }), "{keys}");
    }
    let empty = Exercise { given: Vec::new(), ..exercise };
    let session = said(&empty, "RH FIND 13 2");
    assert_eq!(session.notes(), ["No cow is in the chute: say COW, her number, COW first."]);
}

#[test]
fn a_slip_that_is_taken_back_ends_right_and_is_counted() {
    let exercise = cow_27("RH FIND 13 2");
    let session = said(&exercise, "LH FIND 13 2 UNDO RH FIND 13 2");
    assert!(matches!(session.state(), State::Done { .. }));
    assert_eq!((session.slips(), session.strokes()), (1, 11));
    // Another way to say it is as good.
    let session = said(&exercise, "RH RH RH FIND 13 FIND UNDO FIND 13 2");
    assert!(matches!(session.state(), State::Done { .. }), "{:?}", session.notes());
    assert_eq!(session.slips(), 0);
}

#[test]
fn within_a_cow_order_is_free_and_between_cows_it_is_not() {
    let exercise = cow_27("RH FIND 13 2 DO 31");
    assert!(matches!(said(&exercise, "RH DO 31 FIND 13 2").state(), State::Done { .. }));
    let session = said(&exercise, "COW 28 COW RH FIND 13 2 DO 31");
    assert!(!matches!(session.state(), State::Done { .. }), "said of another cow");
}

#[test]
fn the_time_counts_from_the_first_key() {
    let exercise = cow_27("RH FIND 13 2");
    let mut chute = Chute::new(&exercise);
    chute.handheld.run_until_ms(chute.handheld.now_ms() + 60_000);
    let session = chute.say(&exercise.answer);
    let State::Done { took_ms } = session.state() else { panic!("not done") };
    // Five keys of 230 ms each in the rehearsal's hands.
    assert!((4 * 230..6 * 230).contains(&took_ms), "{took_ms}");
}

#[test]
fn a_sentence_left_half_said_is_told() {
    let exercise = cow_27("RH FIND 13 2");
    let mut chute = Chute::new(&exercise);
    chute.say(&read_strokes("RH FIND 1").unwrap());
    chute.handheld.run_until_ms(chute.handheld.now_ms() + 16_000);
    chute.settle();
    assert_eq!(chute.session.notes(), ["Left half said for 15 seconds: dropped."]);
}

#[test]
fn a_course_repeats_with_its_seed_and_touches_every_lesson() {
    let habits = Habits::default();
    let ten = |seed| course(Course { lesson: None, count: Some(11), seed, habits }, &english());
    assert_eq!(ten(3), ten(3));
    assert_ne!(ten(3), ten(4));
    let mut lessons: Vec<Lesson> = ten(3).iter().map(|one| one.lesson).collect();
    assert_eq!(lessons.len(), 11);
    lessons.sort_unstable();
    lessons.dedup();
    assert_eq!(lessons, Lesson::ALL);
    let lesson = Some(Lesson::Scores);
    let one = course(Course { lesson, count: Some(99), seed: 1, habits }, &english());
    assert_eq!(one.len(), ScaleRow::TABLE.len(), "no exercise is dealt twice");
}

#[test]
fn a_cue_alone_is_no_proof() {
    let exercise = cow_27("RH FIND 13 2");
    let chute = Chute::new(&exercise);
    let mut session = chute.session.clone();
    session.on(Event::Stroke(exercise.answer[0]), 0);
    session.on(Event::Cue(Cue::Committed.signal()), 1);
    session.on(Event::Flash(flash(&chute.handheld)), 2);
    assert!(matches!(session.state(), State::Saying { .. }));
}

/// The page of sentences, whose shares, names and presses the timed day has.
#[test]
fn the_timed_day_is_the_pages() {
    const PAGE: &str = include_str!("../../../firmware/core/SENTENCES.md");
    let rows = PAGE.lines().skip_while(|line| !line.starts_with("| Kind | Cows |"));
    let rows: Vec<Vec<&str>> = rows
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.trim_matches('|').split('|').map(str::trim).collect())
        .collect();
    assert_eq!(rows.len(), Kind::ALL.len());
    for seed in 0..20 {
        let cows = day(seed, &Habits::default(), &english());
        assert_eq!(cows.len(), 10);
        for (row, kind) in rows.iter().zip(Kind::ALL) {
            assert_eq!(row[0], kind.name(&english()));
            assert_eq!(row[1], kind.of_eighty().to_string());
            let cow = cows.iter().find(|cow| cow.kind == Some(kind)).unwrap();
            let keys = show_strokes(&cow.answer);
            assert_eq!(row[3], cow.answer.len().to_string(), "{}: {keys}", row[0]);
        }
    }
    assert_eq!(day(3, &Habits::default(), &english()), day(3, &Habits::default(), &english()));
    assert_ne!(day(3, &Habits::default(), &english()), day(4, &Habits::default(), &english()));
}

/// In the day, long words are as right as short ones: what is said of each claw counts.
#[test]
fn in_the_timed_day_long_words_are_right_too() {
    let cows = day(1, &Habits::default(), &english());
    let of = |kind| cows.iter().find(|cow| cow.kind == Some(kind)).unwrap();
    let four = of(Kind::Four);
    let each = "DO 30 LH DO 30 RH DO 30 RH DO 30 LF DO 30 LF DO 30 RF DO 30 RF DO 30";
    let number = show_strokes(&four.answer).split(" DO").next().unwrap().to_owned();
    let long = said(four, &format!("{number} LH {each}"));
    assert!(matches!(long.state(), State::Done { .. }), "{:?}", long.notes());
    assert_eq!(long.slips(), 0);
    // A claw left out is not yet all of it, and one lesion too many is a slip.
    let short = said(four, &format!("{number} LH {}", each.trim_end_matches(" RF DO 30")));
    assert!(matches!(short.state(), State::Saying { .. }));
    let slip = said(four, &format!("{number} LH FIND 13 2 DO DO"));
    assert!(matches!(slip.state(), State::Saying { .. }));
    assert_eq!(
        slip.notes(),
        ["Not asked for: sole ulcer, moderate, left hind, outer claw. UNDO takes it back."]
    );
    // A bundle's parts one by one.
    let ulcer = of(Kind::Ulcer);
    let keys = show_strokes(&ulcer.answer).replace("DO 01", "DO 31 DO 32 LH DO 10");
    let keys = if keys.contains("RH") { keys.replace("LH", "RH") } else { keys };
    let parts = said(ulcer, &keys);
    assert!(matches!(parts.state(), State::Done { .. }), "{keys}: {:?}", parts.notes());
}

/// The same exercises, the same keys: only the words differ, and none of them is English.
#[test]
fn in_german_everything_asked_is_german() {
    let german = Rc::new(Words::new(Language::German));
    let habits = Habits::default();
    let asked = |words: &Words| {
        let all = course(Course { lesson: None, count: None, seed: 2, habits }, words);
        all.into_iter().chain(day(2, &habits, words)).collect::<Vec<_>>()
    };
    for (here, there) in asked(&english()).iter().zip(asked(&german)) {
        assert_eq!(
            (&here.answer, &here.wants, &here.plan),
            (&there.answer, &there.wants, &there.plan)
        );
        assert_ne!(here.say, there.say);
        for word in
            ["claw", "foot", "cow", " the ", "hind", "fore", "chute", "days", "score", "healed"]
        {
            assert!(!there.say.to_lowercase().contains(word), "{word}: {}", there.say);
        }
        for entry in &there.wants {
            assert_ne!(super::entry(&german, entry), super::entry(&english(), entry));
        }
    }
    let mut chute = Chute::new(&cow_27("RH FIND 13 2"));
    chute.session =
        Session::new(chute.session.exercise().clone(), &german, &flash(&chute.handheld));
    let session = chute.say(&read_strokes("RH FIND 13 3").unwrap());
    assert_eq!(
        session.notes(),
        ["Eingegeben wurde Schweregrad schwer; gefragt ist mittel. UNDO nimmt es zurück."]
    );
}
