//! Claw dimensions: what a calliper clip can measure, landmark to landmark.

use super::{Code, Row, named};

/// A dimension from the table.
pub type Dimension = Code<DimensionRow>;

/// One dimension. Limits are in millimetres and are proposals based on published values; they warn
/// or hold, and the farm may set others.
#[derive(Debug)]
pub struct DimensionRow {
    /// The digit keyed after SIZE.
    pub code: u8,
    /// English name.
    pub name: &'static str,
    /// From where to where.
    pub landmarks: &'static str,
    /// Outside this range (mm, both ends included) the handheld plays its limit cue.
    pub usual_mm: (u16, u16),
    /// Outside this range (mm, both ends included) the office holds the reading.
    pub possible_mm: (u16, u16),
}

const fn row(
    code: u8,
    name: &'static str,
    landmarks: &'static str,
    usual_mm: (u16, u16),
    possible_mm: (u16, u16),
) -> DimensionRow {
    DimensionRow { code, name, landmarks, usual_mm, possible_mm }
}

impl Row for DimensionRow {
    const WHAT: &'static str = "dimension";
    const TABLE: &'static [Self] = &[
        row(0, "gauge block", "a block of known size, to check the calliper", (0, 150), (0, 300)),
        row(
            named::DORSAL_WALL,
            "dorsal wall length",
            "front wall, from where hard horn starts below the hair to the toe tip",
            (60, 120),
            (30, 200),
        ),
        row(
            named::HEEL_HEIGHT,
            "heel height",
            "ground to the hair and horn border at the heel",
            (15, 70),
            (0, 120),
        ),
        row(3, "claw width", "widest distance across the bearing side", (30, 70), (15, 110)),
        row(4, "claw length", "toe tip to heel along the sole", (90, 170), (50, 250)),
        row(
            named::TOE_HEIGHT,
            "toe height",
            "ground to the top of the dorsal wall",
            (40, 90),
            (10, 150),
        ),
        row(6, "sole thickness", "outer to inner sole surface", (3, 15), (0, 30)),
        row(
            named::REGROWN,
            "horn regrown",
            "new horn over the lesion, thickness or advance",
            (0, 10),
            (0, 30),
        ),
        row(
            named::LESION_LENGTH,
            "lesion length",
            "longest distance across the lesion",
            (0, 60),
            (0, 120),
        ),
        row(
            named::LESION_WIDTH,
            "lesion width",
            "across the lesion, at right angles to its length",
            (0, 60),
            (0, 120),
        ),
    ];

    fn code(&self) -> u8 {
        self.code
    }
}

const _: () = assert!(DimensionRow::TABLE[0].code == 0 && DimensionRow::TABLE[1].code == 1);

impl Dimension {
    /// A check of the calliper.
    pub const GAUGE: Self = Code(&DimensionRow::TABLE[0]);
    /// What a clip measures if nothing else was chosen.
    pub const DORSAL_WALL: Self = Code(&DimensionRow::TABLE[1]);

    /// The gauge block: a check of the calliper, not of a claw.
    #[must_use]
    pub fn is_gauge(self) -> bool {
        self.code == 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_lies_within_possible() {
        for dimension in Dimension::all() {
            let (low, high) = dimension.usual_mm;
            let (least, most) = dimension.possible_mm;
            assert!(least <= low && low < high && high <= most, "{}", dimension.name);
        }
    }

    /// Published means must not be called unusual: dorsal wall 76.8 and 77.1 mm, sole width 52.0
    /// and 42.5 mm (Nuss & Paulus 2006, Vet J 172:284), needed dorsal wall median 83 and 90 mm
    /// (Archer et al. 2015, Vet Rec 177:222).
    #[test]
    fn published_means_are_usual() {
        for (code, mm) in [(1, 76.8), (1, 77.1), (1, 83.0), (1, 90.0), (3, 52.0), (3, 42.5)] {
            let (low, high) = Dimension::from_code(code).unwrap().usual_mm;
            assert!(f64::from(low) <= mm && mm <= f64::from(high), "{code}: {mm}");
        }
    }
}
