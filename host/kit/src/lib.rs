//! For tests: what a trimmer says, as sealed records, and two invented farms to say it at.
#![expect(clippy::unwrap_used, reason = "a kit that cannot be built is a failed test")]

extern crate self as hornrule_kit;

mod farms;
mod inspect;
mod story;

pub use farms::{begin, begin_at, import, keep_plan, take_in, two_farms};
pub use inspect::Inspect;
pub use story::{DEVICE, EIGHT, LF_OUT, LH, LH_IN, LH_OUT, LOG, RF_OUT, RH, RH_OUT, Story};
