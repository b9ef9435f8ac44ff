//! What entries say of each claw, whichever words were used: long, short, or a bundle's.

use hornrule_protocol::codes::About;
use hornrule_protocol::record::{Done, Reading};
use hornrule_protocol::{Claw, Entry, Foot, Nanometres, Place, Side};

use super::session::by_cow;

/// What stands and says anything that is not wanted; and what is wanted and not yet said.
pub(super) fn weighed(stands: &[Entry], wants: &[Entry]) -> (Vec<Entry>, Vec<Entry>) {
    let wanted = spread(wants);
    let said = spread(stands);
    let surplus = by_cow(stands)
        .into_iter()
        .filter(|(cow, entry)| words(entry).iter().any(|word| !wanted.contains(&(*cow, *word))))
        .map(|(_, entry)| entry);
    let missing = by_cow(wants)
        .into_iter()
        .filter(|(cow, entry)| words(entry).iter().any(|word| !said.contains(&(*cow, *word))))
        .map(|(_, entry)| entry);
    (surplus.collect(), missing.collect())
}

fn spread(entries: &[Entry]) -> Vec<(usize, Entry)> {
    let all = by_cow(entries).into_iter();
    all.flat_map(|(cow, entry)| words(&entry).into_iter().map(move |word| (cow, word))).collect()
}

/// An entry as what it says of single claws and feet. The name of a bundle says nothing that its
/// parts do not; a length is the calliper's, not the trainee's.
fn words(entry: &Entry) -> Vec<Entry> {
    match entry {
        Entry::Bundle { .. } => Vec::new(),
        Entry::Action(done) => {
            places(*done).into_iter().map(|place| Entry::Action(Done { place, ..*done })).collect()
        }
        Entry::Reading(reading) => {
            vec![Entry::Reading(Reading { length: Nanometres(0), ..*reading })]
        }
        other => vec![*other],
    }
}

fn places(done: Done) -> Vec<Place> {
    let feet: Vec<Foot> = match done.place {
        Place::Cow if done.action.spreads() => Foot::ALL.to_vec(),
        Place::Foot(foot) if done.action.spreads() => vec![foot],
        place => return vec![place],
    };
    let of = |foot: Foot| match done.action.about {
        About::Claw => Side::ALL.map(|side| Place::Claw(Claw { foot, side })).to_vec(),
        About::Foot | About::Cow | About::Tools => vec![Place::Foot(foot)],
    };
    feet.into_iter().flat_map(of).collect()
}
