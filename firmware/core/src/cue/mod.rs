//! Cues: the handheld's answers, as values.
//!
//! ```text
//! Cue --signal--> family, count --steps--> [ tone or none, light, buzz, ms ] [ ... ] --> beeper, light, motor
//! ```
//!
//! Eight families are learned; what is behind one is told as a count when asked. `CUES.md` in this
//! crate's folder has the table, how to ask, and what was dropped. Distinguished by rhythm first and
//! pitch second: hearing loss is common in the trade, and ear defenders are worn. Tones are between
//! 800 and 1,500 Hz, where ears and muffs let most through (figures from memory of the danger-signal
//! standard, ISO 7731).

mod family;
mod signal;

pub use family::{Family, Light};
pub use signal::{Signal, Step, Steps};

/// When a cue's count is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Count {
    /// It has none: the family says all.
    Untold,
    /// When the trimmer asks.
    Asked(u8),
    /// Whenever the cue sounds: it is itself an answer.
    AtOnce(u8),
}

/// The table: what each cue is called, its family, its count and what it tells the trimmer in a few
/// words. Rows are added at the end: words in other languages go by their place.
macro_rules! cues {
    ($($(#[$doc:meta])+ $cue:ident: $family:ident, $count:expr, $meaning:literal;)+) => {
        /// A signal to be heard, seen and felt.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Cue {
            $($(#[$doc])+ $cue,)+
        }

        impl Cue {
            /// Every cue, for tables and tests.
            pub const ALL: [Self; [$(stringify!($cue)),+].len()] = [$(Self::$cue),+];

            /// What it says at once.
            #[must_use]
            pub const fn family(self) -> Family {
                match self {
                    $(Self::$cue => Family::$family,)+
                }
            }

            /// What it says when asked.
            #[must_use]
            pub const fn count(self) -> Count {
                match self {
                    $(Self::$cue => $count,)+
                }
            }

            /// What it tells the trimmer, in a few words.
            #[must_use]
            pub const fn meaning(self) -> &'static str {
                match self {
                    $(Self::$cue => $meaning,)+
                }
            }
        }
    };
}

use Count::{Asked, AtOnce, Untold};

cues! {
    /// The handheld has just started: whatever was in hand is forgotten.
    Ready: LookOut, Asked(41), "just started: no cow is in hand";
    /// A key was taken; the sentence continues.
    KeyTaken: Taken, Untold, "key taken; go on";
    /// The sentence is in flash.
    Committed: InFlash, Untold, "in flash";
    /// The last sentence was taken back, in flash.
    Undone: InFlash, Untold, "the last sentence is taken back";
    /// An unfinished sentence was dropped.
    Dropped: NotDone, Asked(4), "the half-said sentence is dropped";
    /// Not a sentence, or a tag that cannot be read. Nothing was stored.
    Refused: NotDone, Asked(1), "no such sentence; say it again";
    /// The outer claw of the foot is chosen.
    Lateral: Taken, Untold, "outer claw chosen";
    /// The inner claw of the foot is chosen.
    Medial: Taken, Untold, "inner claw chosen";
    /// The cow is on the list; nothing is due.
    CowKnown: InFlash, Untold, "cow on the list, nothing due";
    /// Something is due on this cow.
    CowDue: Due, Untold, "something is due on this cow";
    /// The claw where work starts is chosen, on a foot that is due.
    FootDue: Due, Untold, "this foot is due (its first claw chosen)";
    /// The cow is not on the list. She is stored anyway.
    CowUnknown: LookOut, Asked(11), "cow not on the list; stored all the same";
    /// The length is in flash and shorter than usual.
    TooShort: LookOut, Asked(21), "length shorter than usual";
    /// The length is in flash and longer than usual.
    TooLong: LookOut, Asked(22), "length longer than usual";
    /// The length is in flash, but no cow or claw was chosen: the office will ask.
    Unplaced: LookOut, Asked(23), "length without a cow or claw; the office will ask";
    /// The calliper is silent or sends nonsense. No length was stored.
    CalliperFault: NotDone, Asked(5), "calliper silent or speaking nonsense; no length stored";
    /// A key is stuck or was held down at start.
    KeyStuck: LookOut, Asked(42), "a key is stuck";
    /// The log is nearly full.
    LogNearlyFull: LookOut, Asked(43), "room for one record in ten; pull soon";
    /// The log is full: nothing was stored.
    LogFull: NotDone, Asked(8), "full: nothing was stored";
    /// The flash cannot be used: nothing was stored.
    LogUnusable: NotDone, Asked(9), "flash cannot be used: nothing was stored";
    /// The battery is low.
    BatteryLow: LookOut, Asked(44), "battery low";
    /// The clock has not been set since this boot.
    ClockUnknown: LookOut, Asked(45), "nobody has set the clock";
    /// The office is pulling records.
    Pulling: Taken, Untold, "the office is pulling";
    /// The office has everything.
    PullDone: Taken, Untold, "the office has everything";
    /// The cow is for the vet.
    Vet: Vet, Untold, "this cow is for the vet";
    /// The cow must not be trimmed.
    DoNotTrim: DoNotTrim, Untold, "do not trim this cow";
    /// No farm was named, or the plan does not have it: numbers cannot be looked up.
    FarmUnknown: LookOut, Asked(12), "which farm? COW 0 and its digit, COW";
    /// The gauge block read correctly.
    GaugePassed: Calliper, Untold, "gauge block read right";
    /// The gauge block read wrong: clean the jaws, zero, and check again.
    GaugeFailed: LookOut, Asked(24), "gauge block read wrongly: clean, zero, check again";
    /// The next clip is the dorsal wall length.
    Next1: Calliper, AtOnce(1), "next clip: 1, dorsal wall length";
    /// The next clip is the heel height.
    Next2: Calliper, AtOnce(2), "next clip: 2, heel height";
    /// The next clip is the claw width.
    Next3: Calliper, AtOnce(3), "next clip: 3, claw width";
    /// The next clip is the claw length.
    Next4: Calliper, AtOnce(4), "next clip: 4, claw length";
    /// The next clip is the toe height.
    Next5: Calliper, AtOnce(5), "next clip: 5, toe height";
    /// The next clip is the sole thickness.
    Next6: Calliper, AtOnce(6), "next clip: 6, sole thickness";
    /// The next clip is the horn regrown.
    Next7: Calliper, AtOnce(7), "next clip: 7, horn regrown";
    /// The next clip is the lesion length.
    Next8: Calliper, AtOnce(8), "next clip: 8, lesion length";
    /// The next clip is the lesion width.
    Next9: Calliper, AtOnce(9), "next clip: 9, lesion width";
    /// This claw has all the measurements in the plan.
    OrderDone: Calliper, Untold, "this claw is measured";
    /// The next clip is the gauge block.
    NextGauge: Calliper, AtOnce(0), "next clip: 0, gauge block";
    /// There is no cow for it. Nothing was stored.
    NoCow: NotDone, Asked(2), "no cow in hand";
    /// There is no foot and claw for it. Nothing was stored.
    NoClaw: NotDone, Asked(3), "no foot and claw in hand";
    /// Nothing of this cow is left to take back.
    NothingToUndo: NotDone, Asked(6), "nothing of this cow is left to take back";
    /// The plan has no bundle of this number.
    NoBundle: NotDone, Asked(7), "the plan has no such bundle";
    /// Why this foot is due: a lesion is to be looked at again.
    DueRecheck: Due, AtOnce(1), "why: a lesion is to be looked at again";
    /// Why this foot is due: the block comes off. Under plans that do not hold them apart, a wrap
    /// too.
    DueBlockOff: Due, AtOnce(2), "why: the block comes off";
    /// Why this foot is due: the wrap comes off.
    DueWrapOff: Due, AtOnce(3), "why: the wrap comes off";
    /// Why this foot is due: it is to be trimmed.
    DueTrim: Due, AtOnce(4), "why: the foot is to be trimmed";
    /// The whole cow is due, no foot by itself.
    DueWhole: Due, AtOnce(5), "why: the whole cow, no foot by itself";
    /// The left front foot is due.
    DueLf: Due, AtOnce(6), "which foot: left front";
    /// The right front foot is due.
    DueRf: Due, AtOnce(7), "which foot: right front";
    /// The left hind foot is due.
    DueLh: Due, AtOnce(8), "which foot: left hind";
    /// The right hind foot is due.
    DueRh: Due, AtOnce(9), "which foot: right hind";
    /// The block, in flash, is on the claw that has the lesion.
    BlockOnLesion: LookOut, Asked(34), "the block is on the claw with the lesion";
    /// The dorsal wall, in flash, is shorter than this cow's may be after trimming.
    TooShortAfterTrim: LookOut, Asked(31), "shorter than this cow's claws may be after trimming";
    /// The heels of the foot, in flash, differ by more than the plan allows.
    HeelsUneven: LookOut, Asked(32), "outer and inner heel differ by more than the plan allows";
    /// The regrown horn, in flash, is more than usual for the time.
    GrewFast: LookOut, Asked(33), "more horn regrown than usual";
    /// The cow was keyed before on this visit.
    CowAgain: LookOut, Asked(13), "this cow was here before today";
    /// A lesion of hers that was open has not been spoken of, and she leaves.
    NotSpokenOf: LookOut, Asked(14), "her open lesion has not been spoken of";
    /// Way 1 was drawn for this claw.
    DrawnWay1: Due, AtOnce(11), "way 1 is drawn for this claw: DO 11";
    /// Way 2 was drawn for this claw.
    DrawnWay2: Due, AtOnce(12), "way 2 is drawn for this claw: DO 12";
    /// Way 3 was drawn for this claw.
    DrawnWay3: Due, AtOnce(13), "way 3 is drawn for this claw: DO 13";
    /// Way 4 was drawn for this claw.
    DrawnWay4: Due, AtOnce(14), "way 4 is drawn for this claw: DO 14";
    /// Way 5 was drawn for this claw.
    DrawnWay5: Due, AtOnce(15), "way 5 is drawn for this claw: DO 15";
    /// Way 6 was drawn for this claw.
    DrawnWay6: Due, AtOnce(16), "way 6 is drawn for this claw: DO 16";
    /// Way 7 was drawn for this claw.
    DrawnWay7: Due, AtOnce(17), "way 7 is drawn for this claw: DO 17";
    /// Way 8 was drawn for this claw.
    DrawnWay8: Due, AtOnce(18), "way 8 is drawn for this claw: DO 18";
    /// Way 9 was drawn for this claw.
    DrawnWay9: Due, AtOnce(19), "way 9 is drawn for this claw: DO 19";
    /// Nothing is due on the cow in hand, who is on the list.
    DueNothing: Due, AtOnce(0), "nothing is due on this cow";
}

impl Cue {
    /// The next clip is this dimension, 1 to 9.
    #[must_use]
    pub const fn next_dimension(code: u8) -> Option<Self> {
        Some(match code {
            1 => Self::Next1,
            2 => Self::Next2,
            3 => Self::Next3,
            4 => Self::Next4,
            5 => Self::Next5,
            6 => Self::Next6,
            7 => Self::Next7,
            8 => Self::Next8,
            9 => Self::Next9,
            _ => return None,
        })
    }

    /// This way was drawn, 1 to 9.
    #[must_use]
    pub const fn drawn_way(way: u8) -> Option<Self> {
        Some(match way {
            1 => Self::DrawnWay1,
            2 => Self::DrawnWay2,
            3 => Self::DrawnWay3,
            4 => Self::DrawnWay4,
            5 => Self::DrawnWay5,
            6 => Self::DrawnWay6,
            7 => Self::DrawnWay7,
            8 => Self::DrawnWay8,
            9 => Self::DrawnWay9,
            _ => return None,
        })
    }

    /// As it sounds unasked.
    #[must_use]
    pub const fn signal(self) -> Signal {
        Signal { cue: self, counted: matches!(self.count(), AtOnce(_)) }
    }

    /// As it sounds when asked about: with its count, if it has one.
    #[must_use]
    pub const fn told(self) -> Signal {
        Signal { cue: self, counted: !matches!(self.count(), Untold) }
    }

    /// How it sounds, looks and feels unasked.
    #[must_use]
    pub const fn steps(self) -> Steps {
        self.signal().steps()
    }

    /// Whether the cue says that something is in flash (P1).
    #[must_use]
    pub const fn is_promise(self) -> bool {
        matches!(self.family(), Family::InFlash)
    }
}
