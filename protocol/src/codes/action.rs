//! Actions: what was done, how an earlier treatment looks, what is to follow.

use super::{Code, Row};

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

const fn row(code: u8, kind: ActionKind, about: About, name: &'static str) -> ActionRow {
    ActionRow { code, name, kind, about, takes_days: false }
}

const fn with_days(row: ActionRow) -> ActionRow {
    ActionRow { takes_days: true, ..row }
}

use About::{Claw, Cow, Foot};
use ActionKind::{Ahead, BlockOn, BlockSeen, Dressing, Healing, Horn, Relief, Topical};

impl Row for ActionRow {
    const WHAT: &'static str = "action";
    const TABLE: &'static [Self] = &[
        row(10, BlockOn, Claw, "block glued on, the usual way"),
        row(11, BlockOn, Claw, "block glued on, trial way 1"),
        row(12, BlockOn, Claw, "block glued on, trial way 2"),
        row(13, BlockOn, Claw, "block glued on, trial way 3"),
        row(14, BlockOn, Claw, "block glued on, trial way 4"),
        row(15, BlockOn, Claw, "block glued on, trial way 5"),
        row(16, BlockOn, Claw, "block glued on, trial way 6"),
        row(17, BlockOn, Claw, "block glued on, trial way 7"),
        row(18, BlockOn, Claw, "block glued on, trial way 8"),
        row(19, BlockOn, Claw, "block glued on, trial way 9"),
        row(20, Dressing, Foot, "left open"),
        row(21, Dressing, Foot, "wrap put on"),
        row(22, Dressing, Foot, "wrap taken off"),
        row(30, Horn, Claw, "trimmed to form"),
        row(31, Horn, Claw, "loose horn opened and removed"),
        row(32, Horn, Claw, "diseased claw lowered"),
        row(33, Horn, Foot, "looked at, not trimmed"),
        row(40, BlockSeen, Claw, "block still on"),
        row(41, BlockSeen, Claw, "block taken off by us"),
        row(42, BlockSeen, Claw, "block found lost"),
        row(50, Healing, Claw, "healed, sound horn over all of it"),
        row(51, Healing, Claw, "better"),
        row(52, Healing, Claw, "unchanged"),
        row(53, Healing, Claw, "worse"),
        row(60, Topical, Foot, "cleaned"),
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
        row(80, Ahead, Cow, "vet to see"),
        row(81, Ahead, Cow, "vet now"),
        with_days(row(82, Ahead, Cow, "see again")),
        row(90, Ahead, Cow, "look at this cow in the office"),
    ];

    fn code(&self) -> u8 {
        self.code
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The tens digit gives the kind: a gloved thumb learns tens, not rows.
    #[test]
    fn the_tens_digit_says_the_kind() {
        for action in Action::all() {
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
}
