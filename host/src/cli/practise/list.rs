//! What can be trained.

use crate::practise::{Course, Exercise, Lesson, course};
use hornrule_facts::Habits;
use hornrule_line::keying::show_strokes;
use hornrule_papers::words::{Say, Words};

/// All lessons, and the day.
pub(super) fn lessons(seed: u64, habits: Habits, words: &Words) {
    for lesson in Lesson::ALL {
        let all = course(Course { lesson: Some(lesson), count: None, seed, habits }, words);
        let about = lesson.about(words).into();
        let row = words.say(Say::TrainLessonRow { n: all.len().into(), about });
        // The name is the one that is given on the command line.
        println!("{:<12} {row}", lesson.name());
    }
    println!("{:<12} {}", "--day", Lesson::Day.about(words));
}

/// Exercises and their keys.
pub(super) fn exercises(exercises: &[Exercise], words: &Words) {
    let (given, keys) = (words.say(Say::TrainLineGiven), words.say(Say::TrainLineKeys));
    for exercise in exercises {
        println!("{}", exercise.say);
        if !exercise.given.is_empty() {
            println!("    {given:<13} {}", show_strokes(&exercise.given));
        }
        println!("    {keys:<13} {}", show_strokes(&exercise.answer));
    }
}
