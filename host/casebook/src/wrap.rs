//! Wraps: put on, and how they came off.

use hornrule_facts::codes::{CLAW_LOWERED, HORN_OPENED, LEFT_OPEN, TRIMMED, WRAP_OFF, WRAP_ON};
use hornrule_facts::{Closing, Day, Duty, Fact, Told, What};
use hornrule_protocol::{Foot, Place};

/// How a wrap came off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unwrapped {
    /// Taken off.
    TakenOff,
    /// The foot was left open.
    LeftOpen,
    /// Another one was put on.
    Replaced,
    /// Something was found or done that needs a bare foot.
    Bare,
    /// The office was told that it is off.
    Told,
}

/// A wrap on a foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wrap {
    /// Which foot.
    pub foot: Foot,
    /// When it was put on.
    pub on: Day,
    /// Its end; `None` while it is on.
    pub off: Option<(Day, Unwrapped)>,
}

/// What of an action or finding is about wraps.
enum About {
    On,
    Off(Unwrapped),
    Bare,
}

fn about(fact: &Fact) -> Option<About> {
    Some(match fact.what {
        What::Finding(_) => About::Bare,
        What::Action(done) => match done.action.code() {
            WRAP_ON => About::On,
            WRAP_OFF => About::Off(Unwrapped::TakenOff),
            LEFT_OPEN => About::Off(Unwrapped::LeftOpen),
            // "All four feet" is said in passing: a wrap ends by a word about it or its foot.
            TRIMMED if fact.whole => return None,
            TRIMMED | HORN_OPENED | CLAW_LOWERED => About::Bare,
            _ => return None,
        },
        What::Stay { .. } | What::Reading(_) | What::Score { .. } => return None,
    })
}

/// Takes a day's facts: what was said of the old wrap, then a new one, then what needs a bare foot.
pub(super) fn take<'a>(wraps: &mut Vec<Wrap>, on: Day, facts: impl Iterator<Item = &'a Fact>) {
    let (mut put_on, mut bare): (Vec<Foot>, Vec<Foot>) = (Vec::new(), Vec::new());
    for fact in facts {
        let (Some(foot), Some(about)) = (fact.place.foot(), about(fact)) else { continue };
        match about {
            About::Off(how) => end(wraps, foot, on, how),
            About::On if !put_on.contains(&foot) => put_on.push(foot),
            About::Bare if !bare.contains(&foot) => bare.push(foot),
            About::On | About::Bare => {}
        }
    }
    for foot in put_on {
        end(wraps, foot, on, Unwrapped::Replaced);
        wraps.push(Wrap { foot, on, off: None });
    }
    for foot in bare {
        let old = wraps.iter().any(|wrap| wrap.foot == foot && wrap.off.is_none() && wrap.on < on);
        if old {
            end(wraps, foot, on, Unwrapped::Bare);
        }
    }
}

fn end(wraps: &mut [Wrap], foot: Foot, day: Day, how: Unwrapped) {
    let on = |wrap: &&mut Wrap| wrap.foot == foot && wrap.off.is_none();
    if let Some(wrap) = wraps.iter_mut().rev().find(on) {
        wrap.off = Some((day, how));
    }
}

/// The office was told that a wrap is off.
pub(super) fn close(wraps: &mut [Wrap], closing: &Closing) {
    if closing.what != Told::Done(Duty::WrapOff) {
        return;
    }
    for wrap in wraps.iter_mut().filter(|wrap| wrap.off.is_none()) {
        if closing.is_about(Place::Foot(wrap.foot), wrap.on) {
            wrap.off = Some((closing.day, Unwrapped::Told));
        }
    }
}
