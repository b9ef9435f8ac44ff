//! What a visit tells beside lesions: signs, and whether somebody washed before it.

use hornrule_casebook::Casebook;
use hornrule_facts::Day;
use hornrule_herd::Arrived;
use hornrule_protocol::{DeviceId, Lesion};

/// One sign of the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignLine {
    /// Which.
    pub sign: Lesion,
    /// Cows of which it was keyed.
    pub cows: usize,
    /// Claws or feet of which it was keyed.
    pub places: usize,
}

/// A handheld that was at another farm before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clean {
    /// Which.
    pub device: DeviceId,
    /// When washing was keyed last between the two farms, UTC milliseconds; `None`: not keyed, which
    /// is not the same as not done.
    pub washed_ms: Option<i64>,
}

impl From<Arrived> for Clean {
    fn from(Arrived { device, washed_ms }: Arrived) -> Self {
        Self { device, washed_ms }
    }
}

/// Gathers the signs of a day, cow by cow.
#[derive(Default)]
pub(super) struct Signs(Vec<SignLine>);

impl Signs {
    /// One cow more. Her casebook tells a sign of one day and place once.
    pub(super) fn take(&mut self, book: &Casebook, day: Day) {
        let mut hers: Vec<u8> = Vec::new();
        for one in book.signs.iter().filter(|one| one.day == day) {
            let at = self.0.iter().position(|line| line.sign == one.sign).unwrap_or_else(|| {
                self.0.push(SignLine { sign: one.sign, cows: 0, places: 0 });
                self.0.len() - 1
            });
            let line = &mut self.0[at];
            line.places += 1;
            if !hers.contains(&one.sign.code()) {
                hers.push(one.sign.code());
                line.cows += 1;
            }
        }
    }

    /// The lines, the most frequent first, then by number.
    pub(super) fn lines(mut self) -> Vec<SignLine> {
        let order = |one: &SignLine| (std::cmp::Reverse((one.cows, one.places)), one.sign.code());
        self.0.sort_by_key(order);
        self.0
    }
}
