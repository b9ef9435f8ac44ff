//! What a change moves that is on record, in words.

use hornrule_facts::{Day, HerdId};
use hornrule_herd::Database;
use hornrule_intake::{Move, Moves};

use super::super::Failure;
use hornrule_facts::plain;

/// Most lines: a longer list is cut, with its rest counted.
const MOST: usize = 40;

/// How many visits and cows are read otherwise, and which.
pub(in super::super) fn told(herd: &Database, moves: &Moves) -> Result<String, Failure> {
    if moves.is_empty() {
        return Ok("effect    nothing on record moves\n".to_owned());
    }
    let herds = herd.herds()?;
    let place = |place: Option<(HerdId, Day)>, missing: &str| match place {
        None => missing.to_owned(),
        Some((herd, day)) => {
            let name = herds.iter().find(|one| one.herd == herd).map(|one| one.name.as_str());
            format!("{} {day}", name.unwrap_or("a farm that is not there"))
        }
    };
    let cows = plain::count(moves.values().sum(), "cow", "cows");
    let visits = plain::count(moves.len(), "visit", "visits");
    let mut text = format!("effect    {visits} with {cows} read otherwise\n");
    for (Move { from, to }, cows) in moves.iter().take(MOST) {
        let cows = plain::count(*cows, "cow", "cows");
        text += &format!("  {} -> {}: {cows}\n", place(*from, "held"), place(*to, "held"));
    }
    if moves.len() > MOST {
        text += &format!("  and {} more\n", moves.len() - MOST);
    }
    Ok(text)
}
