//! The ARM image itself, end to end. `./check` builds it and runs these; `HORNRULE_LONG=1` cuts ten
//! times as often.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

mod calliper;
mod cuts;
mod day;
mod faults;
mod plan;
mod size;
mod speed;
mod traces;

use hornrule_core::cue::Cue;
use hornrule_tests_emu::ear::may_be;
use hornrule_tests_emu::player::Player;

/// A short day: every kind of sentence, both callipers, a slip, an inch reading.
const MORNING: &str = "at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 01 COW\n\
    keys COW 27 COW RH FIND 13 2\nclip 81.20 mm\nkeys DO 30 UNDO DO 30\ncalliper bcd52\n\
    keys LH\nclip 3.0080 in\nkeys SCORE 1 2\nkeys COW COW";

fn promises(player: &Player) -> usize {
    player.heard().iter().filter(|heard| heard.cue.is_promise()).count()
}

fn heard(player: &Player, cue: Cue) -> usize {
    player.heard().iter().filter(|heard| may_be(**heard, cue)).count()
}
