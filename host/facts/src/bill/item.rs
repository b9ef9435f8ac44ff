//! What can stand on a bill.

/// Something that can have a price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Item {
    /// The journey: once a day on which any cow was in the chute.
    CallOut,
    /// A cow with at least one claw trimmed to form on that day.
    Cow,
    /// A cow that was in the chute and was not trimmed.
    CowSeen,
    /// A block glued on.
    Block,
    /// A block taken off by us.
    BlockOff,
    /// A foot on which a wrap was put.
    Wrap,
}

impl Item {
    /// All of them, in the order of a bill.
    pub const ALL: [Self; 6] =
        [Self::CallOut, Self::Cow, Self::CowSeen, Self::Block, Self::BlockOff, Self::Wrap];

    /// Its name in the price list and in the database.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::CallOut => "call-out",
            Self::Cow => "cow",
            Self::CowSeen => "cow-seen",
            Self::Block => "block",
            Self::BlockOff => "block-off",
            Self::Wrap => "wrap",
        }
    }

    /// The item of a name.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key)
    }
}
