//! The screen as text, 80 by 24, and the keys that lead to it.

use hornrule_core::keypad::Key;
use ratatui_core::backend::TestBackend;
use ratatui_core::terminal::Terminal;
use ratatui_crossterm::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::keyboard::{Wish, computer_key, wish};
use super::screen::{Place, draw};
use super::stage::Stage;
use crate::practise::{Course, Exercise, Lesson, State, course};
use hornrule_facts::Habits;
use hornrule_line::keying::{Stroke, read_strokes};

/// Every exercise, without a plan.
fn every(seed: u64) -> Course {
    Course { lesson: None, count: None, seed, habits: Habits::default() }
}

fn typed(code: KeyCode) -> Option<Wish> {
    wish(&KeyEvent::new(code, KeyModifiers::NONE))
}

fn picture(stage: &Stage, width: u16, height: u16) -> String {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
    terminal.draw(|frame| draw(frame, stage, Place { at: 2, of: 10 })).unwrap();
    terminal.backend().to_string()
}

fn stage(exercise: &Exercise, keys: &str) -> Stage {
    let mut stage = Stage::new(exercise.clone()).unwrap();
    for stroke in read_strokes(keys).unwrap() {
        stage.strike(stroke).unwrap();
    }
    stage
}

/// The exercise that asks for this lesion's code.
fn finding(code: &str) -> Exercise {
    let all = course(Course { lesson: Some(Lesson::Findings), ..every(1) });
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
    let mut right = Stage::new(exercise.clone()).unwrap();
    for stroke in &exercise.answer {
        right.strike(*stroke).unwrap();
    }
    assert!(matches!(right.session().state(), State::Done { .. }));
    insta::assert_snapshot!("right", picture(&right, 80, 24));
    let mut shown = Stage::new(exercise).unwrap();
    shown.shows_keys = true;
    assert!(picture(&shown, 80, 24).contains("FIND 13"));
}

/// The longest exercise, its longest note and the longest cue still fit.
#[test]
fn nothing_is_cut_off_in_80_by_24() {
    for exercise in (1..6).flat_map(|seed| course(every(seed))) {
        let screen = picture(&Stage::new(exercise.clone()).unwrap(), 80, 24);
        let shown: String = screen.split_whitespace().collect();
        let last: String = exercise.say.split_whitespace().last().unwrap().to_owned();
        assert!(shown.contains(&last), "{}\n{screen}", exercise.say);
        assert!(!exercise.say.contains('"'), "the score file quotes it");
    }
}

#[test]
fn a_small_window_says_so() {
    let screen = picture(&stage(&finding("13"), ""), 60, 20);
    assert!(screen.contains("80 by 24"), "{screen}");
}
