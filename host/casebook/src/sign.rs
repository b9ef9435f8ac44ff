//! Signs: what was seen or felt at a place on a day and is no lesion.

use hornrule_facts::{Day, Fact, What};
use hornrule_protocol::codes::Says;
use hornrule_protocol::{Lesion, Place};

use crate::place_key;

/// A sign on a day, at a place; once, however often it was keyed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sign {
    /// When.
    pub day: Day,
    /// The claw; the foot, for signs of the foot.
    pub place: Place,
    /// Which: a row of the table of lesions that says a sign.
    pub sign: Lesion,
}

/// Takes a day's facts.
pub(super) fn take<'a>(all: &mut Vec<Sign>, day: Day, facts: impl Iterator<Item = &'a Fact>) {
    let first = all.len();
    for fact in facts {
        let What::Finding(finding) = fact.what else { continue };
        let one = Sign { day, place: finding.place, sign: finding.lesion };
        if finding.lesion.says == Says::Sign && !all[first..].contains(&one) {
            all.push(one);
        }
    }
    all[first..].sort_by_key(|one| (place_key(one.place), one.sign.code()));
}
