//! Days until each thing is due: the trade's rules of thumb, for the office to change.
//!
//! ```toml
//! [due]                      # in hornrule.toml
//! recheck = 14               # days after a lesion was treated
//! block-off = 28             # days after the block was glued on
//! block-off-latest = 42      # the end of its window
//! ```

/// No rule gives more days than these: ten years.
pub const MOST: u16 = 3650;
/// The heading of these numbers in the file.
pub const HEADING: &str = "due";
/// Most of these are rules of thumb.
const NO_SOURCE: &str = "common practice, no source";
/// Read as stored pages: a block is looked at at about four weeks, and off after four to six.
const BLOCKS: &str = "extension.umn.edu, lameness; open.lib.umn.edu, large animal surgery";

/// The days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DueRules {
    /// From treating a lesion to seeing the foot again; also where it was not healed at a recheck.
    pub recheck: u16,
    /// From finding active digital dermatitis to seeing the foot again.
    pub dermatitis: u16,
    /// From finding phlegmon to seeing the foot again.
    pub phlegmon: u16,
    /// From gluing a block on to taking it off.
    pub block_off: u16,
    /// From putting a wrap on to taking it off.
    pub wrap_off: u16,
    /// From trimming to form to the next trim.
    pub trim: u16,
    /// From "vet now" to asking what became of it.
    pub vet_now: u16,
    /// From "vet to see" to asking what became of it.
    pub vet_to_see: u16,
    /// From "look at this cow in the office" to looking.
    pub office: u16,
    /// Days before and after its day on which a recheck is as good as on it.
    pub recheck_window: u16,
    /// From gluing a block on to the last day of the window to take it off.
    pub block_off_latest: u16,
    /// From putting a wrap on to the last day of the window to take it off.
    pub wrap_off_latest: u16,
}

impl Default for DueRules {
    fn default() -> Self {
        Self {
            recheck: 14,
            dermatitis: 7,
            phlegmon: 3,
            block_off: 28,
            wrap_off: 3,
            trim: 182,
            vet_now: 1,
            vet_to_see: 7,
            office: 1,
            recheck_window: 3,
            block_off_latest: 42,
            wrap_off_latest: 5,
        }
    }
}

/// One of them, as the file names it.
#[derive(Clone, Copy)]
pub struct DueRule {
    /// Its name below the heading.
    pub key: &'static str,
    /// From when to what.
    pub counts: &'static str,
    /// Where its default comes from.
    pub source: &'static str,
    at: fn(&mut DueRules) -> &mut u16,
}

impl DueRule {
    /// Its days.
    #[must_use]
    pub fn days(&self, rules: &DueRules) -> u16 {
        *(self.at)(&mut { *rules })
    }

    /// Sets its days.
    pub fn set(&self, rules: &mut DueRules, days: u16) {
        *(self.at)(rules) = days;
    }
}

const fn of(key: &'static str, counts: &'static str, at: fn(&mut DueRules) -> &mut u16) -> DueRule {
    DueRule { key, counts, source: NO_SOURCE, at }
}

impl DueRule {
    const fn from(self, source: &'static str) -> Self {
        Self { source, ..self }
    }
}

/// Every rule, in the order they are listed.
pub const DUE_RULES: &[DueRule] = &[
    of("recheck", "from treating a lesion, or not finding it healed, to seeing it again", |r| {
        &mut r.recheck
    }),
    of("dermatitis", "from finding active digital dermatitis to seeing it again", |r| {
        &mut r.dermatitis
    }),
    of("phlegmon", "from finding phlegmon to seeing it again; the vet if not better", |r| {
        &mut r.phlegmon
    }),
    of("block-off", "from gluing a block on to taking it off", |r| &mut r.block_off).from(BLOCKS),
    of(
        "block-off-latest",
        "from gluing a block on to the last day of its window; after it the block does harm",
        |r| &mut r.block_off_latest,
    )
    .from(BLOCKS),
    of("wrap-off", "from putting a wrap on to taking it off", |r| &mut r.wrap_off),
    of(
        "wrap-off-latest",
        "from putting a wrap on to the last day of its window; after it the wrap does harm",
        |r| &mut r.wrap_off_latest,
    ),
    of("trim", "from trimming to form to the next trim", |r| &mut r.trim),
    of("vet-now", "from `vet now` to asking what became of it", |r| &mut r.vet_now),
    of("vet-to-see", "from `vet to see` to asking what became of it", |r| &mut r.vet_to_see),
    of("office", "from `look at this cow in the office` to looking", |r| &mut r.office),
    of(
        "recheck-window",
        "before or after its day a recheck counts as kept, so that a farm's are one visit; none \
         after it for phlegmon and active dermatitis",
        |r| &mut r.recheck_window,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_is_a_number_of_its_own() {
        let mut rules = DueRules::default();
        for (days, rule) in (1..).zip(DUE_RULES) {
            rule.set(&mut rules, days);
        }
        for (days, rule) in (1..).zip(DUE_RULES) {
            assert_eq!(rule.days(&rules), days, "{} is shared", rule.key);
            let same = DUE_RULES.iter().filter(|other| other.key == rule.key).count();
            assert_eq!(same, 1, "{}", rule.key);
        }
    }
}
