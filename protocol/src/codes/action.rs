//! Actions: what was done, how an earlier treatment looks, what is to follow.

use super::{Code, Row, named};

/// An action from the table.
pub type Action = Code<ActionRow>;

/// What kind of thing an action is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ActionKind {
    /// A block glued on.
    BlockOn,
    /// What became of a block.
    BlockSeen,
    /// Wrap or no wrap.
    Dressing,
    /// Horn work.
    Horn,
    /// How a lesion looks at the recheck.
    Healing,
    /// Cleaning or a topical product.
    Topical,
    /// Pain relief given.
    Relief,
    /// Something left to be done.
    Ahead,
    /// Cleanliness between farms.
    Hygiene,
}

/// What an action is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// The chosen claw.
    Claw,
    /// The chosen foot.
    Foot,
    /// The cow: no foot need be chosen.
    Cow,
    /// The trimmer and the tools: neither cow nor foot need be chosen, and it is no cow's.
    Tools,
}

/// One action.
#[derive(Debug)]
pub struct ActionRow {
    /// The two digits keyed after DO.
    pub code: u8,
    /// In words.
    pub name: &'static str,
    /// What kind of thing it is.
    pub kind: ActionKind,
    /// Claw, foot or cow.
    pub about: About,
    /// Whether two digits of days follow.
    pub takes_days: bool,
}

impl ActionRow {
    /// Whether it may also be said of a foot or of the whole cow, and then of each of its claws or
    /// feet of which the day says nothing else.
    #[must_use]
    pub const fn spreads(&self) -> bool {
        matches!(self.code, named::TRIMMED | named::NOT_TRIMMED)
    }

    /// Whether it says that we took a block off, with or without the reason.
    #[must_use]
    pub const fn takes_block_off(&self) -> bool {
        matches!(self.code, named::BLOCK_OFF | named::BLOCK_OFF_WORN..=named::BLOCK_OFF_DONE)
    }
}

const fn row(code: u8, kind: ActionKind, about: About, name: &'static str) -> ActionRow {
    ActionRow { code, name, kind, about, takes_days: false }
}

const fn with_days(row: ActionRow) -> ActionRow {
    ActionRow { takes_days: true, ..row }
}

use About::{Claw, Cow, Foot, Tools};
use ActionKind::{Ahead, BlockOn, BlockSeen, Dressing, Healing, Horn, Hygiene, Relief, Topical};

impl Row for ActionRow {
    const WHAT: &'static str = "action";
    const TABLE: &'static [Self] = &[
        row(named::BLOCK_USUAL, BlockOn, Claw, "block glued on, the usual way"),
        row(11, BlockOn, Claw, "block glued on, trial way 1"),
        row(12, BlockOn, Claw, "block glued on, trial way 2"),
        row(13, BlockOn, Claw, "block glued on, trial way 3"),
        row(14, BlockOn, Claw, "block glued on, trial way 4"),
        row(15, BlockOn, Claw, "block glued on, trial way 5"),
        row(16, BlockOn, Claw, "block glued on, trial way 6"),
        row(17, BlockOn, Claw, "block glued on, trial way 7"),
        row(18, BlockOn, Claw, "block glued on, trial way 8"),
        row(19, BlockOn, Claw, "block glued on, trial way 9"),
        row(named::LEFT_OPEN, Dressing, Foot, "left open"),
        row(named::WRAP_ON, Dressing, Foot, "wrap put on"),
        row(named::WRAP_OFF, Dressing, Foot, "wrap taken off"),
        row(named::TRIMMED, Horn, Claw, "trimmed to form"),
        row(named::HORN_OPENED, Horn, Claw, "loose horn opened and removed"),
        row(named::CLAW_LOWERED, Horn, Claw, "diseased claw lowered"),
        row(named::NOT_TRIMMED, Horn, Foot, "looked at, not trimmed"),
        row(named::BLOCK_STILL_ON, BlockSeen, Claw, "block still on"),
        row(named::BLOCK_OFF, BlockSeen, Claw, "block taken off by us"),
        row(named::BLOCK_LOST, BlockSeen, Claw, "block found lost"),
        row(named::BLOCK_OFF_WORN, BlockSeen, Claw, "block taken off: worn down"),
        row(named::BLOCK_OFF_LOOSE, BlockSeen, Claw, "block taken off: loose"),
        row(named::BLOCK_OFF_TWISTED, BlockSeen, Claw, "block taken off: twisted"),
        row(named::BLOCK_OFF_SORE, BlockSeen, Claw, "block taken off: claw sore"),
        row(named::BLOCK_OFF_DONE, BlockSeen, Claw, "block taken off: its work is done"),
        row(named::HEALED, Healing, Claw, "healed, sound horn over all of it"),
        row(named::BETTER, Healing, Claw, "better"),
        row(named::UNCHANGED, Healing, Claw, "unchanged"),
        row(named::WORSE, Healing, Claw, "worse"),
        row(named::CLEANED, Topical, Foot, "cleaned"),
        row(61, Topical, Foot, "topical product 1"),
        row(62, Topical, Foot, "topical product 2"),
        row(63, Topical, Foot, "topical product 3"),
        row(64, Topical, Foot, "topical product 4"),
        row(65, Topical, Foot, "topical product 5"),
        row(66, Topical, Foot, "topical product 6"),
        row(67, Topical, Foot, "topical product 7"),
        row(68, Topical, Foot, "topical product 8"),
        row(69, Topical, Foot, "topical product 9"),
        row(70, Relief, Cow, "pain relief given"),
        row(named::VET_TO_SEE, Ahead, Cow, "vet to see"),
        row(named::VET_NOW, Ahead, Cow, "vet now"),
        with_days(row(named::SEE_AGAIN, Ahead, Cow, "see again")),
        row(named::VET_HAS_SEEN, Ahead, Cow, "vet has seen her"),
        row(named::LOOK_IN_OFFICE, Ahead, Cow, "look at this cow in the office"),
        row(named::WASHED, Hygiene, Tools, "washed, gloves and knives changed"),
    ];

    fn code(&self) -> u8 {
        self.code
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The tens digit gives the kind: a gloved thumb learns tens, not rows. Cleanliness stands
    /// beside what is for the office, in the last ten.
    #[test]
    fn the_tens_digit_says_the_kind() {
        for action in Action::all().filter(|action| action.kind != Hygiene) {
            let kind = match action.code / 10 {
                1 => BlockOn,
                2 => Dressing,
                3 => Horn,
                4 => BlockSeen,
                5 => Healing,
                6 => Topical,
                7 => Relief,
                _ => Ahead,
            };
            assert_eq!(action.kind, kind, "{}", action.name);
        }
    }

    /// Each reason names what it does before it names why.
    #[test]
    fn every_reason_takes_a_block_off() {
        for action in Action::all() {
            assert_eq!(
                action.takes_block_off(),
                action.name.starts_with("block taken off"),
                "{}",
                action.name
            );
        }
    }
}
