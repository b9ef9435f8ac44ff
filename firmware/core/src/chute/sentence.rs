//! The sentences, as one table: (sentence so far, press) to the next step.
//!
//! ```text
//! COW d.. COW | COW COW | COW 0 d COW | foot | SIZE d | SIZE SIZE
//! FIND cc s | FIND cc FIND zz s | FIND 00 | DO aa | DO 82 dd | SCORE t v | UNDO
//! DO DO | DO foot | DO 0b
//! ```
//!
//! `SENTENCES.md` in this crate's folder says what each costs and why it is as it is.

use hornrule_protocol::claw::Claw;
use hornrule_protocol::codes::named::TRIMMED;
use hornrule_protocol::codes::{About, Grades, Seat};
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Action, AnimalNumber, Dimension, Entry, Foot, Lesion, Place, Scale, Zone};

use super::digits::{Digits, Meaning};
use super::press::Press;

/// The sentence so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sentence {
    Idle,
    /// COW d..
    Number(Digits),
    /// SIZE
    Size,
    /// FIND
    Find,
    /// FIND c
    FindTens(u8),
    /// FIND cc, a grade or a zone follows
    FindLesion(Lesion),
    /// FIND cc FIND
    FindZone(Lesion),
    /// FIND cc FIND z
    FindZoneTens(Lesion, u8),
    /// FIND cc FIND zz
    FindAt(Lesion, Zone),
    /// DO
    Do,
    /// DO a
    DoTens(u8),
    /// DO 82
    DoDays(Action),
    /// DO 82 d
    DoDaysTens(Action, u8),
    /// SCORE
    Score,
    /// SCORE t
    ScoreOn(Scale),
}

/// A complete sentence; whether it has a cow or claw is not checked yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Said {
    Number(Meaning),
    Found {
        lesion: Lesion,
        grade: u8,
        zone: Option<Zone>,
    },
    Done {
        action: Action,
        days: u8,
    },
    Scored {
        scale: Scale,
        value: u8,
    },
    /// Trimmed to form and sound: a foot, or all of them.
    Trimmed(Option<Foot>),
}

/// What a press leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    Go(Sentence),
    Say(Said),
    Foot(Foot),
    Dimension(Dimension),
    /// SIZE SIZE: what was that, and what is next?
    Ask,
    /// DO 0 b: a bundle of the plan.
    Bundle(u8),
    /// UNDO after a sentence.
    TakeBack,
    /// UNDO inside a sentence.
    Drop,
    Refuse,
}

/// The table. A key that does not fit drops the sentence so far and is refused: the sentence is
/// keyed again from the start, because a gloved thumb cannot know how much of it was taken.
pub(super) fn step(sentence: Sentence, press: Press) -> Step {
    use Sentence as S;
    match (sentence, press) {
        (S::Idle, Press::Foot(foot)) => Step::Foot(foot),
        (S::Idle, Press::Cow) => Step::Go(S::Number(Digits::none())),
        (S::Idle, Press::Size) => Step::Go(S::Size),
        (S::Idle, Press::Find) => Step::Go(S::Find),
        (S::Idle, Press::Do) => Step::Go(S::Do),
        (S::Idle, Press::Score) => Step::Go(S::Score),
        (S::Idle, Press::Undo) => Step::TakeBack,
        (_, Press::Undo) => Step::Drop,

        (S::Number(digits), Press::Digit(d)) => go(digits.push(d).map(S::Number)),
        (S::Number(digits), Press::Cow) => say(digits.meaning().map(Said::Number)),

        (S::Size, Press::Digit(d)) => Dimension::from_code(d).map_or(Step::Refuse, Step::Dimension),

        (S::Size, Press::Size) => Step::Ask,

        (S::Find, Press::Digit(c)) => Step::Go(S::FindTens(c)),
        (S::FindTens(tens), Press::Digit(c)) => found_lesion(tens * 10 + c),
        (S::FindLesion(lesion), Press::Digit(s)) => found(lesion, s, None),
        (S::FindLesion(lesion), Press::Find) => Step::Go(S::FindZone(lesion)),
        (S::FindZone(lesion), Press::Digit(z)) => Step::Go(S::FindZoneTens(lesion, z)),
        (S::FindZoneTens(lesion, tens), Press::Digit(z)) => {
            go(Zone::new(tens * 10 + z).map(|zone| S::FindAt(lesion, zone)))
        }
        (S::FindAt(lesion, zone), Press::Digit(s)) => found(lesion, s, Some(zone)),

        (S::Do, Press::Digit(a)) => Step::Go(S::DoTens(a)),
        (S::Do, Press::Do) => Step::Say(Said::Trimmed(None)),
        (S::Do, Press::Foot(foot)) => Step::Say(Said::Trimmed(Some(foot))),
        // No action has a code below ten: a test says so.
        (S::DoTens(0), Press::Digit(bundle)) => Step::Bundle(bundle),
        (S::DoTens(tens), Press::Digit(a)) => done(tens * 10 + a),
        (S::DoDays(action), Press::Digit(d)) => Step::Go(S::DoDaysTens(action, d)),
        (S::DoDaysTens(action, tens), Press::Digit(d)) => {
            // "See again in no days" means nothing.
            let days = tens * 10 + d;
            say((days > 0).then_some(Said::Done { action, days }))
        }

        (S::Score, Press::Digit(t)) => go(Scale::from_code(t).map(S::ScoreOn)),
        (S::ScoreOn(scale), Press::Digit(value)) => {
            say(scale.has(value).then_some(Said::Scored { scale, value }))
        }

        // Everything else, by name, so that a new sentence cannot end up here unnoticed.
        (S::Idle, Press::Digit(_))
        | (S::Number(_), Press::Foot(_) | Press::Find | Press::Do | Press::Size | Press::Score)
        | (S::Size, Press::Foot(_) | Press::Cow | Press::Find | Press::Do | Press::Score)
        | (
            S::Find
            | S::FindTens(_)
            | S::FindZone(_)
            | S::FindZoneTens(..)
            | S::FindAt(..)
            | S::DoTens(_)
            | S::DoDays(_)
            | S::DoDaysTens(..)
            | S::Score
            | S::ScoreOn(_),
            Press::Foot(_) | Press::Cow | Press::Find | Press::Do | Press::Size | Press::Score,
        )
        | (
            S::FindLesion(_),
            Press::Foot(_) | Press::Cow | Press::Do | Press::Size | Press::Score,
        )
        | (S::Do, Press::Cow | Press::Find | Press::Size | Press::Score) => Step::Refuse,
    }
}

fn go(next: Option<Sentence>) -> Step {
    next.map_or(Step::Refuse, Step::Go)
}

fn say(said: Option<Said>) -> Step {
    said.map_or(Step::Refuse, Step::Say)
}

fn found_lesion(code: u8) -> Step {
    match Lesion::from_code(code) {
        None => Step::Refuse,
        Some(lesion) => match lesion.grades {
            Grades::None => Step::Say(Said::Found { lesion, grade: 0, zone: None }),
            Grades::Severity | Grades::Stage => Step::Go(Sentence::FindLesion(lesion)),
        },
    }
}

fn found(lesion: Lesion, grade: u8, zone: Option<Zone>) -> Step {
    say(lesion.grades.has(grade).then_some(Said::Found { lesion, grade, zone }))
}

fn done(code: u8) -> Step {
    match Action::from_code(code) {
        None => Step::Refuse,
        Some(action) if action.takes_days => Step::Go(Sentence::DoDays(action)),
        Some(action) => Step::Say(Said::Done { action, days: 0 }),
    }
}

impl Said {
    /// The entry, if there is a cow and a claw for it; `None` is refused. A farm and a cow need
    /// neither.
    pub(super) fn entry(self, cow: Option<AnimalNumber>, claw: Option<Claw>) -> Option<Entry> {
        match self {
            Self::Number(Meaning::Farm(farm)) => Some(Entry::Visit { farm }),
            Self::Number(Meaning::Animal(number)) => Some(Entry::Animal(number)),
            Self::Number(Meaning::Leaves) => cow.map(|_| Entry::AnimalLeft),
            Self::Found { lesion, grade, zone } => {
                cow?;
                let place = match lesion.seat {
                    Seat::Claw => Place::Claw(claw?),
                    Seat::Foot => Place::Foot(claw?.foot),
                };
                Some(Entry::Finding(Finding { lesion, place, grade, zone }))
            }
            Self::Done { action, days } => {
                // Washing is done between two farms, when no cow is in the chute.
                if action.about != About::Tools {
                    cow?;
                }
                let place = match action.about {
                    About::Tools => Place::Cow,
                    About::Claw => Place::Claw(claw?),
                    // With no foot in hand it is said of all four.
                    About::Foot if action.spreads() => {
                        claw.map_or(Place::Cow, |claw| Place::Foot(claw.foot))
                    }
                    About::Foot => Place::Foot(claw?.foot),
                    // The foot in hand is worth noting if there is one.
                    About::Cow => claw.map_or(Place::Cow, |claw| Place::Foot(claw.foot)),
                };
                Some(Entry::Action(Done { action, place, days }))
            }
            Self::Scored { scale, value } => {
                cow?;
                Some(Entry::Score { scale, value })
            }
            Self::Trimmed(foot) => {
                cow?;
                let action = Action::from_code(TRIMMED)?;
                let place = foot.map_or(Place::Cow, Place::Foot);
                Some(Entry::Action(Done { action, place, days: 0 }))
            }
        }
    }
}
