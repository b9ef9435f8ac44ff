//! Letters of the ICAR Claw Health Atlas: what a lesion goes out as to other programs.
//!
//! The atlas's own table of letters could not be read here, only publications and programs that use
//! it. So each row says where its letters were read, and an export says so too. Our own letters, on
//! pages and in files, are in [`LesionRow`](super::LesionRow): the same, but where the atlas has none
//! or means more by them.
//!
//! A table of its own and not a column of the lesions, because the handheld has no use for it and
//! little flash.

use super::Lesion;

/// Where letters were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadIn {
    /// Heringstad and others 2018, J Dairy Sci 101:4801-4821 (abstract): a review by the atlas's
    /// authors.
    Review,
    /// The source of an open data platform for dairy genetics, that names its fields by the letters.
    Platform,
    /// Nowhere: set down from memory.
    Memory,
}

impl ReadIn {
    /// One word, as the specification has it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Review => "review",
            Self::Platform => "platform",
            Self::Memory => "memory",
        }
    }
}

/// The atlas's letters for a lesion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AtlasLetters {
    /// The letters.
    pub letters: &'static str,
    /// Where they were read.
    pub read_in: ReadIn,
    /// They mean more than our row: all of white line disease, whose separation at the heel bulb is
    /// one form. What goes out under them says where it is.
    pub wider: bool,
}

impl AtlasLetters {
    /// Whether they were read in anything published.
    #[must_use]
    pub fn is_published(&self) -> bool {
        self.read_in != ReadIn::Memory
    }
}

/// By lesion number, ascending. What is not here has no letters in the atlas.
const ATLAS: &[(u8, &str, ReadIn)] = &[
    (11, "SHD", ReadIn::Memory),
    (12, "SHC", ReadIn::Memory),
    (13, "SU", ReadIn::Review),
    (14, "BU", ReadIn::Memory),
    (15, "TU", ReadIn::Memory),
    (16, "TN", ReadIn::Memory),
    (17, "DS", ReadIn::Memory),
    (18, "TS", ReadIn::Memory),
    (19, "HHE", ReadIn::Review),
    (21, "WLF", ReadIn::Memory),
    (22, "WLA", ReadIn::Memory),
    (23, "WL", ReadIn::Review),
    (31, "DD", ReadIn::Review),
    (32, "ID", ReadIn::Review),
    (33, "IH", ReadIn::Platform),
    (34, "IP", ReadIn::Platform),
    // The platform writes VFH for the vertical one, so HFV is not read.
    (41, "HFV", ReadIn::Memory),
    (42, "HFH", ReadIn::Platform),
    (43, "HFA", ReadIn::Memory),
    (51, "AC", ReadIn::Memory),
    (52, "CC", ReadIn::Memory),
    (53, "SC", ReadIn::Platform),
    (54, "CD", ReadIn::Memory),
    (61, "SW", ReadIn::Platform),
];

/// Letters that are no row's own and are read as one: what version 0.1.0 wrote for the separation
/// at the heel bulb, and what the platform writes for the vertical fissure.
const ALSO: &[(&str, u8)] = &[("WL", 23), ("VFH", 41)];

impl Lesion {
    /// The atlas's letters for it; `None` where the atlas has none.
    #[must_use]
    pub fn atlas(self) -> Option<AtlasLetters> {
        let (_, letters, read_in) = ATLAS.iter().find(|(code, ..)| *code == self.code())?;
        Some(AtlasLetters { letters, read_in: *read_in, wider: *letters != self.letters })
    }

    /// The lesion of these letters, small or capital: its own, or some that it had or has elsewhere.
    #[must_use]
    pub fn from_letters(letters: &str) -> Option<Self> {
        let own = Self::all().find(|one| one.letters.eq_ignore_ascii_case(letters));
        let also = || ALSO.iter().find(|(other, _)| other.eq_ignore_ascii_case(letters));
        own.or_else(|| Self::from_code(also()?.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_our_own_but_where_the_atlas_means_more() {
        let of = |code| Lesion::from_code(code).unwrap();
        for (code, letters, _) in ATLAS {
            let atlas = of(*code).atlas().unwrap();
            assert_eq!(atlas.letters, *letters);
            assert_eq!(atlas.wider, *code == 23, "{letters}");
        }
        for code in [0, 62, 63] {
            assert_eq!(of(code).atlas(), None);
        }
        // White line disease as a whole is no row of ours, so WL is nobody's own letters.
        assert!(Lesion::all().all(|one| one.letters != "WL"));
    }

    #[test]
    fn letters_read_what_they_ever_meant() {
        for lesion in Lesion::all() {
            assert_eq!(Lesion::from_letters(lesion.letters), Some(lesion));
        }
        for (letters, code) in [("WL", 23), ("wl", 23), ("wlb", 23), ("VFH", 41), ("HFV", 41)] {
            assert_eq!(Lesion::from_letters(letters).map(Lesion::code), Some(code), "{letters}");
        }
        assert_eq!(Lesion::from_letters("XX"), None);
    }
}
