//! What can be trained.

use crate::practise::{Course, Lesson, course};
use hornrule_facts::Habits;
use hornrule_line::keying::show_strokes;

/// All lessons; or one, with its exercises and their keys.
pub(super) fn print(lesson: Option<Lesson>, seed: u64, habits: Habits) {
    match lesson {
        None => {
            for lesson in Lesson::ALL {
                let exercises = course(Course { lesson: Some(lesson), count: None, seed, habits });
                let (name, about) = (lesson.name(), lesson.about());
                println!("{name:<12} {:>2} exercises: {about}", exercises.len());
            }
        }
        Some(_) => {
            for exercise in course(Course { lesson, count: None, seed, habits }) {
                println!("{}", exercise.say);
                if !exercise.given.is_empty() {
                    println!("    keyed before  {}", show_strokes(&exercise.given));
                }
                println!("    keys          {}", show_strokes(&exercise.answer));
            }
        }
    }
}
