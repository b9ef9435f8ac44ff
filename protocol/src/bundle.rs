//! A bundle: what a trimmer always does together, said in one sentence. The plan defines it; what is
//! sealed are its parts, so that nothing depends on the definition later.

use crate::codes::About;
use crate::record::Done;
use crate::{Action, Claw, Place};

/// Bytes of a bundle in the plan.
pub const BUNDLE: usize = 16;
/// Most parts of a bundle.
pub const MAX_PARTS: usize = 7;
/// Most bundles of a plan: they are numbered 1 to 9.
pub const MAX_BUNDLE: u8 = 9;
/// Most days of a part that takes days: two digits.
const MAX_DAYS: u8 = 99;

/// Where a part is done, seen from the claw in hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    /// The claw in hand.
    ThisClaw,
    /// The other claw of its foot.
    Partner,
    /// Its foot.
    Foot,
    /// The cow.
    Cow,
}

impl At {
    /// All, in the order of their numbers (0 to 3).
    pub const ALL: [Self; 4] = [Self::ThisClaw, Self::Partner, Self::Foot, Self::Cow];

    /// As it is written in settings and stories.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::ThisClaw => "this",
            Self::Partner => "partner",
            Self::Foot => "foot",
            Self::Cow => "cow",
        }
    }

    /// The place, with this claw in hand; `None` where it needs one and there is none.
    #[must_use]
    pub fn place(self, claw: Option<Claw>) -> Option<Place> {
        Some(match self {
            Self::ThisClaw => Place::Claw(claw?),
            Self::Partner => {
                let claw = claw?;
                Place::Claw(Claw { side: claw.side.partner(), ..claw })
            }
            Self::Foot => Place::Foot(claw?.foot),
            Self::Cow => Place::Cow,
        })
    }

    /// Whether an action is ever said there.
    fn suits(self, action: Action) -> bool {
        match (action.about, self) {
            (About::Claw, Self::ThisClaw | Self::Partner)
            | (About::Foot | About::Cow, Self::Foot) => true,
            (About::Cow, Self::Cow) => true,
            (About::Claw, Self::Foot | Self::Cow) | (About::Foot, Self::Cow) => action.spreads(),
            (About::Foot | About::Cow, Self::ThisClaw | Self::Partner) => false,
            // A bundle is of the claw in hand.
            (About::Tools, _) => false,
        }
    }
}

/// A text that is no list of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotParts {
    /// Which of them, from 1.
    pub part: usize,
}

impl core::fmt::Display for NotParts {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(
            f,
            "part {} is no action at a place of it; write 1 to {MAX_PARTS} parts like `31 this, 10 \
             partner, 21 foot, 82 foot 14, 70 cow`",
            self.part
        )
    }
}

impl core::error::Error for NotParts {}

/// One part of a bundle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BundlePart {
    action: Action,
    at: At,
    days: u8,
}

impl BundlePart {
    /// `None` for an action that is never said there, and for days where none are taken or none
    /// where some are (1 to 99).
    #[must_use]
    pub fn new(action: Action, at: At, days: u8) -> Option<Self> {
        let right = if action.takes_days { (1..=MAX_DAYS).contains(&days) } else { days == 0 };
        (right && at.suits(action)).then_some(Self { action, at, days })
    }

    /// What is done.
    #[must_use]
    pub const fn action(&self) -> Action {
        self.action
    }

    /// Where.
    #[must_use]
    pub const fn at(&self) -> At {
        self.at
    }

    /// Days, for an action that takes them; otherwise 0.
    #[must_use]
    pub const fn days(&self) -> u8 {
        self.days
    }

    /// What is sealed with this claw in hand; `None` where it needs one and there is none.
    #[must_use]
    pub fn done(&self, claw: Option<Claw>) -> Option<Done> {
        Some(Done { action: self.action, place: self.at.place(claw)?, days: self.days })
    }

    /// "31 this", "82 foot 14"; also with a hyphen for each blank.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut words = text.split([' ', '-']).filter(|word| !word.is_empty());
        let action = Action::from_code(words.next()?.parse().ok()?)?;
        let at = words.next()?;
        let at = At::ALL.into_iter().find(|one| one.word() == at)?;
        let days = words.next().map_or(Some(0), |days| days.parse().ok())?;
        words.next().is_none().then_some(())?;
        Self::new(action, at, days)
    }

    /// Days in bits 15-9, place in 8-7, action in 6-0.
    fn word(self) -> u16 {
        // Codes have two digits and days too: seven bits each.
        u16::from(self.action.code()) | (self.at as u16) << 7 | u16::from(self.days) << 9
    }

    fn from_word(word: u16) -> Option<Self> {
        let action = Action::from_code((word & 0x7F) as u8)?;
        let at = *At::ALL.get(usize::from(word >> 7 & 3))?;
        Self::new(action, at, (word >> 9) as u8)
    }
}

impl core::fmt::Display for BundlePart {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} {}", self.action.code(), self.at.word())?;
        if self.days > 0 { write!(f, " {}", self.days) } else { Ok(()) }
    }
}

/// A bundle: its number, and its parts in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bundle {
    number: u8,
    parts: [Option<BundlePart>; MAX_PARTS],
}

impl Bundle {
    /// Without parts yet; `None` for a number that cannot be keyed.
    #[must_use]
    pub const fn new(number: u8) -> Option<Self> {
        if number >= 1 && number <= MAX_BUNDLE {
            Some(Self { number, parts: [None; MAX_PARTS] })
        } else {
            None
        }
    }

    /// With one more part; `None` for an eighth.
    #[must_use]
    pub fn then(mut self, part: BundlePart) -> Option<Self> {
        *self.parts.iter_mut().find(|free| free.is_none())? = Some(part);
        Some(self)
    }

    /// With these parts: "31 this, 32 this, 10 partner, 82 foot 14".
    ///
    /// # Errors
    /// [`NotParts`], with the part that is none, or is an eighth.
    pub fn with_parts(self, text: &str) -> Result<Self, NotParts> {
        let mut parts = text.split(',').zip(1..);
        parts.try_fold(self, |bundle, (part, at)| {
            let part = BundlePart::read(part);
            part.and_then(|part| bundle.then(part)).ok_or(NotParts { part: at })
        })
    }

    /// 1 to 9: what is keyed after DO 0.
    #[must_use]
    pub const fn number(&self) -> u8 {
        self.number
    }

    /// Its parts, in the order in which they are sealed.
    pub fn parts(&self) -> impl Iterator<Item = BundlePart> + '_ {
        self.parts.iter().flatten().copied()
    }

    /// As in the plan.
    #[must_use]
    pub fn to_bytes(&self) -> [u8; BUNDLE] {
        let mut bytes = [0; BUNDLE];
        bytes[0] = self.number;
        // At most MAX_PARTS.
        bytes[1] = self.parts().count() as u8;
        for (place, part) in bytes[2..].chunks_exact_mut(2).zip(self.parts()) {
            place.copy_from_slice(&part.word().to_le_bytes());
        }
        bytes
    }

    /// From the plan; `None` for anything that [`Self::to_bytes`] does not write, and for a bundle
    /// of no parts.
    #[must_use]
    pub fn from_bytes(bytes: &[u8; BUNDLE]) -> Option<Self> {
        let mut bundle = Self::new(bytes[0])?;
        for word in bytes[2..].chunks_exact(2).take(usize::from(bytes[1])) {
            bundle = bundle.then(BundlePart::from_word(u16::from_le_bytes([word[0], word[1]]))?)?;
        }
        (bytes[1] > 0 && bundle.to_bytes() == *bytes).then_some(bundle)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Foot, Side};

    fn part(code: u8, at: At, days: u8) -> Option<BundlePart> {
        BundlePart::new(Action::from_code(code).unwrap(), at, days)
    }

    #[test]
    fn parts_are_said_where_their_action_belongs() {
        use At::{Cow, Foot, Partner, ThisClaw};
        for (code, at, fits) in [
            (31, ThisClaw, true),
            (10, Partner, true),
            (31, Foot, false),
            (30, Foot, true),
            (30, Cow, true),
            (33, Cow, true),
            (21, Foot, true),
            (21, ThisClaw, false),
            (21, Cow, false),
            (80, Cow, true),
            (80, Foot, true),
            (80, Partner, false),
        ] {
            assert_eq!(part(code, at, 0).is_some(), fits, "{code} {at:?}");
        }
        assert!(part(82, Foot, 14).is_some() && part(82, Cow, 99).is_some());
        assert!(part(82, Foot, 0).is_none() && part(82, Foot, 100).is_none());
        assert!(part(31, ThisClaw, 1).is_none());
    }

    #[test]
    fn places_are_seen_from_the_claw_in_hand() {
        let claw = Claw { foot: Foot::LeftHind, side: Side::Medial };
        let partner = Claw { side: Side::Lateral, ..claw };
        let places = At::ALL.map(|at| at.place(Some(claw)));
        let expected =
            [Place::Claw(claw), Place::Claw(partner), Place::Foot(claw.foot), Place::Cow];
        assert_eq!(places, expected.map(Some));
        assert_eq!(At::ALL.map(|at| at.place(None)), [None, None, None, Some(Place::Cow)]);
    }

    #[test]
    fn parts_are_written_as_they_are_read() {
        let text = "31 this, 10 partner, 21 foot, 82 cow 14";
        let bundle = Bundle::new(1).unwrap().with_parts(text).unwrap();
        let said: std::vec::Vec<_> =
            bundle.parts().map(|part| std::string::ToString::to_string(&part)).collect();
        assert_eq!(said.join(", "), text);
        assert_eq!(
            Bundle::new(1).unwrap().with_parts("31-this,10-partner,21-foot,82-cow-14"),
            Ok(bundle)
        );
        for (wrong, part) in [
            ("", 1),
            ("31", 1),
            ("31 there", 1),
            ("31 this, 21 this", 2),
            ("99 this", 1),
            ("31 this 3", 1),
            ("82 foot", 1),
            ("82 foot 14 days", 1),
            ("31 this,", 2),
            ("20 foot,20 foot,20 foot,20 foot,20 foot,20 foot,20 foot,20 foot", 8),
        ] {
            let refused = Bundle::new(1).unwrap().with_parts(wrong);
            assert_eq!(refused, Err(NotParts { part }), "{wrong}");
        }
    }

    #[test]
    fn bundles_are_read_back_and_others_refused() {
        let mut bundle = Bundle::new(3).unwrap();
        for one in [part(31, At::ThisClaw, 0), part(10, At::Partner, 0), part(82, At::Foot, 14)] {
            bundle = bundle.then(one.unwrap()).unwrap();
        }
        let bytes = bundle.to_bytes();
        assert_eq!(Bundle::from_bytes(&bytes), Some(bundle));
        assert_eq!(bundle.parts().count(), 3);
        for bit in 0..8 * BUNDLE {
            let mut other = bytes;
            other[bit / 8] ^= 1 << (bit % 8);
            assert_ne!(Bundle::from_bytes(&other), Some(bundle), "bit {bit}");
        }
        let mut full = Bundle::new(9).unwrap();
        for _ in 0..MAX_PARTS {
            full = full.then(part(20, At::Foot, 0).unwrap()).unwrap();
        }
        assert_eq!(Bundle::from_bytes(&full.to_bytes()), Some(full));
        assert_eq!(full.then(part(20, At::Foot, 0).unwrap()), None, "an eighth part");
        assert_eq!(Bundle::from_bytes(&Bundle::new(1).unwrap().to_bytes()), None, "no parts");
        assert!(Bundle::new(0).is_none() && Bundle::new(10).is_none());
    }
}
