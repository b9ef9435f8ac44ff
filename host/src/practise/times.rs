//! What the timed day took: presses and seconds, each cow and all.

use super::day::Kind;

/// Seconds that pen and paper take for a cow: common practice, no source.
pub const NOTEBOOK_S: (u64, u64) = (3, 12);

/// One cow of the day that was begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CowTime {
    /// What was the matter with her.
    pub kind: Kind,
    /// Keys and clips.
    pub presses: u32,
    /// The shortest way to say it.
    pub shortest: usize,
    /// From the first key to the last word in flash, milliseconds; `None` where it is not all said.
    pub took_ms: Option<u64>,
    /// How often something went wrong.
    pub slips: u32,
    /// Whether the keys were shown.
    pub shown: bool,
}

/// The day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayTimes {
    /// Cows of which all was said. All figures are of these.
    pub done: usize,
    /// Keys and clips.
    pub presses: u32,
    /// The shortest way to say it all.
    pub shortest: usize,
    /// Milliseconds.
    pub took_ms: u64,
    /// How often something went wrong.
    pub slips: u32,
    /// The quickest cow, milliseconds.
    pub quickest_ms: u64,
    /// The slowest.
    pub slowest_ms: u64,
    /// Cows that took less than the notebook's least, its time, and more.
    pub against_notebook: [usize; 3],
    /// Presses and milliseconds of a day of 80 cows in the page's shares, each as the one that was
    /// keyed here; `None` unless all ten kinds were.
    pub eighty: Option<(u32, u64)>,
}

impl DayTimes {
    /// `None` where no cow is done.
    #[must_use]
    pub fn of(cows: &[CowTime]) -> Option<Self> {
        let done: Vec<(&CowTime, u64)> =
            cows.iter().filter_map(|cow| cow.took_ms.map(|ms| (cow, ms))).collect();
        let (quickest_ms, slowest_ms) =
            (done.iter().map(|(_, ms)| *ms).min()?, done.iter().map(|(_, ms)| *ms).max()?);
        let mut against_notebook = [0; 3];
        for (_, ms) in &done {
            let (least, most) = (NOTEBOOK_S.0 * 1000, NOTEBOOK_S.1 * 1000);
            against_notebook[if *ms < least {
                0
            } else if *ms <= most {
                1
            } else {
                2
            }] += 1;
        }
        let eighty = Kind::ALL.into_iter().try_fold((0, 0), |(presses, took), kind| {
            let (cow, ms) = done.iter().find(|(cow, _)| cow.kind == kind)?;
            let many = kind.of_eighty();
            Some((presses + many * cow.presses, took + u64::from(many) * ms))
        });
        Some(Self {
            done: done.len(),
            presses: done.iter().map(|(cow, _)| cow.presses).sum(),
            shortest: done.iter().map(|(cow, _)| cow.shortest).sum(),
            took_ms: done.iter().map(|(_, ms)| ms).sum(),
            slips: done.iter().map(|(cow, _)| cow.slips).sum(),
            quickest_ms,
            slowest_ms,
            against_notebook,
            eighty,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_cows_that_are_done_count() {
        let cow = |kind, presses, took_ms, slips| CowTime {
            kind,
            presses,
            shortest: 10,
            took_ms,
            slips,
            shown: false,
        };
        let cows = [
            cow(Kind::Four, 10, Some(2_999), 0),
            cow(Kind::Ulcer, 20, Some(12_000), 1),
            cow(Kind::Walls, 18, Some(12_001), 0),
            cow(Kind::Sound, 5, None, 3),
        ];
        let day = DayTimes::of(&cows).unwrap();
        assert_eq!((day.done, day.presses, day.shortest, day.slips), (3, 48, 30, 1));
        assert_eq!((day.took_ms, day.quickest_ms, day.slowest_ms), (27_000, 2_999, 12_001));
        assert_eq!((day.against_notebook, day.eighty), ([1, 1, 1], None));
        assert_eq!(DayTimes::of(&cows[3..]), None);
        // 80 cows of one second and ten presses each.
        let all: Vec<CowTime> =
            Kind::ALL.into_iter().map(|kind| cow(kind, 10, Some(1000), 0)).collect();
        assert_eq!(DayTimes::of(&all).unwrap().eighty, Some((800, 80_000)));
    }
}
