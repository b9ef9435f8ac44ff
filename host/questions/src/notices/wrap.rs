//! A wrap on an ulcer: what is known of it, as information and not as advice.

use std::collections::BTreeMap;

use hornrule_casebook::Case;
use hornrule_facts::codes::{BULB_ULCER, DIGITAL_DERMATITIS, SOLE_ULCER, TOE_ULCER};
use hornrule_protocol::{Foot, Place};

use super::{Asked, Noticed};

/// Sole ulcers that healed without a bandage, of so many (source: `NOTICES.md`).
pub const UNBANDAGED: (u8, u8) = (19, 32);
/// The same with one.
pub const BANDAGED: (u8, u8) = (7, 24);

const ULCERS: [u8; 3] = [SOLE_ULCER, BULB_ULCER, TOE_ULCER];

pub(super) fn notices(asked: &Asked<'_>) -> Vec<(Place, Noticed)> {
    let mut feet: BTreeMap<Foot, Case> = BTreeMap::new();
    for wrap in asked.book.wraps.iter().filter(|wrap| wrap.on == asked.day && wrap.off.is_none()) {
        let here = || asked.cases().filter(|case| case.place.foot() == Some(wrap.foot));
        if here().any(|case| case.lesion.code() == DIGITAL_DERMATITIS) {
            continue;
        }
        let ulcers = here().filter(|case| ULCERS.contains(&case.lesion.code()));
        if let Some(case) = ulcers.max_by_key(|case| case.grade_on(asked.day)) {
            feet.insert(wrap.foot, case.clone());
        }
    }
    let noticed = |(foot, case)| (Place::Foot(foot), Noticed::WrapOnUlcer { case });
    feet.into_iter().map(noticed).collect()
}
