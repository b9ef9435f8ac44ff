//! The handheld on a PC: the real core, flash in a file, a cable that the office opens like any
//! serial port, and a day written as a story (`STORY.md`).
//!
//! The office cannot tell it from a real handheld: the wire is the only way in.

pub mod bench;
pub mod flash_file;
pub mod handheld;
pub mod player;
pub mod rehearsal;
pub mod serve;
pub mod shared_flash;
pub mod sound;
pub mod story;
pub mod wire;

pub use bench::{Bench, Make};
pub use flash_file::FlashFile;
pub use handheld::{Handheld, Heard, Identity};
pub use hornrule_core::cue::{Cue, Light, Signal};
pub use player::{PlayError, Played, Player};
pub use rehearsal::Rehearsal;
pub use serve::{ServeError, Session, serve};
pub use shared_flash::SharedFlash;
pub use story::{Story, StoryError};
