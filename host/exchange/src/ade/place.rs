//! Places on the animal, in the words of the standard's release that the receiver speaks.

use hornrule_protocol::{Claw, Foot, Place, Side, Zone};

use super::resource::Position;

/// Which words for places on the animal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Positions {
    /// Legs, of releases to 1.5.
    #[default]
    Legs,
    /// Toes for claws, of the enumeration merged in 2026.
    Toes,
}

const fn leg(foot: Foot) -> &'static str {
    match foot {
        Foot::LeftFore => "LegsFrontLeft",
        Foot::RightFore => "LegsFrontRight",
        Foot::LeftHind => "LegsRearLeft",
        Foot::RightHind => "LegsRearRight",
    }
}

/// Outer is lateral, inner is medial.
const fn toe(claw: Claw) -> &'static str {
    match (claw.side, claw.foot) {
        (Side::Lateral, Foot::LeftFore) => "OuterToeFrontLeft",
        (Side::Lateral, Foot::RightFore) => "OuterToeFrontRight",
        (Side::Lateral, Foot::LeftHind) => "OuterToeRearLeft",
        (Side::Lateral, Foot::RightHind) => "OuterToeRearRight",
        (Side::Medial, Foot::LeftFore) => "InnerToeFrontLeft",
        (Side::Medial, Foot::RightFore) => "InnerToeFrontRight",
        (Side::Medial, Foot::LeftHind) => "InnerToeRearLeft",
        (Side::Medial, Foot::RightHind) => "InnerToeRearRight",
    }
}

/// The standard's words; none for the whole cow.
pub(super) fn positions(which: Positions, place: Place) -> Vec<Position> {
    let word = match (which, place) {
        (_, Place::Cow) => return Vec::new(),
        (Positions::Toes, Place::Claw(claw)) => toe(claw),
        (Positions::Legs, Place::Claw(Claw { foot, .. })) | (_, Place::Foot(foot)) => leg(foot),
    };
    vec![Position { position: word }]
}

/// In words: "RH lateral claw, zone 4"; `None` for the whole cow.
pub(super) fn site(place: Place, zone: Option<Zone>) -> Option<String> {
    let place = match place {
        Place::Cow => return None,
        Place::Foot(foot) => format!("{} foot", foot.letters()),
        Place::Claw(claw) => format!("{} {} claw", claw.foot.letters(), claw.side.name()),
    };
    Some(match zone {
        Some(zone) => format!("{place}, zone {}", zone.number()),
        None => place,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The members of the standard's enumeration, typed in from its text: releases to 1.5, and the
    /// eight that were merged in 2026.
    const LEGS: [&str; 4] = ["LegsFrontLeft", "LegsFrontRight", "LegsRearLeft", "LegsRearRight"];
    const TOES: [&str; 8] = [
        "InnerToeFrontLeft",
        "OuterToeFrontLeft",
        "InnerToeFrontRight",
        "OuterToeFrontRight",
        "InnerToeRearLeft",
        "OuterToeRearLeft",
        "InnerToeRearRight",
        "OuterToeRearRight",
    ];

    #[test]
    fn every_place_has_the_word_of_its_release() {
        let mut toes = Vec::new();
        for place in (0..=254u8).filter_map(|byte| Place::try_from(byte).ok()) {
            let old = positions(Positions::Legs, place)[0].position;
            let new = positions(Positions::Toes, place)[0].position;
            let foot = place.foot().unwrap();
            assert_eq!(old, LEGS[usize::from(foot.number())]);
            match place {
                Place::Claw(_) => toes.push(new),
                _ => assert_eq!(new, old, "a foot is its leg"),
            }
            // Toe and leg agree on which corner of the cow it is.
            let corner = old.strip_prefix("Legs").unwrap();
            assert!(new.ends_with(corner));
        }
        toes.sort_unstable();
        let mut expected = TOES;
        expected.sort_unstable();
        assert_eq!(toes, expected);
        assert!(positions(Positions::Toes, Place::Cow).is_empty());
    }

    #[test]
    fn a_site_says_claw_and_keyed_zone() {
        let claw = Place::Claw(Claw { foot: Foot::RightHind, side: Side::Lateral });
        assert_eq!(site(claw, Zone::new(4)).unwrap(), "RH lateral claw, zone 4");
        assert_eq!(site(Place::Foot(Foot::LeftFore), None).unwrap(), "LF foot");
        assert_eq!(site(Place::Cow, None), None);
    }
}
