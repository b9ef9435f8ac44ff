//! What every report says beside its numbers, in plain words.

/// A caution: a heading and what it says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub heading: &'static str,
    /// What it says.
    pub text: &'static str,
}

/// All of them, the most urgent first. The signs follow published advice on deep infection and
/// early decision; knives and blades were shown to carry the germs of digital dermatitis.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        heading: "Call the vet now",
        text: "for a cow that is down or has fever; for swelling above the coronet on one side; \
               for pus from a joint or tendon sheath; for bone in sight, a dying toe or a \
               suspected fracture; and for severe pain that a block does not ease. Waiting makes her \
               suffer.",
    },
    Caution {
        heading: "Medicines",
        text: "follow the label and the vet who prescribes them, for what is given, how much, and \
               how long milk and meat are withheld. This report says none of that. Local rules say \
               who may treat.",
    },
    Caution {
        heading: "Before the next farm",
        text: "wash and disinfect chute, knives, grinder discs, gloves, and the handheld and \
               calliper too. Trim clean animals first. Feet that look healthy can carry infection.",
    },
    Caution {
        heading: "Knife, block and grinder",
        text: "are the trimmer's decision. Stop at blood or live tissue. Secure the limb, keep the \
               guard on, protect eyes and ears, and never reach for the handheld while the disc \
               spins.",
    },
    Caution {
        heading: "Numbers support judgement",
        text: "and do not replace it. They count what was keyed, on the cows that were in the \
               chute; cows that were not brought are not in them.",
    },
];
