//! One exercise: what to key, and what must then be in flash.

use hornrule_core::keypad::Key;
use hornrule_protocol::plan::{FirstClaws, Needs, Particulars};
use hornrule_protocol::{AnimalNumber, Entry, Foot, Side};

use super::day::Kind;
use hornrule_facts::Habits;
use hornrule_line::keying::{Spelling, Stroke};
use hornrule_line::plan::{Planned, PlannedCow};
use hornrule_papers::words::{Say, Words};

/// A group of exercises that train the same thing, from easy to whole cows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lesson {
    /// A cow comes and goes.
    Cows,
    /// What was found.
    Findings,
    /// What was found, away from its usual zone.
    Zones,
    /// What was done.
    Actions,
    /// Lengths.
    Lengths,
    /// Scores of the cow.
    Scores,
    /// Slips put right.
    Corrections,
    /// All four feet in one sentence, or one of them.
    Feet,
    /// What the plan does together.
    Bundles,
    /// The claw where work starts, and its partner.
    Order,
    /// Everything that belongs to one cow.
    WholeCows,
    /// Ten cows, timed; dealt by itself.
    Day,
}

impl Lesson {
    /// All of a course, from easy to whole cows.
    pub const ALL: [Self; 11] = [
        Self::Cows,
        Self::Findings,
        Self::Zones,
        Self::Actions,
        Self::Lengths,
        Self::Scores,
        Self::Corrections,
        Self::Feet,
        Self::Bundles,
        Self::Order,
        Self::WholeCows,
    ];

    /// Its name on the command line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cows => "cows",
            Self::Findings => "findings",
            Self::Zones => "zones",
            Self::Actions => "actions",
            Self::Lengths => "lengths",
            Self::Scores => "scores",
            Self::Corrections => "corrections",
            Self::Feet => "feet",
            Self::Bundles => "bundles",
            Self::Order => "order",
            Self::WholeCows => "whole-cows",
            Self::Day => "day",
        }
    }

    /// Its name, for people.
    #[must_use]
    pub fn title(self, words: &Words) -> String {
        words.say(match self {
            Self::Cows => Say::TrainCows,
            Self::Findings => Say::TrainFindings,
            Self::Zones => Say::TrainZones,
            Self::Actions => Say::TrainActions,
            Self::Lengths => Say::TrainLengths,
            Self::Scores => Say::TrainScores,
            Self::Corrections => Say::TrainCorrections,
            Self::Feet => Say::TrainFeet,
            Self::Bundles => Say::TrainBundles,
            Self::Order => Say::TrainOrder,
            Self::WholeCows => Say::TrainWholeCows,
            Self::Day => Say::TrainDay,
        })
    }

    /// What it trains.
    #[must_use]
    pub fn about(self, words: &Words) -> String {
        words.say(match self {
            Self::Cows => Say::TrainAboutCows,
            Self::Findings => Say::TrainAboutFindings,
            Self::Zones => Say::TrainAboutZones,
            Self::Actions => Say::TrainAboutActions,
            Self::Lengths => Say::TrainAboutLengths,
            Self::Scores => Say::TrainAboutScores,
            Self::Corrections => Say::TrainAboutCorrections,
            Self::Feet => Say::TrainAboutFeet,
            Self::Bundles => Say::TrainAboutBundles,
            Self::Order => Say::TrainAboutOrder,
            Self::WholeCows => Say::TrainAboutWholeCows,
            Self::Day => Say::TrainAboutDay,
        })
    }
}

/// One exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exercise {
    /// Which lesson it belongs to.
    pub lesson: Lesson,
    /// What is the matter, in words.
    pub say: String,
    /// Strokes made before the trainee begins.
    pub given: Vec<Stroke>,
    /// Everything that must be in flash at the end, including what was given.
    pub wants: Vec<Entry>,
    /// The shortest way, for whoever asks.
    pub answer: Vec<Stroke>,
    /// Bytes of the plan that must be in force; none for a day without a plan.
    pub plan: Vec<u8>,
    /// The kind of cow, in the timed day. Her words count by what they say of each claw: long ones
    /// are as right as short ones.
    pub kind: Option<Kind>,
}

impl Exercise {
    /// An exercise in which `given` was said before and `said` is to be said.
    pub(super) fn new(lesson: Lesson, say: String, given: &[Entry], said: &[Entry]) -> Self {
        let mut spelling = Spelling::default();
        let mut spell = |entries: &[Entry]| -> Vec<Stroke> {
            entries.iter().flat_map(|entry| spelling.spell(entry)).collect()
        };
        let (given_strokes, answer) = (spell(given), spell(said));
        let wants = given.iter().chain(said).copied().collect();
        Self { lesson, say, given: given_strokes, wants, answer, plan: Vec::new(), kind: None }
    }

    /// The same for a plan with these habits: the handheld has it, and feet are keyed as it says.
    pub(super) fn with(mut self, habits: &Habits) -> Self {
        let mut keyed = self.given;
        let before = keyed.len();
        keyed.append(&mut self.answer);
        let (keyed, before) = starting_at(&keyed, before, habits.first_claws);
        let (given, answer) = keyed.split_at(before);
        (self.given, self.answer) = (given.to_vec(), answer.to_vec());
        self.plan = plan_of(&self.wants, Needs::NONE, habits);
        self
    }
}

/// The bytes of a plan with these habits, for the cows of these entries. A plan of a few cows fits any
/// handheld; without one the exercise is keyed as ever.
pub(super) fn plan_of(entries: &[Entry], needs: Needs, habits: &Habits) -> Vec<u8> {
    let cows = entries.iter().filter_map(|entry| match entry {
        Entry::Animal(AnimalNumber::Herd(number)) => Some(PlannedCow {
            farm: FARM,
            number: Some(*number),
            tag: None,
            name: None,
            needs,
            particulars: Particulars::NONE,
            overdue: 0,
        }),
        _ => None,
    });
    let planned = Planned {
        farms: vec![(FARM, String::new())],
        cows: cows.collect(),
        habits: *habits,
        ..Planned::default()
    };
    planned.bytes(usize::from(u16::MAX)).unwrap_or_default()
}

/// The farm that exercises with a plan are at.
const FARM: u8 = 1;

/// Strokes that were spelled for work that starts at the outer claws, for work that starts where the
/// plan says; and how many the first `before` of them have become.
fn starting_at(strokes: &[Stroke], before: usize, claws: FirstClaws) -> (Vec<Stroke>, usize) {
    let (mut out, mut hand, mut split) = (Vec::new(), None, 0);
    let (mut at, mut in_do) = (0, false);
    while let Some(stroke) = strokes.get(at) {
        let after_do = in_do;
        in_do = *stroke == Stroke::Key(Key::Do) && !after_do;
        let foot = match stroke {
            Stroke::Key(key) => foot_of(*key),
            Stroke::Clip => None,
        };
        let mut run = 1;
        match foot {
            // A foot named and not chosen.
            Some(foot) if after_do => hand = hand.filter(|one| *one == foot),
            Some(foot) => {
                run = strokes[at..].iter().take_while(|one| *one == stroke).count();
                // From another foot, one press means the claw where work starts, two the other.
                let swap = hand != Some(foot) && claws.of(foot) != Side::Lateral;
                let presses = if swap { 1 + run % 2 } else { run };
                out.extend(std::iter::repeat_n(*stroke, presses.saturating_sub(1)));
                hand = Some(foot);
            }
            None if *stroke == Stroke::Key(Key::Cow) => hand = None,
            None if after_do && *stroke == Stroke::Key(Key::Do) => hand = None,
            None => {}
        }
        out.push(*stroke);
        at += run;
        if at <= before {
            split = out.len();
        }
    }
    (out, split)
}

const fn foot_of(key: Key) -> Option<Foot> {
    match key {
        Key::Lf => Some(Foot::LeftFore),
        Key::Rf => Some(Foot::RightFore),
        Key::Lh => Some(Foot::LeftHind),
        Key::Rh => Some(Foot::RightHind),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_line::keying::{read_strokes, show_strokes};

    #[test]
    fn strokes_are_turned_to_where_work_starts() {
        let inner = FirstClaws::OUTER.with(Foot::LeftHind, Side::Medial);
        for (outer_first, inner_first) in [
            ("COW 5 COW LH FIND 13 2", "COW 5 COW LH LH FIND 13 2"),
            ("COW 5 COW LH LH FIND 13 2 LH DO 10", "COW 5 COW LH FIND 13 2 LH DO 10"),
            ("COW 5 COW RH RH DO 30 LH DO 30 LH clip", "COW 5 COW RH RH DO 30 LH LH DO 30 LH clip"),
            ("COW 5 COW LH DO LH LH DO 30", "COW 5 COW LH LH DO LH LH DO 30"),
            ("COW 5 COW LH DO DO LH DO 31", "COW 5 COW LH LH DO DO LH LH DO 31"),
        ] {
            let strokes = read_strokes(outer_first).unwrap();
            let (turned, split) = starting_at(&strokes, 3, inner);
            assert_eq!((show_strokes(&turned).as_str(), split), (inner_first, 3));
            assert_eq!(starting_at(&strokes, 3, FirstClaws::OUTER).0, strokes);
        }
    }
}
