//! A course: exercises dealt by chance, the same for the same seed.

use super::chance::Chance;
use super::exercise::{Exercise, Lesson};
use super::lessons;
use hornrule_facts::Habits;
use hornrule_papers::words::Words;
use hornrule_protocol::plan::FirstClaws;

/// What to train.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Course {
    /// One lesson, or each in turn.
    pub lesson: Option<Lesson>,
    /// How many exercises; `None` for every one that the tables give.
    pub count: Option<usize>,
    /// Chance repeats with it.
    pub seed: u64,
    /// What the plan says of where work starts, and of bundles.
    pub habits: Habits,
}

/// The exercises of a course. With all lessons they come in turn, easy ones first, so that a short
/// course touches everything.
#[must_use]
pub fn course(course: Course, words: &Words) -> Vec<Exercise> {
    let mut chance = Chance::new(course.seed);
    let lessons: Vec<Lesson> = match course.lesson {
        Some(one) => vec![one],
        None => Lesson::ALL.to_vec(),
    };
    let mut piles: Vec<Vec<Exercise>> = Vec::new();
    for lesson in lessons {
        let mut pile = lessons::exercises(lesson, &course.habits, words, &mut chance);
        if course.habits.first_claws != FirstClaws::OUTER {
            // Those with a plan of their own are keyed as it says already.
            let turned = |exercise: Exercise| match exercise.plan.is_empty() {
                true => exercise.with(&course.habits),
                false => exercise,
            };
            pile = pile.into_iter().map(turned).collect();
        }
        if course.count.is_some() {
            chance.shuffle(&mut pile);
        }
        // Dealt from the end.
        pile.reverse();
        piles.push(pile);
    }
    if course.count.is_none() {
        return piles.into_iter().flat_map(|pile| pile.into_iter().rev()).collect();
    }
    let mut dealt = Vec::new();
    while dealt.len() < course.count.unwrap_or(usize::MAX) {
        let before = dealt.len();
        for pile in &mut piles {
            if dealt.len() < course.count.unwrap_or(usize::MAX) {
                dealt.extend(pile.pop());
            }
        }
        if dealt.len() == before {
            break;
        }
    }
    dealt
}
