//! From what is to be said to the keys that say it: the grammar the other way round.

use hornrule_core::keypad::Key;
use hornrule_protocol::codes::Grades;
use hornrule_protocol::codes::named::TRIMMED;
use hornrule_protocol::plan::FirstClaws;
use hornrule_protocol::record::{Done, Finding, Reading};
use hornrule_protocol::{AnimalNumber, Claw, Dimension, Entry, Foot, Place};

use super::Stroke;

/// What the handheld holds on to between sentences: the claw, and the dimension chosen on it; and what
/// its plan says of the claw where work starts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spelling {
    claw: Option<Claw>,
    dimension: Option<Dimension>,
    first_claws: FirstClaws,
    /// Parts of a bundle that are still to come: they say themselves.
    parts: u8,
}

impl Spelling {
    /// With a plan that says where work starts.
    #[must_use]
    pub fn starting_at(first_claws: FirstClaws) -> Self {
        Self { first_claws, ..Self::default() }
    }

    /// No claw in hand any more.
    fn leave(&mut self) {
        *self = Self::starting_at(self.first_claws);
    }

    /// The strokes that say this entry, shortest way. Nothing for what no trimmer says (a start, a
    /// clock, a gap). A plan's measuring order is not known here: a clip means the dorsal wall, or
    /// what SIZE chose.
    pub fn spell(&mut self, entry: &Entry) -> Vec<Stroke> {
        let mut strokes = Vec::new();
        match entry {
            Entry::Visit { farm } => {
                keys(&mut strokes, &[Key::Cow, Key::Zero]);
                number(&mut strokes, u64::from(*farm), 1);
                keys(&mut strokes, &[Key::Cow]);
            }
            Entry::Animal(animal) => {
                keys(&mut strokes, &[Key::Cow]);
                match animal {
                    AnimalNumber::Herd(herd) => number(&mut strokes, u64::from(herd.get()), 1),
                    AnimalNumber::Tag(tag) => number(&mut strokes, tag.decimal(), 15),
                }
                keys(&mut strokes, &[Key::Cow]);
                self.leave();
            }
            Entry::AnimalLeft => {
                keys(&mut strokes, &[Key::Cow, Key::Cow]);
                self.leave();
            }
            Entry::Finding(finding) => self.finding(&mut strokes, finding),
            Entry::Action(_) if self.parts > 0 => self.parts -= 1,
            Entry::Action(done) => self.action(&mut strokes, done),
            Entry::Bundle { bundle, parts } => {
                keys(&mut strokes, &[Key::Do, Key::Zero]);
                number(&mut strokes, u64::from(*bundle), 1);
                self.parts = *parts;
            }
            Entry::Score { scale, value } => {
                keys(&mut strokes, &[Key::Score]);
                number(&mut strokes, u64::from(scale.code()), 1);
                number(&mut strokes, u64::from(*value), 1);
            }
            Entry::Reading(reading) => self.reading(&mut strokes, reading),
            Entry::Void { .. } => keys(&mut strokes, &[Key::Undo]),
            Entry::Started(_)
            | Entry::Clock { .. }
            | Entry::Gap { .. }
            | Entry::CalliperFault(_)
            | Entry::PlanLoaded { .. } => {}
        }
        strokes
    }

    /// The presses that put this claw in hand, for a bundle, which says of no claw of its own.
    pub fn choose(&mut self, claw: Claw) -> Vec<Stroke> {
        let mut strokes = Vec::new();
        self.go_to(&mut strokes, Place::Claw(claw));
        strokes
    }

    fn finding(&mut self, strokes: &mut Vec<Stroke>, finding: &Finding) {
        self.go_to(strokes, finding.place);
        keys(strokes, &[Key::Find]);
        number(strokes, u64::from(finding.lesion.code()), 2);
        if let Some(zone) = finding.zone {
            keys(strokes, &[Key::Find]);
            number(strokes, u64::from(zone.number()), 2);
        }
        if finding.lesion.grades != Grades::None {
            number(strokes, u64::from(finding.grade), 1);
        }
    }

    fn action(&mut self, strokes: &mut Vec<Stroke>, done: &Done) {
        match (done.action.code(), done.place) {
            (TRIMMED, Place::Cow) => {
                keys(strokes, &[Key::Do, Key::Do]);
                return self.let_go(done.place);
            }
            (TRIMMED, Place::Foot(foot)) => {
                keys(strokes, &[Key::Do, foot_key(foot)]);
                return self.let_go(done.place);
            }
            _ => self.go_to(strokes, done.place),
        }
        keys(strokes, &[Key::Do]);
        number(strokes, u64::from(done.action.code()), 2);
        if done.action.takes_days {
            number(strokes, u64::from(done.days), 2);
        }
    }

    /// A word about another foot than the one in hand, or about all, leaves no claw in hand.
    fn let_go(&mut self, place: Place) {
        if self.claw.is_some_and(|claw| place.foot() != Some(claw.foot)) {
            self.leave();
        }
    }

    fn reading(&mut self, strokes: &mut Vec<Stroke>, reading: &Reading) {
        self.go_to(strokes, reading.place);
        let dimension = reading.dimension;
        if dimension != self.dimension.unwrap_or(Dimension::DORSAL_WALL) {
            keys(strokes, &[Key::Size]);
            number(strokes, u64::from(dimension.code()), 1);
            self.dimension = Some(dimension);
        }
        strokes.push(Stroke::Clip);
    }

    /// Presses of foot keys until this place is the one spoken of.
    fn go_to(&mut self, strokes: &mut Vec<Stroke>, place: Place) {
        let foot = match place {
            Place::Cow => return,
            Place::Foot(foot) => foot,
            Place::Claw(claw) => claw.foot,
        };
        let stands = self.claw.filter(|claw| claw.foot == foot);
        // The first press of a foot chooses the claw where work starts, each more the other one.
        let first = self.first_claws.of(foot);
        let (at, presses) = match (stands, place.side()) {
            (Some(claw), Some(side)) if claw.side != side => (side, 1),
            (Some(claw), _) => (claw.side, 0),
            (None, Some(side)) if side != first => (side, 2),
            (None, _) => (first, 1),
        };
        for _ in 0..presses {
            keys(strokes, &[foot_key(foot)]);
            self.dimension = None;
        }
        self.claw = Some(Claw { foot, side: at });
    }
}

const fn foot_key(foot: Foot) -> Key {
    match foot {
        Foot::LeftFore => Key::Lf,
        Foot::RightFore => Key::Rf,
        Foot::LeftHind => Key::Lh,
        Foot::RightHind => Key::Rh,
    }
}

fn keys(strokes: &mut Vec<Stroke>, keys: &[Key]) {
    strokes.extend(keys.iter().copied().map(Stroke::Key));
}

fn number(strokes: &mut Vec<Stroke>, value: u64, width: usize) {
    for c in format!("{value:0width$}").chars() {
        let digit = c.to_digit(10);
        let key = |key: &Key| key.digit().map(u32::from) == digit;
        strokes.extend(Key::ALL.into_iter().find(key).map(Stroke::Key));
    }
}
