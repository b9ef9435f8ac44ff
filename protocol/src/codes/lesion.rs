//! Lesions: number keyed, letters, usual zone.

use super::{Code, Row, named};

/// A lesion from the table.
pub type Lesion = Code<LesionRow>;

/// Whether a lesion sits in one claw's horn or in the foot's skin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seat {
    /// In the horn of one claw.
    Claw,
    /// In the skin of the foot.
    Foot,
}

/// What a row says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Says {
    /// Looked at, and nothing was wrong.
    Sound,
    /// A lesion: a case from now until it has healed.
    Lesion,
    /// What was seen or felt there that day. It is no case, and nothing is due by it.
    Sign,
}

/// What the digit after the lesion means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grades {
    /// Nothing: `FIND 0 0` and others without a grade end after their code.
    None,
    /// 1 slight, 2 moderate, 3 severe. Our own scale: the open standard leaves severity open.
    Severity,
    /// M stages of digital dermatitis (Döpfer 1997, Berry 2012): 1 to 4, 5 for M4.1, 0 healed.
    Stage,
}

impl Grades {
    /// Whether a keyed digit is on this scale.
    #[must_use]
    pub const fn has(self, digit: u8) -> bool {
        match self {
            Self::None => digit == 0,
            Self::Severity => digit >= 1 && digit <= 3,
            Self::Stage => digit <= 5,
        }
    }

    /// The digit in words; `None` off the scale, and for lesions without a grade.
    #[must_use]
    pub const fn word(self, digit: u8) -> Option<&'static str> {
        Some(match (self, digit) {
            (Self::Severity, 1) => "slight",
            (Self::Severity, 2) => "moderate",
            (Self::Severity, 3) => "severe",
            (Self::Stage, 0) => "healed",
            (Self::Stage, 1) => "M1",
            (Self::Stage, 2) => "M2",
            (Self::Stage, 3) => "M3",
            (Self::Stage, 4) => "M4",
            (Self::Stage, 5) => "M4.1",
            (Self::None | Self::Severity | Self::Stage, _) => return None,
        })
    }
}

/// One lesion.
#[derive(Debug)]
pub struct LesionRow {
    /// The two digits keyed after FIND.
    pub code: u8,
    /// Our letters, as pages and files have them: the ICAR Claw Health Atlas's where it has any
    /// that mean the same. [`Lesion::atlas`] has the atlas's own, and where they were read.
    pub letters: &'static str,
    /// English name.
    pub name: &'static str,
    /// Claw or foot.
    pub seat: Seat,
    /// Zones where it occurs, the usual one first; empty for "no zone". Only ever leads to a
    /// warning.
    pub zones: &'static [u8],
    /// What the digit after it means.
    pub grades: Grades,
    /// Sound, a lesion, or a sign.
    pub says: Says,
}

const fn row(
    code: u8,
    letters: &'static str,
    name: &'static str,
    seat: Seat,
    zones: &'static [u8],
    grades: Grades,
) -> LesionRow {
    LesionRow { code, letters, name, seat, zones, grades, says: Says::Lesion }
}

/// A sign: letters of our own, because the standard has none; no zone and no grade, so that it is
/// three presses.
const fn sign(code: u8, letters: &'static str, name: &'static str, seat: Seat) -> LesionRow {
    LesionRow { says: Says::Sign, ..row(code, letters, name, seat, &[], Grades::None) }
}

const fn sound(row: LesionRow) -> LesionRow {
    LesionRow { says: Says::Sound, ..row }
}

use Grades::{Severity, Stage};
use Seat::{Claw, Foot};

impl Row for LesionRow {
    const WHAT: &'static str = "lesion";
    const TABLE: &'static [Self] = &[
        sound(row(named::SOUND, "OK", "looked at, sound", Claw, &[], Grades::None)),
        row(11, "SHD", "sole haemorrhage, diffused", Claw, &[5, 4, 6], Severity),
        row(12, "SHC", "sole haemorrhage, circumscribed", Claw, &[4, 5, 6], Severity),
        row(named::SOLE_ULCER, "SU", "sole ulcer", Claw, &[4], Severity),
        row(named::BULB_ULCER, "BU", "bulb ulcer", Claw, &[6], Severity),
        row(named::TOE_ULCER, "TU", "toe ulcer", Claw, &[1, 5], Severity),
        row(named::TOE_NECROSIS, "TN", "toe necrosis", Claw, &[1, 5], Severity),
        row(17, "DS", "double sole", Claw, &[5, 4, 6], Severity),
        row(18, "TS", "thin sole", Claw, &[5, 4], Severity),
        row(19, "HHE", "heel horn erosion", Claw, &[6], Severity),
        row(21, "WLF", "white line fissure", Claw, &[3, 2, 1], Severity),
        row(named::WHITE_LINE_ABSCESS, "WLA", "white line abscess", Claw, &[3, 2, 1], Severity),
        row(23, "WLB", "white line separation at the heel bulb", Claw, &[3], Severity),
        row(named::DIGITAL_DERMATITIS, "DD", "digital dermatitis", Foot, &[10, 9, 0], Stage),
        row(32, "ID", "interdigital or superficial dermatitis", Foot, &[0, 10, 9], Severity),
        row(33, "IH", "interdigital hyperplasia", Foot, &[0, 10], Severity),
        row(named::PHLEGMON, "IP", "interdigital phlegmon", Foot, &[9, 0], Severity),
        row(41, "HFV", "vertical horn fissure", Claw, &[7, 8], Severity),
        row(42, "HFH", "horizontal horn fissure", Claw, &[7, 8], Severity),
        row(43, "HFA", "axial horn fissure", Claw, &[11, 12], Severity),
        row(51, "AC", "asymmetric claws", Foot, &[], Severity),
        row(52, "CC", "corkscrew claw", Claw, &[], Severity),
        row(53, "SC", "scissor claws", Foot, &[], Severity),
        row(54, "CD", "concave dorsal wall", Claw, &[7], Severity),
        sign(55, "OCH", "outer claw high", Foot),
        sign(56, "WTU", "wall turned under", Claw),
        sign(57, "ROT", "claw rotated", Claw),
        row(named::SWELLING, "SW", "swelling of coronet or bulb", Foot, &[9], Severity),
        // No letters in the atlas. No grade: whatever it is, it is the vet's.
        row(
            named::SWELLING_OF_ONE_CLAW,
            "SWC",
            "swelling above one claw only",
            Claw,
            &[9],
            Grades::None,
        ),
        row(named::BONE_OR_JOINT, "BJ", "bone or joint in sight", Claw, &[], Grades::None),
        sign(named::AMPUTATED, "AMP", "digit amputated", Claw),
        sign(named::PAIN, "PAIN", "pain when cut or pressed", Claw),
        sign(named::CORIUM_EXPOSED, "COR", "corium exposed", Claw),
        sign(73, "EDGE", "edges clean", Claw),
        sign(74, "GIVES", "sole gives to the thumb", Claw),
        sign(75, "FB", "foreign body", Claw),
        // Of the foot, because the claw in hand has the lesion and the block is on its partner.
        sign(named::CLAW_COLD, "COLD", "claw cold when the block was glued", Foot),
        sign(named::CLAW_WET, "WET", "claw wet when the block was glued", Foot),
    ];

    fn code(&self) -> u8 {
        self.code
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::claw::Zone;

    /// Zones by lesion as published by the lameness committee (chart and brochure text): sole
    /// ulcer 4, toe ulcer 1, thin sole 4 and 5, white line 1 to 3 with 3 typical, vertical fissure
    /// 7 and 8, heel erosion 6, phlegmon 9, digital dermatitis 9 and 10.
    #[test]
    fn published_zones_are_among_the_rows() {
        let published: &[(u8, &[u8])] = &[
            (11, &[4, 5, 6]),
            (12, &[4, 5, 6]),
            (13, &[4]),
            (15, &[1]),
            (18, &[4, 5]),
            (21, &[1, 2, 3]),
            (22, &[1, 2, 3]),
            (41, &[7, 8]),
            (19, &[6]),
            (34, &[9]),
            (31, &[9, 10]),
        ];
        for (code, zones) in published {
            let lesion = Lesion::from_code(*code).unwrap();
            for zone in *zones {
                assert!(lesion.zones.contains(zone), "{} zone {zone}", lesion.letters);
            }
        }
        assert_eq!(Lesion::from_code(22).unwrap().zones.first(), Some(&3));
    }

    #[test]
    fn zones_are_on_the_map_and_letters_are_unique() {
        for lesion in Lesion::all() {
            assert!(lesion.zones.iter().all(|z| Zone::new(*z).is_some()), "{}", lesion.name);
            let same = Lesion::all().filter(|other| other.letters == lesion.letters).count();
            assert_eq!(same, 1, "{}", lesion.letters);
        }
    }

    #[test]
    fn grades_know_their_digits() {
        let digits = |grades: Grades| (0..10u8).filter(|d| grades.has(*d)).count();
        assert_eq!(digits(Grades::Severity), 3);
        // M0, M1, M2, M3, M4, M4.1.
        assert_eq!(digits(Grades::Stage), 6);
        for digit in 0..10 {
            for grades in [Grades::Severity, Grades::Stage] {
                assert_eq!(grades.has(digit), grades.word(digit).is_some());
            }
        }
    }
}
