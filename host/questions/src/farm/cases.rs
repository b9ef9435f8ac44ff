//! Which findings are new, which come again, and which are the same case still.
//!
//! ```text
//! SU on LH outer   day 0      day 14         day 40     day 90
//!                  found      found          healed     found
//!                  new        the same case             again
//! ```

use std::collections::BTreeMap;

use hornrule_protocol::codes::Seat;
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Foot, Lesion, Place};

use hornrule_facts::codes::{HEALED, WORSE};
use crate::due::cow::{Told, is_lesion};
use hornrule_facts::{AnimalId, Day};
use crate::visit::due::counted_place;

/// A lesion that nobody spoke of for longer than this is taken for another case when it is found
/// again (common practice, no source: about two rechecks missed).
pub const FORGOTTEN_DAYS: i32 = 60;
const SOUND: u8 = 0;

/// A case: one lesion on one claw, or for the skin one foot, of one cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Case {
    /// The day it was found.
    pub day: Day,
    /// Whose.
    pub animal: AnimalId,
    /// What.
    pub lesion: Lesion,
    /// Whether she had the same lesion at the same place before.
    pub again: bool,
}

/// What is known of one lesion at one place.
struct Known {
    spoken: Day,
    closed: bool,
    lesion: Lesion,
}

/// Cow, place and lesion.
type Spot = (AnimalId, (Option<Foot>, u8), u8);

/// The cases in all that was said, in the order of time.
pub(super) fn cases(said: &[(Day, AnimalId, Told)]) -> Vec<Case> {
    let mut known: BTreeMap<Spot, Known> = BTreeMap::new();
    let mut cases = Vec::new();
    for (day, animal, told) in said {
        match told {
            Told::Found(finding) if is_lesion(finding) => {
                cases.extend(found(&mut known, *day, *animal, finding));
            }
            Told::Found(finding) => sound(&mut known, *animal, finding),
            Told::Did(done) => outcome(&mut known, *day, *animal, done),
        }
    }
    cases
}

/// A place as a key: foot, and side or 0.
fn key(place: Place) -> (Option<Foot>, u8) {
    (place.foot(), place.side().map_or(0, |side| side.number()))
}

fn found(
    known: &mut BTreeMap<Spot, Known>,
    day: Day,
    animal: AnimalId,
    finding: &Finding,
) -> Option<Case> {
    let lesion = finding.lesion;
    let at = (animal, key(counted_place(finding)), lesion.code());
    let before = known.insert(at, Known { spoken: day, closed: false, lesion });
    let again = before.is_some();
    let same = before.is_some_and(|it| !it.closed && day.0 - it.spoken.0 <= FORGOTTEN_DAYS);
    (!same).then_some(Case { day, animal, lesion, again })
}

/// Whether something said at a place speaks of a lesion that is known at another key: a whole foot
/// speaks of its claws, a claw of its own horn.
fn speaks_of(place: Place, known: (Option<Foot>, u8), lesion: Lesion) -> bool {
    let (foot, side) = key(place);
    foot.is_some()
        && foot == known.0
        && match lesion.seat {
            Seat::Claw => side == 0 || side == known.1,
            Seat::Foot => side == 0,
        }
}

fn sound(known: &mut BTreeMap<Spot, Known>, animal: AnimalId, finding: &Finding) {
    for ((of, at, code), it) in known.iter_mut() {
        // Healed dermatitis speaks of dermatitis alone, "sound" of all there.
        let named = finding.lesion.code() == SOUND || finding.lesion.code() == *code;
        it.closed |= *of == animal && named && speaks_of(finding.place, *at, it.lesion);
    }
}

fn outcome(known: &mut BTreeMap<Spot, Known>, day: Day, animal: AnimalId, done: &Done) {
    if !(HEALED..=WORSE).contains(&done.action.code()) {
        return;
    }
    for ((of, at, _), it) in known.iter_mut() {
        if *of == animal && speaks_of(done.place, *at, it.lesion) {
            it.spoken = day;
            it.closed |= done.action.code() == HEALED;
        }
    }
}
