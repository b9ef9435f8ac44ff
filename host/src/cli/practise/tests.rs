//! The screen as text, 80 by 24, and the keys that lead to it.

use std::rc::Rc;

use hornrule_core::keypad::Key;
use ratatui_core::backend::TestBackend;
use ratatui_core::terminal::Terminal;
use ratatui_crossterm::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::keyboard::{Wish, computer_key, wish};
use super::report;
use super::screen::{Place, draw, keyed, pages_of_sentences};
use super::stage::Stage;
use crate::practise::{Course, CowTime, Exercise, Kind, Lesson, State, course, day};
use hornrule_facts::{Habits, Language};
use hornrule_line::keying::{SENTENCES, Stroke, read_strokes};
use hornrule_papers::words::Words;

/// Every exercise, without a plan.
fn every(seed: u64) -> Course {
    Course { lesson: None, count: None, seed, habits: Habits::default() }
}

fn typed(code: KeyCode) -> Option<Wish> {
    wish(&KeyEvent::new(code, KeyModifiers::NONE))
}

fn picture(stage: &Stage, width: u16, height: u16) -> String {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
    terminal.draw(|frame| draw(frame, stage, Place { at: 2, of: 10, mute: false })).unwrap();
    terminal.backend().to_string()
}

fn english() -> Rc<Words> {
    Rc::new(Words::new(Language::English))
}

fn german() -> Rc<Words> {
    Rc::new(Words::new(Language::German))
}

fn stage(exercise: &Exercise, keys: &str) -> Stage {
    let mut stage = Stage::new(exercise.clone(), &english()).unwrap();
    for stroke in read_strokes(keys).unwrap() {
        stage.strike(stroke).unwrap();
    }
    stage
}

/// The exercise that asks for this lesion's code.
fn finding(code: &str) -> Exercise {
    let all = course(Course { lesson: Some(Lesson::Findings), ..every(1) }, &english());
    let keys = read_strokes(&format!("FIND {code}")).unwrap();
    all.into_iter().find(|one| one.answer.windows(3).any(|run| run == keys)).unwrap()
}

#[test]
fn every_handheld_key_has_a_computer_key_of_its_own() {
    for key in Key::ALL {
        let letter = computer_key(key).chars().next().unwrap();
        assert_eq!(typed(KeyCode::Char(letter)), Some(Wish::Stroke(Stroke::Key(key))));
        let upper = letter.to_ascii_uppercase();
        assert_eq!(typed(KeyCode::Char(upper)), Some(Wish::Stroke(Stroke::Key(key))));
    }
    assert_eq!(typed(KeyCode::Char(' ')), Some(Wish::Stroke(Stroke::Clip)));
    assert_eq!(typed(KeyCode::Char('x')), None);
    let control_c = KeyEvent::new(KeyCode::Char('c'), KeyModifiers::CONTROL);
    assert_eq!(wish(&control_c), Some(Wish::End));
}

#[test]
fn the_screen_before_a_slip_and_when_right() {
    let exercise = finding("13");
    insta::assert_snapshot!("asked", picture(&stage(&exercise, ""), 80, 24));
    insta::assert_snapshot!("slip", picture(&stage(&exercise, "FIND 13 2"), 80, 24));
    let mut right = Stage::new(exercise.clone(), &english()).unwrap();
    for stroke in &exercise.answer {
        right.strike(*stroke).unwrap();
    }
    assert!(matches!(right.session().state(), State::Done { .. }));
    insta::assert_snapshot!("right", picture(&right, 80, 24));
    let mut shown = Stage::new(exercise, &english()).unwrap();
    shown.shows_keys = true;
    assert!(picture(&shown, 80, 24).contains("FIND 13"));
}

/// The longest exercise still fits, in each language.
#[test]
fn nothing_is_cut_off_in_80_by_24() {
    for words in [english(), german()] {
        let courses = (1..4).flat_map(|seed| course(every(seed), &words));
        let days = (1..4).flat_map(|seed| day(seed, &Habits::default(), &words));
        for exercise in courses.chain(days) {
            let screen = picture(&Stage::new(exercise.clone(), &words).unwrap(), 80, 24);
            let shown: String = screen.split_whitespace().collect();
            let last: String = exercise.say.split_whitespace().last().unwrap().to_owned();
            assert!(shown.contains(&last), "{}\n{screen}", exercise.say);
            assert!(screen.contains("UNDO "), "the hint is whole: {screen}");
            assert!(!exercise.say.contains('"'), "the score file quotes it");
        }
    }
}

#[test]
fn the_screen_in_german_and_without_sound() {
    let exercise = course(Course { lesson: Some(Lesson::Findings), ..every(1) }, &german());
    let keys = read_strokes("FIND 13").unwrap();
    let says = |one: &&Exercise| one.answer.windows(3).any(|run| run == keys);
    let mut stage = Stage::new(exercise.iter().find(says).unwrap().clone(), &german()).unwrap();
    for stroke in read_strokes("RH FIND 13 3").unwrap() {
        stage.strike(stroke).unwrap();
    }
    let mut terminal = Terminal::new(TestBackend::new(80, 24)).unwrap();
    let place = Place { at: 2, of: 10, mute: true };
    terminal.draw(|frame| draw(frame, &stage, place)).unwrap();
    insta::assert_snapshot!("german", terminal.backend().to_string());
    stage.sentences = Some(0);
    insta::assert_snapshot!("german_sentences", picture(&stage, 80, 24));
}

/// Every row of the table of sentences is on one of its screens, whole.
#[test]
fn all_sentences_are_shown() {
    for words in [english(), german()] {
        let exercise = course(every(1), &words).swap_remove(0);
        let mut stage = Stage::new(exercise, &words).unwrap();
        let mut shown = String::new();
        for page in 0..pages_of_sentences() {
            stage.sentences = Some(page);
            shown += &picture(&stage, 80, 24);
        }
        let shown: String = shown.split(['"', '\n']).collect::<Vec<_>>().join(" ");
        let shown = shown.replace('│', " ");
        let shown: Vec<&str> = shown.split_whitespace().collect();
        let shown = shown.join(" ");
        for (place, row) in SENTENCES.iter().enumerate() {
            let says = words.sentence(place, row.says);
            let last = says.split(' ').next_back().unwrap();
            let keys = keyed(row.keys, &words);
            assert!(shown.contains(&keys) && shown.contains(last), "{keys}: {shown}");
        }
    }
}

#[test]
fn the_day_told() {
    let cows: Vec<CowTime> = Kind::ALL
        .into_iter()
        .zip(1u32..)
        .map(|(kind, n)| CowTime {
            kind,
            presses: 10 + n,
            shortest: 10,
            took_ms: (n != 4).then_some(u64::from(n) * 1590),
            slips: n / 5,
            shown: n == 7,
        })
        .collect();
    insta::assert_snapshot!("day", report::told(&cows, &english(), false));
    let all: Vec<CowTime> =
        cows.iter().map(|cow| CowTime { took_ms: Some(4000), ..*cow }).collect();
    insta::assert_snapshot!("day_german", report::told(&all, &german(), true));
}

#[test]
fn a_small_window_says_so() {
    let screen = picture(&stage(&finding("13"), ""), 60, 20);
    assert!(screen.contains("80 by 24"), "{screen}");
}
