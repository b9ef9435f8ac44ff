//! Which cows were examined, and the class of a cow at a visit.

use hornrule_facts::{Day, Fact, What};
use hornrule_protocol::codes::ActionKind;
use hornrule_protocol::{Claw, Place, Side};

/// The class of a cow who was in the chute on a day: the first that fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// A case of hers is new on that day.
    New,
    /// A case of hers found before is open at the end of that day.
    Open,
    /// She was examined, and has neither.
    Sound,
    /// She was only scored, or only keyed.
    NotExamined,
}

/// What of a cow was examined on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Examined {
    /// When.
    pub day: Day,
    /// A bit a claw.
    claws: u8,
}

impl Examined {
    /// Whether a claw was.
    #[must_use]
    pub const fn has(&self, claw: Claw) -> bool {
        self.claws & bit(claw) != 0
    }

    /// The claws that were.
    pub fn claws(&self) -> impl Iterator<Item = Claw> + use<> {
        let one = *self;
        Claw::all().filter(move |claw| one.has(*claw))
    }
}

const fn bit(claw: Claw) -> u8 {
    1 << hornrule_protocol::plan::place(claw)
}

/// Whether a fact means that somebody looked at a foot. "Vet", "see again", pain relief and "look at
/// this cow in the office" are for later; a score is taken from afar, and a length judges nothing.
fn examines(fact: &Fact) -> bool {
    match fact.what {
        What::Finding(_) => true,
        What::Action(done) => match done.action.kind {
            ActionKind::BlockOn
            | ActionKind::BlockSeen
            | ActionKind::Dressing
            | ActionKind::Horn
            | ActionKind::Healing
            | ActionKind::Topical => true,
            ActionKind::Relief | ActionKind::Ahead | ActionKind::Hygiene => false,
        },
        What::Stay { .. } | What::Reading(_) | What::Score { .. } => false,
    }
}

/// Takes a day's facts.
pub(super) fn take<'a>(all: &mut Vec<Examined>, day: Day, facts: impl Iterator<Item = &'a Fact>) {
    let mut today: Option<Examined> = None;
    for fact in facts.filter(|fact| examines(fact)) {
        let today = today.get_or_insert(Examined { day, claws: 0 });
        today.claws |= match fact.place {
            Place::Cow => 0,
            Place::Claw(claw) => bit(claw),
            Place::Foot(foot) => {
                bit(Claw { foot, side: Side::Lateral }) | bit(Claw { foot, side: Side::Medial })
            }
        };
    }
    all.extend(today);
}
